"""Measure the solvers: in the browser's Python and here, and against scipy's.

Against scipy both sides get the same equations in plain Python, and scipy is asked for
no more than our own error: its tolerance is the loosest that gives no larger error, there
and at the next tighter one. The map goes through scipy case by case, and since that takes
long, a sixth of its cases stands for all. Errors count from scipy's Radau or RK45 at a tolerance of
1e-9, at the same instants. Scipy's implicit methods make their Jacobian by differences.
"""

from __future__ import annotations

import platform
from dataclasses import dataclass
from functools import partial
from math import cos, inf, pi, sin, sqrt
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

from calculators.physics.bench import run_sine
from calculators.physics.loop import loop_energy
from calculators.physics.pair import pair_flow_and_slope
from calculators.physics.quarter_car import DamperCurve, static_tyre_load
from calculators.physics.ride import drive
from calculators.physics.ride_map import ride_map
from site_src.bench_cases import (
    CORNER,
    FLEET,
    MAP_DURATION,
    MAP_SETTLE,
    RUNS,
    SPEED,
    SPEEDS,
    WAVES,
    timings,
    typical,
)
from site_src.places import ROOT
from tests.runtime.node import BrowserPython
from tests.unit.specimens import MONOTUBE, TWIN_TUBE, corrugated

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

    from calculators.physics.bench import SineMotion, Specimen
    from calculators.physics.chamber import AeratedOil
    from calculators.physics.quarter_car import QuarterCar, Stop

    Series = NDArray[np.float64]
    Figure = float | Series
    Rates = Callable[[float, Series], list[float]]
    Figures = tuple[Figure, ...]
    Errors = tuple[float, ...]

__all__ = ["solver_lines"]

KILOMETRES_PER_HOUR = 40.0
SPECIMENS = {"twin-tube": TWIN_TUBE, "monotube": MONOTUBE}
CYCLES, STEPS = 3, 200  # of the virtual bench
SETTLE, DURATION = 2.0, 10.0  # s, of the ride
LADDER = tuple(10.0 ** (-entry / 3.0) for entry in range(6, 25))  # relative tolerances
ATMOSPHERE = 1e5  # Pa, pressures below this count with the absolute tolerance
IN_BROWSER = """
dampers, cases = {{}}, {{}}
exec({dampers!r}, dampers)
exec({cases!r}, cases)
specimens = {{"twin-tube": dampers["TWIN_TUBE"], "monotube": dampers["MONOTUBE"]}}
motion = dampers["corrugated"](kilometres_per_hour={speed!r})
answer = cases["timings"](specimens, motion)
"""


def solver_lines(packed: Path) -> list[str]:
    """Return both tables, each after an empty line.

    Parameters
    ----------
    packed : Path
        The folder with the browser's Python.
    """
    return ["", *_both_pythons(packed), "", *_against_scipy()]


def _both_pythons(packed: Path) -> list[str]:
    """Time every case in both Pythons."""
    source = IN_BROWSER.format(
        dampers=(ROOT / "tests/unit/specimens.py").read_text(encoding="utf-8"),
        cases=(ROOT / "site_src/bench_cases.py").read_text(encoding="utf-8"),
        speed=KILOMETRES_PER_HOUR,
    )
    with BrowserPython(packed) as python:
        there = python.run(source)
    here = timings(SPECIMENS, corrugated(kilometres_per_hour=KILOMETRES_PER_HOUR))
    ours = f"Python {platform.python_version()} here"
    return [
        f"| Solver, median of {RUNS} | {ours} | the browser's Python, under Node |",
        "|---|---|---|",
        *(f"| {words} | {_ms(here[words])} | {_ms(there[words])} |" for words in here),
    ]


class OneRide(NamedTuple):
    """What is driven over the corrugation."""

    car: QuarterCar
    speed: float  # m/s
    settle: float  # s
    duration: float  # s


