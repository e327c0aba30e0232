"""Laws of roads: spectra, shapes, refusals."""

from __future__ import annotations

from itertools import pairwise
from math import inf, isclose, log10, nan, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import welch

from calculators.errors import ConflictError, InputError, OutOfRangeError
from calculators.physics.road import (
    Profile,
    bump,
    corrugation,
    driving_frequency,
    measured_profile,
    road_velocity_amplitude,
)
from calculators.physics.roughness import (
    CLASSES,
    displacement_psd,
    random_profile,
    rms_height,
    roughness_class,
    velocity_psd,
)

ROUGH = random_profile(roughness=256e-6, length=300.0, seed=3)


def _spectrum() -> tuple[np.ndarray, np.ndarray]:
    spacing = 0.05
    places = [spacing * i for i in range(round(600.0 / spacing))]
    heights = np.array(ROUGH.heights(places=places))
    numbers, density = welch(heights, fs=1.0 / spacing, nperseg=2400)
    inside = (numbers > 0.05) & (numbers < 2.2)
    return numbers[inside], density[inside]


def test_a_random_road_has_the_slope_of_the_standard() -> None:
    numbers, density = _spectrum()
    slope, _ = np.polyfit(np.log10(numbers), np.log10(density), 1)
    assert abs(slope + 2.0) < 0.1  # ISO 8608, exponent 2


@pytest.mark.parametrize(("low", "high"), [(0.05, 0.15), (0.15, 0.5), (0.5, 2.2)])
def test_a_random_road_has_the_level_of_the_standard(low: float, high: float) -> None:
    numbers, density = _spectrum()
    band = (numbers > low) & (numbers < high)
    wanted = [displacement_psd(roughness=256e-6, wave_number=float(n)) for n in numbers[band]]
    assert abs(10.0 * log10(np.sum(density[band]) / np.sum(wanted))) < 1.0  # dB


def test_a_seed_is_a_road() -> None:
    again = random_profile(roughness=256e-6, length=300.0, seed=3)
    other = random_profile(roughness=256e-6, length=300.0, seed=4)
    assert again == ROUGH
    assert other.height != ROUGH.height


def test_a_random_road_is_the_sum_of_its_cosines() -> None:
    road = random_profile(roughness=64e-6, length=16.0, seed=9, shortest=2.0, longest=16.0)
    spectrum = np.fft.rfft(road.height[:-1]) / (len(road.height) - 1)
    for k in range(1, 9):
        wanted = displacement_psd(roughness=64e-6, wave_number=k / 16.0) / 16.0
        assert isclose(2.0 * abs(spectrum[k]) ** 2, wanted, rel_tol=1e-9)
    assert np.allclose(spectrum[9:], 0.0, atol=1e-15)


@pytest.mark.parametrize(
    "road",
    [
        pytest.param(ROUGH, id="random"),
        pytest.param(bump(height=0.08, length=1.0, approach=0.5), id="bump"),
        pytest.param(corrugation(wavelength=0.75, amplitude=0.01), id="corrugation"),
    ],
)
def test_slopes_are_those_of_the_heights(road: Profile) -> None:
    tiny = 1e-6
    for place, slope in list(zip(road.distance, road.slope, strict=True))[1:40]:
        before, after = road.heights(places=[place - tiny, place + tiny])
        assert isclose((after - before) / (2.0 * tiny), slope, abs_tol=1e-5)


def test_a_corrugation_follows_the_sine_between_its_points_and_for_ever() -> None:
    road = corrugation(wavelength=0.75, amplitude=0.012)
    places = [0.00917 * i for i in range(2000)]
    for place, height in zip(places, road.heights(places=places), strict=True):
        assert abs(height - 0.012 * sin(2.0 * pi * place / 0.75)) < 1e-6 * 0.012


def test_the_order_of_places_does_not_matter() -> None:
    places = [5.0, 310.0, 1.25, 299.99, 0.0]
    each = [ROUGH.heights(places=[place])[0] for place in places]
    assert ROUGH.heights(places=places) == each


def test_behind_a_bump_the_road_is_level() -> None:
    road = bump(height=0.05, length=1.0, approach=1.0)
    assert road.heights(places=[0.3, 1.0, 2.0, 99.0]) == [0.0, 0.0, 0.0, 0.0]


