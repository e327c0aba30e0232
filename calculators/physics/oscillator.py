"""One mass on one spring and one damper: how it swings and how it settles.

Frequency and time scale only with the natural frequency; the shape depends on
the damping ratio alone. Below 1 the mass swings past its rest position, from 1
on it creeps back.
"""

from __future__ import annotations

from math import cos, exp, floor, log, pi, sin, sqrt
from typing import TYPE_CHECKING

from calculators.errors import (
    OutOfRangeError,
    require_above,
    require_at_least,
    require_between,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "critical_damping",
    "damped_frequency",
    "damping_for_ratio",
    "damping_ratio",
    "logarithmic_decrement",
    "natural_frequency",
    "overshoot",
    "release_response",
    "settling_time",
    "settling_time_envelope",
    "step_response",
]

_RATIO = "Damping ratio"
_SERIES_BELOW = 1e-2  # |1 − ζ²| τ² under which power series replace cos and cosh


def natural_frequency(*, stiffness: float, mass: float) -> float:
    """Return the frequency of the free motion without damping.

    f_n = √(k / m) / 2π

    With the wheel rate it is the body frequency on a rigid tyre, with the ride
    rate the one on the real tyre: say which.

    Parameters
    ----------
    stiffness : float
        k, spring rate that carries the mass [N/m], > 0.
    mass : float
        m, moving mass [kg], > 0.

    Returns
    -------
    float
        f_n, natural frequency [Hz], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: one mass, straight-line spring.

    References
    ----------
    derivation: m s² + k = 0 gives s = ± i √(k/m).
    book: D. J. Inman, Engineering Vibration, ch. 1 (chapter: value from memory).

    Examples
    --------
    By hand: √(25 000 / 250) = 10 rad/s; 10 / 2π.

    >>> round(natural_frequency(stiffness=25_000.0, mass=250.0), 6)
    1.591549
    """
    require_above(0.0, stiffness, "Spring rate", "N/m", "Wheel rate or ride rate.")
    require_above(0.0, mass, "Mass", "kg", "The mass that this spring carries.")
    return sqrt(stiffness / mass) / (2.0 * pi)


