"""Mount geometry: motion ratios, lengths and angles of damper and spring over the travel."""

from __future__ import annotations

from math import atan2, cos, isclose, pi, sin
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import installation
from calculators.physics.linkage import BeamAxle, Strut, element_state, travel_table
from calculators.picture import Picture
from calculators.sheet import Column, Level, Measure, Sheet
from calculators.sheets._mount_form import INPUTS, OUTPUTS, Mounts, mounts
from calculators.sheets._mount_picture import draw_mounts, place

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.installation import Installation
    from calculators.physics.linkage import ElementState
    from calculators.picture import Sketch
    from calculators.sheet import Given, Result, Working
    from calculators.view import Units

__all__ = ["SHEET"]

_COLUMNS = (
    Column("Wheel travel", "z", "length", "mm"),
    Column("Damper", "L", "length", "mm"),
    Column("Its motion ratio", "MR_d", "ratio", "1"),
    Column("Its lean", "theta", "angle", "°"),
    Column("Spring", "L_s", "length", "mm"),
    Column("Its motion ratio", "MR_s", "ratio", "1"),
    Column("Upper bush", "theta_u", "angle", "°"),
    Column("Lower bush", "theta_l", "angle", "°"),
)
_BUSH_SHARE = 0.8  # our choice
_LEAST_RATIO = 0.5  # our choice, said in the text
_LEAST_DEAD_LENGTH = 0.1  # m, our choice, said in the text


def _damper(parts: Mounts, travels: tuple[float, ...]) -> tuple[ElementState, ...]:
    return travel_table(
        linkage=parts.linkage, moving=parts.lower, fixed=parts.upper, travels=travels
    )


def _spring(parts: Mounts, travels: tuple[float, ...]) -> tuple[ElementState, ...]:
    return travel_table(
        linkage=parts.linkage, moving=parts.spring_lower, fixed=parts.spring_upper, travels=travels
    )


def _travels(given: Given, count: int) -> tuple[float, ...]:
    return grid(-given["droop_travel"], given["bump_travel"], count)


def _turned(before: tuple[float, float], after: tuple[float, float]) -> float:
    """Return the angle from one direction to another, within half a turn."""
    turn = atan2(after[1], after[0]) - atan2(before[1], before[0])
    return (turn + pi) % (2.0 * pi) - pi


def _minus(end: tuple[float, float], start: tuple[float, float]) -> tuple[float, float]:
    return end[0] - start[0], end[1] - start[1]


def _carrier_ratio(arm: tuple[float, float], axis: tuple[float, float]) -> float:
    """Return how far the carrier of a strut turns for each turn of its control arm."""
    return -(arm[0] * axis[0] + arm[1] * axis[1]) / (axis[0] ** 2 + axis[1] ** 2)


def _show_lever(work: Working, parts: Mounts, travel: float, mark: str) -> None:
    """Record how far the wheel rises for each turn of the arm; `mark` ends the symbols."""
    if isinstance(parts.linkage, BeamAxle):
        return
    pivot = parts.linkage.pivot
    wheel = place(parts.linkage, parts.wheel, travel)
    lever = f"x_w{mark} - x_p"
    rise = wheel[0] - pivot[0]
    if isinstance(parts.linkage, Strut):
        joint = place(parts.linkage, parts.lower, travel)
        share = _carrier_ratio(_minus(joint, pivot), _minus(parts.upper, joint))
        work.step(
            "Turn of the carrier for each turn of the control arm",
            f"t{mark} = -((x_l{mark} - x_p)*(x_u - x_l{mark}) + "
            f"(y_l{mark} - y_p)*(y_u - y_l{mark}))/L{mark or '_0'}**2",
            share, quantity="ratio", source=element_state,
        )  # fmt: skip
        lever = f"x_l{mark} - x_p + t{mark}*(x_w{mark} - x_l{mark})"
        rise = joint[0] - pivot[0] + share * (wheel[0] - joint[0])
    work.step(
        "Rise of the wheel for each radian of the arm", f"h{mark} = {lever}", rise,
        quantity="length", unit="mm", source=element_state,
    )  # fmt: skip


def _damper_ratio(parts: Mounts, mark: str, length: str, travel: str) -> str:
    if isinstance(parts.linkage, BeamAxle):
        return f"(y_u - y_l{travel})/{length}"
    return (
        f"((x_l{mark} - x_p)*(y_u - y_l{mark}) - (y_l{mark} - y_p)*(x_u - x_l{mark}))"
        f"/(h{mark}*{length})"
    )


