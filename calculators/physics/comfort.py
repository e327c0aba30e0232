"""How a person feels vertical vibration: the weighting W_k of ISO 2631-1.

Four stages in a row: a high pass and a low pass that limit the band, a transition from
acceleration to velocity, and an upward step. As a function of frequency, and as a digital
filter for a sampled acceleration.
"""

from __future__ import annotations

from math import pi, sqrt, tan
from typing import TYPE_CHECKING

from calculators.errors import InputError, require_above, require_between, require_finite

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["LONGEST_INTERVAL", "rms", "vertical_weighting", "weighted_acceleration", "weighted_rms"]

# ISO 2631-1:1997, annex A, W_k; the same figures stand in ISO 8041 (read in a reprint)
HIGH_PASS = 0.4  # Hz, f₁, Butterworth
LOW_PASS = 100.0  # Hz, f₂, Butterworth
TRANSITION = 12.5  # Hz, f₃ and f₄
TRANSITION_QUALITY = 0.63  # 1, Q₄
STEP_LOW, STEP_LOW_QUALITY = 2.37, 0.91  # Hz and 1, f₅ and Q₅
STEP_HIGH, STEP_HIGH_QUALITY = 3.35, 0.91  # Hz and 1, f₆ and Q₆
LONGEST_INTERVAL = 1.0 / 250.0  # s, the low pass must lie below half of the sampling rate

_Polynomial = tuple[float, float, float]  # of s, rising powers
_BUTTERWORTH = sqrt(0.5)  # 1, quality of the flattest second order


def vertical_weighting(*, frequency: float) -> float:
    """Return how strongly a vertical vibration counts.

    W_k = |H_h H_l H_t H_s|, the stages at s = 2πi f

    Seated or standing people feel 4 to 10 Hz most; that is where wheels hop.

    Parameters
    ----------
    frequency : float
        f, of the vibration [Hz], > 0.

    Returns
    -------
    float
        W_k, factor on the acceleration [1], 0 to 1.06.

    Raises
    ------
    OutOfRangeError
        If the frequency is not above zero.

    Notes
    -----
    Limits: meant for 0.5 to 80 Hz, on the seat or the floor; it says nothing of a load's or
    an instrument's comfort.

    References
    ----------
    standard: ISO 2631-1:1997, annex A, weighting W_k; its parameters as in ISO 8041 (read in a
        reprint).

    Examples
    --------
    Far above the band it falls with the cube of the frequency, so twice is an eighth.

    >>> round(vertical_weighting(frequency=2e5) / vertical_weighting(frequency=1e5), 5)
    0.125
    """
    require_above(0.0, frequency, "Frequency", "Hz")
    s = 2j * pi * frequency
    gain = 1.0
    for top, bottom in _stages(0.0):
        gain *= abs(
            (top[0] + s * (top[1] + s * top[2])) / (bottom[0] + s * (bottom[1] + s * bottom[2]))
        )
    return gain


def weighted_acceleration(*, acceleration: Sequence[float], interval: float) -> tuple[float, ...]:
    """Return a sampled acceleration as it is felt.

    Each stage by the bilinear rule s = (2/T)(1 − z⁻¹)/(1 + z⁻¹), its corner frequencies
    moved so that they land where they belong.

    Parameters
    ----------
    acceleration : sequence of float
        a, vertical, at equal intervals [m/s²], any finite value.
    interval : float
        T, between two samples [s], > 0 to 0.004.

    Returns
    -------
    tuple of float
        a_w, weighted acceleration, one for each sample [m/s²], any finite value.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: starts from silence; the first second is settling. At 1 ms it is within 1 % of
    W_k up to 63 Hz, at 4 ms up to 16 Hz.

    References
    ----------
    standard: ISO 2631-1:1997, annex A, weighting W_k; its parameters as in ISO 8041 (read in a
        reprint).
    book: A. V. Oppenheim and R. W. Schafer, Discrete-Time Signal Processing, bilinear
        transformation (value from memory).

    Examples
    --------
    A constant acceleration fades away.

    >>> felt = weighted_acceleration(acceleration=[1.0] * 5000, interval=0.001)
    >>> abs(felt[-1]) < 1e-3
    True
    """
    require_above(0.0, interval, "Interval of the samples", "s")
    advice = "Sample at 250 Hz or more."
    require_between(0.0, LONGEST_INTERVAL, interval, "Interval of the samples", "s", advice)
    values = list(acceleration)
    for value in values:
        require_finite(value, "Acceleration", "m/s²")
    for top, bottom in _stages(interval):
        values = _filtered(values, top, bottom, 2.0 / interval)
    return tuple(values)