LONE_RIDE = OneRide(CORNER, SPEED, SETTLE, DURATION)
MAP_RIDES = [OneRide(car, speed, MAP_SETTLE, MAP_DURATION) for car in FLEET for speed in SPEEDS]
MAP_SHARE = slice(2, None, 6)  # at 30 and 90 km/h


@dataclass(frozen=True, slots=True)
class Contest:
    """One task for our solver and for scipy's; `figures` names what both return."""

    task: str
    figures: str
    fine: Figures
    ours: Callable[[], Figures]
    theirs: Callable[[str, float], Figures]  # method and relative tolerance
    methods: tuple[str, ...]
    share: float = 1.0  # of our work that is theirs


class Match(NamedTuple):
    """The tolerance at which scipy's error is no larger than ours, and its errors there."""

    tolerance: float
    errors: Errors


def _against_scipy() -> list[str]:
    """Return a row for each method of scipy in each contest."""
    head = "| Against scipy, at equal accuracy | ours | scipy | ratio | errors in millionths |"
    return [head, "|---|---|---|---|---|", *(row for one in _contests() for row in _rows(one))]


def _contests() -> Iterator[Contest]:
    motion = corrugated(kilometres_per_hour=KILOMETRES_PER_HOUR)
    for name, specimen in SPECIMENS.items():
        yield Contest(
            task=f"Virtual bench, {name}",
            figures="peak force, loop area",
            fine=_bench_by_scipy(specimen, motion, "Radau", 1e-9),
            ours=partial(_bench, specimen, motion),
            theirs=partial(_bench_by_scipy, specimen, motion),
            methods=("BDF", "Radau", "LSODA"),
        )
    # RK45 alone: DOP853 takes longer, and the steps of LSODA shrink to nothing where
    # friction begins to slide.
    yield Contest(
        task="Ride of 10 s",
        figures="damper power, body acceleration",
        fine=_ride_by_scipy(LONE_RIDE, "RK45", 1e-9),
        ours=_ride,
        theirs=partial(_ride_by_scipy, LONE_RIDE),
        methods=("RK45",),
    )
    yield Contest(
        task=f"Speed map of {len(MAP_RIDES)} rides",
        figures="largest of damper power, body acceleration",
        fine=_map_by_scipy("RK45", 1e-9),
        ours=_map,
        theirs=_map_by_scipy,
        methods=("RK45",),
        share=len(MAP_RIDES[MAP_SHARE]) / len(MAP_RIDES),
    )


def _rows(contest: Contest) -> Iterator[str]:
    errors = _errors(contest.ours(), contest.fine)
    for method in contest.methods:
        match = _match(contest, method, max(errors))
        ours, theirs = typical(contest.ours, partial(contest.theirs, method, match.tolerance))
        theirs /= contest.share
        yield (
            f"| {contest.task} | {_ms(ours)} | {method}, tolerance {match.tolerance:.1e}: "
            f"{_ms(theirs)} | **{theirs / ours:.1f}** "
            f"| {contest.figures}: ours {_millionths(errors)}; "
            f"scipy {_millionths(match.errors)} |"
        )


def _match(contest: Contest, method: str, allowed: float) -> Match:
    """Return the loosest tolerance that is good enough together with the next tighter one.

    One alone may be good by chance. If there is none, the tightest.
    """
    before: Match | None = None
    now = Match(inf, ())
    for tolerance in LADDER:
        now = Match(tolerance, _errors(contest.theirs(method, tolerance), contest.fine))
        good = max(now.errors) <= allowed
        if good and before is not None:
            return before
        before = now if good else None
    return now


def _errors(found: Figures, fine: Figures) -> Errors:
    pairs = zip(found, fine, strict=True)
    return tuple(float(np.max(np.abs(np.divide(one, other) - 1.0))) for one, other in pairs)


def _bench(specimen: Specimen, motion: SineMotion) -> Figures:
    trace = run_sine(specimen=specimen, motion=motion, cycles=CYCLES, steps=STEPS)
    return max(map(abs, trace.force[-STEPS - 1 :])), loop_energy(trace=trace)