def critical_damping(*, wheel_rate: float, sprung_mass: float) -> float:
    """Return the smallest damping at which the body settles without oscillating.

    c_cr = 2 √(k_w m_s)

    With less, the body swings past its rest position; with more, it only comes
    back later. It is the yardstick of all others: damping ratio ζ = c / c_cr.

    Parameters
    ----------
    wheel_rate : float
        k_w, spring rate measured at the wheel [N/m], > 0.
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.

    Returns
    -------
    float
        c_cr, damping coefficient at the wheel [N·s/m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: one mass, straight-line spring, force proportional to velocity, rigid
    tyre, no bush. For the coefficient at the damper divide by the motion ratio
    squared (damper travel / wheel travel).

    References
    ----------
    derivation: m s² + c s + k = 0 has equal roots when c² = 4 k m.
    book: S. S. Rao, Mechanical Vibrations, ch. 2 (chapter: value from memory).

    Examples
    --------
    By hand: 2 √(25 000 · 360) = 2 · 3 000.

    >>> critical_damping(wheel_rate=25_000.0, sprung_mass=360.0)
    6000.0
    """
    require_above(0.0, wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
    require_above(0.0, sprung_mass, "Sprung mass", "kg", "Leave out wheel, hub and axle.")
    return 2.0 * sqrt(wheel_rate * sprung_mass)


def damping_ratio(*, wheel_damping: float, wheel_rate: float, sprung_mass: float) -> float:
    """Return the damping as a share of critical damping.

    ζ = c_w / (2 √(k_w m_s))

    The same damper gives less when the vehicle is loaded on a coil spring: the
    mass under the root grows, the coefficient does not.

    Parameters
    ----------
    wheel_damping : float
        c_w, damping coefficient at the wheel [N·s/m], ≥ 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.

    Returns
    -------
    float
        ζ, damping ratio [1], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `critical_damping`.

    References
    ----------
    derivation: definition, the coefficient over the critical one.

    Examples
    --------
    By hand: 1 500 / 6 000.

    >>> damping_ratio(wheel_damping=1_500.0, wheel_rate=25_000.0, sprung_mass=360.0)
    0.25
    """
    require_at_least(0.0, wheel_damping, "Damping at the wheel", "N·s/m")
    return wheel_damping / critical_damping(wheel_rate=wheel_rate, sprung_mass=sprung_mass)


def damping_for_ratio(*, damping_ratio: float, wheel_rate: float, sprung_mass: float) -> float:
    """Return the coefficient at the wheel that gives a wanted damping ratio.

    c_w = 2 ζ √(k_w m_s)

    Parameters
    ----------
    damping_ratio : float
        ζ, wanted share of critical damping [1], ≥ 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.

    Returns
    -------
    float
        c_w, damping coefficient at the wheel [N·s/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `critical_damping`.

    References
    ----------
    derivation: the inverse of ζ = c_w / c_cr.

    Examples
    --------
    By hand: 0.25 · 6 000.

    >>> damping_for_ratio(damping_ratio=0.25, wheel_rate=25_000.0, sprung_mass=360.0)
    1500.0
    """
    _require_ratio(damping_ratio)
    return damping_ratio * critical_damping(wheel_rate=wheel_rate, sprung_mass=sprung_mass)


def damped_frequency(*, natural_frequency: float, damping_ratio: float) -> float:
    """Return the frequency at which the damped mass really swings.

    f_d = f_n √(1 − ζ²), and 0 from ζ = 1 on

    Parameters
    ----------
    natural_frequency : float
        f_n, frequency without damping [Hz], > 0.
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0.

    Returns
    -------
    float
        f_d, damped frequency [Hz], ≥ 0; zero says that nothing swings.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: force proportional to velocity.

    References
    ----------
    derivation: imaginary part of the roots of s² + 2 ζ ω_n s + ω_n² = 0; both roots
        are real from ζ = 1 on.
    book: D. J. Inman, Engineering Vibration, ch. 1 (chapter: value from memory).

    Examples
    --------
    By hand: √(1 − 0.6²) = 0.8.

    >>> damped_frequency(natural_frequency=2.0, damping_ratio=0.6)
    1.6
    """
    _require_frequency(natural_frequency)
    _require_ratio(damping_ratio)
    return natural_frequency * _sine_of_damping(damping_ratio)


def overshoot(*, damping_ratio: float) -> float:
    """Return how far the mass swings past its rest position, as a share of the step.

    x_max − 1 = exp(−π ζ / √(1 − ζ²)), and 0 from ζ = 1 on

    Parameters
    ----------
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0.

    Returns
    -------
    float
        First overshoot over the height of the step [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If the ratio is negative or not a finite number.

    Notes
    -----
    Limits: release from rest, or a step of the rest position; force proportional
    to velocity.

    References
    ----------
    derivation: the response at its first extreme, t = π / ω_d.
    book: K. Ogata, Modern Control Engineering, second-order systems (section:
        value from memory).

    Examples
    --------
    By hand, ζ = 0.6: exp(−π · 0.75).

    >>> round(overshoot(damping_ratio=0.6), 6)
    0.09478
    """
    _require_ratio(damping_ratio)
    swing = _sine_of_damping(damping_ratio)
    return exp(-pi * damping_ratio / swing) if swing > 0.0 else 0.0


def logarithmic_decrement(*, damping_ratio: float) -> float:
    """Return the natural logarithm of the ratio of two successive peaks.

    δ = 2 π ζ / √(1 − ζ²)

    Read backwards it gives the damping ratio from a decaying trace.

    Parameters
    ----------
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0 and < 1.

    Returns
    -------
    float
        δ, logarithmic decrement over one full cycle [1], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the ratio is negative, or 1 or more: then there is no second peak.

    Notes
    -----
    Limits: force proportional to velocity; dry friction makes the peaks fall on
    a straight line instead.

    References
    ----------
    derivation: the envelope exp(−ζ ω_n t) over one period 2π / ω_d.
    book: D. J. Inman, Engineering Vibration, ch. 1 (chapter: value from memory).

    Examples
    --------
    By hand, ζ = 0.6: 2π · 0.75.

    >>> round(logarithmic_decrement(damping_ratio=0.6), 6)
    4.712389
    """
    _require_swinging(damping_ratio)
    return 2.0 * pi * damping_ratio / _sine_of_damping(damping_ratio)


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
    _require_frequency(natural_frequency)
    _require_ratio(damping_ratio)
    omega = 2.0 * pi * natural_frequency
    for time in times:
        require_at_least(0.0, time, "Time", "s", "Count from the release.")
    return tuple(_release(omega * time, damping_ratio) for time in times)


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
    _require_frequency(natural_frequency)
    _require_settling(damping_ratio)
    _require_band(band)
    swing = _sine_of_damping(damping_ratio)
    if swing > 0.0:
        extreme = floor(-log(band) * swing / (pi * damping_ratio))
        low, high = extreme * pi / swing, (extreme + 1) * pi / swing
    else:
        low, high = 0.0, 1.0
        while _release(high, damping_ratio) > band:
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
    _require_frequency(natural_frequency)
    _require_settling(damping_ratio)
    _require_swinging(damping_ratio)
    _require_band(band)
    omega = 2.0 * pi * natural_frequency
    return -log(band * _sine_of_damping(damping_ratio)) / (damping_ratio * omega)


def _sine_of_damping(ratio: float) -> float:
    """Return √(1 − ζ²), zero from ζ = 1 on; the product keeps its digits near 1."""
    return sqrt((1.0 - ratio) * (1.0 + ratio)) if ratio < 1.0 else 0.0


def _release(tau: float, ratio: float) -> float:
    """Return x at τ = ω_n t for a release from 1 at rest."""
    square = (1.0 - ratio) * (1.0 + ratio)
    q = square * tau * tau
    if abs(q) < _SERIES_BELOW:
        cosine = 1.0 - q / 2.0 * (1.0 - q / 12.0 * (1.0 - q / 30.0 * (1.0 - q / 56.0)))
        sine = 1.0 - q / 6.0 * (1.0 - q / 20.0 * (1.0 - q / 42.0 * (1.0 - q / 72.0)))
        return exp(-ratio * tau) * (cosine + ratio * tau * sine)
    if square > 0.0:
        s = sqrt(square)
        return exp(-ratio * tau) * (cos(s * tau) + ratio / s * sin(s * tau))
    s = sqrt(-square)
    fast = ratio + s
    slow = 1.0 / fast  # ζ − s without losing digits
    return (fast * exp(-slow * tau) - slow * exp(-fast * tau)) / (2.0 * s)


def _last_crossing(low: float, high: float, ratio: float, band: float) -> float:
    """Bisect |x| = band between an extreme outside the band and the next one inside."""
    while True:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            return high
        same_side = _release(middle, ratio) * (1.0 if _release(low, ratio) > 0.0 else -1.0)
        if same_side > band:
            low = middle
        else:
            high = middle


def _require_frequency(frequency: float) -> None:
    require_above(0.0, frequency, "Natural frequency", "Hz", "From spring rate and mass.")


def _require_ratio(ratio: float) -> None:
    require_at_least(0.0, ratio, _RATIO, "", "The share of critical damping.")


def _require_settling(ratio: float) -> None:
    require_above(0.0, ratio, _RATIO, "", "Without damping the motion never settles.")
    require_between(0.0, 1_000.0, ratio, _RATIO, "", "Far above any vehicle's.")


def _require_swinging(ratio: float) -> None:
    _require_ratio(ratio)
    if ratio >= 1.0:
        advice = "It must be below 1: from there on nothing swings."
        raise OutOfRangeError(_RATIO, ratio, "", minimum=0.0, maximum=1.0, advice=advice)


def _require_band(band: float) -> None:
    require_between(1e-9, 0.999, band, "Settling band", "", "The usual 2 % is 0.02.")