def _spring_ratio(parts: Mounts) -> str:
    if isinstance(parts.linkage, BeamAxle):
        return "(y_su - y_sl)/L_s"
    if isinstance(parts.linkage, Strut):
        across = "(y_l - y_p + t*(y_sl - y_l))*(x_su - x_sl)"
        return f"((x_l - x_p + t*(x_sl - x_l))*(y_su - y_sl) - {across})/(h*L_s)"
    return "((x_sl - x_p)*(y_su - y_sl) - (y_sl - y_p)*(x_su - x_sl))/(h*L_s)"


def _show_end(work: Working, parts: Mounts, words: str, mark: str, travel: float) -> ElementState:
    """Record length and motion ratio of the damper at one end of the travel."""
    (state,) = _damper(parts, (travel,))
    name, up = ("z_b", " - z_b") if mark == "_b" else ("z_d", " + z_d")
    if isinstance(parts.linkage, BeamAxle):
        work.step(
            f"Damper at {words}", f"L{mark} = sqrt((x_u - x_l)**2 + (y_u - y_l{up})**2)",
            state.length, quantity="length", unit="mm", source=element_state,
        )  # fmt: skip
    else:
        _show_place(work, parts, words, mark, travel, name)
        work.step(
            f"Damper at {words}",
            f"L{mark} = sqrt((x_u - x_l{mark})**2 + (y_u - y_l{mark})**2)",
            state.length, quantity="length", unit="mm", source=element_state,
        )  # fmt: skip
        _show_lever(work, parts, travel, mark)
    ratio = "MR_b" if mark == "_b" else "MR_dr"
    work.step(
        f"Motion ratio of the damper at {words}",
        f"{ratio} = {_damper_ratio(parts, mark, f'L{mark}', up)}",
        state.motion_ratio, quantity="ratio", source=element_state,
    )  # fmt: skip
    return state


def _show_place(
    work: Working, parts: Mounts, words: str, mark: str, travel: float, name: str
) -> None:
    """Record where the lower mount is at a travel, and that the wheel has that travel."""
    linkage = parts.linkage
    if isinstance(linkage, BeamAxle):
        return
    strut = isinstance(linkage, Strut)
    pivot, carried = linkage.pivot, parts.lower if strut else parts.wheel
    arm = 0.0 if travel == 0.0 else _turned(
        _minus(carried, pivot), _minus(place(linkage, carried, travel), pivot)
    )  # fmt: skip
    work.let(f"phi{mark}", arm, quantity="angle", unit="°")
    lower = _rotated(pivot, _minus(parts.lower, pivot), arm)
    turned = f"cos(phi{mark})", f"sin(phi{mark})"
    for axis, value, formula in (
        ("x", lower[0], f"(x_l - x_p)*{turned[0]} - (y_l - y_p)*{turned[1]}"),
        ("y", lower[1], f"(x_l - x_p)*{turned[1]} + (y_l - y_p)*{turned[0]}"),
    ):
        work.step(
            f"Lower mount at {words}", f"{axis}_l{mark} = {axis}_p + {formula}", value,
            quantity="length", unit="mm", source=element_state,
        )  # fmt: skip
    angle, turn, about, foot, origin, start = f"phi{mark}", arm, "p", "x_p", pivot, ""
    if strut:  # the wheel turns with the carrier, about the joint
        (state,) = _damper(parts, (travel,))
        angle, turn, about, foot, origin = (
            f"gamma{mark}", state.twist_fixed, "l", f"x_l{mark}", lower,
        )  # fmt: skip
        start = f"y_l{mark} - y_l + "
        work.let(angle, turn, quantity="angle", unit="°")
    across, up = f"(x_w - x_{about})", f"(y_w - y_{about})"
    rise = f"{start}{across}*sin({angle}) + {up}*(cos({angle}) - 1)"
    work.step(
        f"Balance: turned so far, the wheel stands at {words}",
        f"{name} = -({rise})" if name == "z_d" else f"{name} = {rise}",
        abs(travel), quantity="length", unit="mm", source=element_state,
    )  # fmt: skip
    wheel = _rotated(origin, _minus(parts.wheel, parts.lower if strut else pivot), turn)
    work.step(
        f"Wheel centre at {words}",
        f"x_w{mark} = {foot} + {across}*cos({angle}) - {up}*sin({angle})", wheel[0],
        quantity="length", unit="mm", source=element_state,
    )  # fmt: skip


