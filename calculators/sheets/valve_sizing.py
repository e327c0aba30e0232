"""Valve sizing: from a table of forces to holes, ports, preload and stack compliance that can be made."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import drill, network, shim, sizing
from calculators.physics.area import circle_area
from calculators.physics.fluid import Oil
from calculators.physics.gas import P_ATM
from calculators.physics.valving import FootTask, ForceTarget, SizedDamper, size_damper
from calculators.sheet import Level, Measure, Sheet
from calculators.sheets._valve_form import INPUTS, OUTPUTS
from calculators.sheets._valve_working import (
    show_bleed,
    show_deviation,
    show_disc,
    show_drops,
    show_fastest,
    show_ports,
    show_tables,
    worst_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_PORT_COUNTS = (3, 4, 6, 8)  # 1, ports that stand evenly round a piston (common practice)
_OVERHANG = 1e-3  # m, shim diameter beyond that of the seat edge (common practice)
_MODULUS, _POISSON = 210e9, 0.3  # Pa and 1, spring steel (common practice)
_FAR_STACK = 1.5  # 1, compliance over the wanted one, either way, that is worth a word; ours
_CLOSE = 0.10  # 1, deviation that is still called met (common practice: maker's band)


@lru_cache(maxsize=8)
def _size(
    target: ForceTarget,
    bore: float,
    rod: float,
    frames: tuple[sizing.ValveFrame, sizing.ValveFrame],
    fluid: Oil,
    step: float,
    foot: FootTask | None,
) -> SizedDamper:
    return size_damper(
        target=target,
        piston_diameter=bore,
        rod_diameter=rod,
        frames=frames,
        oil=fluid,
        preload_step=step,
        foot=foot,
    )


def _single(given: Given, disc: str, clamp: str) -> float:
    """Return the compliance of one shim of the thinnest sort, pressed from clamp to seat."""
    return shim.stack_compliance(
        clamp_diameter=given[clamp], diameters=(given[disc] + _OVERHANG,),
        thicknesses=(drill.SHIM_THICKNESSES[0],), youngs_modulus=_MODULUS, poisson_ratio=_POISSON,
        port_inner_diameter=given[clamp], port_outer_diameter=given[disc], seat_diameter=given[disc],
    )  # fmt: skip


def _frame(
    given: Given,
    disc: str,
    clamp: str = "",
    *,
    room: str = "port_room",
    lift: str = "max_lift",
) -> sizing.ValveFrame:
    """Return the room of one valve; the ports that fit never take more than it."""
    largest = int(given["largest_port"] / drill.DRILL_STEP + 1e-9) * drill.DRILL_STEP
    most = max(_PORT_COUNTS) * circle_area(diameter=largest)
    return sizing.ValveFrame(
        given[disc],
        given[lift],
        min(given[room], most),
        port_counts=_PORT_COUNTS,
        largest_port=largest,
        single_shim=_single(given, disc, clamp) if clamp else 0.0,
    )


def _sized(given: Given) -> SizedDamper:
    rows = given.rows("target")
    foot = None
    if given.choice("foot") == "foot":
        foot = FootTask(
            given["foot_ratio"],
            _frame(given, "foot_disc", "foot_clamp", room="foot_room"),
            _frame(given, "intake_disc", room="intake_room", lift="intake_lift"),
            given["intake_drop"],
        )
    target = ForceTarget(
        tuple(row[0] for row in rows), tuple(row[1] for row in rows), tuple(row[2] for row in rows)
    )
    frames = (
        _frame(given, "disc_compression", "clamp_diameter"),
        _frame(given, "disc_rebound", "clamp_diameter"),
    )
    return _size(
        target,
        given["bore"],
        given["rod_diameter"],
        frames,
        Oil(given["density"], given["viscosity"]),
        given["preload_step"],
        foot,
    )


def _check(given: Given) -> None:
    if given["rod_diameter"] >= given["bore"]:
        message = "The rod is not thinner than the piston: correct one of the two."
        raise ConflictError(message, inputs=("rod_diameter",))
    for name in ("disc_compression", "disc_rebound"):
        if given[name] >= given["bore"]:
            message = "The disc is not smaller than the piston: it is measured at its seat."
            raise ConflictError(message, inputs=(name,))
    clamps = [(name, "clamp_diameter") for name in ("disc_compression", "disc_rebound")]
    if given.choice("foot") == "foot":
        clamps.append(("foot_disc", "foot_clamp"))
    for disc, clamp in clamps:
        if given[clamp] >= given[disc]:
            message = "The clamp is not smaller than the disc: nothing of the shims could lift."
            raise ConflictError(message, inputs=(clamp, disc))
    for column, words in enumerate(("speed", "compression force", "rebound force")):
        values = [row[column] for row in given.rows("target")]
        for number, (low, high) in enumerate(pairwise(values), start=2):
            if high <= low:
                message = (
                    f"Target table, row {number}: the {words} does not rise. A valve can only make "
                    f"forces that rise with the speed."
                )
                raise ConflictError(message, inputs=("target",))


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    _check(given)
    try:
        sized = _sized(given)
    except ConflictError as error:  # in the physics' words, beside the input that lets it go
        name = "intake_drop" if "intake_drop" in error.inputs else "port_room"
        raise ConflictError(str(error), inputs=(name,)) from error
    flow = show_drops(given, work)
    outputs: dict[str, float | None] = {"bleed_diameter": show_bleed(work, sized.compression)}
    valves = [("compression", "c", sized.compression), ("rebound", "r", sized.rebound)]
    for words, mark, made in valves:
        outputs[f"port_{words}"] = show_ports(work, words, mark, made)
        outputs |= show_disc(given, work, words, mark, made)
        show_fastest(given, work, words, mark, made, flow)
    if sized.foot is not None:
        outputs |= show_disc(given, work, "foot", "f", sized.foot)
    else:
        outputs |= {"crack_foot": None, "compliance_foot": None}
    for words, mark in (("compression", "c"), ("rebound", "r")):
        outputs[f"deviation_{words}"] = show_deviation(given, work, sized, words, mark)
    show_tables(given, work, sized)
    _judge(given, work, sized)
    return outputs


def _judge(given: Given, work: Working, sized: SizedDamper) -> None:
    bleed, inward, outward = sized.compression.bleed, sized.compression.ports, sized.rebound.ports
    work.finding(
        Level.FINE,
        f"Drill {bleed.count} × {{bleed_diameter}} as bleed, {inward.count} × {{port_compression}} "
        f"as compression ports, "
        f"{outward.count} × {{port_rebound}} as rebound ports. The table of sizes names the shims.",
    )
    valves = [("compression", sized.compression), ("rebound", sized.rebound)]
    if sized.foot is not None:
        valves.append(("foot valve", sized.foot))
    for words, made in valves:
        wanted, real = made.ideal.compliance, made.valve.compliance
        if not 1.0 / _FAR_STACK < real / wanted < _FAR_STACK:
            work.finding(
                Level.LOOK_CLOSER,
                f"The {words} wants a stack of {{wanted}}; the nearest of equal shims has {{real}}. "
                "Another clamp or seat diameter, or a tapered stack, comes nearer.",
                wanted=Measure(wanted, "compliance", "mm/MPa"),
                real=Measure(real, "compliance", "mm/MPa"),
            )
    close = True
    for words in ("compression", "rebound"):
        speed, _, _, deviation = worst_of(sized, words)
        if abs(deviation) > _CLOSE:
            close = False
            more = "more" if deviation > 0.0 else "less"
            work.finding(
                Level.LOOK_CLOSER,
                f"In {words} the made damper gives {{deviation_{words}}} {more} than wanted at "
                f"{{speed}}: no valve of this kind follows the target there. Give it more room, "
                f"change the target, or accept it.",
                speed=Measure(speed, "velocity", "m/s"),
            )
    if close:
        work.finding(
            Level.FINE,
            "At every speed the made damper is within 10 % of the target ({deviation_compression} "
            "in compression, {deviation_rebound} in rebound at worst).",
        )
    _judge_room(given, work, sized, close=close)


def _judge_room(given: Given, work: Working, sized: SizedDamper, *, close: bool) -> None:
    frames = (
        ("compression", sized.compression, _frame(given, "disc_compression")),
        ("rebound", sized.rebound, _frame(given, "disc_rebound")),
    )
    full = [
        words for words, made, frame in frames if made.ideal.port_area > 0.98 * frame.port_limit
    ]
    if full:
        level = Level.FINE if close else Level.LOOK_CLOSER
        work.finding(
            level,
            f"The {' and '.join(full)} ports take all the room there is: the target hardly reaches "
            f"the range where ports set the force, or it wants more of them. What counts is the "
            f"deviation.",
        )
    wanted, made = sized.compression.ideal.bleed_area, sized.compression.bleed.area
    if not 0.9 < made / wanted < 1.1:  # noqa: PLR2004  as far as the force may be off
        work.finding(
            Level.LOOK_CLOSER,
            "No drill comes near the bleed that fits best: at low speed the damper is off its "
            "target. A notch in the seat or a slotted shim can be made finer.",
        )


def _draw_forces(result: Result) -> Drawing:
    given, sized = result.given, _sized(result.given)
    rows = given.rows("target")
    speeds = (0.0, *grid(rows[0][0] / 2.0, rows[-1][0], 48))
    fluid = Oil(given["density"], given["viscosity"])
    curves, points = [], []
    for words, column, sign in (("compression", 1, 1.0), ("rebound", 2, -1.0)):
        made = network.force_velocity_curve(
            damper=sized.damper,
            velocities=tuple(sign * speed for speed in speeds),
            gas_pressure=P_ATM,
            oil=fluid,
        )
        curves.append(Curve(words, words, speeds, made.damping_force))
        points += [Point("", row[0], sign * row[column]) for row in rows]
    return Drawing(tuple(curves), tuple(points))


SHEET = Sheet(
    name="valve-sizing",
    title="Valve sizing",
    question="Which holes, ports, preloads and stacks bring the damper to this table of forces?",
    page="calculate/valve-sizing.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="forces", title="Target and made damper",
            statement="The lines are what the made sizes give, the dots are the target. Where they "
            "part, the rounding or the kind of valve sets the limit. Compression is drawn upward, "
            "rebound downward.",
            x=Axis("Rod speed", "velocity", "m/s"), y=Axis("Force at the damper", "force", "N"),
            draw=_draw_forces,
        ),
    ),
    limits=(
        ("One oil temperature; the flow-element sheet shows what the cold and the hot oil do to "
        "each hole."),
        ("Whether the oil cavitates is a question of its own: without a foot valve the largest "
        "compression force is about the gas pressure times the piston area round the rod."),
        ("Shims of one valve are equal, pressed on from the clamp to the seat, 1 mm larger than the seat; the "
        "shim-stack sheet takes tapered stacks and other bands, and gives the stress."),
        ("Discharge coefficient 0.61, sharp edges, no leak beside the piston; the first made piece "
        "on the bench decides."),
        "The drilled area may exceed the room by half a drill step.",
    ),
    on_request=True,
)  # fmt: skip
