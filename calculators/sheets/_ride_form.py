"""What the sheets about the ride ask in common: corner, damper, stops, road."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING

from calculators.errors import ConflictError
from calculators.physics import roughness
from calculators.physics.quarter_car import DamperCurve, QuarterCar, Stop
from calculators.sheet import Cell, Choice, Input, Option, Rows

if TYPE_CHECKING:
    from calculators.physics.road import Profile
    from calculators.sheet import Given, RowValues

__all__ = [
    "BUSH",
    "DAMPER",
    "FRICTION",
    "MOTION_RATIO",
    "SPRUNG",
    "STOPS",
    "TYRE_DAMPING",
    "TYRE_RATE",
    "UNSPRUNG",
    "WHEEL_RATE",
    "amplitude",
    "car_of",
    "random_road",
    "road_class",
    "seed_of",
    "speed_of",
    "wavelength",
]

_VEHICLE, _DAMPING, _STOPPING = "Corner", "Damper", "Stops"
_ROAD_LENGTH = 400.0  # m, after which a random road repeats
_When = tuple[tuple[str, tuple[str, ...]], ...]

SPRUNG = Input(
    name="sprung_mass", label="Sprung mass", symbol="m_s", quantity="mass", unit="kg",
    default=760.0, minimum=20.0, maximum=6_000.0, group=_VEHICLE,
    reason="Leave out wheel, hub and axle.",
    help="Body mass that this wheel carries.",
)  # fmt: skip
UNSPRUNG = Input(
    name="unsprung_mass", label="Unsprung mass", symbol="m_u", quantity="mass", unit="kg",
    default=65.0, minimum=5.0, maximum=500.0, group=_VEHICLE,
    reason="Count one wheel, not the axle.",
    help="Tyre, rim, brake, hub, half the axle or the arm's share.",
)  # fmt: skip
WHEEL_RATE = Input(
    name="wheel_rate", label="Wheel rate", symbol="k_w", quantity="stiffness", unit="N/mm",
    default=67_500.0, minimum=2_000.0, maximum=1_000_000.0, group=_VEHICLE,
    reason="Spring rate × motion ratio².",
    help="What the spring amounts to at the wheel; the critical-damping calculator gives it.",
)  # fmt: skip
TYRE_RATE = Input(
    name="tyre_rate", label="Tyre rate", symbol="k_t", quantity="stiffness", unit="N/mm",
    default=400_000.0, minimum=50_000.0, maximum=3_000_000.0, group=_VEHICLE,
    reason="Light truck tyres are near 200 to 600 N/mm.",
    help="Load over deflection of one tyre at its pressure.",
)  # fmt: skip
TYRE_DAMPING = Input(
    name="tyre_damping", label="Damping of the tyre", symbol="c_t", quantity="damping",
    unit="N·s/m",
    default=100.0, minimum=0.0, maximum=2_000.0, group=_VEHICLE,
    reason="Tyres damp little: 50 to 200 N·s/m is common practice.",
    help="Of one rolling tyre; 0 leaves it out.",
)  # fmt: skip
MOTION_RATIO = Input(
    name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio",
    unit="1",
    default=0.75, minimum=0.05, maximum=2.0, group=_VEHICLE,
    reason="Damper travel divided by wheel travel.",
    help="Damper travel / wheel travel near ride height, lean included.",
)  # fmt: skip
FRICTION = Input(
    name="friction", label="Leaf friction", symbol="F_f", quantity="force", unit="N",
    default=0.0, minimum=0.0, maximum=3_000.0, group=_VEHICLE,
    reason="Half the gap between the loading and the unloading line; 0 for a coil spring.",
    help="Dry friction at the wheel, of a leaf spring or of the arms' bushes.",
)  # fmt: skip
DAMPER = Rows(
    name="damper", label="Forces of the damper",
    columns=(
        Cell(label="Rod speed", symbol="v", quantity="velocity", unit="m/s", minimum=0.001,
             maximum=6.0, reason="Speed without sign."),
        Cell(label="Compression", symbol="F_c", quantity="force", unit="N", minimum=0.0,
             maximum=1e5, reason="Force without sign, gas left out."),
        Cell(label="Rebound", symbol="F_r", quantity="force", unit="N", minimum=0.0,
             maximum=1e5, reason="Force without sign, gas left out."),
    ),
    # of the critical-damping calculator with its own defaults
    default=((0.05, 253.0, 507.0), (0.1, 507.0, 1014.0), (0.13, 659.0, 1318.0),
             (0.26, 1136.0, 2271.0), (0.39, 1399.0, 2799.0), (0.52, 1663.0, 3326.0),
             (1.0, 2636.0, 5273.0)),
    least=1, most=40, group=_DAMPING,
    help="One speed a row, at the damper: rod speed, compression, rebound, without gas force.",
)  # fmt: skip
BUSH = Input(
    name="bush_rate", label="Stiffness of its bushes", symbol="K_b", quantity="stiffness",
    unit="kN/m",
    default=1_500_000.0, minimum=50_000.0, maximum=1e8, optional=True, group=_DAMPING,
    reason="Both ends in series, along the damper.",
    help="Leave empty for a rigid mounting.",
)  # fmt: skip


def _stop(name: str, label: str, symbol: str, default: float) -> Input:
    return Input(
        name=name, label=label, symbol=symbol, quantity="length", unit="mm", default=default,
        minimum=0.0, maximum=0.5, optional=True, group=_STOPPING,
        reason="Wheel travel, counted from rest at this load.",
        help="Wheel travel from rest until the stop touches; leave empty if there is none.",
    )  # fmt: skip


STOPS = (
    _stop("bump_travel", "Travel to the bump stop", "s_c", 0.08),
    _stop("droop_travel", "Travel to the droop stop", "s_r", 0.09),
    Input(
        name="stop_rate", label="Rate of a stop", symbol="k_b", quantity="stiffness", unit="N/mm",
        default=200_000.0, minimum=5_000.0, maximum=2_000_000.0, group=_STOPPING,
        reason="At the wheel, when it begins to touch.",
        help="Of both stops, at the wheel, when they begin to touch.",
    ),
    Input(
        name="stop_depth", label="Its rate has doubled at", symbol="d_2", quantity="length",
        unit="mm",
        default=0.015, minimum=0.002, maximum=0.2, group=_STOPPING,
        reason="Press of the stop, as wheel travel.",
        help="A rubber stop stiffens as it is pressed: wheel travel until its rate is doubled.",
    ),
)  # fmt: skip


def speed_of(group: str) -> Input:
    """Return the question for the driving speed."""
    return Input(
        name="speed", label="Speed of the vehicle", symbol="V", quantity="velocity", unit="km/h",
        default=40.0 / 3.6, minimum=3.0 / 3.6, maximum=150.0 / 3.6, group=group,
        reason="Gravel and tracks are driven at 20 to 80 km/h.",
        help="Steady speed over the road.",
    )  # fmt: skip


def wavelength(group: str, when: _When = ()) -> Input:
    """Return the question for the length of the waves of a corrugated road."""
    return Input(
        name="wavelength", label="Wavelength", symbol="lambda_w", quantity="length", unit="m",
        default=0.75, minimum=0.3, maximum=50.0, when=when, group=group,
        reason="From crest to crest; the tyre's patch swallows waves below 0.3 m.",
        help="From crest to crest; measure over ten waves.",
    )  # fmt: skip


def amplitude(group: str, when: _When = ()) -> Input:
    """Return the question for the height of the waves of a corrugated road."""
    return Input(
        name="amplitude", label="Amplitude of the road", symbol="a", quantity="length", unit="mm",
        default=0.012, minimum=0.1e-3, maximum=0.2, when=when, group=group,
        reason="Half of the height from trough to crest.",
        help="Half of the height from trough to crest, under a straightedge.",
    )  # fmt: skip


def road_class(group: str, when: _When = ()) -> Choice:
    """Return the question for the class of a random road."""
    return Choice(
        name="road_class", label="Road class",
        options=(
            Option("D", "D, poor"), Option("E", "E, very poor"), Option("C", "C, average"),
            Option("B", "B, good"), Option("A", "A, very good"),
        ),
        help="Of ISO 8608, at the mean of the class; each next class is twice as high.",
        when=when, group=group,
    )  # fmt: skip


def seed_of(group: str, when: _When = ()) -> Input:
    """Return the question for the number that picks one random road."""
    return Input(
        name="seed", label="Number of the road", symbol="N_r", quantity="count", unit="1",
        default=1.0, minimum=1.0, maximum=9_999.0, when=when, group=group,
        reason="A whole number.",
        help="Another number makes another road of the same class, the same number the same road.",
    )  # fmt: skip


@lru_cache(maxsize=4)
def random_road(name: str, seed: int) -> Profile:
    """Return a random road of a class, the same for the same number."""
    mean = roughness.roughness_class(name=name).mean
    return roughness.random_profile(roughness=mean, length=_ROAD_LENGTH, seed=seed)


def curve_of(rows: RowValues, factor: float = 1.0) -> DamperCurve:
    """Return the damper of a table of forces, all of them times a factor.

    Raises
    ------
    ConflictError
        If speeds do not rise or forces fall.
    """
    for row, ((v, *low), (w, *high)) in enumerate(pairwise(rows), 2):
        if w <= v:
            message = (
                f"Forces of the damper, row {row}: the rod speed must rise. "
                "Sort the rows by speed, each speed once."
            )
            raise ConflictError(message, inputs=("damper",))
        if any(b < a for a, b in zip(low, high, strict=True)):
            message = f"Forces of the damper, row {row}: a force must not fall with speed."
            raise ConflictError(message, inputs=("damper",))
    speeds, compression, rebound = zip(*rows, strict=True)
    return DamperCurve(
        velocity=(*(-v for v in reversed(speeds)), 0.0, *speeds),
        force=(
            *(-factor * f for f in reversed(rebound)),
            0.0,
            *(factor * f for f in compression),
        ),
    )


def car_of(given: Given, *, sprung_mass: float, factor: float = 1.0) -> QuarterCar:
    """Return the corner that a form describes."""
    bush = given.optional("bush_rate")

    def stop(name: str) -> Stop | None:
        travel = given.optional(name)
        if travel is None:
            return None
        return Stop(travel=travel, stiffness=given["stop_rate"], doubling_depth=given["stop_depth"])

    return QuarterCar(
        sprung_mass=sprung_mass,
        unsprung_mass=given["unsprung_mass"],
        wheel_rate=given["wheel_rate"],
        tyre_rate=given["tyre_rate"],
        damper=curve_of(given.rows("damper"), factor),
        motion_ratio=given["motion_ratio"],
        tyre_damping=given["tyre_damping"],
        bush_rate=inf if bush is None else bush,
        friction=given["friction"],
        bump_stop=stop("bump_travel"),
        droop_stop=stop("droop_travel"),
    )
