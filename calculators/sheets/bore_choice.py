"""Bore and rod: which sizes make the force at a pressure that the damper can live with."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import area, bore, gas, orifice
from calculators.physics.bore import CUSTOMARY_BORES, CUSTOMARY_RODS, BoreOption, BoreTask
from calculators.physics.fluid import Oil
from calculators.sheet import Column, Input, Level, Measure, Output, Sheet
from calculators.sheets._gas import ROD, SITE, ambient
from calculators.sheets._valving import RELEASE

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_TASK, _SIZE, _LIMITS, _OIL, _HEAT = "Task", "Size looked at", "Limits", "Oil and gas", "Heat"
_SOFTER, _STIFFER = 1.5, 2.0  # times the force, for the chart

_INPUTS = (
    Input(
        name="force_compression", label="Compression force", symbol="F_c", quantity="force", unit="N",
        default=1_663.0, minimum=1.0, maximum=100_000.0, group=_TASK,
        reason="At the design speed, gas force left out.",
        help="From the target table of the critical-damping calculator, at the design speed.",
    ),
    Input(
        name="force_rebound", label="Rebound force", symbol="F_r", quantity="force", unit="N",
        default=3_326.0, minimum=1.0, maximum=100_000.0, group=_TASK,
        reason="At the design speed, gas force left out.",
        help="From the target table of the critical-damping calculator, at the design speed.",
    ),
    Input(
        name="design_speed", label="Design speed", symbol="v", quantity="velocity", unit="m/s",
        default=0.52, minimum=0.01, maximum=6.0, group=_TASK,
        reason="Rod speed of the two forces.",
        help="Rod speed at which these forces are wanted.",
    ),
    Input(
        name="bore_diameter", label="Bore", symbol="D", quantity="length", unit="mm",
        default=0.046, minimum=0.012, maximum=0.150, group=_SIZE,
        reason="It must be larger than the rod.",
        help="Inner diameter of the tube in which the piston runs; customary sizes stand in the table.",
    ),
    replace(ROD, group=_SIZE, help="As thin as strength allows: rod-side area is lost to it, and the gas pushes it."),
    Input(
        name="peak_allowed", label="Peak pressure allowed", symbol="p_max", quantity="pressure_gauge", unit="bar",
        default=6e6, minimum=1e5, maximum=50e6, group=_LIMITS,
        reason="Of seal, tube and valves in steady work; 40 to 80 bar is customary (common practice).",
        help="Gauge pressure that the rod side may reach at the design speed: seals decide.",
    ),
    Input(
        name="margin_wanted", label="Margin over release", symbol="m_w", quantity="pressure_difference", unit="bar",
        default=5e5, minimum=0.0, maximum=50e5, group=_LIMITS,
        reason="0 is the very limit of cavitation.",
        help="Pressure to be left on the rod side in compression, without a foot valve.",
    ),
    Input(
        name="opening_allowed", label="Opening allowed in the piston", symbol="a_max", quantity="percent", unit="%",
        default=0.08, minimum=0.001, maximum=0.9, group=_LIMITS,
        reason="Ports of both directions, seats and the nut share the ring; 5 to 15 % a direction is workable (common practice).",
        help="Hole area of one direction as a share of the ring between rod and bore.",
    ),
    Input(
        name="flow_allowed", label="Flow to the reserve allowed", symbol="Q_max", quantity="volume_flow", unit="L/min",
        default=20.0 / 60_000.0, minimum=0.1 / 60_000.0, maximum=1_000.0 / 60_000.0, group=_LIMITS,
        reason="What foot valve, port or hose pass without choking.",
        help="Oil that the rod displaces at the design speed and that foot valve, port or hose must pass.",
    ),
    Input(
        name="gas_force_allowed", label="Gas force allowed", symbol="F_max", quantity="force", unit="N",
        default=800.0, minimum=10.0, maximum=20_000.0, group=_LIMITS,
        reason="It lifts the vehicle and loads the seal.",
        help="Push of the rod that ride height and handling by hand allow.",
    ),
    Input(
        name="power", label="Heat to shed", symbol="P", quantity="power", unit="W",
        default=120.0, minimum=0.0, maximum=5_000.0, group=_HEAT,
        reason="Mean power over minutes of rough road; 0 leaves heat out.",
        help="Mean damping power on the worst road: force times rod speed, averaged.",
    ),
    Input(
        name="body_length", label="Length of the body", symbol="L", quantity="length", unit="mm",
        default=0.300, minimum=0.03, maximum=2.0, group=_HEAT,
        reason="The part that lies in the air stream.",
        help="Length of body that sheds the heat.",
    ),
    Input(
        name="wall", label="From bore to outer surface", symbol="w", quantity="length", unit="mm",
        default=0.0025, minimum=0.0, maximum=0.040, group=_HEAT,
        reason="On the radius; a twin-tube counts its reserve space.",
        help="Wall of a monotube; of a twin-tube wall, reserve space and outer wall together.",
    ),
    Input(
        name="heat_transfer", label="Heat transfer to the air", symbol="alpha", quantity="heat_transfer_coefficient",
        unit="W/(m²·K)", default=40.0, minimum=2.0, maximum=500.0, group=_HEAT,
        reason="Still air gives about 10, an air stream 30 to 100 W/(m²·K) (common practice).",
        help="From body surface to air, radiation included.",
    ),
    Input(
        name="rise_allowed", label="Rise allowed", symbol="DeltaT_max", quantity="temperature_difference", unit="K",
        default=75.0, minimum=1.0, maximum=300.0, group=_HEAT,
        reason="Seal limit less air temperature; 120 °C less 45 °C is 75 K.",
        help="How much warmer than the air the body may become.",
    ),
    Input(
        name="oil_density", label="Density of the warm oil", symbol="rho", quantity="density", unit="kg/m³",
        default=850.0, minimum=600.0, maximum=1_200.0, group=_OIL,
        reason="Mineral oil has 820 to 880 kg/m³ when warm.",
        help="At working temperature.",
    ),
    Input(
        name="oil_viscosity", label="Dynamic viscosity of the warm oil", symbol="mu", quantity="dynamic_viscosity", unit="mPa·s",
        default=0.012, minimum=0.0005, maximum=1.0, group=_OIL,
        reason="Kinematic viscosity times density.",
        help="At working temperature; it hardly matters here.",
    ),
    Input(
        name="gas_gauge", label="Gas pressure at ride height", symbol="p_gg", quantity="pressure_gauge", unit="bar",
        default=1.9e6, minimum=0.0, maximum=10e6, group=_OIL,
        reason="Gauge against the standard atmosphere; the gas-force calculator gives it.",
        help="Gauge pressure of the gas with the rod at ride height.",
    ),
    replace(RELEASE, group=_OIL),
    SITE,
)  # fmt: skip

_OUTPUTS = (
    Output(name="smallest_bore", label="Smallest customary bore that passes", symbol="D_min", quantity="length", unit="mm",
           headline=True, meaning="With this rod, under all limits; —: none of the customary ones."),
    Output(name="peak_pressure", label="Peak pressure", symbol="p_peak", quantity="pressure_gauge", unit="bar",
           headline=True, meaning="Gauge, on the rod side in rebound at the design speed."),
    Output(name="margin", label="Margin in compression", symbol="m", quantity="pressure_difference", unit="bar", headline=True,
           meaning="Rod-side pressure above release without a foot valve; below zero: a foot or reservoir valve must hold at least this much."),
    Output(name="drop_compression", label="Piston drop in compression", symbol="DeltaP_c", quantity="pressure_difference",
           unit="bar", meaning="Pressure that makes the compression force on the ring."),
    Output(name="drop_rebound", label="Piston drop in rebound", symbol="DeltaP_r", quantity="pressure_difference",
           unit="bar", meaning="Pressure that makes the rebound force on the ring."),
    Output(name="piston_flow", label="Flow through the piston", symbol="Q", quantity="volume_flow", unit="L/min",
           meaning="At the design speed, both ways."),
    Output(name="reserve_flow", label="Flow to the reserve", symbol="Q_r", quantity="volume_flow", unit="L/min",
           meaning="Oil that the rod displaces at the design speed."),
    Output(name="opening", label="Opening in compression", symbol="a_c", quantity="percent", unit="%",
           meaning="Hole area that makes the compression force, as a share of the ring; rebound needs less."),
    Output(name="jet_speed", label="Jet behind the edge in rebound", symbol="u_r", quantity="velocity", unit="m/s",
           meaning="Speed at which the oil leaves the valve edge: noise, wear and air follow it."),
    Output(name="rod_share", label="Rod area over piston area", symbol="r_A", quantity="percent", unit="%",
           meaning="Share of the oil that has to leave the working tube."),
    Output(name="gas_force", label="Gas force", symbol="F_g", quantity="force", unit="N",
           meaning="Push of the gas on the rod at rest."),
    Output(name="gas_share", label="Gas force over compression force", symbol="r_F", quantity="percent", unit="%",
           meaning="How much of the force on the rod in compression is the gas pushing on its section, and no damping."),
    Output(name="heat_per_area", label="Heat per area of the body", symbol="q", quantity="heat_flux", unit="W/m²",
           meaning="What each part of the outer surface has to shed."),
    Output(name="heat_rise", label="Rise above the air", symbol="DeltaT", quantity="temperature_difference", unit="K",
           meaning="How much warmer than the air the body becomes in the end, shedding this heat."),
)  # fmt: skip

_COLUMNS = (
    Column("Bore", "D", "length", "mm"),
    Column("Peak, gauge", "p_peak", "pressure_gauge", "bar"),
    Column("Margin, compression", "m", "pressure_difference", "bar"),
    Column("Opening", "a_c", "percent", "%"),
    Column("Jet, rebound", "u_r", "velocity", "m/s"),
    Column("Heat per area", "q", "heat_flux", "W/m²"),
    Column("Rise", "DeltaT", "temperature_difference", "K"),
    Column("Rod over piston area", "r_A", "percent", "%"),
    Column("Fails"),
)
_RODS = (
    Column("Rod", "d", "length", "mm"),
    Column("Smallest bore", "D_min", "length", "mm"),
    Column("Gas force", "F_g", "force", "N"),
    Column("over compression", "r_F", "percent", "%"),
    Column("Flow to the reserve", "Q_r", "volume_flow", "L/min"),
    Column("Peak, gauge", "p_peak", "pressure_gauge", "bar"),
    Column("Margin, compression", "m", "pressure_difference", "bar"),
)


@dataclass(frozen=True, slots=True)
class _Check:
    """One limit: its name in the table, and whether a size keeps it."""

    words: str
    kept: Callable[[BoreOption, Given, BoreTask], bool]


def _rise(option: BoreOption, given: Given) -> float:
    """Return how much warmer than the air the body becomes."""
    return option.heat_flux / given["heat_transfer"]


_CHECKS = (
    _Check("peak",
           lambda option, given, task: option.peak_pressure - task.pressure_ambient <= given["peak_allowed"]),
    _Check("margin",
           lambda option, given, _: option.margin_compression >= given["margin_wanted"]),
    _Check("opening",
           lambda option, given, _: max(option.opening_compression, option.opening_rebound) <= given["opening_allowed"]),
    _Check("reserve flow",
           lambda option, given, _: option.reserve_flow <= given["flow_allowed"]),
    _Check("gas force",
           lambda option, given, _: option.gas_force <= given["gas_force_allowed"]),
    _Check("heat", lambda option, given, _: _rise(option, given) <= given["rise_allowed"]),
)  # fmt: skip


def _task(given: Given, outside: float, times: float = 1.0) -> BoreTask:
    return BoreTask(
        force_compression=times * given["force_compression"], force_rebound=times * given["force_rebound"],
        speed=given["design_speed"], gas_pressure=given["gas_gauge"] + gas.P_ATM,
        release_pressure=given["release_pressure"], power=given["power"], body_length=given["body_length"],
        wall=given["wall"], pressure_ambient=outside,
    )  # fmt: skip


def _oil(given: Given) -> Oil:
    return Oil(given["oil_density"], given["oil_viscosity"])


def _failed(option: BoreOption, given: Given, task: BoreTask) -> list[_Check]:
    return [check for check in _CHECKS if not check.kept(option, given, task)]


def _options(given: Given, task: BoreTask, rod: float) -> tuple[BoreOption, ...]:
    """Return the customary bores with one rod; none where every bore is thinner than it."""
    if rod >= max(CUSTOMARY_BORES):
        return ()
    return bore.bore_table(task=task, oil=_oil(given), rods=(rod,))


def _smallest(given: Given, task: BoreTask, rod: float) -> BoreOption | None:
    passing = (option for option in _options(given, task, rod) if not _failed(option, given, task))
    return next(passing, None)


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    outside = ambient(given, work)
    task = _task(given, outside)
    option = bore.bore_option(
        task=task,
        piston_diameter=given["bore_diameter"],
        rod_diameter=given["rod_diameter"],
        oil=_oil(given),
    )
    outputs = _steps(given, work, option, task)
    smallest = _smallest(given, task, given["rod_diameter"])
    outputs["smallest_bore"] = None
    if smallest is not None:
        work.let("D_s", smallest.piston_diameter, quantity="length", unit="mm")
        outputs["smallest_bore"] = work.step(
            "Smallest customary bore that passes, from the table", "D_min = D_s", smallest.piston_diameter,
            quantity="length", unit="mm", source=bore.bore_option,
        )  # fmt: skip
    _tables(given, work, task)
    _judge(given, work, task, option, smallest)
    return outputs


def _steps(
    given: Given, work: Working, option: BoreOption, task: BoreTask
) -> dict[str, float | None]:
    source = bore.bore_option
    ring = area.annulus_area(
        outer_diameter=option.piston_diameter, inner_diameter=option.rod_diameter
    )
    work.step("Rod section", "A_r = pi*d**2/4", area.circle_area(diameter=option.rod_diameter),
              quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
    work.step("Ring between rod and bore", "A_a = pi*(D**2 - d**2)/4", ring,
              quantity="area", unit="mm²", source=area.annulus_area)  # fmt: skip
    work.step("Gas pressure, absolute", "p_g = p_gg + 101325", task.gas_pressure,
              quantity="pressure_absolute", unit="bar", source=source)  # fmt: skip
    work.let("C_d", orifice.DISCHARGE_COEFFICIENT, quantity="ratio")
    outputs: dict[str, float | None] = {}

    def step(name: str, label: str, formula: str, value: float, quantity: str, unit: str) -> None:
        outputs[name] = work.step(
            label, formula, value, quantity=quantity, unit=unit, source=source
        )

    step("drop_compression", "Piston drop in compression", "DeltaP_c = F_c/A_a", option.drop_compression,
         "pressure_difference", "bar")  # fmt: skip
    step(
        "drop_rebound",
        "Piston drop in rebound",
        "DeltaP_r = F_r/A_a",
        option.drop_rebound,
        "pressure_difference",
        "bar",
    )
    step("peak_pressure", "Peak pressure, gauge", "p_peak = p_g + DeltaP_r - p_amb",
         option.peak_pressure - task.pressure_ambient, "pressure_gauge", "bar")  # fmt: skip
    step("margin", "Margin in compression without a foot valve", "m = p_g - DeltaP_c - p_v", option.margin_compression,
         "pressure_difference", "bar")  # fmt: skip
    step("piston_flow", "Flow through the piston", "Q = A_a*v", option.flow, "volume_flow", "L/min")
    step(
        "reserve_flow",
        "Flow to the reserve",
        "Q_r = A_r*v",
        option.reserve_flow,
        "volume_flow",
        "L/min",
    )
    work.let("A_o", option.opening_compression * ring, quantity="area", unit="mm²")
    work.step(
        "Drop of the hole that was found for compression",
        "DeltaP_o = rho*Q**2/(2*C_d**2*A_o**2) + mu*Q/(0.08*A_o*sqrt(4*A_o/pi))", option.drop_compression,
        quantity="pressure_difference", unit="bar", source=orifice.orifice_area,
    )  # fmt: skip
    step(
        "opening",
        "Opening as a share of the ring",
        "a_c = A_o/A_a",
        option.opening_compression,
        "percent",
        "%",
    )
    step(
        "jet_speed",
        "Jet behind the edge in rebound",
        "u_r = sqrt(2*DeltaP_r/rho)",
        option.jet_rebound,
        "velocity",
        "m/s",
    )
    step(
        "rod_share",
        "Rod area over piston area",
        "r_A = d**2/D**2",
        option.rod_share,
        "percent",
        "%",
    )
    step("gas_force", "Gas force", "F_g = (p_g - p_amb)*A_r", option.gas_force, "force", "N")
    step("gas_share", "Gas force over compression force", "r_F = F_g/F_c",
         option.gas_force / task.force_compression, "percent", "%")  # fmt: skip
    step("heat_per_area", "Heat per area of the body", "q = P/(pi*(D + 2*w)*L)", option.heat_flux,
         "heat_flux", "W/m²")  # fmt: skip
    step("heat_rise", "Rise above the air", "DeltaT = q/alpha", _rise(option, given),
         "temperature_difference", "K")  # fmt: skip
    return outputs


def _tables(given: Given, work: Working, task: BoreTask) -> None:
    rows: list[tuple[float | str | None, ...]] = [
        (
            option.piston_diameter, option.peak_pressure - task.pressure_ambient, option.margin_compression,
            max(option.opening_compression, option.opening_rebound), option.jet_rebound, option.heat_flux,
            _rise(option, given), option.rod_share,
            ", ".join(check.words for check in _failed(option, given, task)) or "passes",
        )
        for option in _options(given, task, given["rod_diameter"])
    ]  # fmt: skip
    work.table("bores", "Customary bores with this rod", _COLUMNS, tuple(rows))
    rods: list[tuple[float | str | None, ...]] = []
    for rod in CUSTOMARY_RODS:
        found = _smallest(given, task, rod)
        last = found or _options(given, task, rod)[-1]
        rods.append((
            rod, found.piston_diameter if found else "none passes", last.gas_force,
            last.gas_force / task.force_compression, last.reserve_flow,
            *((found.peak_pressure - task.pressure_ambient, found.margin_compression) if found else (None, None)),
        ))  # fmt: skip
    work.table("rods", "Customary rods with their smallest bore", _RODS, tuple(rods))


def _judge(
    given: Given, work: Working, task: BoreTask, option: BoreOption, smallest: BoreOption | None
) -> None:
    if smallest is not None:
        work.finding(
            Level.FINE,
            "With a rod of {rod_diameter} the smallest customary bore that keeps all limits is {smallest_bore}.",
        )
    else:
        work.finding(
            Level.LOOK_CLOSER,
            "With a rod of {rod_diameter} no customary bore keeps all limits; the table says what fails. Another rod, more gas, a foot valve or a wider limit is needed.",
        )
    remedies = {
        "peak": "{peak_pressure} exceeds the {peak_allowed} allowed: a larger bore, or less rebound.",
        "margin": "in compression {margin} is left on the rod side, {margin_wanted} is wanted: a larger bore, more gas, or a foot or reservoir valve that holds the rest.",
        "opening": "the holes take {worst_opening} of the ring, {opening_allowed} is allowed: a smaller bore needs less opening for the same force.",
        "reserve flow": "{reserve_flow} goes to the reserve, {flow_allowed} is allowed: a thinner rod.",
        "gas force": "the gas pushes with {gas_force}, {gas_force_allowed} is allowed: a thinner rod or less gas.",
        "heat": "the body becomes {heat_rise} warmer than the air, {rise_allowed} is allowed: a larger or longer body.",
    }  # fmt: skip
    worst = Measure(max(option.opening_compression, option.opening_rebound), "percent", "%")
    for check in _failed(option, given, task):
        level = Level.DO_NOT_BUILD if check.words == "peak" else Level.LOOK_CLOSER
        work.finding(level, f"Bore {{bore_diameter}}: {remedies[check.words]}", worst_opening=worst)
    if not _failed(option, given, task):
        work.finding(
            Level.FINE,
            "A bore of {bore_diameter} keeps all limits: peak {peak_pressure}, margin {margin}.",
        )


def _span(given: Given) -> tuple[float, ...]:
    """Return bores for drawing: the customary range, and the reader's size within it."""
    least = max(min(CUSTOMARY_BORES), 1.2 * given["rod_diameter"])
    most = max(*CUSTOMARY_BORES, given["bore_diameter"], 2.0 * given["rod_diameter"])
    return grid(least, most, 61)