def _rotated(
    about: tuple[float, float], reach: tuple[float, float], turn: float
) -> tuple[float, float]:
    return (
        about[0] + reach[0] * cos(turn) - reach[1] * sin(turn),
        about[1] + reach[0] * sin(turn) + reach[1] * cos(turn),
    )


def _show_ride(work: Working, parts: Mounts) -> tuple[ElementState, ElementState]:
    """Record lengths, ratios and lean at ride height; return damper and spring."""
    (damper,), (spring,) = _damper(parts, (0.0,)), _spring(parts, (0.0,))
    work.step(
        "Length of the damper at ride height", "L_0 = sqrt((x_u - x_l)**2 + (y_u - y_l)**2)",
        damper.length, quantity="length", unit="mm", source=element_state,
    )  # fmt: skip
    work.step("Lean of the damper", "theta = atan((x_u - x_l)/(y_u - y_l))", damper.lean,
              quantity="angle", unit="°", source=element_state)  # fmt: skip
    _show_lever(work, parts, 0.0, "")
    work.step(
        "Motion ratio of the damper at ride height",
        f"MR_d = {_damper_ratio(parts, '', 'L_0', '')}",
        damper.motion_ratio, quantity="ratio", source=element_state,
    )  # fmt: skip
    if parts.spring_lower == parts.lower and parts.spring_upper == parts.upper:
        formula = "MR_s = MR_d"
    else:
        work.step(
            "Length of the spring at ride height",
            "L_s = sqrt((x_su - x_sl)**2 + (y_su - y_sl)**2)",
            spring.length, quantity="length", unit="mm", source=element_state,
        )  # fmt: skip
        formula = f"MR_s = {_spring_ratio(parts)}"
    work.step("Motion ratio of the spring at ride height", formula, spring.motion_ratio,
              quantity="ratio", source=element_state)  # fmt: skip
    return damper, spring


def _show_room(
    work: Working, fit: Installation, ends: tuple[ElementState, ElementState]
) -> Mapping[str, float]:
    """Record the lengths needed, and what the damper has left."""
    source = installation.damper_installation
    for name, words, best, value in (
        ("min", "Shortest", min, fit.shortest), ("max", "Longest", max, fit.longest),
    ):  # fmt: skip
        known = ["L_b", "L_dr"]
        if not isclose(best(state.length for state in ends), value, rel_tol=1e-10):
            work.let(f"L_i{name}", value, quantity="length", unit="mm")
            known.append(f"L_i{name}")
        work.step(f"{words} length over the travel", f"L_{name} = {name}({', '.join(known)})", value,
                  quantity="length", unit="mm", source=source)  # fmt: skip

    def length(words: str, formula: str, value: float) -> float:
        return work.step(words, formula, value, quantity="length", unit="mm", source=source)

    return {
        "margin_closed": length("Left at full bump", "e_c = L_min - L_c", fit.margin_closed),
        "margin_extended": length("Left at full droop", "e_e = L_e - L_max", fit.margin_extended),
        "stroke_needed": length("Stroke needed", "s_n = L_max - L_min", fit.stroke_needed),
        "stroke": length("Stroke of the damper", "s = L_e - L_c", fit.stroke),
        "dead_length": length("Dead length", "L_n = L_c - s", fit.dead_length),
        "dead_length_allowed": length("Dead length that the place allows",
                                      "L_na = 2*L_min - L_max", fit.dead_length_allowed),
        "shortest": fit.shortest,
        "longest": fit.longest,
    }  # fmt: skip


def _show_bushes(
    work: Working, given: Given, states: tuple[ElementState, ...]
) -> Mapping[str, float | None]:
    shares: dict[str, float | None] = {"upper_share": None, "lower_share": None}
    for end, mark, angles in (
        ("upper", "u", tuple(state.twist_fixed for state in states)),
        ("lower", "l", tuple(state.twist_moving for state in states)),
    ):
        limit = given.numbers.get(f"{end}_limit")
        if limit is None:
            continue
        use = installation.bush_use(angles=angles, limit=limit)
        work.let(f"theta_{mark}", use.largest, quantity="angle", unit="°")
        shares[f"{end}_share"] = work.step(
            f"Use of the {end} bush: its largest turn from ride height over the permitted one",
            f"S_{mark} = theta_{mark}/theta_{mark}l", use.share, quantity="percent", unit="%",
            source=installation.bush_use,
        )  # fmt: skip
        work.finding(*_bush_words(end, use.share), turn=Measure(use.largest, "angle", "°"))
    return shares


