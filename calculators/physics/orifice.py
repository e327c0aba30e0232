"""Sharp-edged holes: flow from pressure and pressure from flow, laminar and turbulent.

One law serves all: the viscous and the inertial loss add up,

    Δp = L Q + K Q |Q|,   K = ρ / (2 C_d² A²),   L = μ / (2 δ² A D_h).

Both directions have a closed form, the law is odd, monotone and smooth, and holes
in series keep its shape (K and L add). The two losses are equal at the transition
Reynolds number Re_t = (C_d/δ)², with Re = Q D_h ρ / (A μ).
"""

from __future__ import annotations

from math import inf, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import NoSolutionError, require_above, require_finite

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil

__all__ = [
    "DISCHARGE_COEFFICIENT",
    "LAMINAR_ROUND",
    "LAMINAR_SLIT",
    "flow_from_drop",
    "orifice_area",
    "orifice_flow",
    "orifice_pressure_drop",
    "orifice_terms",
    "transition_reynolds",
]

# 1, sharp edge at high Reynolds number: π/(π + 2) = 0.611, Merritt, Hydraulic Control
# Systems, ch. 3 (chapter: value from memory); 0.60 to 0.65 is common practice.
DISCHARGE_COEFFICIENT = 0.61
# 1, laminar coefficient δ of a round hole; Merritt, ch. 3 (value from memory)
LAMINAR_ROUND = 0.2
# 1, the same for a long slit, δ² = π/128; Merritt, ch. 3 (value from memory)
LAMINAR_SLIT = 0.157

_AREA_STEPS = 100  # 1, Newton steps before giving up; about 8 are needed


def transition_reynolds(
    *,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
    laminar_coefficient: float = LAMINAR_ROUND,
) -> float:
    """Return the Reynolds number at which viscous and inertial loss are equal.

    Re_t = (C_d / δ)²

    Well below it a hole is a viscous resistance that fades with hot oil; well
    above it, only density counts.

    Parameters
    ----------
    discharge_coefficient : float
        C_d, share of the ideal jet flow at high Reynolds number [1], > 0.
    laminar_coefficient : float
        δ, in C_d = δ √Re at low Reynolds number [1], > 0.

    Returns
    -------
    float
        Re_t, transition Reynolds number on the hydraulic diameter [1], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: sharp edges, steady flow. A long or rounded hole has another δ.

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 3 (chapter: value from memory).

    Examples
    --------
    By hand: (0.6 / 0.2)² = 9.

    >>> round(transition_reynolds(discharge_coefficient=0.6, laminar_coefficient=0.2), 9)
    9.0
    """
    require_above(0.0, discharge_coefficient, "Discharge coefficient", "", "Usually 0.6 to 0.65.")
    require_above(0.0, laminar_coefficient, "Laminar coefficient", "", "Round hole: 0.2.")
    return (discharge_coefficient / laminar_coefficient) ** 2


def orifice_terms(
    *,
    area: float,
    oil: Oil,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
    holes: int = 1,
    laminar_coefficient: float = LAMINAR_ROUND,
) -> tuple[float, float]:
    """Return the inertial and the viscous coefficient of round holes side by side.

    Δp = K Q |Q| + L Q,  K = ρ / (2 C_d² A²),  L = μ / (2 δ² A D_h),  D_h = √(4 A / (π N))

    The same open area in more, smaller holes has the same K and a larger L. No
    area gives infinite coefficients: nothing passes. Used inside solvers, so the
    arguments are not checked here.

    Parameters
    ----------
    area : float
        A, open area of all holes together [m²], ≥ 0.
    oil : Oil
        Density and viscosity at working temperature.
    discharge_coefficient : float
        C_d, share of the ideal jet flow at high Reynolds number [1], > 0.
    holes : int
        N, number of equal round holes [1], ≥ 1.
    laminar_coefficient : float
        δ, in C_d = δ √Re at low Reynolds number [1], > 0.

    Returns
    -------
    tuple of float
        K in Pa·s²/m⁶ and L in Pa·s/m³, > 0, infinite for no area.

    Notes
    -----
    Limits: sharp edges, steady flow, no swirl, liquid all the way through.

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 3 (chapter: value from memory), for
        both ends; adding the two losses is our choice of blend.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> inertial, viscous = orifice_terms(
    ...     area=1e-6, oil=Oil(density=800.0, dynamic_viscosity=0.01), discharge_coefficient=0.5
    ... )
    >>> inertial
    1600000000000000.0
    """
    if area <= 0.0:
        return inf, inf
    inertial = oil.density / (2.0 * (discharge_coefficient * area) ** 2)
    hydraulic_diameter = sqrt(4.0 * area / (pi * holes))
    viscous = oil.dynamic_viscosity / (2.0 * laminar_coefficient**2 * area * hydraulic_diameter)
    return inertial, viscous