def _bench_by_scipy(
    specimen: Specimen, motion: SineMotion, method: str, tolerance: float
) -> Figures:
    """Return peak force and loop area of the last cycle, at the instants of our own steps."""
    damper, filling = specimen.damper, specimen.filling
    period, omega = 1.0 / motion.frequency, 2.0 * pi * motion.frequency
    rest = run_sine(specimen=specimen, motion=motion, cycles=1, steps=20).pressure_head[0]
    times = np.linspace((CYCLES - 1) * period, CYCLES * period, STEPS + 1)
    solved = solve_ivp(
        _pressure_rates(specimen, motion),
        (0.0, CYCLES * period),
        [rest] * (2 if damper.reserve is None else 3),
        method=method,
        rtol=tolerance,
        atol=tolerance * ATMOSPHERE,
        t_eval=times,
    )
    velocity = motion.peak_velocity * np.sin(omega * times)
    velocity[[0, STEPS // 2, STEPS]] = 0.0
    head, behind = solved.y[0], solved.y[1]
    force = (head - filling.pressure_ambient) * damper.rod_area
    force = force + (head - behind) * damper.annulus_area + damper.seal_friction * np.sign(velocity)
    return float(np.max(np.abs(force))), float(np.trapezoid(force * velocity, times))


def _pressure_rates(specimen: Specimen, motion: SineMotion) -> Rates:
    """Return the equations of `calculators.physics.bench`, written out for the pressures."""
    damper, filling, oil = specimen.damper, specimen.filling, specimen.oil
    bore, ring, exponent = damper.piston_area, damper.annulus_area, filling.gas_exponent
    amplitude, omega = motion.amplitude, 2.0 * pi * motion.frequency
    law = _oil_law(specimen.chamber_oil)
    swell, _ = law(filling.gas_pressure)

    def gas_room(pressure: float) -> float:
        """Return how much the gas shrinks for a rise of its pressure."""
        ratio = (filling.gas_pressure / pressure) ** (1.0 / exponent)
        return float(filling.gas_volume * ratio / (exponent * pressure))

    def rates(time: float, state: Series) -> list[float]:
        head, behind, *gas = (max(pressure, 1.0) for pressure in state.tolist())
        x, v = -amplitude * cos(omega * time), amplitude * omega * sin(omega * time)
        (head_v, head_c), (rod_v, rod_c) = law(head), law(behind)
        through, _ = pair_flow_and_slope(pair=damper.piston, pressure_drop=head - behind, oil=oil)
        through /= head_v if through > 0.0 else rod_v  # oil counted at the reference pressure
        rod_room = (filling.rod_volume + ring * x) * rod_c / rod_v
        rod_rate = (through * rod_v - ring * v) / rod_room
        head_room = (filling.head_volume - bore * x) * head_c / head_v
        if damper.reserve is None:
            head_room += gas_room(head) * head_v / swell
            return [(bore * v - through * head_v) / head_room, rod_rate]
        back, _ = pair_flow_and_slope(pair=damper.reserve, pressure_drop=head - gas[0], oil=oil)
        back /= head_v if back > 0.0 else swell
        head_rate = (bore * v - (through + back) * head_v) / head_room
        return [head_rate, rod_rate, back * swell / gas_room(gas[0])]

    return rates


def _oil_law(oil: AeratedOil) -> Callable[[float], tuple[float, float]]:
    """Return relative volume and compliance over the pressure, as `chamber` has them."""
    liquid, power = (1.0 - oil.free_gas) / oil.bulk_modulus, 1.0 / oil.gas_exponent

    def law(pressure: float) -> tuple[float, float]:
        gas = float(oil.free_gas * (oil.reference_pressure / pressure) ** power)
        volume = 1.0 - oil.free_gas - liquid * (pressure - oil.reference_pressure) + gas
        return volume, liquid + power * gas / pressure

    return law


def _ride() -> Figures:
    ride = drive(car=CORNER, profile=WAVES, speed=SPEED, duration=DURATION, settle=SETTLE)
    return ride.damper_power, ride.body_acceleration


def _map() -> Figures:
    found = ride_map(
        cars=FLEET, profile=WAVES, speeds=SPEEDS, duration=MAP_DURATION, settle=MAP_SETTLE
    )
    power, acceleration = np.ravel(found.damper_power), np.ravel(found.body_acceleration)
    return power[MAP_SHARE], acceleration[MAP_SHARE]


def _map_by_scipy(method: str, tolerance: float) -> Figures:
    rides = [_ride_by_scipy(ride, method, tolerance) for ride in MAP_RIDES[MAP_SHARE]]
    power, acceleration = np.transpose(rides)
    return power, acceleration


def _ride_by_scipy(ride: OneRide, method: str, tolerance: float) -> tuple[float, float]:
    """Return mean power and rms acceleration; their integrals are two of the unknowns."""
    solved = solve_ivp(
        _ride_rates(ride.car, ride.speed, WAVES.height, WAVES.distance[-1]),
        (0.0, ride.settle + ride.duration),
        [0.0] * 8,
        method=method,
        rtol=tolerance,
        # places, velocities, rod, friction, work, square of the acceleration
        atol=[tolerance * size for size in (1e-2, 1e-2, 1.0, 1.0, 1e-2, 100.0, 100.0, 10.0)],
        t_eval=[ride.settle, ride.settle + ride.duration],
    )
    (work, squares), (work_end, squares_end) = solved.y[6:].T.tolist()
    return (work_end - work) / ride.duration, sqrt(
        max(squares_end - squares, 0.0) / ride.duration  # below nought at a poor tolerance
    )


def _ride_rates(
    car: QuarterCar, speed: float, heights: Sequence[float], wavelength: float
) -> Rates:
    """Return the equations of `calculators.physics.ride`, from rest on a corrugation.

    Unlike there, the rod is a place of its own between bush and damper, and the road a sine.
    """
    load, amplitude, turn = static_tyre_load(car=car), max(heights), 2.0 * pi * speed / wavelength
    stiffness = car.friction / car.friction_travel
    rod_velocity = DamperCurve(velocity=car.damper.force, force=car.damper.velocity)

    def rates(time: float, state: Series) -> list[float]:
        body, wheel, v_body, v_wheel, rod, rub, *_ = state.tolist()
        press = amplitude * sin(turn * time) - wheel + load / car.tyre_rate
        tyre = 0.0
        if press > 0.0:
            rise = amplitude * turn * cos(turn * time) - v_wheel
            tyre = max(car.tyre_rate * press + car.tyre_damping * rise, 0.0)
        travel, rate = wheel - body, v_wheel - v_body
        spring = car.wheel_rate * travel + rub
        spring += _stop(car.bump_stop, travel) - _stop(car.droop_stop, -travel)
        damper = car.bush_rate * (car.motion_ratio * travel - rod)
        moved = rod_velocity.at(velocity=damper)
        on_body = spring + car.motion_ratio * damper
        slides = abs(rub) >= car.friction and rub * rate > 0.0
        a_body, a_wheel = on_body / car.sprung_mass, (tyre - on_body - load) / car.unsprung_mass
        held = 0.0 if slides else stiffness * rate
        return [v_body, v_wheel, a_body, a_wheel, moved, held, damper * moved, a_body**2]

    return rates


def _stop(stop: Stop | None, travel: float) -> float:
    if stop is None or travel <= stop.travel:
        return 0.0
    depth = travel - stop.travel
    return stop.stiffness * depth * (1.0 + 0.5 * depth / stop.doubling_depth)


def _ms(seconds: float) -> str:
    return f"{seconds * 1e3:.1f} ms" if seconds < 0.1 else f"{seconds * 1e3:.0f} ms"  # noqa: PLR2004


def _millionths(shares: Errors) -> str:
    return ", ".join(f"{1e6 * share:.2g}" for share in shares)
