"""One mass on one spring and one damper over time: how it comes back, and when it is at rest.

Time scales only with the natural frequency; the shape depends on the damping ratio alone.
Below 1 the mass swings past its rest position, from 1 on it creeps back.
"""

from __future__ import annotations

from math import floor, log, pi
from typing import TYPE_CHECKING

from calculators.errors import (
    require_above,
    require_at_least,
    require_between,
)
from calculators.physics._swing import (
    RATIO,
    release,
    require_frequency,
    require_ratio,
    require_swinging,
    sine_of_damping,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["release_response", "settling_time", "settling_time_envelope", "step_response"]


def release_response(
    *, natural_frequency: float, damping_ratio: float, times: Sequence[float]
) -> tuple[float, ...]:
    """Return the travel of a mass held at 1 and let go from rest.

    x(t) = e^(−ζτ) (cos sτ + (ζ/s) sin sτ), τ = ω_n t, s = √(1 − ζ²)

    From ζ = 1 on, s is imaginary and the same formula reads with cosh and sinh;
    at ζ = 1 it is (1 + τ) e^(−τ). Close to ζ = 1 a power series in s²τ² joins
    both sides without a step.

    Parameters
    ----------
    natural_frequency : float
        f_n, frequency without damping [Hz], > 0.
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0.
    times : sequence of float
        t, instants after the release [s], each ≥ 0, in any order.

    Returns
    -------
    tuple of float
        x, travel over the starting travel, one for each instant [1], −1 to 1.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: one mass, straight-line spring, force proportional to velocity.

    References
    ----------
    derivation: m x″ + c x′ + k x = 0 with x(0) = 1, x′(0) = 0.
    book: S. S. Rao, Mechanical Vibrations, ch. 2 (chapter: value from memory).

    Examples
    --------
    By hand, ζ = 1 and ω_n t = 2: 3 e^(−2).

    >>> from math import pi
    >>> x = release_response(natural_frequency=1.0 / pi, damping_ratio=1.0, times=(0.0, 1.0))
    >>> [round(value, 6) for value in x]
    [1.0, 0.406006]
    """
    require_frequency(natural_frequency)
    require_ratio(damping_ratio)
    omega = 2.0 * pi * natural_frequency
    for time in times:
        require_at_least(0.0, time, "Time", "s", "Count from the release.")
    return tuple(release(omega * time, damping_ratio) for time in times)


def step_response(
    *, natural_frequency: float, damping_ratio: float, times: Sequence[float]
) -> tuple[float, ...]:
    """Return the travel of a mass at rest whose rest position steps from 0 to 1.

    y(t) = 1 − x(t), x(t) from `release_response`

    Parameters
    ----------
    natural_frequency : float
        f_n, frequency without damping [Hz], > 0.
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0.
    times : sequence of float
        t, instants after the step [s], each ≥ 0, in any order.

    Returns
    -------
    tuple of float
        y, travel over the height of the step, one for each instant [1], 0 to 2.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a force step on the body. A step of the road also drives the damper,
    and the body then moves ahead of this curve.

    References
    ----------
    derivation: both obey one linear equation; their sum rests at 1.
    book: K. Ogata, Modern Control Engineering, second-order systems (section:
        value from memory).

    Examples
    --------
    By hand, ζ = 0 and half a period: 1 − cos π.

    >>> step_response(natural_frequency=1.0, damping_ratio=0.0, times=(0.5,))
    (2.0,)
    """
    released = release_response(
        natural_frequency=natural_frequency, damping_ratio=damping_ratio, times=times
    )
    return tuple(1.0 - value for value in released)


def settling_time(*, natural_frequency: float, damping_ratio: float, band: float = 0.02) -> float:
    """Return the instant after which the motion stays inside a band for good.

    t_s = the last t with |x(t)| = band, x(t) from `release_response`

    This is the true last crossing, not the envelope. It jumps where one more
    swing begins to fit into the band: more damping may shorten it suddenly.

    Parameters
    ----------
    natural_frequency : float
        f_n, frequency without damping [Hz], > 0.
    damping_ratio : float
        ζ, share of critical damping [1], > 0 to 1 000.
    band : float
        Half width of the band as a share of the step [1], 1e-9 to 0.999. The
        usual 2 % is 0.02.

    Returns
    -------
    float
        t_s, settling time [s], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range; without damping it never settles.

    Notes
    -----
    Limits: one mass, force proportional to velocity; real friction stops the
    motion earlier.

    References
    ----------
    derivation: the extremes lie at t_j = j π / ω_d with height e^(−jπζ/s); after the
        last one at or above the band, one crossing is left and bisected.
    library: control.step_info uses the same definition, on sampled points.

    Examples
    --------
    By hand, ζ = 1 and ω_n = 1 rad/s: (1 + t) e^(−t) = 0.02 at t = 5.8339.

    >>> from math import pi
    >>> round(settling_time(natural_frequency=0.5 / pi, damping_ratio=1.0), 4)
    5.8339
    """
    require_frequency(natural_frequency)
    _require_settling(damping_ratio)
    _require_band(band)
    swing = sine_of_damping(damping_ratio)
    if swing > 0.0:
        extreme = floor(-log(band) * swing / (pi * damping_ratio))
        low, high = extreme * pi / swing, (extreme + 1) * pi / swing
    else:
        low, high = 0.0, 1.0
        while release(high, damping_ratio) > band:
            high *= 2.0
    tau = _last_crossing(low, high, damping_ratio, band)
    return tau / (2.0 * pi * natural_frequency)


def settling_time_envelope(
    *, natural_frequency: float, damping_ratio: float, band: float = 0.02
) -> float:
    """Return the instant at which the decaying envelope enters a band.

    t_e = −ln(band √(1 − ζ²)) / (ζ ω_n)

    It is never earlier than the true settling time, and smooth in ζ: better for
    comparing designs. For small ζ and 2 % it is close to 4 / (ζ ω_n).

    Parameters
    ----------
    natural_frequency : float
        f_n, frequency without damping [Hz], > 0.
    damping_ratio : float
        ζ, share of critical damping [1], > 0 and < 1.
    band : float
        Half width of the band as a share of the step [1], 1e-9 to 0.999.

    Returns
    -------
    float
        t_e, time at which the envelope equals the band [s], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range; from ζ = 1 on nothing swings and there
        is no envelope.

    Notes
    -----
    Limits: grows without bound as ζ nears 1, where it says nothing any more; use
    `settling_time` there.

    References
    ----------
    derivation: |x(t)| ≤ e^(−ζ ω_n t) / √(1 − ζ²).
    book: N. S. Nise, Control Systems Engineering, ch. 4 (chapter: value from memory).

    Examples
    --------
    By hand, ζ = 0.6, ω_n = 1 rad/s: −ln(0.02 · 0.8) / 0.6 = 4.135167 / 0.6.

    >>> from math import pi
    >>> round(settling_time_envelope(natural_frequency=0.5 / pi, damping_ratio=0.6), 4)
    6.8919
    """
    require_frequency(natural_frequency)
    _require_settling(damping_ratio)
    require_swinging(damping_ratio)
    _require_band(band)
    omega = 2.0 * pi * natural_frequency
    return -log(band * sine_of_damping(damping_ratio)) / (damping_ratio * omega)


def _last_crossing(low: float, high: float, ratio: float, band: float) -> float:
    """Bisect |x| = band between an extreme outside the band and the next one inside."""
    while True:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            return high
        same_side = release(middle, ratio) * (1.0 if release(low, ratio) > 0.0 else -1.0)
        if same_side > band:
            low = middle
        else:
            high = middle


def _require_settling(ratio: float) -> None:
    require_above(0.0, ratio, RATIO, "", "Without damping the motion never settles.")
    require_between(0.0, 1_000.0, ratio, RATIO, "", "Far above any vehicle's.")


def _require_band(band: float) -> None:
    require_between(1e-9, 0.999, band, "Settling band", "", "The usual 2 % is 0.02.")