def weighted_rms(*, acceleration: Sequence[float], interval: float) -> float:
    """Return the weighted rms acceleration of a sampled ride.

    a_w = √(mean of the squared weighted acceleration)

    Parameters
    ----------
    acceleration : sequence of float
        a, vertical, at equal intervals [m/s²], any finite value; at least one.
    interval : float
        T, between two samples [s], > 0 to 0.004.

    Returns
    -------
    float
        a_w, rms [m/s²], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    InputError
        If there is no sample.

    Notes
    -----
    Limits: those of `weighted_acceleration`; an rms understates single shocks.

    References
    ----------
    standard: ISO 2631-1:1997, clause 6.1, basic evaluation (clause: value from memory).

    Examples
    --------
    >>> weighted_rms(acceleration=[0.0, 0.0], interval=0.001)
    0.0
    """
    return rms(values=weighted_acceleration(acceleration=acceleration, interval=interval))


def rms(*, values: Sequence[float]) -> float:
    """Return the root of the mean square.

    √(Σ x² / n)

    Parameters
    ----------
    values : sequence of float
        x, in any one unit [-], any finite value; at least one.

    Returns
    -------
    float
        Root mean square, in the unit of the values [-], ≥ 0.

    Raises
    ------
    InputError
        If there is no value.

    Notes
    -----
    Limits: about zero, not about the mean.

    References
    ----------
    derivation: definition.

    Examples
    --------
    By hand: √((9 + 16)/2).

    >>> round(rms(values=[3.0, -4.0]), 6)
    3.535534
    """
    if not values:
        message = "There are no values to take the rms of."
        raise InputError(message, inputs=("values",))
    return sqrt(sum(value * value for value in values) / len(values))


def _stages(interval: float) -> list[tuple[_Polynomial, _Polynomial]]:
    """Return numerator and denominator of each stage; corners moved unless the interval is 0."""

    def corner(frequency: float) -> float:
        if interval == 0.0:
            return 2.0 * pi * frequency
        return 2.0 / interval * tan(pi * frequency * interval)

    def second(frequency: float, quality: float) -> _Polynomial:
        omega = corner(frequency)
        return 1.0, 1.0 / (quality * omega), 1.0 / omega**2

    high = second(HIGH_PASS, _BUTTERWORTH)
    low, high_step = second(STEP_LOW, STEP_LOW_QUALITY), second(STEP_HIGH, STEP_HIGH_QUALITY)
    share = high_step[2] / low[2]  # (ω₅/ω₆)²
    return [
        ((0.0, 0.0, high[2]), high),
        ((1.0, 0.0, 0.0), second(LOW_PASS, _BUTTERWORTH)),
        ((1.0, 1.0 / corner(TRANSITION), 0.0), second(TRANSITION, TRANSITION_QUALITY)),
        ((low[0] * share, low[1] * share, low[2] * share), high_step),
    ]


def _filtered(values: list[float], top: _Polynomial, bottom: _Polynomial, k: float) -> list[float]:
    """Return values behind one stage, s = k (1 − z⁻¹)/(1 + z⁻¹)."""
    b0, b1, b2 = _digital(top, k)
    a0, a1, a2 = _digital(bottom, k)
    b0, b1, b2, a1, a2 = b0 / a0, b1 / a0, b2 / a0, a1 / a0, a2 / a0
    first = second = 0.0
    found = []
    for x in values:
        y = b0 * x + first
        first = b1 * x - a1 * y + second
        second = b2 * x - a2 * y
        found.append(y)
    return found


def _digital(polynomial: _Polynomial, k: float) -> _Polynomial:
    c0, c1, c2 = polynomial
    return c0 + c1 * k + c2 * k * k, 2.0 * (c0 - c2 * k * k), c0 - c1 * k + c2 * k * k
