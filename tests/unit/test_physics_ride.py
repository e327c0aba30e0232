"""Laws of the drive: the linear limit, balances, contact, stops, refusals."""

from __future__ import annotations

from dataclasses import replace
from math import inf, isclose, nan, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, InputError, NoSolutionError, OutOfRangeError
from calculators.physics.frequency import (
    LinearCar,
    frequency_marks,
    sine_ride,
)
from calculators.physics.quarter_car import (
    DamperCurve,
    QuarterCar,
    Stop,
    linear_curve,
    static_tyre_load,
    time_step,
)
from calculators.physics.random_ride import (
    random_ride,
)
from calculators.physics.ride import Ride, drive
from calculators.physics.road import bump, corrugation
from calculators.physics.roughness import random_profile

CURVE = DamperCurve(
    velocity=(-1.0, -0.5, -0.1, 0.0, 0.1, 0.5, 1.0),
    force=(-3200.0, -2300.0, -900.0, 0.0, 350.0, 900.0, 1400.0),
)
CAR = QuarterCar(
    sprung_mass=510.0,
    unsprung_mass=65.0,
    wheel_rate=48_000.0,
    tyre_rate=260_000.0,
    damper=CURVE,
    motion_ratio=0.75,
)
FULL = replace(
    CAR,
    bush_rate=2e6,
    tyre_damping=80.0,
    friction=300.0,
    bump_stop=Stop(travel=0.06, stiffness=2e5, doubling_depth=0.01),
    droop_stop=Stop(travel=0.07, stiffness=2e5, doubling_depth=0.01),
)
STRAIGHT = replace(CAR, damper=linear_curve(damping=4_200.0), bush_rate=1.5e6, tyre_damping=90.0)
LINEAR = LinearCar(
    sprung_mass=510.0,
    unsprung_mass=65.0,
    wheel_rate=48_000.0,
    tyre_rate=260_000.0,
    damping=4_200.0,
    motion_ratio=0.75,
    bush_rate=1.5e6,
    tyre_damping=90.0,
)
WAVES = corrugation(wavelength=0.75, amplitude=0.012)
SHORT_WAVES = corrugation(wavelength=1.0, amplitude=0.002)


def _short(car: QuarterCar, speed: float = 9.0) -> Ride:
    return drive(car=car, profile=WAVES, speed=speed, duration=0.8, settle=0.4)


@pytest.mark.parametrize("frequency", [1.4, 11.0])
def test_a_straight_damper_gives_the_closed_form(frequency: float) -> None:
    ride = drive(
        car=STRAIGHT, profile=SHORT_WAVES, speed=frequency, duration=5.0 / frequency, settle=4.0
    )
    wanted = sine_ride(car=LINEAR, frequency=frequency, amplitude=0.002)
    load = static_tyre_load(car=CAR)
    root = sqrt(2.0)
    assert isclose(ride.body_acceleration * root, wanted.body_acceleration, rel_tol=2e-3)
    assert isclose(ride.load_coefficient * root * load, wanted.tyre_force, rel_tol=2e-3)
    assert isclose(ride.damper_velocity * root, wanted.damper_velocity, rel_tol=2e-3)
    assert isclose(ride.damper_power, wanted.damper_power, rel_tol=4e-3)
    assert isclose(ride.travel_compression, wanted.travel, rel_tol=5e-3)


def test_a_lap_of_a_random_road_gives_the_closed_form() -> None:
    road = random_profile(roughness=16e-6, length=80.0, seed=2, shortest=0.5, longest=40.0)
    ride = drive(car=STRAIGHT, profile=road, speed=20.0, duration=4.0, settle=2.0)
    wanted = random_ride(car=LINEAR, roughness=16e-6, speed=20.0, shortest=0.5, longest=40.0)
    assert ride.airborne_share == 0.0
    # The road is a sum of lines and the integral is not: 5 % between them.
    assert isclose(ride.damper_velocity, wanted.damper_velocity, rel_tol=0.05)
    assert isclose(ride.body_acceleration, wanted.body_acceleration, rel_tol=0.05)
    assert wanted.weighted_acceleration is not None
    assert isclose(ride.weighted_acceleration, wanted.weighted_acceleration, rel_tol=0.08)


