"""The map is made of the same drives, and can be stopped."""

from __future__ import annotations

from dataclasses import replace
from math import isclose

import pytest

from calculators.errors import ConflictError, InputError, NoSolutionError, OutOfRangeError
from calculators.physics.quarter_car import DamperCurve, QuarterCar, Stop, linear_curve
from calculators.physics.ride import drive
from calculators.physics.ride_map import ride_map
from calculators.physics.road import Profile, bump, corrugation, measured_profile
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
    bump_stop=Stop(travel=0.03, stiffness=2e5, doubling_depth=0.01),
    droop_stop=Stop(travel=0.04, stiffness=2e5),
)
STRAIGHT = replace(CAR, damper=linear_curve(damping=3_000.0))
WAVES = corrugation(wavelength=0.75, amplitude=0.012)
ROADS = [
    pytest.param(WAVES, id="corrugation"),
    pytest.param(random_profile(roughness=1024e-6, length=60.0, seed=5), id="random"),
    pytest.param(bump(height=0.08, length=1.0, approach=0.5), id="bump"),
    pytest.param(
        measured_profile(points=[(0.0, 0.0), (1.0, 0.02), (2.0, 0.0)], periodic=True), id="measured"
    ),
]


@pytest.mark.parametrize("profile", ROADS)
def test_the_map_is_made_of_the_same_drives(profile: Profile) -> None:
    cars, speeds = [CAR, FULL, STRAIGHT], [5.0, 9.0]
    found = ride_map(cars=cars, profile=profile, speeds=speeds, duration=0.3, settle=0.1, step=5e-4)
    for i, car in enumerate(cars):
        for j, speed in enumerate(speeds):
            ride = drive(car=car, profile=profile, speed=speed, duration=0.3, settle=0.1, step=5e-4)
            assert isclose(found.airborne_share[i][j], ride.airborne_share, abs_tol=1e-9)
            for name in (
                "load_coefficient",
                "body_acceleration",
                "damper_velocity",
                "damper_power",
            ):
                assert isclose(getattr(found, name)[i][j], getattr(ride, name), rel_tol=1e-9)


def test_its_own_step_is_fine_enough() -> None:
    found = ride_map(cars=[FULL], profile=WAVES, speeds=[9.0], duration=0.8, settle=0.4)
    ride = drive(car=FULL, profile=WAVES, speed=9.0, duration=0.8, settle=0.4, step=1e-4)
    assert found.step > ride.step
    assert abs(found.airborne_share[0][0] - ride.airborne_share) < 5e-3
    assert isclose(found.damper_power[0][0], ride.damper_power, rel_tol=5e-3)


def test_reports_tell_the_share_that_is_done() -> None:
    shares: list[float] = []
    reported = ride_map(
        cars=[CAR], profile=WAVES, speeds=[9.0], duration=1.0, settle=0.5, report=shares.append
    )
    assert shares == sorted(shares)
    assert len(shares) > 2
    assert shares[-1] == 1.0
    assert reported == ride_map(cars=[CAR], profile=WAVES, speeds=[9.0], duration=1.0, settle=0.5)


def test_what_a_report_raises_ends_the_work() -> None:
    def stop(share: float) -> None:
        raise InterruptedError(share)

    with pytest.raises(InterruptedError):
        ride_map(
            cars=[CAR],
            profile=WAVES,
            speeds=[9.0],
            duration=1e6,
            settle=0.0,
            step=5e-4,
            report=stop,
        )


def test_a_map_without_speed_corner_or_time_is_refused() -> None:
    with pytest.raises(InputError, match="needs a speed"):
        ride_map(cars=[CAR], profile=WAVES, speeds=[])
    with pytest.raises(OutOfRangeError, match="Number of corners"):
        ride_map(cars=[], profile=WAVES, speeds=[9.0])
    with pytest.raises(OutOfRangeError, match="Speed is 0 m/s"):
        ride_map(cars=[CAR], profile=WAVES, speeds=[9.0, 0.0])
    with pytest.raises(ConflictError, match="shorter than two steps"):
        ride_map(cars=[CAR], profile=WAVES, speeds=[9.0], duration=1e-5)


def test_a_case_that_goes_wild_is_named() -> None:
    stiff = replace(CAR, wheel_rate=5e7)
    with pytest.raises(NoSolutionError, match=r"corner 2 at 9 m/s went wild before .* s"):
        ride_map(
            cars=[CAR, stiff],
            profile=WAVES,
            speeds=[9.0, 12.0],
            duration=0.3,
            settle=0.0,
            step=4e-3,
        )
