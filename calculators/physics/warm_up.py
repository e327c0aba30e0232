"""How soon a damper gets hot: oil, body and reservoir over time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import (
    NoSolutionError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)
from calculators.physics._root import find_root
from calculators.physics._runge_kutta import Trace, integrate
from calculators.physics.air import GREATEST_TEMPERATURE, LEAST_TEMPERATURE
from calculators.physics.shell import Shell, Surroundings, shell_loss
from calculators.physics.thermal_damper import body_intake

if TYPE_CHECKING:
    from calculators.physics.thermal_damper import ThermalDamper

__all__ = ["WarmUp", "warm_up"]

TOLERANCE = 0.003  # K, largest error of one step
LONGEST_STEP = 120.0  # s
DAY = 86_400.0  # s


@dataclass(frozen=True, slots=True)
class WarmUp:
    """Temperatures over time.

    Attributes
    ----------
    times : tuple of float
        from the start [s].
    oil : tuple of float
        temperature of the oil [K].
    body : tuple of float
        outside of the body [K].
    reservoir : tuple of float or None
        outside of the reservoir [K].
    time_to_limit : float or None
        when the oil reaches the limit [s]; None if it doesn't within the duration.
    """

    times: tuple[float, ...]
    oil: tuple[float, ...]
    body: tuple[float, ...]
    reservoir: tuple[float, ...] | None
    time_to_limit: float | None


def warm_up(
    *,
    damper: ThermalDamper,
    power: float,
    surroundings: Surroundings,
    start: float,
    duration: float,
    limit: float | None = None,
) -> WarmUp:
    """Return how oil, body and reservoir warm up under a constant power.

    C_oil dT_oil/dt = P − P_body − P_res;   C_body dT_body/dt = P_body − loss;
    C_res dT_res/dt = P_res − loss

    The oil runs ahead, the tube follows, the reservoir comes last. A longer section
    of corrugations than the time to the limit is too long.

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    power : float
        P [W], ≥ 0.
    surroundings : Surroundings
        Air, wind and sun.
    start : float
        T_0, of everything [K], 223.15 to 573.15.
    duration : float
        [s], > 0 to 86400.
    limit : float or None
        temperature that the oil should not pass [K], any; None: none asked for.

    Returns
    -------
    WarmUp
        Temperatures at unequal times, and the time to the limit.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If the oil gets hotter than 300 °C.

    Notes
    -----
    Limits: as `steady_heat`; the power stays as it is, although the hot damper takes
    less (`fade`). Each step is exact to 0.003 K, the whole curve to about 0.01 K.

    References
    ----------
    derivation: energy balance of two or three masses, losses of `shell_loss`.

    Examples
    --------
    >>> from calculators.physics.thermal_damper import ThermalDamper
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> curve = warm_up(
    ...     damper=damper, power=100.0, surroundings=Surroundings(air_temperature=300.0),
    ...     start=300.0, duration=600.0)
    >>> curve.oil[-1] > curve.body[-1] > 300.0
    True
    """
    require_at_least(0.0, power, "Power", "W", "Mean of force × rod speed.")
    require_between(LEAST_TEMPERATURE, GREATEST_TEMPERATURE, start, "Start temperature", "K")
    require_above(0.0, duration, "Duration", "s")
    require_between(0.0, DAY, duration, "Duration", "s", "At most a day.")
    if limit is not None:
        require_finite(limit, "Limit temperature", "K")
    reservoir = damper.reservoir

    def rate(state: tuple[float, ...]) -> tuple[float, ...]:
        oil, body = state[0], state[1]
        if oil > GREATEST_TEMPERATURE:
            message = (
                f"With {power:g} W the oil gets hotter than 300 °C before the time is over; no "
                "damper lives through that. Check the power, or give less time."
            )
            raise NoSolutionError(message)
        to_body = body_intake(damper=damper, oil_temperature=oil, body_temperature=body)
        rates = [power - to_body, _gain(damper.body, body, to_body, surroundings)]
        if reservoir is not None:
            carried = damper.reservoir_conductance * (oil - state[2])
            rates[0] -= carried
            rates.append(_gain(reservoir, state[2], carried, surroundings))
        rates[0] /= damper.oil_heat_capacity
        return tuple(rates)

    first = (start,) * (2 if reservoir is None else 3)
    trace = integrate(rate, first, duration, TOLERANCE, LONGEST_STEP)
    columns = tuple(zip(*trace.states, strict=True))
    return WarmUp(
        times=tuple(trace.times),
        oil=columns[0],
        body=columns[1],
        reservoir=None if reservoir is None else columns[2],
        time_to_limit=None if limit is None else _crossing(trace, limit),
    )


def _gain(shell: Shell, temperature: float, intake: float, surroundings: Surroundings) -> float:
    """Return how fast a shell warms up."""
    lost = shell_loss(shell=shell, temperature=temperature, surroundings=surroundings)
    return (intake - lost.power) / shell.heat_capacity


def _crossing(trace: Trace, limit: float) -> float | None:
    """Return when the oil first reaches a temperature, by the cubic through each step."""
    oil = [state[0] for state in trace.states]
    if oil[0] >= limit:
        return 0.0
    for i, value in enumerate(oil[1:], start=1):
        if value < limit:
            continue
        step = trace.times[i] - trace.times[i - 1]
        rise_0, rise_1 = step * trace.rates[i - 1][0], step * trace.rates[i][0]
        low, high = oil[i - 1], value

        def above(share: float, ends: tuple[float, ...] = (low, high, rise_0, rise_1)) -> float:
            before, after, slope_0, slope_1 = ends
            rest = 1.0 - share
            way = before * rest * rest * (1.0 + 2.0 * share)
            way += after * share * share * (3.0 - 2.0 * share)
            return way + share * rest * (slope_0 * rest - slope_1 * share) - limit

        return trace.times[i - 1] + step * find_root(above, 0.0, 1.0, 1e-12)
    return None