@settings(max_examples=4)
@given(st.floats(0.1, 1.5), st.floats(4.0, 15.0))
def test_a_straight_corner_on_the_ground_scales_with_the_road(factor: float, speed: float) -> None:
    one, two = (
        drive(
            car=STRAIGHT,
            profile=corrugation(wavelength=1.0, amplitude=amplitude),
            speed=speed,
            duration=0.3,
            settle=0.0,
        )
        for amplitude in (0.002, 0.002 * factor)
    )
    assert one.airborne_share == two.airborne_share == 0.0
    assert isclose(two.body_acceleration, factor * one.body_acceleration, rel_tol=1e-6)
    assert isclose(two.damper_power, factor**2 * one.damper_power, rel_tol=1e-6)


def test_halving_the_step_quarters_the_error() -> None:
    def power(step: float) -> float:
        car = replace(STRAIGHT, bush_rate=inf)
        return drive(
            car=car, profile=SHORT_WAVES, speed=10.0, duration=0.5, settle=1.0, step=step
        ).damper_power

    coarse, middle, fine = power(1e-3), power(5e-4), power(2.5e-4)
    assert isclose((coarse - middle) / (middle - fine), 4.0, rel_tol=0.1)


@pytest.mark.parametrize(
    "car", [CAR, FULL, replace(CAR, friction=400.0), replace(CAR, bush_rate=5e5)]
)
def test_the_work_of_the_road_is_found_again(car: QuarterCar) -> None:
    ride = _short(car)
    energy = ride.energy
    parts = energy.damper + energy.tyre + energy.friction + energy.stored
    assert isclose(energy.road, parts + energy.error, rel_tol=1e-12)
    assert abs(energy.error) < 5e-3 * energy.road
    assert isclose(energy.damper, ride.damper_power * 0.8, rel_tol=5e-3)


def test_energy_is_found_again_over_a_bump_with_stops() -> None:
    ride = drive(
        car=FULL,
        profile=bump(height=0.1, length=1.2, approach=1.0),
        speed=8.0,
        duration=1.0,
        settle=0.0,
    )
    assert abs(ride.energy.error) < 5e-3 * ride.energy.road
    assert ride.bump_contacts == 1
    assert ride.droop_contacts >= 1
    assert ride.both_stops_time is not None
    assert 0.125 < ride.both_stops_time < 1.0  # not before the bump is reached


def test_a_tyre_never_pulls_and_leaves_the_ground() -> None:
    ride = _short(CAR)
    assert min(ride.traces.tyre_force) == 0.0
    assert 0.1 < ride.airborne_share < 0.5


def test_a_flat_road_keeps_the_wheel_on_the_ground() -> None:
    ride = drive(car=FULL, profile=SHORT_WAVES, speed=3.0, duration=0.5, settle=0.5)
    assert ride.airborne_share == 0.0
    assert ride.both_stops_time is None


def test_the_mean_load_of_a_settled_ride_is_the_static_one() -> None:
    ride = drive(car=CAR, profile=WAVES, speed=9.0, duration=1.0, settle=2.0, trace_interval=1e-4)
    mean = float(np.mean(ride.traces.tyre_force))
    assert isclose(mean, ride.static_load, rel_tol=0.02)


def test_a_stiff_bush_is_none() -> None:
    rigid, stiff = _short(CAR), _short(replace(CAR, bush_rate=1e10))
    assert isclose(stiff.damper_power, rigid.damper_power, rel_tol=1e-3)
    assert isclose(stiff.load_coefficient, rigid.load_coefficient, rel_tol=1e-3)
    assert isclose(stiff.airborne_share, rigid.airborne_share, abs_tol=2e-3)


def test_a_soft_bush_takes_heat_from_the_damper() -> None:
    soft = drive(car=STRAIGHT, profile=SHORT_WAVES, speed=11.0, duration=0.5, settle=1.0)
    rigid = drive(
        car=replace(STRAIGHT, bush_rate=inf),
        profile=SHORT_WAVES,
        speed=11.0,
        duration=0.5,
        settle=1.0,
    )
    assert soft.energy.damper != rigid.energy.damper
    assert soft.damper_velocity != rigid.damper_velocity


def test_more_damping_means_less_travel_at_the_body_frequency() -> None:
    speed = frequency_marks(car=LINEAR).body  # on waves of 1 m
    travels = [
        drive(
            car=replace(CAR, damper=linear_curve(damping=damping)),
            profile=SHORT_WAVES,
            speed=speed,
            duration=0.8,
            settle=1.0,
        ).travel_compression
        for damping in (2_000.0, 4_000.0, 8_000.0)
    ]
    assert travels[0] > travels[1] > travels[2]