def test_a_hole_is_a_bump_downwards() -> None:
    up = bump(height=0.05, length=1.0).heights(places=[0.1, 0.4, 0.7])
    down = bump(height=-0.05, length=1.0).heights(places=[0.1, 0.4, 0.7])
    assert down == [-height for height in up]


def test_a_measured_road_is_repeated_if_asked_to() -> None:
    points = [(1.0, 0.0), (2.0, 0.02), (3.0, 0.0)]
    places = [0.0, 1.5, 3.5, 5.25]
    assert measured_profile(points=points).heights(places=places) == [0.0, 0.01, 0.0, 0.0]
    assert measured_profile(points=points, periodic=True).heights(places=places) == [
        0.0,
        0.01,
        0.01,
        0.005,
    ]


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0.0, 0.0), (2.0, 0.0), (1.0, 0.0)], "Row 3 .* 1 m is not further on than 2 m"),
        ([(0.0, 0.0), (0.0, 0.1)], "Row 2 .* not further on"),
        ([(-1.0, 0.0), (0.0, 0.1)], "Row 1 .* not further on than 0 m"),
        ([(0.0, 0.0), (1.0, nan)], "Row 2 .* finite"),
        ([(0.0, 0.0)], "two points"),
    ],
    ids=["backwards", "twice", "before the start", "not a number", "one point"],
)
def test_a_road_that_is_none_is_refused_with_its_row(
    points: list[tuple[float, float]], words: str
) -> None:
    with pytest.raises(InputError, match=words):
        measured_profile(points=points)


def test_classes_join_without_a_gap() -> None:
    limits = [roughness_class(name=name) for name in CLASSES]
    assert limits[0].lower == 0.0
    assert limits[-1].upper == inf
    for one, two in pairwise(limits):
        assert isclose(one.upper, two.lower, rel_tol=1e-12)
        assert isclose(two.mean, 4.0 * one.mean, rel_tol=1e-12)


@pytest.mark.parametrize("name", ["I", "a", "", "AB"])
def test_a_class_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(InputError, match="A to H"):
        roughness_class(name=name)


@settings(max_examples=20)
@given(st.floats(0.5, 50.0), st.floats(0.1, 20.0), st.floats(0.0, 0.1))
def test_road_velocity_is_speed_times_steepest_slope(
    speed: float, wavelength: float, amplitude: float
) -> None:
    peak = road_velocity_amplitude(speed=speed, wavelength=wavelength, amplitude=amplitude)
    road = corrugation(wavelength=wavelength, amplitude=amplitude)
    assert isclose(peak, speed * max(road.slope), rel_tol=1e-12)
    frequency = driving_frequency(speed=speed, wavelength=wavelength)
    assert isclose(peak, 2.0 * pi * frequency * amplitude, rel_tol=1e-12)


@settings(max_examples=20)
@given(st.floats(1e-6, 1e-2), st.floats(1.0, 40.0), st.floats(0.2, 30.0))
def test_velocity_is_height_times_angular_frequency(
    roughness: float, speed: float, frequency: float
) -> None:
    height = displacement_psd(roughness=roughness, wave_number=frequency / speed) / speed
    level = velocity_psd(roughness=roughness, speed=speed)
    assert isclose(level, (2.0 * pi * frequency) ** 2 * height, rel_tol=1e-12)


def test_heights_of_two_bands_add_in_squares() -> None:
    whole = rms_height(roughness=64e-6, shortest=0.5, longest=40.0)
    parts = [
        rms_height(roughness=64e-6, shortest=0.5, longest=3.0),
        rms_height(roughness=64e-6, shortest=3.0, longest=40.0),
    ]
    assert isclose(whole**2, sum(part**2 for part in parts), rel_tol=1e-12)


def test_a_band_must_not_be_empty() -> None:
    with pytest.raises(ConflictError, match="below the longest"):
        rms_height(roughness=64e-6, shortest=5.0, longest=5.0)


def test_a_road_shorter_than_its_longest_wave_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Length of the road"):
        random_profile(roughness=64e-6, length=20.0, seed=1)


def test_a_road_with_too_many_points_is_refused() -> None:
    with pytest.raises(ConflictError, match="Shorten the road"):
        random_profile(roughness=64e-6, length=10_000.0, seed=1)
