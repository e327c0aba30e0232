"""Laws of the bounce test."""

from __future__ import annotations

from math import exp, isclose, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.decay import decay, ratio_from_decrement, ratio_from_overshoot
from calculators.physics.oscillator import (
    damped_frequency,
    logarithmic_decrement,
    overshoot,
)
from calculators.physics.settling import (
    release_response,
)

FEW = settings(max_examples=40)
RATIOS = st.floats(0.02, 0.6)
FREQUENCIES = st.floats(0.5, 15.0)


def _peaks(
    ratio: float, natural: float, count: int, half: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    period = half / damped_frequency(natural_frequency=natural, damping_ratio=ratio)
    decrement = half * logarithmic_decrement(damping_ratio=ratio)
    return (
        tuple(0.3 + i * period for i in range(count)),
        tuple(0.08 * exp(-decrement * i) for i in range(count)),
    )


@FEW
@given(ratio=RATIOS, natural=FREQUENCIES, count=st.integers(2, 6), halves=st.booleans())
def test_ratio_and_frequency_come_back_from_their_peaks(
    *, ratio: float, natural: float, count: int, halves: bool
) -> None:
    times, peaks = _peaks(ratio, natural, count, 0.5 if halves else 1.0)
    found = decay(times=times, peaks=peaks, reading_uncertainty=0.0, half_cycles=halves)
    assert isclose(found.damping_ratio.value, ratio, rel_tol=1e-9)
    assert isclose(found.natural_frequency.value, natural, rel_tol=1e-9)
    assert found.natural_frequency.uncertainty == 0.0
    assert found.scatter < 1e-12


@FEW
@given(ratio=RATIOS)
def test_the_ratio_is_the_inverse_of_decrement_and_overshoot(ratio: float) -> None:
    decrement = logarithmic_decrement(damping_ratio=ratio)
    assert isclose(ratio_from_decrement(decrement=decrement).value, ratio, rel_tol=1e-12)
    past = ratio_from_overshoot(first=1.0, second=overshoot(damping_ratio=ratio))
    assert isclose(past.value, ratio, rel_tol=1e-9)


def test_one_overshoot_of_a_simulated_release_gives_its_ratio() -> None:
    half_period = 0.5 / damped_frequency(natural_frequency=1.4, damping_ratio=0.28)
    (low,) = release_response(times=(half_period,), natural_frequency=1.4, damping_ratio=0.28)
    assert isclose(ratio_from_overshoot(first=1.0, second=-low).value, 0.28, rel_tol=1e-9)


@FEW
@given(ratio=st.floats(0.05, 0.4), factor=st.floats(1.5, 10.0))
def test_uncertainty_grows_with_the_reading_and_falls_with_more_peaks(
    ratio: float, factor: float
) -> None:
    times, peaks = _peaks(ratio, 1.4, 4, 1.0)
    fine = decay(times=times, peaks=peaks, reading_uncertainty=1e-5)
    rough = decay(times=times, peaks=peaks, reading_uncertainty=factor * 1e-5)
    few = decay(times=times[:2], peaks=peaks[:2], reading_uncertainty=1e-5)
    assert isclose(
        rough.damping_ratio.uncertainty, factor * fine.damping_ratio.uncertainty, rel_tol=1e-9
    )
    assert fine.damping_ratio.uncertainty < few.damping_ratio.uncertainty


def test_the_stated_uncertainties_are_those_of_many_noisy_readings() -> None:
    """Monte Carlo with a fixed seed: 2 000 readings of the same three peaks."""
    times, peaks = _peaks(0.12, 1.4, 3, 1.0)
    random = np.random.default_rng(7)
    reading, clock = 2e-4, 2e-3
    ratios, frequencies = [], []
    for _ in range(2_000):
        found = decay(
            times=tuple(times + random.normal(0.0, clock, 3)),
            peaks=tuple(peaks + random.normal(0.0, reading, 3)),
            reading_uncertainty=reading,
        )
        ratios.append(found.damping_ratio.value)
        frequencies.append(found.natural_frequency.value)
    stated = decay(times=times, peaks=peaks, reading_uncertainty=reading, time_uncertainty=clock)
    # derivation: a spread out of 2 000 samples is itself known to 1/√4 000 = 1.6 %, three of those
    assert isclose(np.std(ratios), stated.damping_ratio.uncertainty, rel_tol=0.05)
    assert isclose(np.std(frequencies), stated.natural_frequency.uncertainty, rel_tol=0.05)


def test_friction_shows_as_scatter() -> None:
    """Dry friction takes the same from each peak, so no single ratio fits."""
    times = (0.0, 0.7, 1.4, 2.1)
    found = decay(times=times, peaks=(0.08, 0.06, 0.04, 0.02), reading_uncertainty=5e-4)
    assert found.scatter > 2e-3


@FEW
@given(decrement=st.floats(-3.0, 3.0))
def test_a_growing_swing_has_a_negative_ratio(decrement: float) -> None:
    found = ratio_from_decrement(decrement=decrement, decrement_uncertainty=0.1)
    assert (found.value > 0.0) == (decrement > 0.0)
    expected = 0.1 * (2 * pi) ** 2 / sqrt((2 * pi) ** 2 + decrement**2) ** 3
    assert isclose(found.uncertainty, expected)


@pytest.mark.parametrize(
    ("times", "peaks"),
    [((0.0,), (0.1,)), ((0.0, 1.0), (0.1,)), ((1.0, 0.5), (0.1, 0.05)), ((1.0, 1.0), (0.1, 0.05))],
)
def test_lists_that_do_not_fit_are_refused(
    times: tuple[float, ...], peaks: tuple[float, ...]
) -> None:
    with pytest.raises(ConflictError):
        decay(times=times, peaks=peaks, reading_uncertainty=0.0)


def test_peaks_without_height_and_exchanged_readings_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Height of a peak"):
        decay(times=(0.0, 1.0), peaks=(0.1, 0.0), reading_uncertainty=0.0)
    with pytest.raises(ConflictError, match="exchanged"):
        ratio_from_overshoot(first=0.02, second=0.05)