def _bush_words(end: str, share: float) -> tuple[Level, str]:
    limit = f"of the permitted {{{end}_limit}}"
    if share > 1.0:
        return Level.DO_NOT_BUILD, (
            f"The {end} bush turns by {{turn}}, {{{end}_share}} {limit}: bonded rubber tears. Take "
            "a bush that slides or a spherical bearing, or place the mount differently."
        )
    if share > _BUSH_SHARE:
        return Level.LOOK_CLOSER, (
            f"The {end} bush turns by {{turn}}, {{{end}_share}} {limit}; tighten it at ride height "
            "and nowhere else."
        )
    return Level.FINE, (
        f"The {end} bush turns by {{turn}}, {{{end}_share}} {limit}, if it is tightened at ride "
        "height."
    )


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    parts = mounts(given)
    fit = installation.damper_installation(
        linkage=parts.linkage, moving=parts.lower, fixed=parts.upper,
        bump_travel=given["bump_travel"], droop_travel=given["droop_travel"],
        closed_length=given["closed_length"], extended_length=given["extended_length"],
        reserve=given["reserve"],
    )  # fmt: skip
    damper, spring = _show_ride(work, parts)
    bump = _show_end(work, parts, "full bump", "_b", given["bump_travel"])
    droop = _show_end(work, parts, "full droop", "_dr", -given["droop_travel"])
    room = _show_room(work, fit, (bump, droop))
    _judge_room(work, fit)
    _judge_ratio(work, fit, damper, bump)
    states = _damper(parts, _travels(given, installation.STEPS + 1))
    shares = _show_bushes(work, given, states)
    _table(work, given, parts)
    return {
        "damper_ratio": damper.motion_ratio,
        "spring_ratio": spring.motion_ratio,
        "lean": damper.lean,
        "ride_length": damper.length,
        "bump_ratio": bump.motion_ratio,
        "droop_ratio": droop.motion_ratio,
        **room,
        **shares,
    }


def _judge_room(work: Working, fit: Installation) -> None:
    if fit.margin_closed < 0.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "At full bump the mounts are only {shortest} apart, and the damper ends at "
            "{closed_length}: it goes solid before the stop is squeezed, and rod, valves and mounts "
            "take the blow. Take a shorter damper, move a mount, or let the stop end the travel "
            "earlier.",
        )
    elif not fit.stop_ends_travel:
        work.finding(
            Level.LOOK_CLOSER,
            "The stop ends the travel with only {margin_closed} of stroke left; {reserve} was to be "
            "spared.",
        )
    else:
        work.finding(
            Level.FINE,
            "The bump stop ends the travel, not the damper: {margin_closed} of stroke are left.",
        )
    if fit.margin_extended < 0.0:
        work.finding(
            Level.LOOK_CLOSER,
            "At full droop the mounts would be {longest} apart, more than the extended "
            "{extended_length}: the wheel hangs on the damper. Fit a strap, or take a damper that "
            "is longer, or one that is made to carry this.",
        )
    elif not fit.reaches_droop:
        work.finding(
            Level.LOOK_CLOSER,
            "Only {margin_extended} are left at full droop; {reserve} was to be spared.",
        )
    if fit.dead_length < _LEAST_DEAD_LENGTH:
        work.finding(
            Level.LOOK_CLOSER,
            "The dead length is {dead_length}. Eyes, piston, rod guide and gas seldom fit into less "
            "than {least} (our figure): check the two lengths with the maker.",
            least=Measure(_LEAST_DEAD_LENGTH, "length", "mm"),
        )


