"""Valve sizing: from a table of forces to holes, ports, preload and stack compliance that can be made."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from math import pi
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import drill, network, orifice, pair, sizing, valve
from calculators.physics.area import annulus_area, circle_area
from calculators.physics.fluid import Oil
from calculators.physics.gas import P_ATM
from calculators.physics.valving import FootTask, ForceTarget, SizedDamper, size_damper
from calculators.sheet import Level, Measure, Sheet
from calculators.sheets._valve_form import FORCES, INPUTS, OUTPUTS, SIZES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_PORT_COUNTS = (3, 4, 6, 8)  # 1, ports that stand evenly round a piston (common practice)
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


def _frame(
    given: Given, disc: str, room: str = "port_room", lift: str = "max_lift"
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
    )


def _sized(given: Given) -> SizedDamper:
    rows = given.rows("target")
    foot = None
    if given.choice("foot") == "foot":
        foot = FootTask(
            given["foot_ratio"],
            _frame(given, "foot_disc", "foot_room"),
            _frame(given, "intake_disc", "intake_room", "intake_lift"),
            given["intake_drop"],
        )
    target = ForceTarget(
        tuple(row[0] for row in rows), tuple(row[1] for row in rows), tuple(row[2] for row in rows)
    )
    frames = (_frame(given, "disc_compression"), _frame(given, "disc_rebound"))
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
    flow = _show_drops(given, work)
    outputs: dict[str, float | None] = {"bleed_diameter": _show_bleed(work, sized.compression)}
    valves = [("compression", "c", sized.compression), ("rebound", "r", sized.rebound)]
    for words, mark, made in valves:
        outputs[f"port_{words}"] = _show_ports(work, words, mark, made)
        outputs |= _show_disc(given, work, words, mark, made)
        _show_fastest(given, work, words, mark, made, flow)
    if sized.foot is not None:
        outputs |= _show_disc(given, work, "foot", "f", sized.foot)
    else:
        outputs |= {"crack_foot": None, "compliance_foot": None}
    for words, mark in (("compression", "c"), ("rebound", "r")):
        outputs[f"deviation_{words}"] = _show_deviation(given, work, sized, words, mark)
    _tables(given, work, sized)
    _judge(given, work, sized)
    return outputs


def _show_drops(given: Given, work: Working) -> float:
    """Record which flow and which drops the fastest line of the table asks for; return the flow."""
    speed, compression, rebound = given.rows("target")[-1]
    ring = work.step(
        "Area of the piston round the rod",
        "A_a = pi*(D**2 - d**2)/4",
        annulus_area(outer_diameter=given["bore"], inner_diameter=given["rod_diameter"]),
        quantity="area",
        unit="mm²",
        source=annulus_area,
    )
    work.let("v_n", speed, quantity="velocity")
    work.let("F_cn", compression, quantity="force")
    work.let("F_rn", rebound, quantity="force")
    work.step(
        "Flow through the piston at the highest speed",
        "Q_n = A_a*v_n",
        ring * speed,
        quantity="volume_flow",
        unit="L/min",
        source=network.operating_point,
    )
    below, formula = ring, "p_cn = F_cn/A_a"
    if given.choice("foot") == "foot":
        rod = work.step(
            "Rod section",
            "A_r = pi*d**2/4",
            circle_area(diameter=given["rod_diameter"]),
            quantity="area",
            unit="mm²",
            source=circle_area,
        )
        below, formula = ring + given["foot_ratio"] * rod, "p_cn = F_cn/(A_a + r*A_r)"
    work.step(
        "Drop wanted there, compression",
        formula,
        compression / below,
        quantity="pressure_difference",
        unit="bar",
        source=network.operating_point,
    )
    work.step(
        "Drop wanted there, rebound",
        "p_rn = F_rn/A_a",
        rebound / ring,
        quantity="pressure_difference",
        unit="bar",
        source=network.operating_point,
    )
    return ring * speed


def _drilled(work: Working, label: str, symbol: str, diameter: float) -> float:
    """Record a diameter as a whole number of drill steps."""
    work.let(f"k_{symbol}", round(diameter / drill.DRILL_STEP), quantity="count")
    return work.step(
        label,
        f"d_{symbol} = k_{symbol}*0.0001",
        diameter,
        quantity="length",
        unit="mm",
        source=drill.nearest_drilling,
    )


def _show_bleed(work: Working, made: sizing.MadeValve) -> float:
    work.let("A_b", made.ideal.bleed_area, quantity="area", unit="mm²")
    work.let("n_b", made.bleed.count, quantity="count")
    work.step(
        "Bleed: one hole of the area that fits best would be",
        "d_b0 = sqrt(4*A_b/pi)",
        (4.0 * made.ideal.bleed_area / pi) ** 0.5,
        quantity="length",
        unit="mm",
        source=sizing.fit_valves,
    )
    diameter = _drilled(work, "Bleed hole, in drill steps of 0.1 mm", "b", made.bleed.diameter)
    work.step(
        "Bleed area made",
        "A_bm = n_b*pi*d_b**2/4",
        made.bleed.area,
        quantity="area",
        unit="mm²",
        source=drill.nearest_drilling,
    )
    return diameter


def _show_ports(work: Working, words: str, mark: str, made: sizing.MadeValve) -> float:
    work.let(f"A_p{mark}", made.ideal.port_area, quantity="area", unit="mm²")
    work.let(f"n_p{mark}", made.ports.count, quantity="count")
    work.step(
        f"Ports, {words}: the area that fits best, in {made.ports.count} holes",
        f"d_p{mark}0 = sqrt(4*A_p{mark}/(pi*n_p{mark}))",
        (4.0 * made.ideal.port_area / (pi * made.ports.count)) ** 0.5,
        quantity="length",
        unit="mm",
        source=sizing.fit_valves,
    )
    return _drilled(
        work, f"Port, {words}, in drill steps of 0.1 mm", f"p{mark}", made.ports.diameter
    )


def _show_disc(
    given: Given, work: Working, words: str, mark: str, made: sizing.MadeValve
) -> dict[str, float | None]:
    """Record crack pressure and compliance, as the last fit left them."""
    built, name = made.valve, "foot valve" if words == "foot" else words
    work.let(f"k_{mark}", round(built.crack_pressure / given["preload_step"]), quantity="count")
    crack = work.step(
        f"Crack pressure, {name}, in whole steps",
        f"p_c{mark} = k_{mark}*p_1",
        built.crack_pressure,
        quantity="pressure_difference",
        unit="bar",
        source=drill.nearest_step,
    )
    work.let(f"p_y{mark}", built.full_lift_drop, quantity="pressure_difference", unit="bar")
    compliance = work.step(
        f"Compliance, {name}: the disc that fits best reaches its stop at this drop",
        f"C_{mark} = y_m/(p_y{mark} - p_c{mark})",
        built.compliance,
        quantity="compliance",
        unit="mm/MPa",
        source=sizing.fit_valves,
    )
    return {f"crack_{words}": crack, f"compliance_{words}": compliance}


def _show_fastest(
    given: Given, work: Working, words: str, mark: str, made: sizing.MadeValve, flow: float
) -> None:
    """Record how ports and disc share the drop at the highest speed."""
    built = made.valve
    state = pair.valve_state(valve=built, flow=flow, oil=Oil(given["density"], given["viscosity"]))
    work.let("C_d", built.discharge_coefficient, quantity="ratio")
    work.let(f"Q_d{mark}", state.disc_flow, quantity="volume_flow", unit="L/min")
    work.let(f"p_x{mark}", state.disc_drop, quantity="pressure_difference", unit="bar")
    work.step(
        f"Area of the ports made, {words}",
        f"A_{mark} = n_p{mark}*pi*d_p{mark}**2/4",
        built.port_area,
        quantity="area",
        unit="mm²",
        source=drill.nearest_drilling,
    )
    work.step(
        f"Drop of the ports at the highest speed, {words}",
        f"p_p{mark} = rho*Q_d{mark}**2/(2*C_d**2*A_{mark}**2) + "
        f"mu*Q_d{mark}/(2*0.2**2*A_{mark}*d_p{mark})",
        state.port_drop,
        quantity="pressure_difference",
        unit="bar",
        source=orifice.orifice_pressure_drop,
    )
    work.step(
        f"With the drop at the disc: the drop made, {words}",
        f"p_m{mark} = p_x{mark} + p_p{mark}",
        state.pressure_drop,
        quantity="pressure_difference",
        unit="bar",
        source=valve.valve_pressure_drop,
    )


def _worst(sized: SizedDamper, words: str) -> tuple[float, float, float, float]:
    """Return speed, target force, made force and deviation where the deviation is largest."""
    deviations = getattr(sized, f"deviation_{words}")
    index = max(range(len(deviations)), key=lambda place: abs(deviations[place]))
    made = getattr(sized, f"force_{words}")[index]
    return sized.speeds[index], made / (1.0 + deviations[index]), made, deviations[index]


def _show_deviation(
    given: Given, work: Working, sized: SizedDamper, words: str, mark: str
) -> float:
    _, wanted, made, deviation = _worst(sized, words)
    column = 1 if words == "compression" else 2
    wanted = min(
        (row[column] for row in given.rows("target")), key=lambda force: abs(force - wanted)
    )
    work.let(f"F_{mark}m", made, quantity="force")
    work.let(f"F_{mark}w", wanted, quantity="force")
    return work.step(
        f"Largest deviation, {words}: made over wanted",
        f"E_{mark} = abs(F_{mark}m/F_{mark}w - 1)",
        abs(deviation),
        quantity="percent",
        unit="%",
        source=network.operating_point,
    )


def _tables(given: Given, work: Working, sized: SizedDamper) -> None:
    rows = given.rows("target")
    work.table(
        "forces",
        "Target and made forces, without gas force and seal friction",
        FORCES,
        tuple(
            (speed, inward, in_made, in_off, outward, out_made, out_off)
            for (speed, inward, outward), in_made, in_off, out_made, out_off in zip(
                rows,
                sized.force_compression,
                sized.deviation_compression,
                sized.force_rebound,
                sized.deviation_rebound,
                strict=True,
            )
        ),
    )
    valves = [("piston, compression", sized.compression), ("piston, rebound", sized.rebound)]
    if sized.foot is not None:
        valves.append(("foot valve, compression", sized.foot))
    sizes: list[tuple[float | str | None, ...]] = [
        (name, str(made.bleed.count), made.bleed.diameter, str(made.ports.count),
                                                               made.ports.diameter,
         made.valve.crack_pressure, made.valve.compliance, made.pressure_drops[-1])
        for name, made in valves
    ]  # fmt: skip
    if sized.damper.reserve is not None:
        intake = sized.damper.reserve.rebound
        each = (4.0 * intake.port_area / (pi * intake.port_count)) ** 0.5
        flow = circle_area(diameter=given["rod_diameter"]) * rows[-1][0]
        drop = valve.valve_pressure_drop(
            valve=intake, flow=flow, oil=Oil(given["density"], given["viscosity"])
        )
        sizes.append(
            (
                "intake",
                None,
                None,
                str(intake.port_count),
                each,
                intake.crack_pressure,
                intake.compliance,
                drop,
            )
        )
    work.table(
        "sizes",
        "Sizes to make; the piston's bleed is one and serves both directions",
        SIZES,
        tuple(sizes),
    )


def _judge(given: Given, work: Working, sized: SizedDamper) -> None:
    bleed, inward, outward = sized.compression.bleed, sized.compression.ports, sized.rebound.ports
    work.finding(
        Level.FINE,
        f"Drill {bleed.count} × {{bleed_diameter}} as bleed, {inward.count} × {{port_compression}} "
        f"as compression ports, "
        f"{outward.count} × {{port_rebound}} as rebound ports.",
    )
    close = True
    for words in ("compression", "rebound"):
        speed, _, _, deviation = _worst(sized, words)
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
        ("The stack is a crack pressure and a compliance; which shims give them is found in the "
        "shim-stack sheet."),
        ("Discharge coefficient 0.61, sharp edges, no leak beside the piston; the first made piece "
        "on the bench decides."),
        "The drilled area may exceed the room by half a drill step.",
    ),
    on_request=True,
)  # fmt: skip
