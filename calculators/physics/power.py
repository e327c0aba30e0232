"""The mean power that a damper turns into heat."""

from __future__ import annotations

from math import cos, exp, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import require_above, require_at_least

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["power_from_random", "power_from_sine", "random_power", "sine_power"]

POINTS = 24  # speeds in a quarter of the cycle
WIDEST = 6.0  # times the rms speed, where a random motion ends for us
RANDOM_POINTS = 240  # speeds of one direction of a random motion


def power_from_sine(*, damping: float, velocity_amplitude: float) -> float:
    """Return the mean power of a linear damper in sinusoidal motion.

    P = ½ c v̂²

    All of it becomes heat. Twice the speed is four times the heat.

    Parameters
    ----------
    damping : float
        c, at the damper, mean of both directions [N·s/m], ≥ 0.
    velocity_amplitude : float
        v̂, largest rod speed [m/s], ≥ 0.

    Returns
    -------
    float
        P [W], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is negative or not a finite number.

    Notes
    -----
    Limits: force proportional to speed; for a bent curve average F · v over the cycle.

    References
    ----------
    derivation: the mean of c v̂² cos² over a cycle.

    Examples
    --------
    By hand: ½ · 2 000 · 0.5².

    >>> power_from_sine(damping=2_000.0, velocity_amplitude=0.5)
    250.0
    """
    require_at_least(0.0, damping, "Damping", "N·s/m", "Force over rod speed.")
    require_at_least(
        0.0, velocity_amplitude, "Largest rod speed", "m/s", "2π × frequency × travel."
    )
    return 0.5 * damping * velocity_amplitude**2


def power_from_random(*, damping: float, velocity_rms: float) -> float:
    """Return the mean power of a linear damper on a random road.

    P = c v_rms²

    Parameters
    ----------
    damping : float
        c, at the damper, mean of both directions [N·s/m], ≥ 0.
    velocity_rms : float
        v_rms, root mean square of the rod speed [m/s], ≥ 0.

    Returns
    -------
    float
        P [W], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is negative or not a finite number.

    Notes
    -----
    Limits: force proportional to speed.

    References
    ----------
    derivation: the mean of c v².

    Examples
    --------
    By hand: 2 000 · 0.3².

    >>> round(power_from_random(damping=2_000.0, velocity_rms=0.3), 9)
    180.0
    """
    require_at_least(0.0, damping, "Damping", "N·s/m", "Force over rod speed.")
    require_at_least(0.0, velocity_rms, "Root mean square of the rod speed", "m/s")
    return damping * velocity_rms**2


def sine_power(*, force: Callable[[float], float], velocity_amplitude: float) -> float:
    """Return the mean power of any damper curve in sinusoidal motion.

    P = (1/T) ∮ F v dt = mean of F(v̂ cos θ) v̂ cos θ

    Parameters
    ----------
    force : callable
        F(v), N from m/s, compression positive; a gas force may be included, it
        takes and gives back the same.
    velocity_amplitude : float
        v̂, largest rod speed [m/s], ≥ 0.

    Returns
    -------
    float
        P [W], ≥ 0 for a damper.

    Raises
    ------
    OutOfRangeError
        If the speed is negative or not a finite number.

    Notes
    -----
    Limits: force depends on speed alone. Exact for straight lines, 0.3 % or better
    for curves with a sharp knee.

    References
    ----------
    derivation: midpoint rule over the cycle.

    Examples
    --------
    By hand: ½ · 2 000 · 0.5².

    >>> round(sine_power(force=lambda v: 2_000.0 * v, velocity_amplitude=0.5), 9)
    250.0
    """
    require_at_least(0.0, velocity_amplitude, "Largest rod speed", "m/s")
    speeds = [velocity_amplitude * cos((i + 0.5) * pi / (2.0 * POINTS)) for i in range(POINTS)]
    return sum((force(v) - force(-v)) * v for v in speeds) / (2.0 * POINTS)


def random_power(*, force: Callable[[float], float], velocity_rms: float) -> float:
    """Return the mean power of any damper curve in random motion.

    P = ∫ F(v) v φ(v/σ) dv/σ, φ the normal distribution

    Fast moments are rare and cost most: a bent curve takes less from them than a straight
    one.

    Parameters
    ----------
    force : callable
        F(v), N from m/s, compression positive; a gas force may be included, it
        takes and gives back the same.
    velocity_rms : float
        σ, root mean square of the rod speed [m/s], > 0.

    Returns
    -------
    float
        P [W], ≥ 0 for a damper.

    Raises
    ------
    OutOfRangeError
        If the speed is not a finite number above zero.

    Notes
    -----
    Limits: force depends on speed alone, speeds are normally distributed, as on a random
    road without skipping. Exact for straight lines, 0.1 % or better for curves with a knee.

    References
    ----------
    derivation: mean of F v over the distribution of v, midpoint rule out to 6 σ.

    Examples
    --------
    By hand: 2 000 · 0.2².

    >>> round(random_power(force=lambda v: 2_000.0 * v, velocity_rms=0.2), 3)
    80.0
    """
    require_above(0.0, velocity_rms, "Rms rod speed", "m/s")
    width = WIDEST / RANDOM_POINTS
    total = 0.0
    for i in range(RANDOM_POINTS):
        times = (i + 0.5) * width
        v = times * velocity_rms
        total += (force(v) - force(-v)) * v * exp(-0.5 * times * times)
    return total * width / sqrt(2.0 * pi)
