"""A damper valve: bleed, leak and a preloaded disc over ports, flow and pressure both ways.

Three passages lie side by side: the bleed (round holes or a notch), the leak
(viscous), and the disc path. In the disc path the ports and the curtain under the
lifted disc are in series. The disc sees the pressure x that is left behind the
ports: it lifts y = compliance · (x − p_crack), at most max_lift, and the curtain
area is π d_o y. Taking x − p_crack as the unknown makes every other figure explicit:
one unknown is solved in each direction, by Newton steps kept inside a bracket.

Accuracy: steps stop when x − p_crack changes by less than 2 × 10⁻¹⁴ of itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, sqrt
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    NoSolutionError,
    require_above,
    require_at_least,
    require_finite,
)
from calculators.physics._valve_disc import (
    STEPS,
    disc_path,
    opening_at_flow,
    root_above,
    shut_drop,
    valve_terms,
)
from calculators.physics.orifice import DISCHARGE_COEFFICIENT, flow_from_drop

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil

__all__ = ["Valve", "valve_flow", "valve_flow_and_slope", "valve_pressure_drop"]


@dataclass(frozen=True, slots=True)
class Valve:
    """One valve as built, seen in its own direction of flow.

    The disc opens for a positive pressure drop only. The bleed and the leak pass
    oil both ways, unless the valve is a check valve: then nothing returns.

    Attributes
    ----------
    bleed_area : float
        A_b, open area of the bleed holes together [m²], ≥ 0.
    port_area : float
        A_p, open area of the ports under the disc [m²], ≥ 0.
    disc_diameter : float
        d_o, diameter of the seat edge at which the disc lifts [m], > 0.
    crack_pressure : float
        p_crack, pressure drop at which the disc begins to lift [Pa], ≥ 0.
    compliance : float
        lift of the disc edge per pressure above cracking [m/Pa], ≥ 0.
    max_lift : float
        lift at which the disc meets its stop [m], ≥ 0.
    discharge_coefficient : float
        C_d of bleed, ports and curtain at high Reynolds number [1], > 0.
    bleed_count : int
        number of bleed holes [1], ≥ 1.
    port_count : int
        number of ports [1], ≥ 1.
    leak : float
        G, viscous conductance beside the valve (annular_leak, capillary) [m³], ≥ 0.
    check : bool
        True: bleed and leak are shut for reverse flow as well.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    ConflictError
        If the valve has no passage at all.
    """

    bleed_area: float
    port_area: float
    disc_diameter: float
    crack_pressure: float
    compliance: float
    max_lift: float
    discharge_coefficient: float = DISCHARGE_COEFFICIENT
    bleed_count: int = 1
    port_count: int = 1
    leak: float = 0.0
    check: bool = False

    def __post_init__(self) -> None:
        require_at_least(0.0, self.bleed_area, "Bleed area", "m²", "Zero: no bleed.")
        require_at_least(0.0, self.port_area, "Port area", "m²", "Zero: no ports.")
        require_above(0.0, self.disc_diameter, "Disc diameter", "m", "Measure at the seat edge.")
        require_at_least(0.0, self.crack_pressure, "Crack pressure", "Pa", "Zero: no preload.")
        require_at_least(0.0, self.compliance, "Disc compliance", "m/Pa", "Zero: rigid disc.")
        require_at_least(0.0, self.max_lift, "Largest lift", "m", "Zero: the disc stays shut.")
        require_above(
            0.0, self.discharge_coefficient, "Discharge coefficient", "", "Usually 0.6 to 0.65."
        )
        require_at_least(1.0, self.bleed_count, "Number of bleed holes", "", "At least one.")
        require_at_least(1.0, self.port_count, "Number of ports", "", "At least one.")
        require_at_least(0.0, self.leak, "Leak conductance", "m³", "Zero: no leak.")
        if not (self.bleed_area > 0.0 or self.leak > 0.0 or self.opens):
            message = "The valve has no passage: give it a bleed, a leak, or ports with lift."
            raise ConflictError(
                message, inputs=("bleed_area", "leak", "port_area", "compliance", "max_lift")
            )

    @property
    def opens(self) -> bool:
        """Whether the disc can lift and has ports under it."""
        return self.port_area > 0.0 and self.compliance > 0.0 and self.max_lift > 0.0

    @property
    def full_lift_drop(self) -> float:
        """Pressure drop across the disc at which it meets its stop [Pa]; infinite if never."""
        return self.crack_pressure + self.max_lift / self.compliance if self.opens else inf


def valve_flow_and_slope(*, valve: Valve, pressure_drop: float, oil: Oil) -> tuple[float, float]:
    """Return the flow through a valve and its slope to the pressure drop.

    Q = Q_bleed(Δp) + G Δp / μ + Qdisc_path(x),  x + Δp_port(Q_disc) = Δp

    The slope is the exact derivative of the returned flow, for Newton solvers.
    It is continuous where the disc cracks and jumps where it meets its stop.

    Parameters
    ----------
    valve : Valve
        The valve, seen in its own direction.
    pressure_drop : float
        Δp, upstream minus downstream pressure [Pa], any sign.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    tuple of float
        Q in m³/s with the sign of the drop, and dQ/dΔp in m³/(s·Pa), ≥ 0. At zero drop
        a check valve gives the slope of its open side.

    Raises
    ------
    OutOfRangeError
        If the drop is not a finite number.
    NoSolutionError
        If the drop at the disc doesn't settle.

    Notes
    -----
    Limits: steady flow; no disc inertia, no flow force on the disc beyond what its
    compliance holds, no cavitation inside the valve.

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 3 (chapter: value from memory), for
        the single restrictions.
    derivation: passages in parallel share the drop, in series the flow.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> oil = Oil(density=850.0, dynamic_viscosity=0.012)
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> flow, slope = valve_flow_and_slope(valve=valve, pressure_drop=0.0, oil=oil)
    >>> flow, slope > 0.0
    (0.0, True)
    """
    require_finite(pressure_drop, "Pressure drop", "Pa")
    if pressure_drop < 0.0 and valve.check:
        return 0.0, 0.0
    terms = valve_terms(valve, oil)
    flow, slope = terms.leak * pressure_drop, terms.leak
    if terms.bleed_k < inf:  # else there is no bleed, and 0 · ∞ at no drop
        flow += flow_from_drop(
            pressure_drop=pressure_drop, inertial=terms.bleed_k, viscous=terms.bleed_l
        )
        slope += 1.0 / sqrt(terms.bleed_l**2 + 4.0 * terms.bleed_k * abs(pressure_drop))
    if pressure_drop <= valve.crack_pressure or not valve.opens:
        return flow, slope

    available = pressure_drop - valve.crack_pressure

    def excess(over: float) -> tuple[float, float]:
        _, _, drop, drop_slope = disc_path(over, valve, terms)
        return drop - available, drop_slope

    full = valve.max_lift / valve.compliance
    within = full < available <= disc_path(full, valve, terms)[2]
    high = full if within else available
    # the drop is convex up to full lift: Newton from the right comes down on the root
    over = root_above(excess, 0.0, high, high, pressure_drop)
    if over is None:
        message = (
            f"The valve's flow at {pressure_drop / 1e5:.4g} bar was not found in {STEPS} steps."
        )
        raise NoSolutionError(message)
    disc_flow, flow_slope, _, drop_slope = disc_path(over, valve, terms)
    return flow + disc_flow, slope + flow_slope / drop_slope


def valve_flow(*, valve: Valve, pressure_drop: float, oil: Oil) -> float:
    """Return the flow through a valve at a given pressure drop.

    Q = Q_bleed(Δp) + G Δp / μ + Qdisc_path(x),  x + Δp_port(Q_disc) = Δp

    Below the crack pressure only bleed and leak pass oil. Above it the disc path
    opens; at full lift ports and curtain act as one fixed hole.

    Parameters
    ----------
    valve : Valve
        The valve, seen in its own direction.
    pressure_drop : float
        Δp, upstream minus downstream pressure [Pa], any sign.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    float
        Q, volume flow with the sign of the drop [m³/s], any sign.

    Raises
    ------
    OutOfRangeError
        If the drop is not a finite number.
    NoSolutionError
        If the drop at the disc doesn't settle.

    Notes
    -----
    Limits: those of valve_flow_and_slope.

    References
    ----------
    derivation: as in valve_flow_and_slope.

    Examples
    --------
    By hand, disc shut, nearly without viscosity: 0.5 · 10⁻⁶ · √(2 · 10⁶ / 800).

    >>> from calculators.physics.fluid import Oil
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02, crack_pressure=2e6,
    ...     compliance=2e-10, max_lift=1e-3, discharge_coefficient=0.5,
    ... )
    >>> thin = Oil(density=800.0, dynamic_viscosity=1e-12)
    >>> round(valve_flow(valve=valve, pressure_drop=1e6, oil=thin), 12)
    2.5e-05
    """
    return valve_flow_and_slope(valve=valve, pressure_drop=pressure_drop, oil=oil)[0]


def valve_pressure_drop(*, valve: Valve, flow: float, oil: Oil) -> float:
    """Return the pressure drop that drives a given flow through a valve.

    Q_bleed(Δp) + G Δp / μ + Qdisc_path(x) = Q,  Δp = x + Δp_port(Q_disc)

    Parameters
    ----------
    valve : Valve
        The valve, seen in its own direction.
    flow : float
        Q, volume flow [m³/s], any sign.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    float
        Δp, pressure drop with the sign of the flow [Pa], any sign.

    Raises
    ------
    OutOfRangeError
        If the flow is not a finite number.
    NoSolutionError
        If the valve can't pass the flow (backwards through a check valve or a valve
        without bleed), or the drop at the disc doesn't settle.

    Notes
    -----
    Limits: those of valve_flow_and_slope. Without bleed and leak the drop jumps from
    zero at rest to the crack pressure.

    References
    ----------
    derivation: inverse of valve_flow.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02, crack_pressure=2e6,
    ...     compliance=2e-10, max_lift=1e-3, discharge_coefficient=0.5,
    ... )
    >>> thin = Oil(density=800.0, dynamic_viscosity=1e-12)
    >>> round(valve_pressure_drop(valve=valve, flow=2.5e-5, oil=thin), 2)
    1000000.0
    """
    require_finite(flow, "Flow", "m³/s")
    if flow == 0.0:
        return 0.0
    terms = valve_terms(valve, oil)
    shut = shut_drop(abs(flow), terms)
    if flow < 0.0:
        if valve.check or shut == inf:
            message = f"The valve passes no flow backwards; {-flow * 6e4:.4g} L/min was asked for."
            raise NoSolutionError(message)
        return -shut
    if shut <= valve.crack_pressure or not valve.opens:
        return shut
    over = opening_at_flow(valve, flow, terms, shut)
    return valve.crack_pressure + disc_path(over, valve, terms)[2]
