"""Flow and pressure drop of a valve for whole arrays at once. This module needs numpy.

The equations are those of `valve`, so one valve stands for each element: a bleed alone is
a hole, a leak alone a gap or a fine bore, ports under a disc the preloaded valve, `check`
the check valve. All entries are halved together until the last digit, which pays from some
tens of entries on: a recorded trace, a cloud of tolerances.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import numpy as np

from calculators.errors import InputError, NoSolutionError
from calculators.physics._valve_disc import valve_terms

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import ArrayLike, NDArray

    from calculators.physics._valve_disc import Terms
    from calculators.physics.fluid import Oil
    from calculators.physics.valve import Valve

    Array = NDArray[np.float64]

__all__ = ["valve_flows", "valve_pressure_drops"]

_HALVINGS = 1_100  # 1, more than the digits and powers of two of a float


def valve_flows(*, valve: Valve, pressure_drops: ArrayLike, oil: Oil) -> Array:
    """Return the flow through a valve at each of many pressure drops.

    Q = Q_bleed(Δp) + G Δp / μ + Q_disc(x),  x + Δp_port(Q_disc) = Δp

    Parameters
    ----------
    valve : Valve
        The valve, seen in its own direction.
    pressure_drops : array
        Δp, upstream minus downstream pressures [Pa], any sign.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    array
        Q, volume flows with the sign of the drops [m³/s], any sign.

    Raises
    ------
    InputError
        If a drop is not a finite number.

    Notes
    -----
    Limits: those of valve_flow_and_slope.

    References
    ----------
    derivation: as in valve_flow, entry by entry.

    Examples
    --------
    By hand, a bleed nearly without viscosity: 0.5 · 10⁻⁶ · √(2 · 10⁶ / 800), and half of it.

    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.valve import Valve
    >>> bleed = Valve(1e-6, 0.0, 0.02, 0.0, 0.0, 0.0, discharge_coefficient=0.5)
    >>> flows = valve_flows(valve=bleed, pressure_drops=[1e6, -0.25e6], oil=Oil(800.0, 1e-12))
    >>> [round(float(flow), 12) for flow in flows]
    [2.5e-05, -1.25e-05]
    """
    drops, terms = _finite(pressure_drops, "pressure drop"), valve_terms(valve, oil)
    flows = _beside(drops, terms)
    if valve.check:
        flows = np.where(drops < 0.0, 0.0, flows)
    opened = drops > valve.crack_pressure
    if valve.opens and np.any(opened):
        available = drops[opened] - valve.crack_pressure
        over = _root(lambda x: _disc(x, valve, terms)[1] - available, available)
        flows[opened] += _disc(over, valve, terms)[0]
    return flows


def valve_pressure_drops(*, valve: Valve, flows: ArrayLike, oil: Oil) -> Array:
    """Return the pressure drop that drives each of many flows through a valve.

    Q_bleed(Δp) + G Δp / μ + Q_disc(x) = Q,  Δp = x + Δp_port(Q_disc)

    Parameters
    ----------
    valve : Valve
        The valve, seen in its own direction.
    flows : array
        Q, volume flows [m³/s], any sign.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    array
        Δp, pressure drops with the sign of the flows [Pa], any sign.

    Raises
    ------
    InputError
        If a flow is not a finite number.
    NoSolutionError
        If the valve can't pass a flow: backwards through a check valve or a valve
        without bleed.

    Notes
    -----
    Limits: those of valve_flow_and_slope.

    References
    ----------
    derivation: inverse of valve_flows.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.valve import Valve
    >>> bleed = Valve(1e-6, 0.0, 0.02, 0.0, 0.0, 0.0, discharge_coefficient=0.5)
    >>> drops = valve_pressure_drops(valve=bleed, flows=[2.5e-5, 0.0], oil=Oil(800.0, 1e-12))
    >>> [round(float(drop), 2) for drop in drops]
    [1000000.0, 0.0]
    """
    wanted, terms = _finite(flows, "flow"), valve_terms(valve, oil)
    shut = _shut(np.abs(wanted), terms)
    back = wanted < 0.0
    if np.any(back) and (valve.check or bool(np.any(np.isinf(shut[back])))):
        message = (
            "The valve passes no flow backwards; "
            f"{-float(np.min(wanted)) * 6e4:.4g} L/min was asked for."
        )
        raise NoSolutionError(message)
    drops = np.where(back, -shut, shut)
    opened = ~back & (shut > valve.crack_pressure) & (wanted > 0.0)
    if valve.opens and np.any(opened):
        aim = wanted[opened]
        full = valve.max_lift / valve.compliance
        wide = (terms.curtain_k * aim + terms.curtain_l) * aim / valve.max_lift**2
        high = np.minimum(shut[opened] - valve.crack_pressure, np.maximum(full, wide))

        def excess(over: Array) -> Array:
            through, above = _disc(over, valve, terms)
            return through + _beside(valve.crack_pressure + above, terms) - aim

        over = _root(excess, high)
        drops[opened] = valve.crack_pressure + _disc(over, valve, terms)[1]
    return drops


def _finite(values: ArrayLike, words: str) -> Array:
    array = np.array(values, dtype=np.float64, ndmin=1)
    if not np.all(np.isfinite(array)):
        place = int(np.flatnonzero(~np.isfinite(array))[0])
        message = f"The {words} number {place + 1} is not a finite number; give numbers only."
        raise InputError(message)
    return array


def _beside(drops: Array, terms: Terms) -> Array:
    """Return the flow through bleed and leak."""
    flows = terms.leak * drops
    if terms.bleed_k < inf:
        root = np.sqrt(terms.bleed_l**2 + 4.0 * terms.bleed_k * np.abs(drops))
        flows = flows + 2.0 * drops / (terms.bleed_l + root)
    return flows


def _shut(flows: Array, terms: Terms) -> Array:
    """Return the drops at flows ≥ 0 with the disc shut; infinite without bleed and leak."""
    if terms.bleed_k == inf:
        closed = np.where(flows > 0.0, inf, 0.0)
        return flows / terms.leak if terms.leak > 0.0 else closed
    viscous, inertial = 1.0 + terms.leak * terms.bleed_l, terms.leak * terms.bleed_k
    bleed = 2.0 * flows / (viscous + np.sqrt(viscous * viscous + 4.0 * inertial * flows))
    return np.asarray((terms.bleed_k * bleed + terms.bleed_l) * bleed)


def _disc(over: Array, valve: Valve, terms: Terms) -> tuple[Array, Array]:
    """Return flow and drop of the disc path, both counted as in `_valve_disc.disc_path`."""
    lift = np.minimum(valve.compliance * over, valve.max_lift)
    load = (valve.crack_pressure + over) * lift * lift
    flow = (
        2.0 * load / (terms.curtain_l + np.sqrt(terms.curtain_l**2 + 4.0 * terms.curtain_k * load))
    )
    return flow, over + (terms.port_k * flow + terms.port_l) * flow


def _root(rising: Callable[[Array], Array], high: Array) -> Array:
    """Return, for each entry, where a rising function passes zero between zero and its bound."""
    low, top = np.zeros_like(high), np.array(high)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + top)
        if np.all((middle <= low) | (middle >= top)):
            break
        above = rising(middle) > 0.0
        low, top = np.where(above, low, middle), np.where(above, middle, top)
    return top