def flow_from_drop(*, pressure_drop: float, inertial: float, viscous: float) -> float:
    """Return the flow through a passage whose drop is Δp = K Q |Q| + L Q.

    Q = 2 Δp / (L + √(L² + 4 K |Δp|))

    The root of the quadratic, written so that small drops lose no digits. Used
    inside solvers, so the arguments are not checked here.

    Parameters
    ----------
    pressure_drop : float
        Δp, upstream minus downstream pressure [Pa], any sign.
    inertial : float
        K, coefficient of the flow squared, in Pa·s²/m⁶ [-], ≥ 0, may be infinite.
    viscous : float
        L, coefficient of the flow, in Pa·s/m³ [-], > 0.

    Returns
    -------
    float
        Q, volume flow with the sign of the drop [m³/s], any sign.

    Notes
    -----
    Limits: none beyond those of the coefficients.

    References
    ----------
    derivation: quadratic formula, multiplied above and below by its other root.

    Examples
    --------
    By hand: 8 · 0.25² + 6 · 0.25 = 2.

    >>> flow_from_drop(pressure_drop=2.0, inertial=8.0, viscous=6.0)
    0.25
    """
    root = sqrt(viscous * viscous + 4.0 * inertial * abs(pressure_drop))
    return 2.0 * pressure_drop / (viscous + root)


def orifice_flow(
    *,
    area: float,
    pressure_drop: float,
    oil: Oil,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
    holes: int = 1,
    laminar_coefficient: float = LAMINAR_ROUND,
) -> float:
    """Return the flow through sharp-edged round holes at a given pressure drop.

    Δp = ρ Q |Q| / (2 C_d² A²) + μ Q / (2 δ² A D_h), solved for Q

    At high Reynolds number Q → C_d A √(2 Δp / ρ); near zero Q is proportional
    to Δp / μ. In between the two losses add.

    Parameters
    ----------
    area : float
        A, open area of all holes together [m²], > 0.
    pressure_drop : float
        Δp, upstream minus downstream pressure [Pa], any sign.
    oil : Oil
        Density and viscosity at working temperature.
    discharge_coefficient : float
        C_d, share of the ideal jet flow at high Reynolds number [1], > 0.
    holes : int
        N, number of equal round holes [1], ≥ 1.
    laminar_coefficient : float
        δ, in C_d = δ √Re at low Reynolds number [1], > 0.

    Returns
    -------
    float
        Q, volume flow with the sign of the drop [m³/s], any sign.

    Raises
    ------
    OutOfRangeError
        If an area or coefficient is not above zero, or the drop is not finite.

    Notes
    -----
    Limits: sharp edges, steady flow, no cavitation in the hole. With Reynolds
    number Re the flow is below the turbulent law by about Re_t / (2 Re).

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 3 (chapter: value from memory).

    Examples
    --------
    By hand, nearly without viscosity: 0.5 · 10⁻⁶ · √(2 · 10⁶ / 800) = 2.5 × 10⁻⁵.

    >>> from calculators.physics.fluid import Oil
    >>> thin = Oil(density=800.0, dynamic_viscosity=1e-12)
    >>> flow = orifice_flow(area=1e-6, pressure_drop=1e6, oil=thin, discharge_coefficient=0.5)
    >>> round(flow, 12)
    2.5e-05
    """
    _check(area, discharge_coefficient, holes, laminar_coefficient)
    require_finite(pressure_drop, "Pressure drop", "Pa")
    inertial, viscous = orifice_terms(
        area=area,
        oil=oil,
        discharge_coefficient=discharge_coefficient,
        holes=holes,
        laminar_coefficient=laminar_coefficient,
    )
    return flow_from_drop(pressure_drop=pressure_drop, inertial=inertial, viscous=viscous)


