"""Laws of the linear quarter car: limits, scaling, fixed points, balance of power."""

from __future__ import annotations

from dataclasses import astuple, replace
from math import inf, isclose, nan, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.frequency import (
    LinearCar,
    frequency_marks,
    sine_ride,
    transfer,
)
from calculators.physics.oscillator import natural_frequency
from calculators.physics.random_ride import (
    random_ride,
    random_ride_all_waves,
)

CAR = LinearCar(
    sprung_mass=510.0,
    unsprung_mass=65.0,
    wheel_rate=48_000.0,
    tyre_rate=260_000.0,
    damping=4_200.0,
    motion_ratio=0.75,
)
SOFT = replace(CAR, bush_rate=1e6, tyre_damping=90.0)
FREQUENCIES = st.floats(0.1, 60.0)


@settings(max_examples=30)
@given(st.floats(0.1, 10.0), FREQUENCIES)
def test_everything_heavier_and_stiffer_alike_moves_alike(factor: float, frequency: float) -> None:
    scaled = replace(
        SOFT,
        sprung_mass=factor * SOFT.sprung_mass,
        unsprung_mass=factor * SOFT.unsprung_mass,
        wheel_rate=factor * SOFT.wheel_rate,
        tyre_rate=factor * SOFT.tyre_rate,
        damping=factor * SOFT.damping,
        bush_rate=factor * SOFT.bush_rate,
        tyre_damping=factor * SOFT.tyre_damping,
    )
    one, two = transfer(car=SOFT, frequency=frequency), transfer(car=scaled, frequency=frequency)
    assert abs(two.body - one.body) < 1e-9 * abs(one.body)
    assert abs(two.tyre_force - factor * one.tyre_force) < 1e-6 * abs(two.tyre_force)


@settings(max_examples=30)
@given(FREQUENCIES)
def test_forces_move_the_masses(frequency: float) -> None:
    gain, p = transfer(car=SOFT, frequency=frequency), 2j * pi * frequency
    moved = SOFT.sprung_mass * p**2 * gain.body + SOFT.unsprung_mass * p**2 * gain.wheel
    assert abs(moved - gain.tyre_force) < 1e-9 * abs(moved)


@settings(max_examples=30)
@given(FREQUENCIES)
def test_the_road_works_as_much_as_damper_and_tyre_take(frequency: float) -> None:
    gain, p = transfer(car=SOFT, frequency=frequency), 2j * pi * frequency
    by_road = 0.5 * (gain.tyre_force * p.conjugate()).real
    in_tyre = 0.5 * SOFT.tyre_damping * abs(p * (1.0 - gain.wheel)) ** 2
    in_damper = sine_ride(car=SOFT, frequency=frequency, amplitude=1.0).damper_power
    assert isclose(by_road, in_tyre + in_damper, rel_tol=1e-6)


def test_a_stiff_bush_is_none() -> None:
    stiff = replace(CAR, bush_rate=1e14)
    one, two = (transfer(car=car, frequency=9.0) for car in (CAR, stiff))
    for a, b in zip(astuple(one), astuple(two), strict=True):
        assert abs(a - b) < 1e-6 * abs(a)


def test_a_very_soft_bush_takes_the_damper_away() -> None:
    soft = sine_ride(car=replace(CAR, bush_rate=1.0), frequency=3.0, amplitude=0.01)
    without = sine_ride(car=replace(CAR, damping=0.0), frequency=3.0, amplitude=0.01)
    assert isclose(soft.body, without.body, rel_tol=1e-4)


def test_a_stiff_tyre_leaves_one_mass_on_its_spring() -> None:
    marks = frequency_marks(car=replace(CAR, tyre_rate=1e12))
    alone = natural_frequency(stiffness=CAR.wheel_rate, mass=CAR.sprung_mass)
    assert isclose(marks.body, alone, rel_tol=1e-6)


@settings(max_examples=20)
@given(st.floats(100.0, 20_000.0), st.floats(10_000.0, 100_000.0))
def test_no_setting_of_spring_or_damper_moves_a_fixed_point(damping: float, rate: float) -> None:
    car = replace(CAR, damping=damping, wheel_rate=rate)
    marks = frequency_marks(car=car)
    one = transfer(car=car, frequency=marks.fixed_acceleration)
    two = transfer(car=car, frequency=marks.fixed_travel)
    assert isclose(abs(one.body_acceleration), CAR.tyre_rate / CAR.sprung_mass, rel_tol=1e-6)
    assert isclose(abs(two.travel), 1.0 + CAR.unsprung_mass / CAR.sprung_mass, rel_tol=1e-6)


def test_a_wide_band_comes_near_to_all_waves_from_below() -> None:
    narrow = random_ride(car=CAR, roughness=256e-6, speed=20.0)
    wide = random_ride(car=CAR, roughness=256e-6, speed=20.0, shortest=0.02, longest=2e3)
    every = random_ride_all_waves(car=CAR, roughness=256e-6, speed=20.0)
    for name in ("body_acceleration", "travel", "damper_velocity", "tyre_force"):
        low, mid, high = (getattr(ride, name) for ride in (narrow, wide, every))
        assert low < mid < high
        assert isclose(mid, high, rel_tol=5e-3)


def test_the_felt_acceleration_is_the_smaller_one() -> None:
    ride = random_ride(car=CAR, roughness=256e-6, speed=20.0)
    assert ride.weighted_acceleration is not None
    assert ride.weighted_acceleration < ride.body_acceleration


@settings(max_examples=10)
@given(st.floats(200.0, 20_000.0), st.floats(200.0, 900.0), st.floats(5_000.0, 90_000.0))
def test_the_power_of_all_waves_depends_on_the_tyre_alone(
    damping: float, mass: float, rate: float
) -> None:
    car = replace(CAR, damping=damping, sprung_mass=mass, wheel_rate=rate)
    one = random_ride_all_waves(car=CAR, roughness=256e-6, speed=20.0)
    two = random_ride_all_waves(car=car, roughness=256e-6, speed=20.0)
    assert isclose(one.damper_power, two.damper_power, rel_tol=1e-9)


def test_a_road_at_the_resonance_of_an_undamped_corner_is_refused() -> None:
    car = LinearCar(sprung_mass=1.0, unsprung_mass=1.0, wheel_rate=2.0, tyre_rate=3.0, damping=0.0)
    with pytest.raises(ConflictError, match="grows for ever"):
        transfer(car=car, frequency=1.0 / (2.0 * pi))


@pytest.mark.parametrize("change", [{"damping": 0.0}, {"tyre_damping": 50.0}, {"bush_rate": 1e6}])
def test_the_closed_form_says_when_it_does_not_hold(change: dict[str, float]) -> None:
    with pytest.raises(ConflictError, match="closed form"):
        random_ride_all_waves(car=replace(CAR, **change), roughness=256e-6, speed=20.0)


@pytest.mark.parametrize("change", [{"bush_rate": 0.0}, {"bush_rate": nan}, {"sprung_mass": inf}])
def test_a_corner_that_is_none_is_refused(change: dict[str, float]) -> None:
    with pytest.raises(OutOfRangeError):
        replace(CAR, **change)


def test_an_empty_band_is_refused() -> None:
    with pytest.raises(ConflictError, match="below the longest"):
        random_ride(car=CAR, roughness=1e-4, speed=10.0, shortest=5.0, longest=1.0)
