"""Frequency and damping out of a bounce test: push the body down, let go, measure."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from math import exp, log, pi, sqrt

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_finite,
)

__all__ = ["Decay", "Estimate", "decay", "ratio_from_decrement", "ratio_from_overshoot"]

FEWEST = 2


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its standard uncertainty.

    Attributes
    ----------
    value : float
        best estimate, in the unit of the quantity [-].
    uncertainty : float
        one standard uncertainty, in the same unit [-].
    """

    value: float
    uncertainty: float


@dataclass(frozen=True, slots=True)
class Decay:
    """What a row of peaks says about the body.

    Attributes
    ----------
    decrement : Estimate
        δ, logarithmic decrement of a full cycle.
    damping_ratio : Estimate
        ζ.
    damped_frequency : Estimate
        f_d, as it swings, in Hz.
    natural_frequency : Estimate
        f_n, as it would swing undamped, in Hz.
    scatter : float
        root mean square distance of the peaks from the fitted decay [m]; zero for
        two peaks. Well above the reading uncertainty, the body doesn't decay by one
        damping ratio: friction, or different rebound and compression.
    """

    decrement: Estimate
    damping_ratio: Estimate
    damped_frequency: Estimate
    natural_frequency: Estimate
    scatter: float


def decay(
    *,
    times: tuple[float, ...],
    peaks: tuple[float, ...],
    reading_uncertainty: float,
    time_uncertainty: float = 0.0,
    half_cycles: bool = False,
) -> Decay:
    """Return frequency and damping ratio from successive peaks of a free decay.

    ln x_i = a − δ i (least squares, weights x_i²),   ζ = δ/√(4π² + δ²),
    t_i = t_0 + i T_d (least squares),   f_n = f_d/√(1 − ζ²)

    Later peaks are smaller, so the same reading error weighs more there: each counts
    with the square of its height.

    Parameters
    ----------
    times : tuple of float
        when the peaks were [s], rising from the first, at least two.
    peaks : tuple of float
        heights above or below the rest position, without sign [m], > 0, as many.
    reading_uncertainty : float
        u_x, standard uncertainty of one height [m], ≥ 0.
    time_uncertainty : float
        u_t, standard uncertainty of one time [s], ≥ 0.
    half_cycles : bool
        True if peaks of both sides are listed, False if those of one side.

    Returns
    -------
    Decay
        Decrement, damping ratio, frequencies, each with its uncertainty, and scatter.

    Raises
    ------
    OutOfRangeError
        If a number is outside its range.
    ConflictError
        If there are fewer than two peaks, unequal lists, or times that don't rise.

    Notes
    -----
    Limits: linear spring and damper. A real damper with ζ of 0.2 to 0.4 leaves one
    or two peaks to read; tyres and bushes swing along. First-order propagation of
    independent errors. Never put a hand or foot under the moving vehicle.

    References
    ----------
    book: S. S. Rao, Mechanical Vibrations, logarithmic decrement (section: value from
        memory).
    standard: JCGM 100 (GUM), section 5, law of propagation of uncertainty.
    derivation: least squares of a straight line with weights 1/u².

    Examples
    --------
    Each peak half of the one before, one second apart: δ = ln 2.

    >>> found = decay(times=(0.0, 1.0, 2.0), peaks=(0.08, 0.04, 0.02), reading_uncertainty=0.0)
    >>> round(found.decrement.value, 6)
    0.693147
    """
    if len(times) != len(peaks) or len(peaks) < FEWEST:
        message = "Give at least two peaks, and a time for each."
        raise ConflictError(message, inputs=("times", "peaks"))
    for time, peak in zip(times, peaks, strict=True):
        require_finite(time, "Time of a peak", "s")
        require_above(0.0, peak, "Height of a peak", "m", "Without sign, from rest position.")
    if any(late <= early for early, late in itertools.pairwise(times)):
        message = "The times of the peaks must rise. Check their order."
        raise ConflictError(message, inputs=("times",))
    require_at_least(0.0, reading_uncertainty, "Uncertainty of a height", "m")
    require_at_least(0.0, time_uncertainty, "Uncertainty of a time", "s")
    cycle = 2.0 if half_cycles else 1.0
    weights = [peak * peak for peak in peaks]
    height, slope, spread = _line([log(peak) for peak in peaks], weights)
    decrement = Estimate(-cycle * slope, cycle * reading_uncertainty * spread)
    ratio = ratio_from_decrement(
        decrement=decrement.value, decrement_uncertainty=decrement.uncertainty
    )
    _, period, period_spread = _line(times, [1.0] * len(times))
    frequency = 1.0 / (cycle * period)
    relative = time_uncertainty * period_spread / period
    zeta = ratio.value
    natural = frequency / sqrt(1.0 - zeta * zeta)
    of_ratio = zeta * ratio.uncertainty / (1.0 - zeta * zeta)
    residues = [peak - exp(height + slope * i) for i, peak in enumerate(peaks)]
    free = len(peaks) - 2
    return Decay(
        decrement=decrement,
        damping_ratio=ratio,
        damped_frequency=Estimate(frequency, frequency * relative),
        natural_frequency=Estimate(natural, natural * sqrt(relative**2 + of_ratio**2)),
        scatter=sqrt(sum(r * r for r in residues) / free) if free else 0.0,
    )


