"""The drive of the ride sheet: its questions about the road, and the run itself."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from statistics import median
from typing import TYPE_CHECKING

from calculators.errors import ConflictError
from calculators.physics import ride, road
from calculators.sheet import Cell, Choice, Input, Option, Rows
from calculators.sheets import _ride_form as form

if TYPE_CHECKING:
    from calculators.physics.quarter_car import QuarterCar
    from calculators.physics.ride import Ride
    from calculators.physics.road import Profile
    from calculators.sheet import Given

__all__ = ["INPUTS", "SETTLE", "chance_of", "profile_of", "ride_of"]

_ROAD = "Road and drive"
_CORRUGATION, _CLASS = (("road", ("corrugation",)),), (("road", ("class",)),)
_OBSTACLE, _MEASURED = (("road", ("obstacle",)),), (("road", ("measured",)),)
SETTLE = 2.0  # s, driven before anything counts on a road that goes on
_GAP = 10.0  # 1, a step over the usual one from which something is missing; ours
_THROWN = 0.5  # 1, share of the time off the ground from which a ride may be one of chance
_HAIR = 1e-9  # 1, by which it is then driven faster
_MOST_STEPS = 120_000  # 1, half a minute of a page's time

# an invented wash-out across a track: a dip, a lip of stones behind it, and ruts after that
_WASH_OUT = (
    (0.0, 0.0), (2.0, 0.0), (2.4, -0.02), (2.8, -0.05), (3.2, -0.06), (3.6, -0.03), (3.9, 0.02),
    (4.2, 0.03), (4.6, 0.01), (5.0, 0.0), (5.5, -0.015), (6.0, 0.005), (6.5, -0.01), (7.0, 0.0),
)  # fmt: skip

INPUTS = (
    Choice(
        name="road", label="Road",
        options=(
            Option("corrugation", "corrugations"), Option("class", "random, by class"),
            Option("obstacle", "one bump or hole"), Option("measured", "measured profile"),
        ),
        help="What the wheel drives over.",
        group=_ROAD,
    ),
    form.wavelength(_ROAD, _CORRUGATION),
    form.amplitude(_ROAD, _CORRUGATION),
    form.road_class(_ROAD, _CLASS),
    form.seed_of(_ROAD, _CLASS),
    Input(
        name="height", label="Height", symbol="H", quantity="length", unit="mm",
        default=0.06, minimum=-0.3, maximum=0.3, when=_OBSTACLE, group=_ROAD,
        reason="Below zero it is a hole.",
        help="Of a rounded bump; a negative height is a hole.",
    ),
    Input(
        name="length", label="Length", symbol="L", quantity="length", unit="m",
        default=0.8, minimum=0.2, maximum=20.0, when=_OBSTACLE, group=_ROAD,
        reason="From its beginning to its end, along the road.",
        help="From its beginning to its end, along the road.",
    ),
    Rows(
        name="profile", label="Measured profile",
        columns=(
            Cell(label="Distance", symbol="s", quantity="length", unit="m", minimum=0.0,
                 maximum=2_000.0, reason="Along the road, rising."),
            Cell(label="Height", symbol="h", quantity="length", unit="mm", minimum=-1.0,
                 maximum=1.0, reason="Take a long slope off first."),
        ),
        default=_WASH_OUT, least=2, most=4_000, when=_MEASURED, group=_ROAD,
        help="Paste distance and height, one place a line; behind the last one it goes on level.",
    ),
    form.speed_of(_ROAD),
    Input(
        name="duration", label="Time that counts", symbol="T", quantity="time", unit="s",
        default=6.0, minimum=0.5, maximum=30.0, group=_ROAD,
        reason="Most figures settle within seconds.",
        help="On corrugations and random roads, after 2 s to settle; else from the start.",
    ),
    form.SPRUNG, form.UNSPRUNG, form.WHEEL_RATE, form.TYRE_RATE, form.TYRE_DAMPING,
    form.MOTION_RATIO, form.FRICTION,
    form.DAMPER, form.BUSH,
    *form.STOPS,
)  # fmt: skip


def profile_of(given: Given) -> Profile:
    """Return the road that was chosen."""
    kind = given.choice("road")
    if kind == "corrugation":
        return road.corrugation(wavelength=given["wavelength"], amplitude=given["amplitude"])
    if kind == "class":
        return form.random_road(given.choice("road_class"), round(given["seed"]))
    if kind == "obstacle":
        return road.bump(height=given["height"], length=given["length"])
    rows = given.rows("profile")
    _require_whole([place for place, _ in rows])
    return road.measured_profile(points=[(place, height) for place, height in rows])


def _require_whole(places: list[float]) -> None:
    """Refuse a measured profile that goes back, or lacks a part, by its row."""
    steps = [b - a for a, b in pairwise(places)]
    usual = median(steps)
    for row, step in enumerate(steps, 2):
        if step <= 0.0:
            message = f"Measured profile, row {row}: the distance must rise from row to row."
            raise ConflictError(message, inputs=("profile",))
        if step > _GAP * usual:
            message = (
                f"Measured profile, row {row}: {step:.4g} m after the row before, where "
                f"{usual:.4g} m are usual. Is something missing? Fill the gap, or cut the "
                "profile there."
            )
            raise ConflictError(message, inputs=("profile",))


@lru_cache(maxsize=4)
def _driven(
    car: QuarterCar, profile: Profile, speed: float, duration: float, settle: float
) -> Ride:
    step = ride.drive_step(cars=[car], profile=profile, speed=speed)
    if (settle + duration) / step > _MOST_STEPS:
        message = (
            f"The drive would take {(settle + duration) / step:.0f} time steps of {step:.2g} s; "
            f"at most {_MOST_STEPS}. Shorten it."
        )
        raise ConflictError(message, inputs=("duration",))
    return ride.drive(
        car=car, profile=profile, speed=speed, duration=duration, settle=settle,
        step=step, trace_interval=step,
    )  # fmt: skip


def ride_of(given: Given) -> Ride:
    """Return the drive, with every step in its traces.

    Raises
    ------
    ConflictError
        If the damper or the road is none, or the drive takes too many steps.
    NoSolutionError
        If the motion goes wild; the message says when.
    """
    return _ride(given, given["speed"])


def _ride(given: Given, speed: float) -> Ride:
    settle = SETTLE if given.choice("road") in {"corrugation", "class"} else 0.0
    car = form.car_of(given, sprung_mass=given["sprung_mass"])
    return _driven(car, profile_of(given), speed, given["duration"], settle)


def chance_of(given: Given) -> float:
    """Return how much of the figures is chance, as a share of them.

    A wheel that is thrown higher than it can fall back between two bumps never does the
    same twice: the smallest difference grows until it is all there is. So such a ride is
    driven again, a billionth faster. Others answer to that with as little as they got.
    """
    found = ride_of(given)
    if found.airborne_share < _THROWN:
        return 0.0
    again = _ride(given, given["speed"] * (1.0 + _HAIR))
    pairs = (
        (found.load_coefficient, again.load_coefficient),
        (found.airborne_share, again.airborne_share),
        (found.damper_power, again.damper_power),
    )
    return max(abs(a - b) / max(abs(a), abs(b), 1e-300) for a, b in pairs)
