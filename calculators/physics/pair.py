"""Two valves back to back: the piston's, or the foot valve with its intake."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from calculators.errors import require_at_least
from calculators.physics.orifice import flow_from_drop, orifice_terms
from calculators.physics.valve import Valve, valve_flow_and_slope, valve_pressure_drop

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil

__all__ = [
    "Direction",
    "Regime",
    "ValvePair",
    "ValveState",
    "pair_flow_and_slope",
    "pair_pressure_drop",
    "scaled_bleed",
    "valve_state",
]

Direction = Literal["compression", "rebound", "both"]
Regime = Literal["shut", "bleed", "opening", "port"]


@dataclass(frozen=True, slots=True)
class ValvePair:
    """The valves between two chambers, one for each direction of the damper.

    Oil that flows as in compression takes the compression valve with its bleed, oil
    that flows as in rebound the rebound valve with its own; each valve is shut to
    the other's flow. An always-open bleed is shared by giving both valves the same
    bleed; a bleed with a check of its own differs between them.

    Attributes
    ----------
    compression : Valve
        Passes oil from head side to rod side (piston) or to the reserve (foot valve).
    rebound : Valve
        Passes oil back; at the foot valve this is the intake.
    """

    compression: Valve
    rebound: Valve


@dataclass(frozen=True, slots=True)
class ValveState:
    """What each part of a valve does at one flow.

    Attributes
    ----------
    pressure_drop : float
        pressure drop of the whole valve [Pa].
    bleed_flow : float
        flow through the bleed [m³/s].
    leak_flow : float
        flow through the leak [m³/s].
    disc_flow : float
        flow through ports and curtain [m³/s].
    port_drop : float
        pressure drop of the ports [Pa].
    disc_drop : float
        pressure drop across the disc [Pa].
    lift : float
        lift of the disc [m].
    regime : str
        "shut" without flow; "bleed" with the disc on its seat; "opening" while the
        disc holds most of the drop; "port" at full lift or once the ports hold most.
    """

    pressure_drop: float
    bleed_flow: float
    leak_flow: float
    disc_flow: float
    port_drop: float
    disc_drop: float
    lift: float
    regime: Regime


def pair_flow_and_slope(*, pair: ValvePair, pressure_drop: float, oil: Oil) -> tuple[float, float]:
    """Return the flow through a pair of valves and its slope to the pressure drop.

    Q(Δp) = Q_compression(Δp) for Δp ≥ 0, −Q_rebound(−Δp) for Δp < 0

    Parameters
    ----------
    pair : ValvePair
        The two valves.
    pressure_drop : float
        Δp, head side minus rod side, or head side minus reserve [Pa], any sign.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    tuple of float
        Q in m³/s with the sign of the drop, and dQ/dΔp in m³/(s·Pa), ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the drop is not a finite number.
    NoSolutionError
        If the drop at a disc doesn't settle.

    Notes
    -----
    Limits: those of valve_flow_and_slope. The slope is continuous at zero drop if
    both valves have the same bleed.

    References
    ----------
    derivation: each valve is shut to the other's flow.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> oil = Oil(density=850.0, dynamic_viscosity=0.012)
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> pair = ValvePair(compression=valve, rebound=valve)
    >>> there, _ = pair_flow_and_slope(pair=pair, pressure_drop=1e6, oil=oil)
    >>> back, _ = pair_flow_and_slope(pair=pair, pressure_drop=-1e6, oil=oil)
    >>> there + back
    0.0
    """
    if pressure_drop < 0.0:
        flow, slope = valve_flow_and_slope(
            valve=pair.rebound, pressure_drop=-pressure_drop, oil=oil
        )
        return -flow, slope
    return valve_flow_and_slope(valve=pair.compression, pressure_drop=pressure_drop, oil=oil)


def pair_pressure_drop(*, pair: ValvePair, flow: float, oil: Oil) -> float:
    """Return the pressure drop that drives a given flow through a pair of valves.

    Δp(Q) = Δp_compression(Q) for Q ≥ 0, −Δp_rebound(−Q) for Q < 0

    Parameters
    ----------
    pair : ValvePair
        The two valves.
    flow : float
        Q, volume flow, positive as in compression [m³/s], any sign.
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
        If the drop at a disc doesn't settle.

    Notes
    -----
    Limits: those of valve_flow_and_slope.

    References
    ----------
    derivation: inverse of pair_flow_and_slope.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> oil = Oil(density=850.0, dynamic_viscosity=0.012)
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> pair_pressure_drop(pair=ValvePair(compression=valve, rebound=valve), flow=0.0, oil=oil)
    0.0
    """
    if flow < 0.0:
        return -valve_pressure_drop(valve=pair.rebound, flow=-flow, oil=oil)
    return valve_pressure_drop(valve=pair.compression, flow=flow, oil=oil)


def valve_state(*, valve: Valve, flow: float, oil: Oil) -> ValveState:
    """Return the pressure drop of a valve at a flow, and how its parts share both.

    Q_disc = Q − Q_bleed − Q_leak,  Δp_disc = Δp − Δp_port(Q_disc),
    y = min(compliance · (Δp_disc − p_crack), max_lift)

    Parameters
    ----------
    valve : Valve
        The valve, seen in its own direction.
    flow : float
        Q, volume flow [m³/s], ≥ 0.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    ValveState
        Flows, drops, lift and regime.

    Raises
    ------
    OutOfRangeError
        If the flow is negative or not a finite number.
    NoSolutionError
        If the drop at the disc doesn't settle.

    Notes
    -----
    Limits: those of valve_flow_and_slope. The border between "opening" and "port" is
    our convention: equal drops at disc and ports.

    References
    ----------
    derivation: passages in parallel share the drop, in series the flow.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> oil = Oil(density=850.0, dynamic_viscosity=0.012)
    >>> valve_state(valve=valve, flow=1e-5, oil=oil).regime
    'bleed'
    """
    require_at_least(0.0, flow, "Flow", "m³/s", "Look from the upstream side.")
    drop = valve_pressure_drop(valve=valve, flow=flow, oil=oil)
    if not valve.opens or drop <= valve.crack_pressure:
        leak = valve.leak * drop / oil.dynamic_viscosity
        regime: Regime = "bleed" if flow > 0.0 else "shut"
        return ValveState(drop, flow - leak, leak, 0.0, 0.0, drop, 0.0, regime)
    cd = valve.discharge_coefficient
    inertial, viscous = orifice_terms(
        area=valve.bleed_area, oil=oil, discharge_coefficient=cd, holes=valve.bleed_count
    )
    bleed = flow_from_drop(pressure_drop=drop, inertial=inertial, viscous=viscous)
    leak = valve.leak * drop / oil.dynamic_viscosity
    disc = max(0.0, flow - bleed - leak)
    inertial, viscous = orifice_terms(
        area=valve.port_area, oil=oil, discharge_coefficient=cd, holes=valve.port_count
    )
    port_drop = (inertial * disc + viscous) * disc
    disc_drop = drop - port_drop
    lift = valve.compliance * max(0.0, disc_drop - valve.crack_pressure)
    regime = "port" if lift >= valve.max_lift or port_drop > disc_drop else "opening"
    return ValveState(
        drop, bleed, leak, disc, port_drop, disc_drop, min(lift, valve.max_lift), regime
    )


def scaled_bleed(*, pair: ValvePair, scale: float, direction: Direction = "both") -> ValvePair:
    """Return a pair of valves with its bleed opened or closed by an adjuster.

    A_b → scale · A_b, in the named direction

    Parameters
    ----------
    pair : ValvePair
        The two valves at the adjuster setting called 1.
    scale : float
        Bleed area at this setting / bleed area at setting 1 [1], ≥ 0.
    direction : str
        "compression", "rebound" or "both" [-], one of these.

    Returns
    -------
    ValvePair
        The valves at the new setting.

    Raises
    ------
    OutOfRangeError
        If the scale is negative or not a finite number.
    ConflictError
        If nothing of a valve would be left open.

    Notes
    -----
    Limits: the number of bleed holes stays; a needle in its seat keeps about its
    perimeter, so its viscous part is somewhat larger than this.

    References
    ----------
    derivation: definition of the adjuster setting.

    Examples
    --------
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> pair = ValvePair(compression=valve, rebound=valve)
    >>> scaled_bleed(pair=pair, scale=0.5, direction="rebound").rebound.bleed_area
    5e-07
    """
    require_at_least(0.0, scale, "Bleed scale", "", "0 closes the bleed, 1 leaves it as it is.")
    changed = {
        name: replace(valve, bleed_area=scale * valve.bleed_area)
        for name, valve in (("compression", pair.compression), ("rebound", pair.rebound))
        if direction in (name, "both")
    }
    return replace(pair, **changed)
