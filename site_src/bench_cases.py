"""What is timed in both Pythons; needs the core alone, so the browser's Python runs its text too.

All figures of the corner are invented.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from time import perf_counter
from typing import TYPE_CHECKING

from calculators.physics.bench import run_sine
from calculators.physics.network import force_velocity_curve
from calculators.physics.quarter_car import DamperCurve, QuarterCar, Stop
from calculators.physics.ride import drive
from calculators.physics.ride_map import ride_map
from calculators.physics.road import corrugation

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.physics.bench import SineMotion, Specimen

__all__ = [
    "CORNER",
    "FLEET",
    "MAP_DURATION",
    "MAP_SETTLE",
    "RUNS",
    "SPEED",
    "SPEEDS",
    "WAVES",
    "timings",
    "typical",
]

RUNS = 5  # of each case, an odd number
SPEED = 40.0 / 3.6  # m/s
VELOCITIES = tuple(-1.0 + 2.0 * (entry + 0.5) / 200.0 for entry in range(200))  # m/s
SPEEDS = tuple(speed / 3.6 for speed in range(10, 121, 10))  # m/s
WAVES = corrugation(wavelength=0.75, amplitude=0.012)
CORNER = QuarterCar(
    sprung_mass=510.0,
    unsprung_mass=65.0,
    wheel_rate=48_000.0,
    tyre_rate=260_000.0,
    damper=DamperCurve(
        velocity=(-1.0, -0.5, -0.1, 0.0, 0.1, 0.5, 1.0),
        force=(-3200.0, -2300.0, -900.0, 0.0, 350.0, 900.0, 1400.0),
    ),
    motion_ratio=0.75,
    bush_rate=2e6,
    tyre_damping=80.0,
    friction=300.0,
    bump_stop=Stop(travel=0.06, stiffness=2e5, doubling_depth=0.01),
    droop_stop=Stop(travel=0.07, stiffness=2e5, doubling_depth=0.01),
)
MAP_SETTLE, MAP_DURATION = 1.5, 4.0  # s
FLEET = tuple(  # the corner at two loads, each with four dampers
    replace(
        CORNER,
        sprung_mass=mass,
        damper=replace(CORNER.damper, force=tuple(factor * force for force in CORNER.damper.force)),
    )
    for mass in (CORNER.sprung_mass, 0.5 * CORNER.sprung_mass)
    for factor in (0.5, 1.0, 1.5, 2.0)
)


def typical(*works: Callable[[], object]) -> list[float]:
    """Return the median time of some runs of each work, taken in turn [s]."""
    times: list[list[float]] = [[] for _ in works]
    for _ in range(RUNS):
        for work, own in zip(works, times, strict=True):
            begin = perf_counter()
            work()
            own.append(perf_counter() - begin)
    return [sorted(own)[RUNS // 2] for own in times]  # statistics is missing in the browser


def timings(specimens: Mapping[str, Specimen], motion: SineMotion) -> dict[str, float]:
    """Return the typical time of every case [s]."""
    cases: dict[str, Callable[[], object]] = {}
    for name, one in specimens.items():
        cases[f"Force-velocity curve of 200 points, {name}"] = partial(
            force_velocity_curve,
            damper=one.damper,
            velocities=VELOCITIES,
            gas_pressure=one.filling.gas_pressure,
            oil=one.oil,
        )
    for name, one in specimens.items():
        cases[f"Virtual bench, 3 cycles of 200 steps, {name}"] = partial(
            run_sine, specimen=one, motion=motion
        )
    cases["Ride of 10 s after 2 s to settle, with bush, stops, friction and tyre damping"] = (
        partial(drive, car=CORNER, profile=WAVES, speed=SPEED)
    )
    cases["Speed map, 12 speeds × 2 loads × 4 dampers, 4 s after 1.5 s"] = partial(
        ride_map,
        cars=FLEET,
        profile=WAVES,
        speeds=SPEEDS,
        duration=MAP_DURATION,
        settle=MAP_SETTLE,
    )
    return {words: typical(work)[0] for words, work in cases.items()}
