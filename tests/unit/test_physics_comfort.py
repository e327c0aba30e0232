"""Laws of the weighting: the filter is the transfer function, and refusals."""

from __future__ import annotations

from math import isclose, nan, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import freqz

from calculators.errors import InputError, OutOfRangeError
from calculators.physics.comfort import (
    rms,
    vertical_weighting,
    weighted_acceleration,
    weighted_rms,
)


@pytest.mark.parametrize(("interval", "highest"), [(0.001, 63.0), (0.004, 16.0)])
def test_the_filter_is_within_a_hundredth_of_the_weighting(interval: float, highest: float) -> None:
    impulse = [1.0 / interval] + [0.0] * round(8.0 / interval)
    response = np.array(weighted_acceleration(acceleration=impulse, interval=interval)) * interval
    frequencies = [f for f in (0.5, 1.0, 2.0, 4.0, 8.0, 10.0, 16.0, 31.5, 63.0) if f <= highest]
    _, gains = freqz(response, worN=frequencies, fs=1.0 / interval)
    for frequency, gain in zip(frequencies, gains, strict=True):
        assert isclose(abs(gain), vertical_weighting(frequency=frequency), rel_tol=0.01)


def test_a_long_sine_is_felt_by_its_weight() -> None:
    wave = [sin(2.0 * pi * 5.0 * 0.002 * i) for i in range(3000)]
    felt = weighted_acceleration(acceleration=wave, interval=0.002)
    last = felt[-1000:]  # ten whole waves
    wanted = vertical_weighting(frequency=5.0) / 2.0**0.5
    assert isclose(rms(values=last), wanted, rel_tol=2e-3)


@settings(max_examples=20)
@given(st.floats(-50.0, 50.0), st.lists(st.floats(-20.0, 20.0), min_size=1, max_size=30))
def test_the_filter_is_linear(factor: float, values: list[float]) -> None:
    one = weighted_rms(acceleration=values, interval=0.002)
    more = weighted_rms(acceleration=[factor * value for value in values], interval=0.002)
    assert isclose(more, abs(factor) * one, rel_tol=1e-9, abs_tol=1e-12)


def test_the_ends_of_the_band_fall_off() -> None:
    at = [vertical_weighting(frequency=10.0**power) for power in (-3, -2, -1)]
    assert isclose(at[1] / at[0], 100.0, rel_tol=1e-3)
    assert at[0] < at[1] < at[2]
    assert vertical_weighting(frequency=1000.0) < 1e-3


@pytest.mark.parametrize("interval", [0.0, -0.001, 0.0041, nan])
def test_an_interval_that_cannot_hold_the_band_is_refused(interval: float) -> None:
    with pytest.raises(OutOfRangeError, match="Interval of the samples"):
        weighted_acceleration(acceleration=[1.0], interval=interval)


def test_a_sample_that_is_no_number_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Acceleration is not a finite number"):
        weighted_acceleration(acceleration=[1.0, nan], interval=0.001)


def test_nothing_has_no_rms() -> None:
    with pytest.raises(InputError, match="no values"):
        weighted_rms(acceleration=[], interval=0.001)
