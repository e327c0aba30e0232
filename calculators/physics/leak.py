"""Viscous passages: the gap round a piston or rod, and the fine bore (capillary).

Both are straight-line resistances Q = G Δp / μ. The geometry alone makes G, the
conductance in m³; a valve carries the sum of its leaks as one such number.
"""

from __future__ import annotations

from math import pi

from calculators.errors import require_above, require_at_least, require_between, require_finite

__all__ = ["annular_leak", "capillary", "laminar_flow", "laminar_pressure_drop"]


def annular_leak(
    *, diameter: float, clearance: float, length: float, eccentricity: float = 0.0
) -> float:
    """Return the conductance of the narrow gap between a piston and its bore.

    G = π d h³ (1 + 1.5 ε²) / (12 L),  then Q = G Δp / μ

    The gap counts to the third power: a bore worn to twice the clearance leaks
    eight times as much, and a piston lying on one side 2.5 times as much.

    Parameters
    ----------
    diameter : float
        d, diameter at the gap [m], > 0.
    clearance : float
        h, mean radial clearance [m], > 0.
    length : float
        L, sealing length along the flow [m], > 0.
    eccentricity : float
        ε, offset of the axes / clearance [1], 0 to 1.

    Returns
    -------
    float
        G, conductance of the gap [m³], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: h small against d, laminar flow, no relative motion of the walls
    (drag of the moving piston carries v π d h / 2 besides, left out here).

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 3 (chapter: value from memory).
    derivation: plane Poiseuille flow h³ Δp / (12 μ L) per width, h(θ) = h (1 + ε cos θ),
        averaged round the gap.

    Examples
    --------
    By hand, centred: π · 0.012 · (10⁻⁴)³ / (12 · 0.01) = π × 10⁻¹³.

    >>> annular_leak(diameter=0.012, clearance=1e-4, length=0.01)  # doctest: +ELLIPSIS
    3.14159265...e-13
    """
    require_above(0.0, diameter, "Gap diameter", "m", "Bore or rod diameter.")
    require_above(0.0, clearance, "Radial clearance", "m", "Half the difference of the diameters.")
    require_above(0.0, length, "Gap length", "m", "Length along the flow.")
    require_between(0.0, 1.0, eccentricity, "Eccentricity", "", "1 = the piston touches one side.")
    return pi * diameter * clearance**3 * (1.0 + 1.5 * eccentricity**2) / (12.0 * length)


def capillary(*, diameter: float, length: float) -> float:
    """Return the conductance of a long fine bore.

    G = π d⁴ / (128 L),  then Q = G Δp / μ

    Hagen and Poiseuille: the bore counts to the fourth power.

    Parameters
    ----------
    diameter : float
        d, bore of the capillary [m], > 0.
    length : float
        L, length of the capillary [m], > 0.

    Returns
    -------
    float
        G, conductance of the bore [m³], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: laminar flow (Reynolds number below about 2 000), length well above
    the entry length of about 0.06 d Re; entry and exit losses left out.

    References
    ----------
    book: F. M. White, Fluid Mechanics, ch. 6, laminar pipe flow (chapter: value from memory).

    Examples
    --------
    By hand: π · (10⁻³)⁴ / (128 · 0.0078125) = π × 10⁻¹².

    >>> capillary(diameter=1e-3, length=0.0078125)  # doctest: +ELLIPSIS
    3.14159265...e-12
    """
    require_above(0.0, diameter, "Capillary bore", "m", "Inside diameter.")
    require_above(0.0, length, "Capillary length", "m", "Length along the flow.")
    return pi * diameter**4 / (128.0 * length)


def laminar_flow(*, conductance: float, pressure_drop: float, dynamic_viscosity: float) -> float:
    """Return the flow through a viscous passage.

    Q = G Δp / μ

    Parameters
    ----------
    conductance : float
        G, from annular_leak or capillary [m³], ≥ 0.
    pressure_drop : float
        Δp, upstream minus downstream pressure [Pa], any sign.
    dynamic_viscosity : float
        μ, dynamic viscosity [Pa·s], > 0.

    Returns
    -------
    float
        Q, volume flow with the sign of the drop [m³/s], any sign.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of the conductance.

    References
    ----------
    derivation: definition of the conductance.

    Examples
    --------
    By hand: 2 × 10⁻¹² · 10⁵ / 0.01.

    >>> round(laminar_flow(conductance=2e-12, pressure_drop=1e5, dynamic_viscosity=0.01), 15)
    2e-05
    """
    require_at_least(0.0, conductance, "Leak conductance", "m³", "Zero: no leak.")
    require_finite(pressure_drop, "Pressure drop", "Pa")
    require_above(0.0, dynamic_viscosity, "Dynamic viscosity", "Pa·s")
    return conductance * pressure_drop / dynamic_viscosity


def laminar_pressure_drop(*, conductance: float, flow: float, dynamic_viscosity: float) -> float:
    """Return the pressure drop of a flow through a viscous passage.

    Δp = μ Q / G

    Parameters
    ----------
    conductance : float
        G, from annular_leak or capillary [m³], > 0.
    flow : float
        Q, volume flow [m³/s], any sign.
    dynamic_viscosity : float
        μ, dynamic viscosity [Pa·s], > 0.

    Returns
    -------
    float
        Δp, pressure drop with the sign of the flow [Pa], any sign.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of the conductance.

    References
    ----------
    derivation: definition of the conductance.

    Examples
    --------
    By hand: 0.01 · 2 × 10⁻⁵ / (2 × 10⁻¹²).

    >>> round(laminar_pressure_drop(conductance=2e-12, flow=2e-5, dynamic_viscosity=0.01), 6)
    100000.0
    """
    require_above(0.0, conductance, "Leak conductance", "m³", "A shut gap passes no flow.")
    require_finite(flow, "Flow", "m³/s")
    require_above(0.0, dynamic_viscosity, "Dynamic viscosity", "Pa·s")
    return dynamic_viscosity * flow / conductance