def orifice_pressure_drop(
    *,
    area: float,
    flow: float,
    oil: Oil,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
    holes: int = 1,
    laminar_coefficient: float = LAMINAR_ROUND,
) -> float:
    """Return the pressure drop of a given flow through sharp-edged round holes.

    Δp = ρ Q |Q| / (2 C_d² A²) + μ Q / (2 δ² A D_h)

    Twice the flow costs twice the pressure in cold thick oil at creeping speed,
    and four times the pressure at high speed.

    Parameters
    ----------
    area : float
        A, open area of all holes together [m²], > 0.
    flow : float
        Q, volume flow [m³/s], any sign.
    oil : Oil
        Density and viscosity at working temperature.
    discharge_coefficient : float
        C_d, share of the ideal jet flow at high Reynolds number [1], > 0.
    holes : int
        N, number of equal round holes [1], ≥ 1.
    laminar_coefficient : float
        δ, in C_d = δ √Re at low Reynolds number [1], > 0.

    Returns
    -------
    float
        Δp, pressure drop with the sign of the flow [Pa], any sign.

    Raises
    ------
    OutOfRangeError
        If an area or coefficient is not above zero, or the flow is not finite.

    Notes
    -----
    Limits: sharp edges, steady flow, no cavitation in the hole.

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 3 (chapter: value from memory).

    Examples
    --------
    By hand, nearly without viscosity: (2.5 × 10⁻⁵ / (0.5 · 10⁻⁶))² · 800 / 2 = 10⁶.

    >>> from calculators.physics.fluid import Oil
    >>> thin = Oil(density=800.0, dynamic_viscosity=1e-12)
    >>> drop = orifice_pressure_drop(area=1e-6, flow=2.5e-5, oil=thin, discharge_coefficient=0.5)
    >>> round(drop, 2)
    1000000.0
    """
    _check(area, discharge_coefficient, holes, laminar_coefficient)
    require_finite(flow, "Flow", "m³/s")
    inertial, viscous = orifice_terms(
        area=area,
        oil=oil,
        discharge_coefficient=discharge_coefficient,
        holes=holes,
        laminar_coefficient=laminar_coefficient,
    )
    return inertial * flow * abs(flow) + viscous * flow


def orifice_area(
    *,
    flow: float,
    pressure_drop: float,
    oil: Oil,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
    holes: int = 1,
    laminar_coefficient: float = LAMINAR_ROUND,
) -> float:
    """Return the hole area that passes a flow at a pressure drop.

    ρ Q² / (2 C_d² A²) + μ Q / (2 δ² A D_h) = Δp, solved for A

    The first step of valve sizing: one point of the target curve gives one area.

    Parameters
    ----------
    flow : float
        Q, volume flow [m³/s], > 0.
    pressure_drop : float
        Δp, upstream minus downstream pressure [Pa], > 0.
    oil : Oil
        Density and viscosity at working temperature.
    discharge_coefficient : float
        C_d, share of the ideal jet flow at high Reynolds number [1], > 0.
    holes : int
        N, number of equal round holes [1], ≥ 1.
    laminar_coefficient : float
        δ, in C_d = δ √Re at low Reynolds number [1], > 0.

    Returns
    -------
    float
        A, open area of all holes together [m²], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.
    NoSolutionError
        If the iteration does not settle to 12 digits.

    Notes
    -----
    Limits: sharp edges, steady flow. Newton on A^(−1/2), in which the drop is a
    rising convex curve, so that the steps come down on the root from one side.

    References
    ----------
    derivation: inverse of orifice_pressure_drop.

    Examples
    --------
    By hand, nearly without viscosity: 2.5 × 10⁻⁵ / (0.5 · √(2 · 10⁶ / 800)) = 10⁻⁶.

    >>> from calculators.physics.fluid import Oil
    >>> thin = Oil(density=800.0, dynamic_viscosity=1e-12)
    >>> area = orifice_area(flow=2.5e-5, pressure_drop=1e6, oil=thin, discharge_coefficient=0.5)
    >>> round(area, 12)
    1e-06
    """
    require_above(0.0, flow, "Flow", "m³/s", "Area × velocity.")
    require_above(0.0, pressure_drop, "Pressure drop", "Pa", "Force / area.")
    _check(1.0, discharge_coefficient, holes, laminar_coefficient)
    inertial = oil.density * (flow / discharge_coefficient) ** 2 / 2.0
    viscous = oil.dynamic_viscosity * flow * sqrt(pi * holes) / (4.0 * laminar_coefficient**2)
    root: float = min((pressure_drop / inertial) ** 0.25, (pressure_drop / viscous) ** (1.0 / 3.0))
    for _ in range(_AREA_STEPS):
        excess = (inertial * root + viscous) * root**3 - pressure_drop
        step = excess / ((4.0 * inertial * root + 3.0 * viscous) * root * root)
        root -= step
        if abs(step) <= 1e-12 * root:
            return 1.0 / (root * root)
    message = (
        f"No hole area found for {flow * 6e4:.4g} L/min at {pressure_drop / 1e5:.4g} bar "
        f"after {_AREA_STEPS} steps; check flow and pressure."
    )
    raise NoSolutionError(message)


def _check(area: float, discharge: float, holes: int, laminar: float) -> None:
    require_above(0.0, area, "Hole area", "m²", "Leave the element out instead of giving it none.")
    require_above(0.0, discharge, "Discharge coefficient", "", "Usually 0.6 to 0.65.")
    require_above(0.0, holes, "Number of holes", "", "At least one hole.")
    require_above(0.0, laminar, "Laminar coefficient", "", "Round hole: 0.2.")