def _family(
    given: Given,
    outside: float,
    value: Callable[[BoreTask, float], float],
    least: float,
    most: float,
) -> tuple[Curve, ...]:
    """Return a value over the bore for this task and stiffer ones, as far as it lies in a range."""
    curves = []
    for words, role, times in (
        ("this force", "accent", 1.0), (f"{_SOFTER:g} times the force", "oil", _SOFTER),
        (f"{_STIFFER:g} times the force", "rebound", _STIFFER),
    ):  # fmt: skip
        task = _task(given, outside, times)
        rows = [
            (diameter, found) for diameter in _span(given)
            if least <= (found := value(task, area.annulus_area(outer_diameter=diameter, inner_diameter=given["rod_diameter"]))) <= most
        ]  # fmt: skip
        if rows:
            curves.append(Curve(words, role, *zip(*rows, strict=True)))
    return tuple(curves)


def _draw_peak(result: Result) -> Drawing:
    given, own = result.given, result.outputs["peak_pressure"] or 0.0
    outside = gas.atmosphere_pressure(altitude=given["altitude"])
    allowed = given["peak_allowed"]
    curves = _family(given, outside, lambda task, ring: task.gas_pressure + task.force_rebound / ring - outside,
                     -outside, 2.5 * max(allowed, own))  # fmt: skip
    bores = _span(given)
    line = Curve("allowed", "stop", (bores[0], bores[-1]), (allowed, allowed))
    return Drawing((*curves, line), (Point("this bore", given["bore_diameter"], own),))


