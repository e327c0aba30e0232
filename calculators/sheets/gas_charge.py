"""Gas charge read backwards: what a measured rod force says about the filling."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import area, gas
from calculators.sheet import Input, Level, Measure, Output, Sheet
from calculators.sheets._gas import CHAMBER, OIL, ROD, SITE, ambient, gas_volume

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_MEASURED, _SPECIFIED = "Measurement", "Specification"

_INPUTS = (
    Input(
        name="rod_force", label="Rod force measured", symbol="F", quantity="force", unit="N",
        default=520.0, minimum=0.0, maximum=30_000.0, group=_MEASURED,
        reason="At rest, positive when the rod pushes out.",
        help="Mean of the reading while pushing in and while letting out, both at rest: seal friction drops out.",
    ),
    Input(
        name="compression", label="Rod travel at the measurement", symbol="x", quantity="length", unit="mm",
        default=0.030, minimum=0.0, maximum=1.0, group=_MEASURED,
        reason="Counted from full extension.",
        help="How far the rod stood in, counted from full extension.",
    ),
    Input(
        name="temperature", label="Temperature at the measurement", symbol="T", quantity="temperature", unit="°C",
        default=298.15, minimum=233.15, maximum=393.15, group=_MEASURED,
        reason="Of the damper, not of the air; let it rest until both agree.",
        help="Temperature of the damper itself.",
    ),
    ROD,
    *CHAMBER,
    *OIL,
    Input(
        name="charge_specified", label="Charge specified at 20 °C", symbol="p_spec", quantity="pressure_gauge", unit="bar",
        default=1.5e6, minimum=0.0, maximum=10e6, group=_SPECIFIED,
        reason="Gauge pressure, rod fully out, 20 °C.",
        help="From the drawing or the maker's manual.",
    ),
    Input(
        name="tolerance", label="Tolerance of the charge", symbol="tol", quantity="percent", unit="%",
        default=0.10, minimum=0.005, maximum=0.5, group=_SPECIFIED,
        reason="Share of the specified gauge pressure, to each side.",
        help="How far the charge may be from the specification.",
    ),
    SITE,
)  # fmt: skip

_OUTPUTS = (
    Output(name="charge_at_20", label="Charge at 20 °C", symbol="p_0", quantity="pressure_gauge", unit="bar",
           headline=True, meaning="What the force says about the filling: gauge, rod out, 20 °C."),
    Output(name="deviation", label="Deviation from the specification", symbol="Delta", quantity="percent", unit="%",
           headline=True, meaning="Charge found, less charge specified, as a share of the latter."),
    Output(name="force_specified", label="Rod force to expect", symbol="F_spec", quantity="force", unit="N",
           meaning="What a damper with the specified charge shows at this position and temperature."),
    Output(name="force_low", label="Least force to accept", symbol="F_low", quantity="force", unit="N",
           meaning="At the lower end of the tolerance, for the same position and temperature."),
    Output(name="force_high", label="Greatest force to accept", symbol="F_high", quantity="force", unit="N",
           meaning="At the upper end of the tolerance."),
)  # fmt: skip


def _force(given: Given, volume: float, outside: float, charge: float, temperature: float) -> float:
    return gas.charge_state(
        charge_pressure_gauge=charge, gas_volume_extended=volume, rod_diameter=given["rod_diameter"],
        compression=given["compression"], temperature=temperature, oil_volume=given["oil_volume"],
        expansion_coefficient=given["expansion_coefficient"], pressure_ambient=outside,
    ).rod_force  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    volume, outside = gas_volume(given, work), ambient(given, work)
    work.step("Rod section", "A_r = pi*d**2/4", area.circle_area(diameter=given["rod_diameter"]),
              quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
    oil = (
        given["oil_volume"]
        * given["expansion_coefficient"]
        * (given["temperature"] - gas.T_REFERENCE)
    )
    work.step("Gas volume, extended, at the temperature measured", "V_T = V_0 - V_oil*beta*(T - 293.15)",
              volume - oil, quantity="volume", unit="cm³", source=gas.charge_state)  # fmt: skip
    charge = work.step(
        "Charge at 20 °C, gauge",
        "p_0 = (F/A_r + p_amb)*293.15/T*(V_T - A_r*x)/V_0 - 101325",
        gas.charge_from_rod_force(
            rod_force=given["rod_force"], rod_diameter=given["rod_diameter"], gas_volume_extended=volume,
            compression=given["compression"], temperature=given["temperature"], oil_volume=given["oil_volume"],
            expansion_coefficient=given["expansion_coefficient"], pressure_ambient=outside,
        ),
        quantity="pressure_gauge", unit="bar", source=gas.charge_from_rod_force,
    )  # fmt: skip
    specified, tolerance = given["charge_specified"], given["tolerance"]
    forces = [
        work.step(
            label, f"{symbol} = (({charge_text} + 101325)*T/293.15*V_0/(V_T - A_r*x) - p_amb)*A_r",
            _force(given, volume, outside, specified * scale, given["temperature"]),
            quantity="force", source=gas.charge_state,
        )
        for label, symbol, charge_text, scale in (
            ("Rod force to expect", "F_spec", "p_spec", 1.0),
            ("Least force to accept", "F_low", "p_spec*(1 - tol)", 1.0 - tolerance),
            ("Greatest force to accept", "F_high", "p_spec*(1 + tol)", 1.0 + tolerance),
        )
    ]  # fmt: skip
    deviation = None
    if specified > 0.0:
        deviation = work.step("Deviation from the specification", "Delta = (p_0 - p_spec)/p_spec",
                              (charge - specified) / specified, quantity="percent", unit="%",
                              source=gas.charge_from_rod_force)  # fmt: skip
    _judge(given, work, charge, deviation)
    return {
        "charge_at_20": charge,
        "deviation": deviation,
        "force_specified": forces[0],
        "force_low": forces[1],
        "force_high": forces[2],
    }


def _judge(given: Given, work: Working, charge: float, deviation: float | None) -> None:
    if charge < 0.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "The charge comes out below the air pressure: the gas is gone, or force, position or temperature is wrong. Replace the damper if a second reading agrees.",
        )
    elif deviation is None:
        work.finding(
            Level.LOOK_CLOSER, "No charge is specified, so there is nothing to accept against."
        )
    elif abs(deviation) <= given["tolerance"]:
        work.finding(
            Level.FINE,
            "The charge of {charge_at_20} is within {tolerance} of the specified {charge_specified}.",
        )
    elif deviation < 0.0:
        work.finding(Level.DO_NOT_BUILD, "The charge of {charge_at_20} is below the specification by {shortfall}: do not fit or keep this damper before the cause is known.",
                     shortfall=Measure(-deviation, "percent", "%"))  # fmt: skip
    else:
        work.finding(
            Level.LOOK_CLOSER,
            "The charge of {charge_at_20} is above the specification: check the temperature of the damper and the fill of oil.",
        )
    if given["temperature"] - gas.T_REFERENCE > 40.0:  # noqa: PLR2004
        work.finding(
            Level.LOOK_CLOSER,
            "At {temperature} the oil's expansion decides: let the damper cool and measure again.",
        )


def _draw(result: Result) -> Drawing:
    given = result.given
    steps = {step.formula.partition(" =")[0]: step.answer.value for step in result.steps}
    volume, outside = steps.get("V_0", given.numbers.get("gas_volume")) or 0.0, steps["p_amb"]
    room = volume - steps["A_r"] * given["compression"]
    growth = given["oil_volume"] * given["expansion_coefficient"]
    warmth = tuple(
        at for at in grid(min(given["temperature"], 273.15), max(given["temperature"], 333.15), 31)
        if growth * (at - gas.T_REFERENCE) < room
    )  # fmt: skip

    def curve(label: str, role: str, scale: float) -> Curve:
        charge = given["charge_specified"] * scale
        return Curve(
            label, role, warmth, tuple(_force(given, volume, outside, charge, at) for at in warmth)
        )

    return Drawing(
        (curve("greatest", "rebound", 1.0 + given["tolerance"]), curve("specified", "accent", 1.0),
         curve("least", "compression", 1.0 - given["tolerance"])),
        (Point("measured", given["temperature"], given["rod_force"]),),
    )  # fmt: skip


SHEET = Sheet(
    name="gas-charge",
    title="Gas charge from a measured rod force",
    question="What does the force at the rod say about the charge, and is it within the specification?",
    page="calculate/gas-force.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="acceptance", title="Rod force to accept over temperature",
            statement="The band moves up with warmth: a reading is judged at its own temperature.",
            x=Axis("Temperature of the damper", "temperature", "°C", like="temperature"),
            y=Axis("Rod force", "force", "N", like="rod_force"), draw=_draw,
        ),
    ),
    limits=(
        "The rod is held until the reading stands still, so the gas is at the damper's temperature (n = 1).",
        "Nitrogen as an ideal gas; oil and gas at one temperature.",
        "An error of the force or of the rod diameter goes into the charge in full.",
    ),
)  # fmt: skip
