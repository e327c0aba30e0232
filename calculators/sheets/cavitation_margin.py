"""Cavitation margin: how fast the rod may move before a chamber runs out of pressure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import cavitation, charge, gas, network
from calculators.sheet import Column, Input, Level, Measure, Output, Sheet
from calculators.sheets import _valving as valving
from calculators.sheets._gas import ambient

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_SPEED, _FILLING = "Speed", "Filling"
_SPEEDS = 32  # steps of the range in which a limit is looked for
_HALVINGS = 40  # of the step that holds it: good to twelve digits

_INPUTS = (
    *valving.BODY,
    *valving.PISTON,
    *valving.RESERVE,
    *valving.OIL,
    valving.RELEASE,
    *valving.GAS,
    *valving.TEMPERATURES,
    valving.SITE,
    Input(
        name="filling_altitude", label="Altitude where it is filled", symbol="H_f", quantity="length", unit="m",
        default=1_500.0, minimum=-400.0, maximum=6_000.0, group=_FILLING,
        reason="From the Dead Sea to the highest mine roads.",
        help="A gauge that reads the charge there leaves less absolute pressure than at sea level.",
    ),
    Input(
        name="wanted_speed", label="Speed wanted", symbol="v_w", quantity="velocity", unit="m/s",
        default=1.0, minimum=0.01, maximum=6.0, group=_SPEED,
        reason="The largest rod speed that the road is to ask for.",
        help="Rod speed up to which the damper is to work without cavitation, each way.",
    ),
    Input(
        name="searched_to", label="Looked at up to", symbol="v_max", quantity="velocity", unit="m/s",
        default=2.0, minimum=0.05, maximum=6.0, group=_SPEED,
        reason="Limits beyond it are not looked for.",
        help="Largest rod speed that is examined.",
    ),
    Input(
        name="margin_wanted", label="Margin wanted", symbol="m_w", quantity="pressure_difference", unit="bar",
        default=1e5, minimum=0.0, maximum=20e5, group=_SPEED,
        reason="Pressure to keep above release; 0 is the very limit.",
        help="Pressure above release that is to be left at the speed wanted, for what this steady calculation leaves out.",
    ),
)  # fmt: skip

_OUTPUTS = (
    Output(name="limit_compression", label="Limiting speed in compression", symbol="v_v_c", quantity="velocity",
           unit="m/s", headline=True, meaning="A chamber falls to the release pressure at this rod speed, usual temperature; none up to the largest speed: —."),
    Output(name="limit_rebound", label="Limiting speed in rebound", symbol="v_v_r", quantity="velocity", unit="m/s",
           headline=True, meaning="The same in rebound."),
    Output(name="worst_limit", label="Limiting speed, cold or hot", symbol="v_v_w", quantity="velocity", unit="m/s",
           meaning="The lowest of cold, usual and hot, either way; none up to the largest speed: —."),
    Output(name="margin_compression", label="Margin in compression at the speed wanted", symbol="m_c",
           quantity="pressure_difference", unit="bar", meaning="Pressure above release in the emptier chamber; below zero it cavitates."),
    Output(name="margin_rebound", label="Margin in rebound at the speed wanted", symbol="m_r",
           quantity="pressure_difference", unit="bar", meaning="The same in rebound."),
    Output(name="charge_needed", label="Charge needed", symbol="p_0n", quantity="pressure_gauge", unit="bar", headline=True,
           meaning="Gauge, rod out, 20 °C, at sea level: leaves the margin wanted at the speed wanted, cold, usual and hot, both ways."),
    Output(name="charge_needed_altitude", label="Charge needed, filled at altitude", symbol="p_0H",
           quantity="pressure_gauge", unit="bar", meaning="What the gauge must read when the damper is filled at the altitude given."),
    Output(name="reserve_drop_needed", label="Drop needed at the foot or reservoir valve", symbol="DeltaP_n",
           quantity="pressure_difference", unit="bar",
           meaning="With the charge as given: what this valve must hold in compression at the speed wanted."),
    Output(name="reserve_drop", label="Drop that it has", symbol="DeltaP_f_c", quantity="pressure_difference", unit="bar",
           meaning="Of the valve as described, at the speed wanted; a monotube without one has none."),
    Output(name="balance", label="Pressure balance", symbol="r_p", quantity="ratio", unit="1",
           meaning="Drop of the foot or reservoir valve over drop of the piston in compression: from 1 on the rod side never sinks below the gas."),
    Output(name="largest_force", label="Largest force in compression", symbol="F_max", quantity="force", unit="N",
           meaning="Rod force at the limit with an open way to the gas, whatever the piston valve: gas included, friction left out."),
)  # fmt: skip

_COLUMNS = (
    Column("State"),
    Column("Gas pressure", "p_g", "pressure_absolute", "bar"),
    Column("Limit, compression", "v_v_c", "velocity", "m/s"),
    Column("Force there", "F", "force", "N"),
    Column("Limit, rebound", "v_v_r", "velocity", "m/s"),
    Column("Force there", "F", "force", "N"),
    Column("Least margin", "m", "pressure_difference", "bar"),
)
_BALANCE = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Piston drop, compression", "", "pressure_difference", "bar"),
    Column("foot or reservoir valve", "", "pressure_difference", "bar"),
    Column("balance", "r_p", "ratio", "1"),
    Column("margin, rod side", "m_c", "pressure_difference", "bar"),
    Column("Intake drop, rebound", "", "pressure_difference", "bar"),
    Column("margin, head side", "m_r", "pressure_difference", "bar"),
)
_SHARES = (grid(-1.0, 0.0, 25)[:-1], grid(0.0, 1.0, 25))  # of the way to the limit, for drawing


@dataclass(frozen=True, slots=True)
class _State:
    """The damper in one condition: what its gas and oil are there."""

    words: str
    role: str
    temperature: float
    damper: Damper
    oil: Oil
    gas: float

    def margin(self, velocity: float, release: float) -> float:
        return cavitation.cavitation_margin(
            damper=self.damper,
            velocity=velocity,
            gas_pressure=self.gas,
            oil=self.oil,
            release_pressure=release,
        )

    def limit(self, sign: float, release: float, most: float) -> tuple[float | None, float]:
        """Return the limiting speed one way, None if there is none, and the least margin."""
        speeds = grid(0.0, sign * most, _SPEEDS + 1)
        margins = [self.margin(speed, release) for speed in speeds]
        first = next((step for step, margin in enumerate(margins) if margin <= 0.0), None)
        if first is None:
            return None, min(margins)
        below, above = speeds[max(first - 1, 0)], speeds[first]
        for _ in range(_HALVINGS):
            middle = 0.5 * (below + above)
            below, above = (
                (middle, above) if self.margin(middle, release) > 0.0 else (below, middle)
            )
        return abs(above), min(margins)


def _filled_at_altitude(given: Given) -> float:
    """Return the charge against the standard atmosphere when the gauge reads it at altitude."""
    return (
        valving.charge_of(given)
        + gas.atmosphere_pressure(altitude=given["filling_altitude"])
        - gas.P_ATM
    )


def _states(given: Given) -> tuple[_State, ...]:
    """Return usual, hot, cold, and usual but filled at altitude."""
    damper = valving.damper_of(given)

    def state(words: str, role: str, temperature: float, charged: float | None = None) -> _State:
        pressure = valving.gas_at(given, temperature, charge=charged)
        return _State(
            words, role, temperature, damper, valving.oil_at(given, temperature), pressure
        )

    return (
        state("usual", "accent", given["temperature"]),
        state("hot", "look", given["temperature_hot"]),
        state("cold", "rebound", given["temperature_cold"]),
        state("filled at altitude", "gas", given["temperature"], _filled_at_altitude(given)),
    )


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    outside = ambient(given, work)
    states = _states(given)
    usual = states[0]
    valving.record_damper(given, work, usual.damper)
    warm = valving.record_oil(given, work)
    valving.record_gas(given, work)
    wanted = given["wanted_speed"]
    inward, outward = (
        network.operating_point(damper=usual.damper, velocity=velocity, gas_pressure=usual.gas, oil=warm, pressure_ambient=outside)
        for velocity in (wanted, -wanted)
    )  # fmt: skip
    for point in (inward, outward):
        valving.record_point(work, usual.damper, point, warm, "v_w")
    outputs: dict[str, float | None] = {}
    for words, mark, velocity in (("compression", "c", wanted), ("rebound", "r", -wanted)):
        outputs[f"margin_{words}"] = work.step(
            f"Margin in {words} at the speed wanted", f"m_{mark} = min(p_head_{mark}, p_rod_{mark}) - p_v",
            usual.margin(velocity, given["release_pressure"]),
            quantity="pressure_difference", unit="bar", source=cavitation.cavitation_margin,
        )  # fmt: skip
    outputs |= _limits(given, work, states, outside)
    outputs |= _needed(given, work, states)
    outputs |= _balance(given, work, usual)
    outputs["largest_force"] = work.step(
        "Largest force in compression with an open way to the gas", "F_max = (p_g - p_v)*A_a + (p_g - p_amb)*A_r",
        cavitation.largest_compression_force(
            damper=usual.damper, gas_pressure=usual.gas, release_pressure=given["release_pressure"], pressure_ambient=outside,
        ),
        quantity="force", source=cavitation.largest_compression_force,
    )  # fmt: skip
    _judge(given, work, states, outputs)
    return outputs


def _limits(
    given: Given, work: Working, states: tuple[_State, ...], outside: float
) -> dict[str, float | None]:
    """Record the limiting speeds of every state."""
    release, most = given["release_pressure"], given["searched_to"]
    rows, limits = [], []
    for state in states:
        row: list[float | str | None] = [f"{state.words}", state.gas]
        least = []
        for sign in (1.0, -1.0):
            limit, margin = state.limit(sign, release, most)
            limits.append(limit)
            least.append(margin)
            force = None
            if limit is not None:
                point = network.operating_point(
                    damper=state.damper, velocity=sign * limit, gas_pressure=state.gas, oil=state.oil, pressure_ambient=outside,
                )  # fmt: skip
                force = sign * point.force
            row += [limit, force]
        rows.append((*row, min(least)))
    work.table(
        "limits", "Limiting speeds, and the force there, gas included", _COLUMNS, tuple(rows)
    )
    outputs: dict[str, float | None] = {}
    ring = states[0].damper.annulus_area
    for words, mark, limit in (("compression", "c", limits[0]), ("rebound", "r", limits[1])):
        outputs[f"limit_{words}"] = _speed(
            work, f"Limiting speed in {words}", f"v_v_{mark}", f"Q_v_{mark}", limit, ring
        )
    outputs["worst_limit"] = _speed(
        work, "Limiting speed, the lowest of cold, usual and hot", "v_v_w", "Q_v_w",
        min((limit for limit in limits[:6] if limit is not None), default=None), ring,
    )  # fmt: skip
    return outputs


def _speed(
    work: Working, words: str, symbol: str, flow: str, speed: float | None, ring: float
) -> float | None:
    """Record a speed by the piston flow at which the margin was found to be used up."""
    if speed is None:
        return None
    work.let(flow, speed * ring, quantity="volume_flow", unit="L/min")
    return work.step(
        words,
        f"{symbol} = {flow}/A_a",
        speed,
        quantity="velocity",
        source=cavitation.cavitation_limit,
    )


def _needed(given: Given, work: Working, states: tuple[_State, ...]) -> dict[str, float | None]:
    """Record the charge that the speed wanted needs in the worst of cold, usual and hot."""
    release, margin = given["release_pressure"], given["margin_wanted"]
    worst, needed, factor = 0.0, 0.0, 1.0
    for state in states[:3]:
        pressure = max(
            charge.required_charge(
                damper=state.damper,
                velocity=sign * given["wanted_speed"],
                oil=state.oil,
                release_pressure=release,
                margin=margin,
            )
            for sign in (1.0, -1.0)
        )
        grown = valving.gas_at(given, state.temperature, charge=0.0) / gas.P_ATM
        if pressure / grown > worst:
            worst, needed, factor = pressure / grown, pressure, grown
    work.let("p_gn", needed, quantity="pressure_absolute", unit="bar")
    work.let("e_n", factor, quantity="ratio")
    output = work.step(
        "Charge needed at sea level: gas pressure needed / its growth by temperature and travel",
        "p_0n = p_gn/e_n - 101325", needed / factor - gas.P_ATM,
        quantity="pressure_gauge", unit="bar", source=charge.required_charge,
    )  # fmt: skip
    there = gas.atmosphere_pressure(altitude=given["filling_altitude"])
    work.let("p_Hf", there, quantity="pressure_absolute", unit="kPa")
    lifted = work.step("The same on a gauge at the altitude of filling", "p_0H = p_0n + 101325 - p_Hf",
                       output + gas.P_ATM - there, quantity="pressure_gauge", unit="bar", source=charge.gauge_charge)  # fmt: skip
    drop = charge.required_reserve_drop(
        damper=states[0].damper, velocity=given["wanted_speed"], gas_pressure=states[0].gas, oil=states[0].oil,
        release_pressure=release, margin=margin,
    )  # fmt: skip
    work.step("Drop needed at the foot or reservoir valve", "DeltaP_n = max(0, DeltaP_c - (p_g - p_v) + m_w)", drop,
              quantity="pressure_difference", unit="bar", source=charge.required_reserve_drop)  # fmt: skip
    return {"charge_needed": output, "charge_needed_altitude": lifted, "reserve_drop_needed": drop}


def _balance(given: Given, work: Working, usual: _State) -> dict[str, float | None]:
    """Record how piston and reserve valve share the pressure."""

    def shared(velocity: float) -> charge.PressureBalance:
        return charge.pressure_balance(
            damper=usual.damper, velocity=velocity, gas_pressure=usual.gas, oil=usual.oil,
            release_pressure=given["release_pressure"],
        )  # fmt: skip

    rows = []
    for speed in grid(given["searched_to"] / 5.0, given["searched_to"], 5):
        inward, outward = shared(speed), shared(-speed)
        rows.append((
            speed, inward.piston_drop, inward.reserve_drop, inward.ratio, inward.margin_rod,
            outward.reserve_drop, outward.margin_head,
        ))  # fmt: skip
    work.table("balance", "Pressure balance at usual temperature", _BALANCE, tuple(rows))
    at_wanted = shared(given["wanted_speed"])
    ratio = at_wanted.ratio
    if usual.damper.reserve is None or ratio is None:
        return {"reserve_drop": None, "balance": None}
    work.step("Pressure balance in compression", "r_p = DeltaP_f_c/DeltaP_c", ratio,
              quantity="ratio", source=charge.pressure_balance)  # fmt: skip
    drop = work.step("Drop of the foot or reservoir valve, from the pressures", "DeltaP_f_c = p_head_c - p_g",
                     at_wanted.reserve_drop, quantity="pressure_difference", unit="bar", source=charge.pressure_balance)  # fmt: skip
    return {"reserve_drop": drop, "balance": ratio}


def _judge(
    given: Given, work: Working, states: tuple[_State, ...], outputs: Mapping[str, float | None]
) -> None:
    release, wanted = given["release_pressure"], given["wanted_speed"]
    least, words, way = min(
        ((state.margin(sign * wanted, release), state.words, way)
         for state in states[:3] for sign, way in ((1.0, "compression"), (-1.0, "rebound"))),
    )  # fmt: skip
    left = {"left": Measure(least, "pressure_difference", "bar")}
    place = f"{words}, in {way}"
    if least <= 0.0:
        work.finding(
            Level.DO_NOT_BUILD,
            f"At {{wanted_speed}} the damper cavitates ({place}). It needs a charge of {{charge_needed}}, or valves that share the pressure better.",
        )
    elif least < given["margin_wanted"]:
        work.finding(
            Level.LOOK_CLOSER,
            f"At {{wanted_speed}} only {{left}} is left above release ({place}); {{margin_wanted}} is wanted, which takes a charge of {{charge_needed}}.",
            **left,
        )
    else:
        work.finding(
            Level.FINE,
            f"At {{wanted_speed}} at least {{left}} is left above release ({place}); {{margin_wanted}} is wanted.",
            **left,
        )
    _judge_balance(given, work, states[0])
    twin = given.choice("construction") == "twin-tube"
    customary = 8e5 if twin else 25e5
    needed = outputs["charge_needed"]
    if needed is not None and needed > customary:
        work.finding(Level.LOOK_CLOSER, "The {charge_needed} needed is more than the {customary} that such dampers customarily carry (common practice): ease the piston in compression or let a foot or reservoir valve carry part of the force.",
                     customary=Measure(customary, "pressure_gauge", "bar"))  # fmt: skip
    balance = outputs["balance"]
    if balance is not None and balance < 1.0 and twin:
        work.finding(
            Level.LOOK_CLOSER,
            "The foot valve holds {balance} of the piston's drop: the rod side sinks below the gas pressure, and a low charge is soon used up. From 1 on it never sinks.",
        )
    elif balance is not None and balance >= 1.0:
        work.finding(
            Level.FINE,
            "The foot or reservoir valve holds {balance} times the piston's drop: in compression the rod side never sinks below the gas.",
        )
    if outputs["worst_limit"] is None:
        work.finding(
            Level.FINE, "No limiting speed was met up to {searched_to}, cold, usual or hot."
        )


def _judge_balance(given: Given, work: Working, usual: _State) -> None:
    """Say with the numbers at hand what stands for and against the rod side in compression."""
    shared = charge.pressure_balance(
        damper=usual.damper, velocity=given["wanted_speed"], gas_pressure=usual.gas, oil=usual.oil,
        release_pressure=given["release_pressure"],
    )  # fmt: skip
    figures = {
        "gas": Measure(usual.gas, "pressure_absolute", "bar"),
        "foot": Measure(shared.reserve_drop, "pressure_difference", "bar"),
        "piston": Measure(shared.piston_drop, "pressure_difference", "bar"),
        "rod": Measure(usual.gas + shared.reserve_drop - shared.piston_drop, "pressure_absolute", "bar"),
    }  # fmt: skip
    supply = "{gas} of gas"
    if usual.damper.reserve is not None:
        supply += " and {foot} from the foot or reservoir valve"
    work.finding(
        Level.FINE if shared.margin_rod > 0.0 else Level.DO_NOT_BUILD,
        f"The balance in compression at {{wanted_speed}}, usual temperature: {supply} stand against {{piston}} at the piston; {{rod}} is what that makes on the rod side, absolute, and {{release_pressure}} is the limit.",
        **figures,
    )


def _draw(result: Result) -> Drawing:
    given = result.given
    release, most = given["release_pressure"], given["searched_to"]
    (limits,) = (table for table in result.tables if table.name == "limits")
    curves = []
    for state, row in zip(_states(given), limits.rows, strict=True):
        ends = [limit if isinstance(limit, float) else most for limit in (row[4], row[2])]
        speeds = [
            end * share * abs(share)
            for end, shares in zip(ends, _SHARES, strict=True)
            for share in shares
        ]
        curves.append(
            Curve(
                state.words,
                state.role,
                speeds,
                [state.margin(speed, release) + release for speed in speeds],
            )
        )
    line = Curve("release pressure", "stop", (-most, most), (release, release))
    points = [
        Point("limit", sign * speed, release)
        for name, sign in (("limit_compression", 1.0), ("limit_rebound", -1.0))
        if (speed := result.outputs[name]) is not None
    ]
    return Drawing((*curves, line), tuple(points))


SHEET = Sheet(
    name="cavitation-margin",
    title="Cavitation margin",
    question="How fast may the rod move before the oil cavitates, and which charge or foot valve moves the limit?",
    page="calculate/cavitation-margin.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="emptier-chamber", title="Pressure in the emptier chamber",
            statement="Faster compression empties the rod side; where a curve meets the release pressure, the damper cavitates.",
            x=Axis("Rod speed, compression positive", "velocity", "m/s", like="searched_to"),
            y=Axis("Absolute pressure", "pressure_absolute", "bar", like="release_pressure"), draw=_draw,
        ),
    ),
    limits=(
        "Steady speed: sudden reversals, splashing and aerated oil bring the limit nearer. Keep a margin.",
        "Mean pressures of the chambers: the jet behind an edge cavitates earlier, which wears and is heard.",
        "A margin below zero only says how much is missing; the curves end at the release pressure.",
        "One rod travel: with the rod further out the gas pressure is lower, and so is the limit.",
        "The release pressure depends on the air dissolved in the oil; oil under gas without a dividing piston lets go earlier.",
    ),
)  # fmt: skip
