"""What the mount geometry sheet asks and answers, and the linkage that the answers make."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from calculators.errors import ConflictError
from calculators.physics.linkage import BeamAxle, Strut, TrailingArm
from calculators.sheet import Choice, Input, Option, Output

if TYPE_CHECKING:
    from calculators.physics.linkage import Linkage, Point
    from calculators.sheet import Given

__all__ = ["INPUTS", "OUTPUTS", "Mounts", "mounts"]

_SUSPENSION, _DAMPER, _SPRING, _TRAVEL, _BUSHES = (
    "Suspension", "Damper", "Spring", "Travel", "Bushes",
)  # fmt: skip
_ARM = (("layout", ("arm", "strut")),)
_OWN = (("spring_place", ("own",)),)
_FAR = "Within 3 m of the origin."
_USUAL_TURN = pi / 12.0  # rad, 15°, common practice


def _place(name: str, label: str, symbol: str, default: float, group: str, help_: str,
           when: tuple[tuple[str, tuple[str, ...]], ...] = ()) -> Input:  # fmt: skip
    return Input(
        name=name, label=label, symbol=symbol, quantity="length", unit="mm",
        default=default, minimum=-3.0, maximum=3.0, group=group, reason=_FAR, help=help_, when=when,
    )  # fmt: skip


_OUT = "Measured along, away from the pivot, or from the middle of the vehicle."
_UP = "Measured upwards from the same origin; below it, negative."

INPUTS = (
    Choice(
        name="layout", label="Suspension",
        options=(Option("arm", "trailing arm, from the side"),
                 Option("beam", "beam axle, from behind"),
                 Option("strut", "strut, from behind")),
        help="A swing axle or lower wishbone counts as an arm. A strut guides the wheel.",
        group=_SUSPENSION,
    ),
    _place("pivot_x", "Pivot, along", "x_p", 0.0, _SUSPENSION,
           "Bush of the arm on the body; the best origin for all points.", _ARM),
    _place("pivot_y", "Pivot, up", "y_p", 0.0, _SUSPENSION, _UP, _ARM),
    _place("wheel_x", "Wheel centre, along", "x_w", 0.500, _SUSPENSION,
           "All points as they stand at ride height, in one plane."),
    _place("wheel_y", "Wheel centre, up", "y_w", -0.060, _SUSPENSION, _UP),
    Input(
        name="tyre_radius", label="Radius of the tyre", symbol="r_t", quantity="length", unit="mm",
        default=0.340, minimum=0.1, maximum=1.0, group=_SUSPENSION,
        reason="Height of the wheel centre above the road.", help="For the drawing alone.",
    ),
    _place("lower_x", "Lower mount, along", "x_l", 0.400, _DAMPER, _OUT),
    _place("lower_y", "Lower mount, up", "y_l", -0.030, _DAMPER, _UP),
    _place("upper_x", "Upper mount, along", "x_u", 0.256, _DAMPER, _OUT),
    _place("upper_y", "Upper mount, up", "y_u", 0.365, _DAMPER, _UP),
    Input(
        name="closed_length", label="Closed length", symbol="L_c", quantity="length", unit="mm",
        default=0.330, minimum=0.05, maximum=2.0, group=_DAMPER,
        reason="Between the mounts, pushed in to the metal.",
        help="Between the middles of the eyes, pushed in to the metal.",
    ),
    Input(
        name="extended_length", label="Extended length", symbol="L_e", quantity="length", unit="mm",
        default=0.480, minimum=0.06, maximum=3.0, group=_DAMPER,
        reason="Between the mounts, pulled out; above the closed length.",
        help="Between the middles of the eyes, pulled out.",
    ),
    Choice(
        name="spring_place", label="The spring stands",
        options=(Option("own", "on its own seats"), Option("damper", "around the damper")),
        help="Around the damper it has the damper's motion ratio.", group=_SPRING,
    ),
    _place("spring_lower_x", "Lower seat, along", "x_sl", 0.375, _SPRING, _OUT, _OWN),
    _place("spring_lower_y", "Lower seat, up", "y_sl", -0.020, _SPRING, _UP, _OWN),
    _place("spring_upper_x", "Upper seat, along", "x_su", 0.375, _SPRING, _OUT, _OWN),
    _place("spring_upper_y", "Upper seat, up", "y_su", 0.280, _SPRING, _UP, _OWN),
    Input(
        name="bump_travel", label="Bump travel of the wheel", symbol="z_b", quantity="length",
        unit="mm", default=0.090, minimum=0.005, maximum=0.6, group=_TRAVEL,
        reason="Upwards from ride height, until the stop is squeezed as far as it goes.",
        help="From ride height until the bump stop is squeezed as far as the worst load can.",
    ),
    Input(
        name="droop_travel", label="Droop travel of the wheel", symbol="z_d", quantity="length",
        unit="mm", default=0.070, minimum=0.0, maximum=0.6, group=_TRAVEL,
        reason="Downwards from ride height, as a positive number.",
        help="From ride height down to where strap, spring or stop holds the wheel.",
    ),
    Input(
        name="reserve", label="Stroke to spare at each end", symbol="e", quantity="length",
        unit="mm", default=0.005, minimum=0.0, maximum=0.1, group=_TRAVEL,
        reason="5 mm or more (common practice).",
        help="For soft bushes, bending brackets and tolerances; 5 mm or more (common practice).",
    ),
    Input(
        name="upper_limit", label="Permitted turn, upper bush", symbol="theta_ul", quantity="angle",
        unit="°", default=_USUAL_TURN, minimum=0.01, maximum=1.6, group=_BUSHES,
        reason="Either way from ride height; bonded rubber about 15° (common practice).",
        help="Twist of the rubber if its bolt lies across the drawing, cone if in it; its maker "
             "says how much.",
    ),
    Input(
        name="lower_limit", label="Permitted turn, lower bush", symbol="theta_ll", quantity="angle",
        unit="°", default=_USUAL_TURN, minimum=0.01, maximum=1.6, group=_BUSHES,
        reason="Either way from ride height; bonded rubber about 15° (common practice).",
        help="As above. A strut has no lower bush.", when=(("layout", ("arm", "beam")),),
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="damper_ratio", label="Motion ratio of the damper", symbol="MR_d",
           quantity="ratio", unit="1", headline=True,
           meaning="Damper travel over wheel travel at ride height, lean included."),
    Output(name="margin_closed", label="Left when the stop ends the travel", symbol="e_c",
           quantity="length", unit="mm", headline=True,
           meaning="Stroke that the damper still has at full bump; negative: it goes solid first."),
    Output(name="margin_extended", label="Left at full droop", symbol="e_e", quantity="length",
           unit="mm", headline=True,
           meaning="Stroke to full extension; negative: the wheel hangs on the damper."),
    Output(name="spring_ratio", label="Motion ratio of the spring", symbol="MR_s",
           quantity="ratio", unit="1",
           meaning="Spring travel over wheel travel at ride height."),
    Output(name="lean", label="Lean of the damper", symbol="theta", quantity="angle", unit="°",
           meaning="From upright at ride height; positive if its top is farther along than its foot."),
    Output(name="ride_length", label="Length at ride height", symbol="L_0", quantity="length",
           unit="mm", meaning="Between the damper's mounts."),
    Output(name="bump_ratio", label="Motion ratio of the damper at full bump", symbol="MR_b",
           quantity="ratio", unit="1",
           meaning="Below the one at ride height the damper weakens where it is needed most."),
    Output(name="droop_ratio", label="Motion ratio of the damper at full droop", symbol="MR_dr",
           quantity="ratio", unit="1", meaning="With the wheel hanging."),
    Output(name="shortest", label="Shortest length needed", symbol="L_min", quantity="length",
           unit="mm", meaning="Least distance of the mounts; the closed length must be below it."),
    Output(name="longest", label="Longest length needed", symbol="L_max", quantity="length",
           unit="mm", meaning="Largest distance; the extended length must be above it."),
    Output(name="stroke_needed", label="Stroke needed", symbol="s_n", quantity="length", unit="mm",
           meaning="Without the spare at both ends."),
    Output(name="stroke", label="Stroke of the damper", symbol="s", quantity="length", unit="mm",
           meaning="Extended less closed length."),
    Output(name="dead_length", label="Dead length", symbol="L_n", quantity="length", unit="mm",
           meaning="Closed length less stroke: eyes, piston, guide and gas must fit into it."),
    Output(name="dead_length_allowed", label="Dead length that the place allows", symbol="L_na",
           quantity="length", unit="mm",
           meaning="For a damper with exactly the stroke needed."),
    Output(name="upper_share", label="Use of the upper bush", symbol="S_u", quantity="percent",
           unit="%", meaning="Largest turn over the permitted one, clamped at ride height."),
    Output(name="lower_share", label="Use of the lower bush", symbol="S_l", quantity="percent",
           unit="%", meaning="The same at the lower end; a strut has none."),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mounts:
    """The linkage, and the mounts of damper and spring at ride height."""

    linkage: Linkage
    wheel: Point
    lower: Point
    upper: Point
    spring_lower: Point
    spring_upper: Point


def mounts(given: Given) -> Mounts:
    """Return the points that the reader gave."""

    def point(name: str) -> Point:
        return given[f"{name}_x"], given[f"{name}_y"]

    wheel, lower, upper = point("wheel"), point("lower"), point("upper")
    if upper[1] <= lower[1]:
        message = "The upper mount of the damper must stand above the lower one."
        raise ConflictError(message, inputs=("upper_y", "lower_y"))
    own = given.choice("spring_place") == "own"
    seats = (point("spring_lower"), point("spring_upper")) if own else (lower, upper)
    if seats[1][1] <= seats[0][1]:
        message = "The upper seat of the spring must stand above the lower one."
        raise ConflictError(message, inputs=("spring_upper_y", "spring_lower_y"))
    linkage: Linkage
    match given.choice("layout"):
        case "arm":
            linkage = TrailingArm(pivot=point("pivot"), wheel=wheel)
        case "strut":
            linkage = Strut(pivot=point("pivot"), joint=lower, top=upper, wheel=wheel)
        case _:
            linkage = BeamAxle()
    return Mounts(linkage, wheel, lower, upper, *seats)
