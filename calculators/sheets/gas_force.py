"""Gas force: what the charge does to the rod, the ride height and the pressure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import area, gas
from calculators.sheet import Input, Level, Measure, Output, Sheet
from calculators.sheets._gas import CHAMBER, OIL, ROD, SITE, ambient, gas_volume

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_DAMPER, _GAS, _TEMPERATURE, _VEHICLE = "Rod and stroke", "Gas", "Temperature", "Vehicle"

_INPUTS = (
    ROD,
    Input(
        name="stroke", label="Stroke", symbol="s", quantity="length", unit="mm",
        default=0.150, minimum=0.010, maximum=1.0, group=_DAMPER,
        reason="From full extension to full compression.",
        help="The whole travel of the rod.",
    ),
    Input(
        name="ride_compression", label="Rod travel at ride height", symbol="x_r", quantity="length", unit="mm",
        default=0.060, minimum=0.0, maximum=1.0, group=_DAMPER,
        reason="Counted from full extension; not more than the stroke.",
        help="How far the rod stands in at ride height, counted from full extension.",
    ),
    Input(
        name="charge_pressure", label="Gas charge", symbol="p_c", quantity="pressure_gauge", unit="bar",
        default=1.5e6, minimum=0.0, maximum=10e6, group=_GAS,
        reason="Gauge pressure; twin-tubes carry 2 to 8 bar, monotubes 10 to 25 bar (common practice).",
        help="Gauge pressure with the rod fully out, at the temperature of the next line.",
    ),
    Input(
        name="charge_temperature", label="Temperature when charged", symbol="T_c", quantity="temperature", unit="°C",
        default=293.15, minimum=253.15, maximum=333.15, group=_GAS,
        reason="Air temperature of the workshop.",
        help="Temperature of the damper when the charge was filled or measured.",
    ),
    *CHAMBER,
    Input(
        name="polytropic_exponent", label="Polytropic exponent", symbol="n", quantity="ratio", unit="1",
        default=1.2, minimum=1.0, maximum=1.67, group=_GAS,
        reason="1 for slow strokes, 1.4 for fast ones with nitrogen.",
        help="1: heat has time to leave (bench, weighing); 1.4: it has not (rough road).",
    ),
    Input(
        name="pressure_limit", label="Rated pressure", symbol="p_max", quantity="pressure_gauge", unit="bar",
        default=6e6, minimum=1e5, maximum=50e6, group="Judgement",
        reason="Of the weakest part: tube, seal, filling valve or hose, from its maker.",
        help="Gauge pressure that tube, seal, valve and hose are rated for; from their makers.",
    ),
    *OIL,
    Input(
        name="temperature_cold", label="Coldest", symbol="T_k", quantity="temperature", unit="°C",
        default=253.15, minimum=213.15, maximum=293.15, group=_TEMPERATURE,
        reason="At or below 20 °C.",
        help="Temperature of the damper on a winter morning.",
    ),
    Input(
        name="temperature_hot", label="Hottest", symbol="T_h", quantity="temperature", unit="°C",
        default=373.15, minimum=293.15, maximum=453.15, group=_TEMPERATURE,
        reason="At or above 20 °C; customary seals end near 120 °C (common practice).",
        help="Temperature of the damper after an hour of corrugations.",
    ),
    Input(
        name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio", unit="1",
        default=0.75, minimum=0.05, maximum=2.0, group=_VEHICLE,
        reason="Damper travel divided by wheel travel.",
        help="Damper travel / wheel travel near ride height, lean included.",
    ),
    Input(
        name="wheel_rate", label="Wheel rate", symbol="k_w", quantity="stiffness", unit="N/mm",
        default=67_500.0, minimum=1_000.0, maximum=2_000_000.0, group=_VEHICLE,
        reason="Spring rate × motion ratio².",
        help="Spring rate at the wheel, for the lift of the body.",
    ),
    SITE,
)  # fmt: skip

_OUTPUTS = (
    Output(name="rod_force_extended", label="Rod force, extended", symbol="F_0", quantity="force", unit="N",
           headline=True, meaning="Push of the rod with the damper fully out, at 20 °C."),
    Output(name="rod_force_mid", label="Rod force, mid-stroke", symbol="F_m", quantity="force", unit="N",
           meaning="At half the stroke, at 20 °C."),
    Output(name="rod_force_compressed", label="Rod force, compressed", symbol="F_s", quantity="force", unit="N",
           headline=True, meaning="Fully in, at 20 °C."),
    Output(name="ride_height_lift", label="Lift of the body at this wheel", symbol="z", quantity="length", unit="mm",
           headline=True, meaning="How much higher the body stands than without gas, at ride height and 20 °C."),
    Output(name="gas_rate", label="Gas spring rate", symbol="k_g", quantity="stiffness", unit="N/mm",
           meaning="Spring rate that the gas adds at the damper, at ride height."),
    Output(name="rod_force_cold", label="Rod force at ride height, coldest", symbol="F_k", quantity="force", unit="N",
           meaning="The least push in service."),
    Output(name="rod_force_hot", label="Rod force at ride height, hottest", symbol="F_h", quantity="force", unit="N",
           meaning="The most push in service at ride height: the oil has grown into the gas."),
    Output(name="charge_at_20", label="Charge at 20 °C", symbol="p_0", quantity="pressure_gauge", unit="bar",
           meaning="The charge as a specification states it: rod out, 20 °C, gauge against the standard atmosphere (at altitude the pressure gauge reads more)."),
    Output(name="pressure_compressed", label="Pressure, compressed, 20 °C", symbol="p_s", quantity="pressure_gauge",
           unit="bar", meaning="Gauge pressure of the gas with the rod fully in."),
    Output(name="pressure_hot", label="Highest pressure", symbol="p_h", quantity="pressure_gauge", unit="bar",
           meaning="Gauge, rod fully in and hottest: what tube, seal and valve must stand at rest."),
    Output(name="compression_ratio", label="Gas compression ratio", symbol="epsilon", quantity="ratio", unit="1",
           meaning="Gas volume extended over compressed, at 20 °C."),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Damper:
    """The arguments that all states of one damper share."""

    charge_pressure_gauge: float
    gas_volume_extended: float
    rod_diameter: float
    oil_volume: float
    expansion_coefficient: float
    polytropic_exponent: float
    pressure_ambient: float

    def state(self, compression: float, temperature: float = gas.T_REFERENCE) -> gas.GasState:
        return gas.charge_state(
            charge_pressure_gauge=self.charge_pressure_gauge,
            gas_volume_extended=self.gas_volume_extended,
            rod_diameter=self.rod_diameter,
            oil_volume=self.oil_volume,
            expansion_coefficient=self.expansion_coefficient,
            polytropic_exponent=self.polytropic_exponent,
            pressure_ambient=self.pressure_ambient,
            compression=compression,
            temperature=temperature,
        )


def _at_rest(
    work: Working, damper: _Damper, words: str, mark: str, way: str, compression: float
) -> gas.GasState:
    """Record pressure and rod force at a rod position at 20 °C."""
    state = damper.state(compression)
    work.step(
        f"Gas pressure, {words}, absolute", f"p_{mark}a = (p_0 + 101325)*(V_0/(V_0 - A_r*{way}))**n",
        state.pressure, quantity="pressure_absolute", unit="bar", source=gas.charge_state,
    )  # fmt: skip
    work.step(f"Rod force, {words}", f"F_{mark} = (p_{mark}a - p_amb)*A_r", state.rod_force,
              quantity="force", source=gas.rod_force)  # fmt: skip
    return state


def _soak(
    work: Working, damper: _Damper, words: str, mark: str, warm: str, temperature: float
) -> None:
    """Record the gas volume that the oil leaves with the whole damper cold or hot."""
    oil = damper.oil_volume * damper.expansion_coefficient * (temperature - gas.T_REFERENCE)
    work.step(
        f"Gas volume, extended, {words}", f"V_{mark} = V_0 - V_oil*beta*({warm} - 293.15)",
        damper.gas_volume_extended - oil, quantity="volume", unit="cm³", source=gas.charge_state,
    )  # fmt: skip


def _damper(given: Given, work: Working) -> _Damper:
    volume, outside = gas_volume(given, work), ambient(given, work)
    rod_area = work.step("Rod section", "A_r = pi*d**2/4", area.circle_area(diameter=given["rod_diameter"]),
                         quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
    charge = gas.charge_from_rod_force(
        rod_force=given["charge_pressure"] * rod_area, rod_diameter=given["rod_diameter"],
        gas_volume_extended=volume, temperature=given["charge_temperature"], oil_volume=given["oil_volume"],
        expansion_coefficient=given["expansion_coefficient"], pressure_ambient=outside,
    )  # fmt: skip
    work.step(
        "Charge at 20 °C, gauge",
        "p_0 = (p_c + p_amb)*293.15/T_c*(V_0 - V_oil*beta*(T_c - 293.15))/V_0 - 101325",
        charge, quantity="pressure_gauge", unit="bar", source=gas.charge_from_rod_force,
    )  # fmt: skip
    return _Damper(
        charge, volume, given["rod_diameter"], given["oil_volume"],
        given["expansion_coefficient"], given["polytropic_exponent"], outside,
    )  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    stroke, ride = given["stroke"], given["ride_compression"]
    if ride > stroke:
        message = "The rod cannot stand in further than its stroke: lengthen the stroke or correct the ride height."
        raise ConflictError(message, inputs=("ride_compression",))
    damper = _damper(given, work)
    work.let("x_0", 0.0, quantity="length")
    extended = _at_rest(work, damper, "extended", "0", "x_0", 0.0)
    work.let("x_m", stroke / 2.0, quantity="length")
    middle = _at_rest(work, damper, "mid-stroke", "m", "x_m", stroke / 2.0)
    compressed = _at_rest(work, damper, "compressed", "s", "s", stroke)
    work.step("Gas pressure, compressed, gauge", "p_s = p_sa - p_amb", compressed.pressure_gauge,
              quantity="pressure_gauge", unit="bar", source=gas.charge_state)  # fmt: skip
    at_ride = _at_rest(work, damper, "ride height", "r", "x_r", ride)
    rate = work.step(
        "Gas spring rate at ride height", "k_g = n*p_ra*A_r**2/(V_0 - A_r*x_r)",
        gas.gas_spring_rate(
            polytropic_exponent=damper.polytropic_exponent, pressure=at_ride.pressure,
            rod_diameter=damper.rod_diameter, volume=at_ride.volume,
        ),
        quantity="stiffness", unit="N/mm", source=gas.gas_spring_rate,
    )  # fmt: skip
    lift = work.step(
        "Lift of the body at this wheel", "z = F_r*MR_d/k_w",
        gas.ride_height_lift(rod_force=at_ride.rod_force, motion_ratio=given["motion_ratio"], wheel_rate=given["wheel_rate"]),
        quantity="length", unit="mm", source=gas.ride_height_lift,
    )  # fmt: skip
    forces = {}
    for words, mark, warm, name in (
        ("coldest", "k", "T_k", "temperature_cold"),
        ("hottest", "h", "T_h", "temperature_hot"),
    ):
        _soak(work, damper, words, mark, warm, given[name])
        forces[mark] = work.step(
            f"Rod force at ride height, {words}",
            f"F_{mark} = ((p_0 + 101325)*{warm}/293.15*V_0/V_{mark}*(V_{mark}/(V_{mark} - A_r*x_r))**n - p_amb)*A_r",
            damper.state(ride, given[name]).rod_force, quantity="force", source=gas.charge_state,
        )  # fmt: skip
    peak = damper.state(stroke, given["temperature_hot"])
    work.step(
        "Highest pressure, gauge",
        "p_h = (p_0 + 101325)*T_h/293.15*V_0/V_h*(V_h/(V_h - A_r*s))**n - p_amb",
        peak.pressure_gauge, quantity="pressure_gauge", unit="bar", source=gas.charge_state,
    )  # fmt: skip
    ratio = work.step("Gas compression ratio", "epsilon = V_0/(V_0 - A_r*s)",
                      damper.gas_volume_extended / compressed.volume,
                      quantity="ratio", source=gas.charge_state)  # fmt: skip
    _judge(given, work, damper, peak.pressure_gauge, extended.rod_force, compressed.rod_force)
    return {
        "rod_force_extended": extended.rod_force,
        "rod_force_mid": middle.rod_force,
        "rod_force_compressed": compressed.rod_force,
        "ride_height_lift": lift,
        "gas_rate": rate,
        "rod_force_cold": forces["k"],
        "rod_force_hot": forces["h"],
        "charge_at_20": damper.charge_pressure_gauge,
        "pressure_compressed": compressed.pressure_gauge,
        "pressure_hot": peak.pressure_gauge,
        "compression_ratio": ratio,
    }


def _judge(
    given: Given, work: Working, damper: _Damper, peak: float, extended: float, compressed: float
) -> None:
    limit = given["pressure_limit"]
    share = {"share": Measure(peak / limit, "percent", "%")}
    if peak > limit:
        work.finding(
            Level.DO_NOT_BUILD,
            "The gas reaches {pressure_hot}, more than the rated {pressure_limit}. Give it a longer column, charge less, or use stronger parts.",
            **share,
        )
    elif peak > 0.8 * limit:
        work.finding(
            Level.LOOK_CLOSER,
            "The gas reaches {pressure_hot}, {share} of the rated {pressure_limit}; damping forces come on top while it moves.",
            **share,
        )
    else:
        work.finding(
            Level.FINE,
            "The gas reaches {pressure_hot} at rest, {share} of the rated {pressure_limit}; damping forces come on top while it moves.",
            **share,
        )
    if compressed > 2.0 * extended > 0.0:
        work.finding(
            Level.LOOK_CLOSER,
            "The rod force more than doubles over the stroke ({rod_force_extended} to {rod_force_compressed}): the gas acts as a spring. A longer column evens it out.",
        )
    coldest = damper.state(0.0, given["temperature_cold"]).pressure_gauge
    if coldest < 0.0 < given["charge_pressure"]:
        work.finding(
            Level.DO_NOT_BUILD,
            "Cold and extended, the gas falls below the air pressure outside: the rod is drawn in and the oil cavitates at once.",
        )
    elif 0.0 < damper.charge_pressure_gauge < 2e5:  # noqa: PLR2004  2 bar, common practice
        work.finding(
            Level.LOOK_CLOSER,
            "A charge below 2 bar is less than even twin-tubes carry (common practice).",
        )
    if damper.charge_pressure_gauge > 25e5:  # noqa: PLR2004  25 bar, common practice
        work.finding(
            Level.LOOK_CLOSER,
            "A charge above 25 bar is more than monotubes customarily carry (common practice): seal friction and lift grow with it.",
        )


def _damper_of(result: Result) -> _Damper:
    given, steps = (
        result.given,
        {step.formula.partition(" =")[0]: step.answer.value for step in result.steps},
    )
    return _Damper(
        steps["p_0"], steps.get("V_0", given.numbers.get("gas_volume")) or 0.0, given["rod_diameter"],
        given["oil_volume"], given["expansion_coefficient"], given["polytropic_exponent"], steps["p_amb"],
    )  # fmt: skip


def _draw_stroke(result: Result) -> Drawing:
    damper, given = _damper_of(result), result.given
    ways = grid(0.0, given["stroke"], 61)

    def curve(label: str, role: str, temperature: float) -> Curve:
        return Curve(
            label, role, ways, tuple(damper.state(way, temperature).rod_force for way in ways)
        )

    ride = given["ride_compression"]
    return Drawing(
        (curve("hottest", "rebound", given["temperature_hot"]), curve("20 °C", "accent", gas.T_REFERENCE),
         curve("coldest", "compression", given["temperature_cold"])),
        (Point("ride height", ride, damper.state(ride).rod_force),),
    )  # fmt: skip


def _draw_temperature(result: Result) -> Drawing:
    damper, given = _damper_of(result), result.given
    ride = given["ride_compression"]
    warmth = grid(given["temperature_cold"], given["temperature_hot"], 41)
    forces = tuple(damper.state(ride, temperature).rod_force for temperature in warmth)
    return Drawing(
        (Curve("rod force", "accent", warmth, forces),),
        (Point("20 °C", gas.T_REFERENCE, damper.state(ride).rod_force),),
    )


SHEET = Sheet(
    name="gas-force",
    title="Gas-force preload",
    question="How hard does the charge push the rod out, how much does it lift the body, and how high does the pressure go?",
    page="calculate/gas-force.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="over-stroke", title="Rod force over the stroke",
            statement="The rod force rises as the rod moves in, and with the temperature.",
            x=Axis("Rod travel from full extension", "length", "mm", like="stroke"),
            y=Axis("Rod force", "force", "N", like="rod_force_extended"), draw=_draw_stroke,
        ),
        Chart(
            name="over-temperature", title="Rod force at ride height over temperature",
            statement="Warmth raises the pressure twice: the gas wants more room, and the oil leaves it less.",
            x=Axis("Temperature", "temperature", "°C", like="temperature_hot"),
            y=Axis("Rod force", "force", "N", like="rod_force_extended"), draw=_draw_temperature,
        ),
    ),
    limits=(
        "Nitrogen as an ideal gas; its real pressure differs by about 1 % at 25 bar and more above (see the evidence).",
        "Oil and gas at one temperature; metal neither stretches nor grows.",
        "Damper at rest: damping forces and seal friction come on top.",
        "In a twin-tube some gas dissolves in the oil, and the pressure settles lower than filled.",
    ),
)  # fmt: skip