def test_leaves_that_stick_take_no_heat() -> None:
    stuck = replace(CAR, friction=2_000.0, friction_travel=2e-3)
    tiny = corrugation(wavelength=1.0, amplitude=0.0002)
    ride = drive(car=stuck, profile=tiny, speed=3.0, duration=0.5, settle=0.2)
    assert abs(ride.energy.friction) < 1e-9


def test_more_rebound_than_compression_damping_pulls_the_body_down() -> None:
    ride = drive(car=CAR, profile=WAVES, speed=15.0, duration=0.8, settle=1.0)
    assert np.mean(ride.traces.travel) > 0.002


def test_the_histogram_counts_all_of_the_time() -> None:
    ride = _short(FULL)
    assert isclose(sum(ride.velocity_shares), 1.0, rel_tol=1e-12)
    assert len(ride.velocity_shares) == len(ride.velocity_bins) + 1
    one = drive(car=FULL, profile=WAVES, speed=9.0, duration=0.3, settle=0.0, velocity_bins=[])
    assert one.velocity_shares == (1.0,)


def test_traces_are_thinned_and_start_after_settling() -> None:
    ride = drive(
        car=CAR, profile=WAVES, speed=9.0, duration=0.2, settle=0.1, trace_interval=0.01, step=5e-4
    )
    traces = ride.traces
    assert traces.time[:3] == pytest.approx((0.1, 0.11, 0.12))
    assert len(traces.time) == len(traces.travel) == len(traces.road) == 20
    assert traces.road[1] == pytest.approx(WAVES.heights(places=[9.0 * 0.11])[0], abs=1e-12)


def test_a_run_that_goes_wild_is_refused_with_its_moment() -> None:
    stiff = replace(CAR, wheel_rate=5e7)
    with pytest.raises(NoSolutionError, match=r"went wild: .* m, 0\.0\d+ s after the start"):
        drive(car=stiff, profile=WAVES, speed=9.0, duration=1.0, settle=0.0, step=4e-3)


def test_a_stiffer_corner_gets_a_shorter_step() -> None:
    assert time_step(cars=[FULL]) < time_step(cars=[CAR])
    assert time_step(cars=[CAR, FULL]) == time_step(cars=[FULL])
    with pytest.raises(OutOfRangeError, match="Number of corners"):
        time_step(cars=[])


@pytest.mark.parametrize(
    ("velocity", "force", "words"),
    [
        ((0.0, 1.0, 0.5), (0.0, 1.0, 2.0), "Point 3 .* velocity 0.5 m/s"),
        ((-1.0, 0.0, 1.0), (-1.0, 0.0, -0.5), "Point 3 .* force -0.5 N"),
        ((-1.0, 1.0), (-1.0, 3.0), "gives 1 N at rest"),
    ],
    ids=["backwards", "falling", "force at rest"],
)
def test_a_curve_that_is_none_is_refused_with_its_point(
    velocity: tuple[float, ...], force: tuple[float, ...], words: str
) -> None:
    with pytest.raises(ConflictError, match=words):
        DamperCurve(velocity=velocity, force=force)


def test_a_curve_needs_two_whole_points() -> None:
    with pytest.raises(InputError, match="two points"):
        DamperCurve(velocity=(0.0,), force=(0.0,))
    with pytest.raises(InputError, match="two points"):
        DamperCurve(velocity=(0.0, 1.0), force=(0.0,))


@pytest.mark.parametrize("value", [0.0, -1.0, nan])
def test_a_bush_or_a_stop_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="Stiffness of the bushes"):
        replace(CAR, bush_rate=value)
    with pytest.raises(OutOfRangeError, match="Depth of twice the rate"):
        Stop(travel=0.05, stiffness=1e5, doubling_depth=value)


def test_runs_and_steps_of_no_use_are_refused() -> None:
    with pytest.raises(ConflictError, match="shorter than two steps"):
        drive(car=CAR, profile=WAVES, speed=9.0, duration=1e-4)
    with pytest.raises(ConflictError, match="Shorten it"):
        drive(car=CAR, profile=WAVES, speed=9.0, duration=1e6)
    with pytest.raises(ConflictError, match="too long"):
        drive(car=CAR, profile=WAVES, speed=9.0, step=0.01)
    with pytest.raises(ConflictError, match="must rise"):
        drive(car=CAR, profile=WAVES, speed=9.0, velocity_bins=[0.1, 0.0])
