"""The disc path of a valve: what is worked out for one pressure at the disc.

The valve itself, and what is solved for, stand in valve.py.
"""

from __future__ import annotations

from math import inf, pi, sqrt
from typing import TYPE_CHECKING, NamedTuple

from calculators.errors import NoSolutionError
from calculators.physics.orifice import LAMINAR_SLIT, flow_from_drop, orifice_terms

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.physics.fluid import Oil
    from calculators.physics.valve import Valve

__all__ = [
    "STEPS",
    "Terms",
    "disc_path",
    "opening_at_flow",
    "root_above",
    "shut_drop",
    "valve_terms",
]

STEPS = 300  # 1, steps before giving up; about 8 are needed
_NEWTON = 100  # 1, steps by Newton at most; halving alone ends well within the rest
_LAST_DIGITS = 2e-15  # 1, share of the whole drop that rounding leaves open
_TOLERANCE = 2e-14  # 1, change of the drop above cracking in the last step


class Terms(NamedTuple):
    """Coefficients K and L of Δp = K Q² + L Q; those of the curtain are for 1 m of lift."""

    bleed_k: float
    bleed_l: float
    leak: float
    port_k: float
    port_l: float
    curtain_k: float
    curtain_l: float


def valve_terms(valve: Valve, oil: Oil) -> Terms:
    """Return the coefficients of bleed, leak, ports and curtain."""
    cd = valve.discharge_coefficient
    bleed = orifice_terms(
        area=valve.bleed_area, oil=oil, discharge_coefficient=cd, holes=valve.bleed_count
    )
    port = orifice_terms(
        area=valve.port_area, oil=oil, discharge_coefficient=cd, holes=valve.port_count
    )
    edge = pi * valve.disc_diameter
    return Terms(
        *bleed,
        valve.leak / oil.dynamic_viscosity,
        *port,
        oil.density / (2.0 * (cd * edge) ** 2),
        oil.dynamic_viscosity / (4.0 * LAMINAR_SLIT**2 * edge),
    )


def disc_path(over: float, valve: Valve, terms: Terms) -> tuple[float, float, float, float]:
    """Return flow and drop of the disc path, with slopes, for a drop above cracking at the disc.

    The returned drop, too, counts from the crack pressure, so that a soft disc under a
    high preload keeps its digits.
    """
    x = valve.crack_pressure + over
    lift = valve.compliance * over
    if lift < valve.max_lift:
        load = x * lift * lift
        load_slope = lift * (lift + 2.0 * x * valve.compliance)
    else:
        load = x * valve.max_lift * valve.max_lift
        load_slope = valve.max_lift * valve.max_lift
    root = sqrt(terms.curtain_l * terms.curtain_l + 4.0 * terms.curtain_k * load)
    flow = 2.0 * load / (terms.curtain_l + root)
    flow_slope = load_slope / root
    drop = over + (terms.port_k * flow + terms.port_l) * flow
    return flow, flow_slope, drop, 1.0 + (2.0 * terms.port_k * flow + terms.port_l) * flow_slope


def root_above(
    function: Callable[[float], tuple[float, float]],
    low: float,
    high: float,
    start: float,
    scale: float,
) -> float | None:
    """Return the root of a rising function within a bracket, or None if it doesn't settle.

    A disc that has barely cracked stands far below the drop of the whole valve, the
    `scale`: closer than that one's last digits its own drop can't be known.
    """
    x = start
    for step in range(STEPS):
        value, slope = function(x)
        if value > 0.0:
            high = x
        elif value < 0.0:
            low = x
        else:
            return x
        new = x - value / slope if slope > 0.0 and step < _NEWTON else low
        if not low < new < high:
            new = 0.5 * (low + high)
        if abs(new - x) <= _TOLERANCE * new + _LAST_DIGITS * scale:
            return new
        x = new
    return None


def shut_drop(flow: float, terms: Terms) -> float:
    """Return the drop at a flow ≥ 0 with the disc shut; infinite without bleed and leak."""
    if terms.bleed_k == inf:
        return flow / terms.leak if terms.leak > 0.0 else inf
    viscous = 1.0 + terms.leak * terms.bleed_l
    inertial = terms.leak * terms.bleed_k
    bleed = flow_from_drop(pressure_drop=flow, inertial=inertial, viscous=viscous)
    return (terms.bleed_k * bleed + terms.bleed_l) * bleed


def opening_at_flow(valve: Valve, flow: float, terms: Terms, shut: float) -> float:
    """Return the drop above cracking at the disc that lets a flow pass, beyond `shut_drop`."""

    def excess(over: float) -> tuple[float, float]:
        disc_flow, flow_slope, above, drop_slope = disc_path(over, valve, terms)
        drop = valve.crack_pressure + above
        root = sqrt(terms.bleed_l**2 + 4.0 * terms.bleed_k * drop)
        total = disc_flow + 2.0 * drop / (terms.bleed_l + root) + terms.leak * drop
        return total - flow, flow_slope + drop_slope * (1.0 / root + terms.leak)

    full = valve.max_lift / valve.compliance
    wide = (terms.curtain_k * flow + terms.curtain_l) * flow / valve.max_lift**2
    high = min(shut - valve.crack_pressure, max(full, wide))
    over = root_above(excess, 0.0, high, min(full, high), valve.crack_pressure)
    if over is None:
        message = (
            f"The valve's pressure drop at {flow * 6e4:.4g} L/min was not found in {STEPS} steps; "
            f"it lies above the crack pressure of {valve.crack_pressure / 1e5:.4g} bar."
        )
        raise NoSolutionError(message)
    return over
