"""A few ordinary differential equations in time, with steps that fit the required accuracy.

Bogacki and Shampine's pair of orders 3 and 2 (Applied Mathematics Letters 2, 1989,
321-325): three evaluations a step, the last serves the next step, and the difference
of the two orders tells the error.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["Trace", "integrate"]

State = tuple[float, ...]
_ROOM = 0.1  # 1, share of the tolerance below which twice the step fits, 2³ with some spare


class Trace(NamedTuple):
    """Times, states and their rates at the ends of all steps."""

    times: list[float]
    states: list[State]
    rates: list[State]


def integrate(
    rate: Callable[[State], State], start: State, duration: float, tolerance: float, most: float
) -> Trace:
    """Return the way of an autonomous system from time zero to the duration.

    The tolerance is the largest error of a step in the unit of the states; no step
    is longer than `most`. Steps are halved and doubled, never fitted to the last digits of
    the error: those are noise that would move all later times.
    """
    trace = Trace([0.0], [start], [rate(start)])
    step = min(most, 1e-3 * duration)
    time = 0.0
    while time < duration:
        step = min(step, most, duration - time)
        state, k1 = trace.states[-1], trace.rates[-1]
        k2 = rate(_moved(state, (0.5 * step, k1)))
        k3 = rate(_moved(state, (0.75 * step, k2)))
        new = _moved(state, (step * 2.0 / 9.0, k1), (step / 3.0, k2), (step * 4.0 / 9.0, k3))
        k4 = rate(new)
        error = max(
            abs(step * (-5.0 * a / 72.0 + b / 12.0 + c / 9.0 - d / 8.0))
            for a, b, c, d in zip(k1, k2, k3, k4, strict=True)
        )
        if error <= tolerance:
            time = duration if duration - time <= step else time + step
            trace.times.append(time)
            trace.states.append(new)
            trace.rates.append(k4)
        if error > tolerance:
            step *= 0.5
        elif error <= _ROOM * tolerance:
            step *= 2.0
    return trace


def _moved(state: State, *parts: tuple[float, State]) -> State:
    return tuple(
        value + sum(factor * rates[i] for factor, rates in parts) for i, value in enumerate(state)
    )