def _judge_ratio(work: Working, fit: Installation, ride: ElementState, bump: ElementState) -> None:
    if not fit.one_way:
        work.finding(
            Level.DO_NOT_BUILD,
            "Within the travel the damper turns back or stands still while the wheel moves on: "
            "there it does nothing. Move a mount.",
        )
    elif bump.motion_ratio < 0.9 * ride.motion_ratio:
        work.finding(
            Level.LOOK_CLOSER,
            "The motion ratio falls from {damper_ratio} to {bump_ratio} at full bump: the damper "
            "weakens, by the square of that, where it is needed most. Lean it so that it comes "
            "nearer to square with the arm there.",
        )
    elif ride.motion_ratio < _LEAST_RATIO:
        work.finding(
            Level.LOOK_CLOSER,
            "A motion ratio of {damper_ratio} is low (our limit is 0.5): the damper needs a large "
            "force over a short stroke, and every give in its bushes counts double.",
        )
    else:
        work.finding(
            Level.FINE,
            "The motion ratio is {damper_ratio} at ride height and {bump_ratio} at full bump.",
        )
    if abs(ride.lean) > pi / 4.0:
        work.finding(
            Level.LOOK_CLOSER,
            "The damper leans {lean}, more than 45°: its ratio changes fast with the travel, and a "
            "twin-tube may draw gas.",
        )


def _table(work: Working, given: Given, parts: Mounts) -> None:
    travels = _travels(given, 9)
    strut = isinstance(parts.linkage, Strut)
    work.table(
        "travel", "Over the travel of the wheel", _COLUMNS,
        tuple(
            (one.travel, one.length, one.motion_ratio, one.lean, other.length, other.motion_ratio,
             one.twist_fixed, None if strut else one.twist_moving)
            for one, other in zip(_damper(parts, travels), _spring(parts, travels), strict=True)
        ),
    )  # fmt: skip


def _draw_ratio(result: Result) -> Drawing:
    parts, travels = mounts(result.given), _travels(result.given, 61)
    curves = [
        Curve("damper", "accent", travels,
              tuple(state.motion_ratio for state in _damper(parts, travels))),
    ]  # fmt: skip
    if result.given.choice("spring_place") == "own":
        spring = tuple(state.motion_ratio for state in _spring(parts, travels))
        curves.append(Curve("spring", "steel", travels, spring))
    ride = Point("ride height", 0.0, result.outputs["damper_ratio"] or 0.0)
    return Drawing(tuple(curves), (ride,))


def _draw_length(result: Result) -> Drawing:
    given = result.given
    parts, travels = mounts(given), _travels(given, 61)
    ends = travels[0], travels[-1]
    return Drawing(
        (
            Curve("between the mounts", "accent", travels,
                  tuple(state.length for state in _damper(parts, travels))),
            Curve("extended", "rebound", ends, (given["extended_length"],) * 2),
            Curve("closed", "compression", ends, (given["closed_length"],) * 2),
        ),
        (Point("ride height", 0.0, result.outputs["ride_length"] or 0.0),),
    )  # fmt: skip


def _draw_picture(result: Result, units: Units) -> Sketch:
    return draw_mounts(result.given, mounts(result.given), units)


SHEET = Sheet(
    name="mount-geometry",
    title="Mount geometry",
    question="How do damper and spring move with the wheel, and is there room for the damper?",
    page="calculate/mount-geometry.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="ratio", title="Motion ratio over the travel",
            statement="Bump is to the right: a curve that falls there makes damper or spring "
                      "weaker just where the travel ends.",
            x=Axis("Wheel travel", "length", "mm", like="bump_travel"),
            y=Axis("Motion ratio", "ratio", "1", like="damper_ratio"), draw=_draw_ratio,
        ),
        Chart(
            name="length", title="Room for the damper over the travel",
            statement="The distance of the mounts must stay between the closed and the extended "
                      "length over the whole travel.",
            x=Axis("Wheel travel", "length", "mm", like="bump_travel"),
            y=Axis("Length", "length", "mm", like="ride_length"), draw=_draw_length,
        ),
    ),
    pictures=(
        Picture(
            name="linkage", title="The linkage to scale",
            statement="All points are to scale; the widths of tube, rod and spring are not. The "
                      "slider runs from full droop to full bump and back.",
            draw=_draw_picture,
        ),
    ),
    limits=(
        "One plane: a damper that also leans out of it has a ratio smaller by the cosine of that lean.",
        "Rigid parts and points; bushes and brackets that give take part of the spare stroke.",
        "Bushes by one angle alone; twist, cone and load together wear them more.",
        "For information: check the real vehicle over its whole travel, without springs, before driving.",
    ),
)  # fmt: skip
