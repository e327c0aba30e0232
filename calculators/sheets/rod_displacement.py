"""Rod displacement: where the rod's volume goes, and what room is left for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import area, displacement, gas
from calculators.sheet import Choice, Column, Input, Level, Measure, Option, Output, Sheet
from calculators.sheets._gas import OIL, ROD

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.displacement import DividingPiston, TwinTubeFill
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_TWIN = (("construction", ("twin-tube",)),)
_MONO = (("construction", ("monotube", "piggyback", "hose")),)
_DAMPER, _RESERVE, _CHAMBER = (
    "Rod and stroke",
    "Reserve of the twin-tube",
    "Chamber of the dividing piston",
)

_INPUTS = (
    Choice(
        name="construction",
        label="Construction",
        options=(
            Option("twin-tube", "twin-tube"),
            Option("monotube", "monotube, gas in the body"),
            Option("piggyback", "monotube, piggyback reservoir"),
            Option("hose", "monotube, reservoir on a hose"),
        ),
        help="Decides where the oil goes that the rod pushes aside.",
        group=_DAMPER,
    ),
    ROD,
    Input(
        name="stroke", label="Stroke", symbol="s", quantity="length", unit="mm",
        default=0.150, minimum=0.010, maximum=1.0, group=_DAMPER,
        reason="From full extension to full compression.",
        help="The whole travel of the rod.",
    ),
    Input(
        name="reserve_inner_diameter", label="Inner diameter of the reserve tube", symbol="D_i", quantity="length",
        unit="mm", default=0.060, minimum=0.012, maximum=0.250, group=_RESERVE, when=_TWIN,
        reason="Inside of the outer tube.", help="Inside of the outer tube.",
    ),
    Input(
        name="working_outer_diameter", label="Outer diameter of the working tube", symbol="D_w", quantity="length",
        unit="mm", default=0.039, minimum=0.008, maximum=0.240, group=_RESERVE, when=_TWIN,
        reason="Outside of the inner tube: bore plus twice its wall.", help="Outside of the tube in which the piston runs.",
    ),
    Input(
        name="reserve_length", label="Length of the reserve", symbol="L", quantity="length", unit="mm",
        default=0.260, minimum=0.020, maximum=1.5, group=_RESERVE, when=_TWIN,
        reason="From the foot to the rod guide.", help="Height of the space between the tubes, from foot to rod guide.",
    ),
    Input(
        name="oil_level", label="Oil level", symbol="h_0", quantity="length", unit="mm",
        default=0.130, minimum=0.001, maximum=1.5, group=_RESERVE, when=_TWIN,
        reason="Between the tubes, rod fully out, upright, 20 °C.",
        help="Height of the oil between the tubes with the rod fully out, upright, at 20 °C.",
    ),
    Input(
        name="foot_valve_height", label="Height of the foot valve's inlet", symbol="h_f", quantity="length", unit="mm",
        default=0.015, minimum=0.0, maximum=0.3, group=_RESERVE, when=_TWIN,
        reason="Above the foot of the reserve.", help="Below this level the foot valve draws gas.",
    ),
    Input(
        name="mounting_angle", label="Lean from the vertical", symbol="theta", quantity="angle", unit="°",
        default=0.4363323129985824, minimum=0.0, maximum=1.3962634015954636, group=_RESERVE, when=_TWIN,
        reason="Beyond 80° a twin-tube cannot keep its foot valve covered.",
        help="Of the mounted damper, at the steepest vehicle position that counts.",
    ),
    Input(
        name="chamber_diameter", label="Bore of the chamber", symbol="D_ch", quantity="length", unit="mm",
        default=0.046, minimum=0.008, maximum=0.200, group=_CHAMBER, when=_MONO,
        reason="Bore in which the dividing piston runs.", help="Of the body, or of the reservoir.",
    ),
    Input(
        name="chamber_length", label="Length of the chamber", symbol="L_ch", quantity="length", unit="mm",
        default=0.125, minimum=0.010, maximum=1.0, group=_CHAMBER, when=_MONO,
        reason="From the gas end to what the dividing piston would strike on the oil side.",
        help="In the body: to the working piston's nut at full compression; in a reservoir: to its end wall.",
    ),
    Input(
        name="dividing_piston_length", label="Length of the dividing piston", symbol="t_p", quantity="length", unit="mm",
        default=0.018, minimum=0.0, maximum=0.2, group=_CHAMBER, when=_MONO,
        reason="Overall length.", help="Overall, seal groove included.",
    ),
    Input(
        name="gas_column", label="Gas column", symbol="g_0", quantity="length", unit="mm",
        default=0.090, minimum=0.002, maximum=1.0, group=_CHAMBER, when=_MONO,
        reason="Rod fully out, 20 °C.", help="From the gas end to the dividing piston, rod fully out, at 20 °C.",
    ),
    Input(
        name="gas_end_stop", label="Height of stop or valve at the gas end", symbol="h_st", quantity="length", unit="mm",
        default=0.004, minimum=0.0, maximum=0.1, group=_CHAMBER, when=_MONO,
        reason="0 where the end is flat.", help="How far a filling valve or stop stands into the gas.",
    ),
    *OIL,
    Input(
        name="temperature_cold", label="Coldest", symbol="T_k", quantity="temperature", unit="°C",
        default=253.15, minimum=213.15, maximum=293.15, group="Temperature",
        reason="At or below 20 °C.", help="Oil temperature on a winter morning: the level is lowest.",
    ),
    Input(
        name="temperature_hot", label="Hottest", symbol="T_h", quantity="temperature", unit="°C",
        default=373.15, minimum=293.15, maximum=453.15, group="Temperature",
        reason="At or above 20 °C; customary seals end near 120 °C (common practice).",
        help="Oil temperature after an hour of corrugations: the gas has least room.",
    ),
    Input(
        name="clearance", label="Clearance wanted", symbol="c_min", quantity="length", unit="mm",
        default=0.005, minimum=0.0, maximum=0.1, group="Judgement",
        reason="Room that must be left at either end, or oil over the foot valve.",
        help="Least room at each end, and least oil over the foot valve; 5 mm is a start.",
    ),
)  # fmt: skip

_OUTPUTS = (
    Output(name="rod_volume", label="Volume displaced by the rod", symbol="V_rod", quantity="volume", unit="cm³",
           headline=True, meaning="What the rod pushes aside over the full stroke."),
    Output(name="displacement_travel", label="Level rise, or travel of the dividing piston", symbol="y_s",
           quantity="length", unit="mm", headline=True,
           meaning="How far the oil level rises (twin-tube) or the dividing piston moves (monotube)."),
    Output(name="compression_ratio", label="Gas compression ratio, 20 °C", symbol="epsilon", quantity="ratio", unit="1",
           headline=True, meaning="Gas volume extended over compressed: how much the pressure rises over a slow stroke."),
    Output(name="compression_ratio_hot", label="Gas compression ratio, hottest", symbol="epsilon_h", quantity="ratio",
           unit="1", meaning="The same when warm oil has taken room from the gas."),
    Output(name="gas_volume", label="Gas volume, extended, 20 °C", symbol="V_0", quantity="volume", unit="cm³",
           meaning="For the gas-force calculator."),
    Output(name="expansion_hot", label="Oil expansion to the hottest", symbol="V_exp", quantity="volume", unit="cm³",
           meaning="Room that the oil takes beyond its room at 20 °C."),
    Output(name="oil_side_margin", label="Oil over the foot valve, coldest", symbol="m_f", quantity="length", unit="mm",
           meaning="Twin-tube, rod out, at the high side of the leaning tube; below zero it draws gas."),
    Output(name="top_margin", label="Gas under the rod guide, hottest", symbol="m_t", quantity="length", unit="mm",
           meaning="Twin-tube, rod in, at the low side; below zero oil stands at the guide there."),
    Output(name="clearance_gas", label="Clearance at the gas end, hottest", symbol="c_g", quantity="length", unit="mm",
           meaning="Monotube, rod in; below zero the dividing piston strikes."),
    Output(name="clearance_oil", label="Clearance at the oil end, coldest", symbol="c_o", quantity="length", unit="mm",
           meaning="Monotube, at the rod position where it is least; below zero it strikes."),
)  # fmt: skip

_COLUMNS = (
    Column("Temperature", "T", "temperature", "°C"),
    Column("Gas column, extended", "g_e", "length", "mm"),
    Column("Gas column, compressed", "g_c", "length", "mm"),
    Column("Gas volume, compressed", "V_c", "volume", "cm³"),
    Column("Compression ratio", "epsilon", "ratio", "1"),
)
_PLACES: Mapping[str, Literal["body", "reservoir"]] = {
    "monotube": "body", "piggyback": "reservoir", "hose": "reservoir",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _States:
    """One damper cold, at 20 °C and hot."""

    cold: TwinTubeFill | DividingPiston
    usual: TwinTubeFill | DividingPiston
    hot: TwinTubeFill | DividingPiston


def _state(given: Given, temperature: float) -> TwinTubeFill | DividingPiston:
    warmth = temperature - gas.T_REFERENCE
    if given.choice("construction") == "twin-tube":
        return displacement.twin_tube_fill(
            rod_diameter=given["rod_diameter"], stroke=given["stroke"],
            reserve_inner_diameter=given["reserve_inner_diameter"],
            working_outer_diameter=given["working_outer_diameter"],
            reserve_length=given["reserve_length"], oil_level=given["oil_level"],
            foot_valve_height=given["foot_valve_height"], angle=given["mounting_angle"],
            oil_volume=given["oil_volume"], expansion_coefficient=given["expansion_coefficient"],
            temperature_difference=warmth,
        )  # fmt: skip
    return displacement.dividing_piston(
        rod_diameter=given["rod_diameter"], stroke=given["stroke"],
        chamber_diameter=given["chamber_diameter"], chamber_length=given["chamber_length"],
        piston_length=given["dividing_piston_length"], gas_column=given["gas_column"],
        location=_PLACES[given.choice("construction")], gas_end_stop=given["gas_end_stop"],
        oil_volume=given["oil_volume"], expansion_coefficient=given["expansion_coefficient"],
        temperature_difference=warmth,
    )  # fmt: skip


def _steps(given: Given, work: Working, states: _States) -> float:
    """Record the working and return the travel."""
    twin = given.choice("construction") == "twin-tube"
    work.step("Volume displaced by the rod", "V_rod = pi*d**2/4*s",
              displacement.rod_volume(rod_diameter=given["rod_diameter"], stroke=given["stroke"]),
              quantity="volume", unit="cm³", source=displacement.rod_volume)  # fmt: skip
    for words, mark, warm, name in (
        ("coldest", "V_shr", "T_k", "temperature_cold"),
        ("hottest", "V_exp", "T_h", "temperature_hot"),
    ):
        work.step(
            f"Oil expansion, {words}", f"{mark} = V_oil*beta*({warm} - 293.15)",
            displacement.oil_expansion(
                volume=given["oil_volume"], expansion_coefficient=given["expansion_coefficient"],
                temperature_difference=given[name] - gas.T_REFERENCE,
            ),
            quantity="volume", unit="cm³", source=displacement.oil_expansion,
        )  # fmt: skip
    if twin:
        return _twin_steps(work, states)
    return _mono_steps(given, work, states)


def _twin_steps(work: Working, states: _States) -> float:
    assert isinstance(states.usual, displacement.TwinTubeFill)
    assert isinstance(states.cold, displacement.TwinTubeFill)
    assert isinstance(states.hot, displacement.TwinTubeFill)
    source = displacement.twin_tube_fill
    work.step("Section between the tubes", "A_res = pi*(D_i**2 - D_w**2)/4", states.usual.reserve_area,
              quantity="area", unit="mm²", source=area.annulus_area)  # fmt: skip
    rise = work.step("Level rise over the stroke", "y_s = V_rod/A_res", states.usual.level_rise,
                     quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Gas volume, extended, 20 °C", "V_0 = A_res*(L - h_0)", states.usual.gas_volume_extended,
              quantity="volume", unit="cm³", source=source)  # fmt: skip
    work.step("Fall of the level at the high side", "h_t = D_i/2*tan(theta)", states.usual.tilt_drop,
              quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Oil over the foot valve, coldest", "m_f = h_0 + V_shr/A_res - h_t - h_f",
              states.cold.foot_valve_margin, quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Gas under the rod guide, hottest", "m_t = L - h_0 - V_exp/A_res - y_s - h_t",
              states.hot.top_margin, quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Gas compression ratio, 20 °C", "epsilon = V_0/(V_0 - V_rod)", states.usual.compression_ratio,
              quantity="ratio", source=source)  # fmt: skip
    work.step("Gas compression ratio, hottest", "epsilon_h = (V_0 - V_exp)/(V_0 - V_exp - V_rod)",
              states.hot.compression_ratio, quantity="ratio", source=source)  # fmt: skip
    return rise


def _mono_steps(given: Given, work: Working, states: _States) -> float:
    assert isinstance(states.usual, displacement.DividingPiston)
    assert isinstance(states.cold, displacement.DividingPiston)
    assert isinstance(states.hot, displacement.DividingPiston)
    source = displacement.dividing_piston
    work.step("Section of the chamber", "A_ch = pi*D_ch**2/4", states.usual.chamber_area,
              quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
    travel = work.step("Travel of the dividing piston", "y_s = V_rod/A_ch", states.usual.travel,
                       quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Gas volume, extended, 20 °C", "V_0 = A_ch*g_0", states.usual.gas_volume_extended,
              quantity="volume", unit="cm³", source=source)  # fmt: skip
    work.step("Clearance at the gas end, hottest", "c_g = g_0 - V_exp/A_ch - y_s - h_st", states.hot.clearance_gas,
              quantity="length", unit="mm", source=source)  # fmt: skip
    formula = "c_o = L_ch - t_p - (g_0 - V_shr/A_ch)"
    if _PLACES[given.choice("construction")] == "body":
        formula = "c_o = L_ch - t_p - (g_0 - V_shr/A_ch) + min(y_s, s)"
    work.step("Clearance at the oil end, coldest", formula, _least_oil_clearance(states.cold),
              quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Gas compression ratio, 20 °C", "epsilon = V_0/(V_0 - V_rod)", states.usual.compression_ratio,
              quantity="ratio", source=source)  # fmt: skip
    work.step("Gas compression ratio, hottest", "epsilon_h = (V_0 - V_exp)/(V_0 - V_exp - V_rod)",
              states.hot.compression_ratio, quantity="ratio", source=source)  # fmt: skip
    return travel


def _least_oil_clearance(cold: DividingPiston) -> float:
    return min(cold.clearance_oil_extended, cold.clearance_oil_compressed)


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    states = _States(
        _state(given, given["temperature_cold"]),
        _state(given, gas.T_REFERENCE),
        _state(given, given["temperature_hot"]),
    )
    travel = _steps(given, work, states)
    named = (
        (given["temperature_cold"], states.cold),
        (gas.T_REFERENCE, states.usual),
        (given["temperature_hot"], states.hot),
    )
    work.table(
        "temperatures", "Gas at rest, cold, usual and hot", _COLUMNS,
        tuple(
            (temperature, state.gas_column_extended, state.gas_column_compressed,
             state.gas_volume_compressed, state.compression_ratio)
            for temperature, state in named
        ),
    )  # fmt: skip
    margins: dict[str, float | None] = dict.fromkeys(
        ("oil_side_margin", "top_margin", "clearance_gas", "clearance_oil")
    )
    if isinstance(states.cold, displacement.TwinTubeFill) and isinstance(
        states.hot, displacement.TwinTubeFill
    ):
        margins |= {
            "oil_side_margin": states.cold.foot_valve_margin,
            "top_margin": states.hot.top_margin,
        }
        _judge_twin(given, work, states.cold, states.hot)
    elif isinstance(states.cold, displacement.DividingPiston) and isinstance(
        states.hot, displacement.DividingPiston
    ):
        oil_end = _least_oil_clearance(states.cold)
        margins |= {"clearance_gas": states.hot.clearance_gas, "clearance_oil": oil_end}
        _judge_mono(given, work, states.hot.clearance_gas, oil_end)
    _judge_ratio(work, states.hot.compression_ratio)
    return {
        "rod_volume": displacement.rod_volume(rod_diameter=given["rod_diameter"], stroke=given["stroke"]),
        "displacement_travel": travel,
        "compression_ratio": states.usual.compression_ratio,
        "compression_ratio_hot": states.hot.compression_ratio,
        "gas_volume": states.usual.gas_volume_extended,
        "expansion_hot": displacement.oil_expansion(
            volume=given["oil_volume"], expansion_coefficient=given["expansion_coefficient"],
            temperature_difference=given["temperature_hot"] - gas.T_REFERENCE,
        ),
        **margins,
    }  # fmt: skip


def _judge_twin(given: Given, work: Working, cold: TwinTubeFill, hot: TwinTubeFill) -> None:
    least = given["clearance"]
    if cold.foot_valve_margin < 0.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "Cold, extended and leaning, the foot valve draws gas ({oil_side_margin}): the damper goes soft. More oil, less lean or a lower inlet.",
        )
    elif cold.foot_valve_margin < least:
        work.finding(
            Level.LOOK_CLOSER,
            "Only {oil_side_margin} of oil over the foot valve when cold: splashing on rough road may uncover it.",
        )
    else:
        work.finding(
            Level.FINE,
            "The foot valve stays covered by {oil_side_margin} when cold, extended and leaning, at rest.",
        )
    if hot.top_margin < 0.0:
        work.finding(
            Level.LOOK_CLOSER,
            "Hot and compressed, oil stands at the rod guide on the low side ({top_margin}): gas can be trapped and mixed in.",
        )
    elif hot.top_margin < least:
        work.finding(
            Level.LOOK_CLOSER,
            "Only {top_margin} of gas is left under the rod guide when hot and compressed.",
        )


def _judge_mono(given: Given, work: Working, gas_end: float, oil_end: float) -> None:
    least = given["clearance"]
    for value, name, place, remedy in (
        (
            gas_end,
            "clearance_gas",
            "gas end, hot and compressed",
            "Lengthen the gas column or the chamber.",
        ),
        (
            oil_end,
            "clearance_oil",
            "oil end, cold",
            "Shorten the gas column or lengthen the chamber.",
        ),
    ):
        if value < 0.0:
            work.finding(
                Level.DO_NOT_BUILD,
                f"The dividing piston strikes at the {place} ({{{name}}}). {remedy}",
            )
        elif value < least:
            work.finding(
                Level.LOOK_CLOSER,
                f"Only {{{name}}} is left at the {place}, less than the {{clearance}} wanted. {remedy}",
            )
        else:
            work.finding(Level.FINE, f"The dividing piston keeps {{{name}}} at the {place}.")


def _judge_ratio(work: Working, ratio: float) -> None:
    if ratio > 3.0:  # noqa: PLR2004  common practice, said in the text
        work.finding(Level.LOOK_CLOSER, "Hot, the gas is squeezed {ratio}-fold over the stroke: the pressure and with it the rod force rise steeply. Below 2 is customary (common practice).",
                     ratio=Measure(ratio, "ratio", "1"))  # fmt: skip


def _draw(result: Result) -> Drawing:
    given = result.given
    ways = grid(0.0, given["stroke"], 31)

    def curve(label: str, role: str, temperature: float) -> Curve:
        state = _state(given, temperature)
        start, end = state.gas_column_extended, state.gas_column_compressed
        return Curve(
            label, role, ways, tuple(start + (end - start) * way / given["stroke"] for way in ways)
        )

    hottest = curve("hottest", "rebound", given["temperature_hot"])
    return Drawing(
        (curve("coldest", "compression", given["temperature_cold"]), curve("20 °C", "accent", gas.T_REFERENCE), hottest),
        (Point("least", given["stroke"], hottest.y[-1]),),
    )  # fmt: skip


SHEET = Sheet(
    name="rod-displacement",
    title="Rod-displacement volume",
    question="Where does the oil go that the rod pushes aside, and is there room for it, hot and cold?",
    page="calculate/rod-displacement.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="gas-column", title="Gas column over the stroke",
            statement="The rod takes room from the gas in proportion to its travel, and warm oil takes more.",
            x=Axis("Rod travel from full extension", "length", "mm", like="stroke"),
            y=Axis("Gas column", "length", "mm", like="displacement_travel"), draw=_draw,
        ),
    ),
    limits=(
        "Damper at rest: no splashing, no foam. On rough road a twin-tube needs more oil over its foot valve.",
        "Oil does not compress, tubes and hose do not stretch.",
        "The fall at the high side is taken at the wall of the reserve tube: on the safe side for an inlet further in.",
        "One expansion coefficient over the whole range.",
    ),
)  # fmt: skip