def _draw_margin(result: Result) -> Drawing:
    given, own = result.given, result.outputs["margin"] or 0.0
    wanted, supply = given["margin_wanted"], given["gas_gauge"] + gas.P_ATM
    curves = _family(given, gas.P_ATM, lambda task, ring: supply - task.force_compression / ring - task.release_pressure,
                     min(-supply, own), supply)  # fmt: skip
    bores = _span(given)
    line = Curve("wanted", "stop", (bores[0], bores[-1]), (wanted, wanted))
    return Drawing((*curves, line), (Point("this bore", given["bore_diameter"], own),))


SHEET = Sheet(
    name="bore-choice",
    title="Bore and rod",
    question="Which bore and rod make the wanted force at a pressure, a flow and a heat that the damper can live with?",
    page="calculate/bore-choice.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="peak", title="Peak pressure over bore",
            statement="The same force on a smaller ring takes more pressure; a heavier suspension asks for a larger bore at the same pressure.",
            x=Axis("Bore", "length", "mm", like="bore_diameter"),
            y=Axis("Peak pressure, gauge", "pressure_gauge", "bar", like="peak_pressure"), draw=_draw_peak,
        ),
        Chart(
            name="margin", title="Margin in compression over bore",
            statement="A larger bore leaves the rod side more pressure in compression, without a foot valve.",
            x=Axis("Bore", "length", "mm", like="bore_diameter"),
            y=Axis("Rod-side pressure above release", "pressure_difference", "bar", like="margin"), draw=_draw_margin,
        ),
    ),
    limits=(
        "The whole compression force comes from the piston: without a foot or reservoir valve, the hardest case for it.",
        "Forces at one speed; at higher speeds the pressures are higher. Check them in the force-velocity calculator.",
        "Strength of rod, tube and mounts is another calculation.",
        "One coefficient of heat transfer for the whole body: a first sieve that says which body is too small.",
    ),
)  # fmt: skip