def ratio_from_decrement(*, decrement: float, decrement_uncertainty: float = 0.0) -> Estimate:
    """Return the damping ratio for a logarithmic decrement.

    ζ = δ/√(4π² + δ²),   dζ/dδ = 4π²/(4π² + δ²)^(3/2)

    Parameters
    ----------
    decrement : float
        δ, of a full cycle; negative: the swing grows [1], any finite value.
    decrement_uncertainty : float
        standard uncertainty of δ [1], ≥ 0.

    Returns
    -------
    Estimate
        ζ with its uncertainty.

    Raises
    ------
    OutOfRangeError
        If a number is outside its range.

    Notes
    -----
    Limits: linear spring and damper.

    References
    ----------
    book: S. S. Rao, Mechanical Vibrations, logarithmic decrement (section: value from
        memory).

    Examples
    --------
    By hand: 2π/√(4π² + 4π²) = 0.707 107.

    >>> round(ratio_from_decrement(decrement=6.283185307).value, 6)
    0.707107
    """
    require_finite(decrement, "Logarithmic decrement", "")
    require_at_least(0.0, decrement_uncertainty, "Uncertainty of the decrement", "")
    around = 4.0 * pi * pi
    root = sqrt(around + decrement**2)
    return Estimate(decrement / root, around / root**3 * decrement_uncertainty)


def ratio_from_overshoot(
    *, first: float, second: float, reading_uncertainty: float = 0.0
) -> Estimate:
    """Return the damping ratio from one overshoot: how far the body swings past its rest.

    r = x₂/x₁,   ζ = −ln r/√(π² + ln² r)

    For a well damped body, which leaves no second peak on the same side.

    Parameters
    ----------
    first : float
        x₁, release from this far off the rest position [m], > 0.
    second : float
        x₂, overshoot on the other side [m], > 0 and below first.
    reading_uncertainty : float
        standard uncertainty of each [m], ≥ 0.

    Returns
    -------
    Estimate
        ζ with its uncertainty.

    Raises
    ------
    OutOfRangeError
        If a number is outside its range.
    ConflictError
        If the overshoot is not smaller than the release.

    Notes
    -----
    Limits: linear spring and damper, release from rest. One overshoot sees one
    direction of the damper: pushed down and let go, that is rebound.

    References
    ----------
    book: S. S. Rao, Mechanical Vibrations, underdamped free vibration (section: value
        from memory).
    standard: JCGM 100 (GUM), section 5, law of propagation of uncertainty.

    Examples
    --------
    By hand: r = e^(−π) gives ζ = π/√(2π²) = 0.707 107.

    >>> round(ratio_from_overshoot(first=1.0, second=0.0432139183).value, 6)
    0.707107
    """
    require_above(0.0, first, "Release", "m", "Distance from the rest position.")
    require_above(0.0, second, "Overshoot", "m", "Without overshoot ζ is near 1 or above.")
    require_at_least(0.0, reading_uncertainty, "Uncertainty of a height", "m")
    if second >= first:
        message = (
            f"The overshoot ({second:g} m) must be smaller than the release ({first:g} m). "
            "Have the two been exchanged?"
        )
        raise ConflictError(message, inputs=("first", "second"))
    half = log(first / second)
    of_half = reading_uncertainty * sqrt(1.0 / first**2 + 1.0 / second**2)
    return ratio_from_decrement(decrement=2.0 * half, decrement_uncertainty=2.0 * of_half)


def _line(
    values: list[float] | tuple[float, ...], weights: list[float]
) -> tuple[float, float, float]:
    """Fit value = a + b i; return a, b and the spread 1/√Σ w (i − ī)² of b for unit errors."""
    total = sum(weights)
    middle = sum(w * i for i, w in enumerate(weights)) / total
    mean = sum(w * y for w, y in zip(weights, values, strict=True)) / total
    moment = sum(w * (i - middle) ** 2 for i, w in enumerate(weights))
    slope = (
        sum(
            w * (i - middle) * (y - mean)
            for i, (w, y) in enumerate(zip(weights, values, strict=True))
        )
        / moment
    )
    return mean - slope * middle, slope, 1.0 / sqrt(moment)
