"""Heat and fade: how hot a damper gets, how soon, and how much force that costs."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import NoSolutionError
from calculators.physics import lumped
from calculators.physics.fade import HOTTEST_OIL
from calculators.physics.heat_sensitivity import sensitivities
from calculators.physics.target import BENCH_SPEEDS
from calculators.physics.warm_up import warm_up
from calculators.sheet import Column, Level, Measure, Sheet
from calculators.sheets._heat_form import INPUTS, OUTPUTS
from calculators.sheets._heat_state import (
    by_valves,
    forces_at,
    settled,
    state_of,
    surroundings_of,
    tabled_power,
)
from calculators.sheets._heat_working import (
    record_balance,
    record_capacity,
    record_fade,
    record_motion,
    record_start,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.heat_sensitivity import Sensitivity
    from calculators.sheet import Given, Result, Working
    from calculators.sheets._heat_state import State

__all__ = ["SHEET"]

_OTHER = {"monotube": "twin-tube", "twin-tube": "monotube"}
_ROLES = {"monotube": "accent", "twin-tube": "rebound"}
_SHORTEST, _LONGEST = 600.0, 43_200.0  # s, of a warm-up that is looked at
_BURNS = 333.15  # K, 60 °C: metal burns skin within seconds; value from memory of ISO 13732-1
_FELT = 0.25  # loss of force that is felt, common practice

_WORDS = {
    "power": "Power of the motion",
    "surface": "Length that the air reaches",
    "bore": "All diameters, oil with them",
    "oil mass": "Oil alone",
    "air speed": "Air at the damper",
    "fin height": "Height of the fins",
}
_ADVICE = {
    "power": "less power: a softer valve or a lower speed",
    "surface": "more length in the air",
    "bore": "a larger diameter",
    "oil mass": "more oil",
    "air speed": "more air at the damper",
    "fin height": "higher fins",
}
_LEVERS = (
    Column("10 % more of"),
    Column("Settled oil", "DeltaT", "temperature_difference", "K"),
)
_SPLIT = (Column("Way"), Column("Heat", "Q", "power", "W"), Column("Share", "", "percent", "%"))
_CURVES = (
    Column("Rod speed", "v", "velocity", "m/s"),
    *(
        Column(f"{direction}, {state}", "", "force", "N")
        for direction in ("Compression", "Rebound")
        for state in ("at the start", "normal", "hot")
    ),
)
_RANGES = (
    Column("Equation"), Column("Number"), Column("Here", "", "ratio", "1"), Column("Proven for"),
    Column("In range"),
)  # fmt: skip


def _duration(time_constant: float) -> float:
    """Return how long a warm-up is looked at."""
    return min(max(6.0 * time_constant, _SHORTEST), _LONGEST)


def _warm(given: Given, state: State, power: float, duration: float) -> float | None:
    """Return when the oil meets the limit at a constant power."""
    return warm_up(
        damper=state.damper, power=power, surroundings=surroundings_of(given),
        start=given["air_temperature"], duration=duration, limit=given["limit_temperature"],
    ).time_to_limit  # fmt: skip


def _earliest(given: Given, state: State, power: float, latest: float) -> float:
    """Return when the oil meets the limit with the full power of the start.

    The search goes on in steps that can't carry the oil beyond 300 °C.
    """
    if given["limit_temperature"] <= given["air_temperature"]:
        return 0.0
    rise = given["limit_temperature"] - given["air_temperature"]
    look = 1.5 * state.damper.oil_heat_capacity * rise / power
    while look < latest:
        found = _warm(given, state, power, look)
        if found is not None:
            return found
        look *= 1.5
    return _warm(given, state, power, latest) or latest


def _times(
    given: Given, work: Working, state: State, outputs: Mapping[str, float | None]
) -> dict[str, float | None]:
    """Record the time constant and the times to the limit."""
    power, start = outputs["power_settled"], outputs["power_start"]
    assert power is not None
    assert start is not None
    hot, limit, ambient = state.heat.oil_temperature, given["limit_temperature"], given["air_temperature"]  # fmt: skip
    more = ""
    if state.damper.reservoir is not None:
        work.let("C_f", state.damper.reservoir.heat_capacity, quantity="heat_capacity")
        more = " + C_f"
    tau = work.step(
        "Time constant", f"tau = (C_o + C_b{more})*(T_o - T_a)/P_h",
        lumped.time_constant(heat_capacity=state.capacity, rise=hot - ambient, power=power),
        quantity="time", unit="min", source=lumped.time_constant,
    )  # fmt: skip
    latest = _warm(given, state, power, _duration(tau)) if hot > limit > ambient else None
    if hot > limit and limit <= ambient:
        latest = 0.0
    if latest is None:
        return {"time_constant": tau, "time_latest": None, "time_earliest": None}
    earliest = _earliest(given, state, start, latest)
    times: dict[str, float | None] = {"time_constant": tau}
    times["time_latest"] = _record_time(given, work, state, "P_h", power, latest)
    times["time_earliest"] = _record_time(given, work, state, "P_s", start, earliest)
    return times


def _record_time(
    given: Given, work: Working, state: State, symbol: str, power: float, time: float
) -> float:
    """Record the time to the limit at a constant power: P_s of the start, or P_h when settled."""
    mark, words = {"P_s": ("1", "power of the start"), "P_h": ("2", "settled power")}[symbol]
    rise = given["limit_temperature"] - given["air_temperature"]
    stored = state.damper.oil_heat_capacity * rise
    work.let(f"E_{mark}", power * time - stored, quantity="energy", unit="kJ")
    return work.step(
        f"Time to the limit with the {words}, E_{mark} having gone on to metal and air by then",
        f"t_{mark} = (C_o*(T_l - T_a) + E_{mark})/{symbol}", time,
        quantity="time", unit="min", source=warm_up,
    )  # fmt: skip


def _other(given: Given, work: Working) -> float | None:
    """Record where the other construction would settle."""
    settled_there = state_of(given, _OTHER[given.choice("construction")]).settled
    if settled_there is None:
        return None
    hot = settled_there.oil_temperature
    work.let(
        "DeltaT_x", hot - given["air_temperature"], quantity="temperature_difference", unit="K"
    )
    return work.step(
        "The other construction, its balance found in the same way", "T_x = T_a + DeltaT_x", hot,
        quantity="temperature", unit="°C", source=lumped.time_constant,
    )  # fmt: skip


def _levers(given: Given, state: State, power: float) -> tuple[Sensitivity, ...]:
    """Return what would help, ranked by the settled temperature."""
    return sensitivities(
        damper=state.damper, power=power, surroundings=surroundings_of(given),
        start=given["air_temperature"], limit=inf,
    )  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    state = state_of(given)
    record_motion(given, work, state)
    record_capacity(given, work, state)
    start = record_start(given, work, state)
    if state.settled is None:
        return _too_hot(given, work, state, start)
    outputs = {"power_start": start, **record_fade(given, work, state)}
    taken = outputs["power_settled"]
    assert taken is not None
    outputs |= record_balance(given, work, state, taken)
    outputs |= _times(given, work, state, outputs)
    outputs["other_temperature"] = _other(given, work)
    levers = _levers(given, state, taken)
    _tables(given, work, state, outputs, levers)
    _judge(given, work, state, outputs, levers)
    return outputs


def _too_hot(given: Given, work: Working, state: State, start: float) -> dict[str, float | None]:
    """Record the time to the limit of a damper that settles nowhere below 300 °C."""
    outputs: dict[str, float | None] = dict.fromkeys(output.name for output in OUTPUTS)
    time = _earliest(given, state, start, _LONGEST)
    outputs["power_start"] = start
    outputs["time_earliest"] = _record_time(given, work, state, "P_s", start, time)
    outputs["other_temperature"] = _other(given, work)
    work.finding(
        Level.DO_NOT_BUILD,
        "If the road went on, the oil would pass 300 °C, where neither damper nor equations hold. "
        "From cold the limit of {limit_temperature} comes after {time_earliest}: a longer section "
        "at this speed is too long.",
    )
    more = replace(state.damper, oil_heat_capacity=1.1 * state.damper.oil_heat_capacity)
    later = _earliest(given, replace(state, damper=more), start, _LONGEST)
    work.finding(
        Level.LOOK_CLOSER,
        "For a short section what the oil can store counts: 10 % more of it puts the limit off by "
        "{later}. For a long one only less power helps enough: a lower speed, or a softer valve.",
        later=Measure(later - time, "time", "min"),
    )
    return outputs


def _tables(
    given: Given, work: Working, state: State, outputs: Mapping[str, float | None],
    levers: tuple[Sensitivity, ...],
) -> None:  # fmt: skip
    rows = tuple((_WORDS[one.name], one.temperature_change) for one in levers)
    work.table("levers", "What 10 % more would change, the strongest first", _LEVERS, rows)
    taken = outputs["power_settled"]
    assert taken is not None
    ways = [
        ("body: air", outputs["convected"]),
        ("body: radiation", outputs["radiated"]),
        ("reservoir", outputs["reservoir_heat"]),
        ("sun on the body", -(outputs["sun"] or 0.0)),
    ]
    split = [(words, watts, watts / taken) for words, watts in ways if watts]
    work.table("split", "Where the heat of the settled damper goes", _SPLIT, tuple(split))
    if given.choice("motion") != "power" and (
        by_valves(given) or given.choice("force_by") == "table"
    ):
        _table_of_forces(given, work, state)
    work.table("ranges", "Equations and their proven ranges", _RANGES, _ranges(given, state))


def _table_of_forces(given: Given, work: Working, state: State) -> None:
    """Record the damper's curve at the start, normal, and settled."""
    speeds = BENCH_SPEEDS if by_valves(given) else [row[0] for row in given.rows("damper")]
    oils = given["air_temperature"], given["temperature_normal"], state.heat.oil_temperature
    rows = []
    for speed in speeds:
        inward, outward = zip(*(forces_at(given, speed, oil) for oil in oils), strict=True)
        rows.append((speed, *inward, *outward))
    words = "The damper's curve at the start, normal, and settled"
    work.table("curves", words, _CURVES, tuple(rows))


def _ranges(given: Given, state: State) -> tuple[tuple[str | float, ...], ...]:
    """Return each equation in use with its number, its range and whether it holds."""
    rows: list[tuple[str | float, ...]] = []
    parts = [("body", state.heat.body)]
    if state.heat.reservoir is not None:
        parts.append(("reservoir", state.heat.reservoir))
    still = "Popiel and others" if given.choice("position") == "upright" else "Churchill and Chu"
    proven = {True: "yes", False: "no"}
    for words, loss in parts:
        seen = loss.convection
        if seen.coefficient_forced > 0.0:
            number = seen.reynolds * seen.prandtl
            rows.append((f"Churchill and Bernstein, {words}", "Re Pr", number, "above 0.2", proven[number > 0.2]))  # noqa: PLR2004  as printed beside it  # fmt: skip
        rows.append((f"{still}, {words}", "Ra", seen.rayleigh, "up to 10¹²", proven[seen.rayleigh <= 1e12]))  # noqa: PLR2004  as printed beside it  # fmt: skip
    if state.damper.gap is not None:
        outside = state.heat.in_range or not state.heat.body.convection.in_range
        rows.append(("MacGregor and Emery, reserve", "oil share", given["reserve_share"], "Ra of 10⁴ to 10⁷, height 10 to 40 widths", proven[outside]))  # fmt: skip
    return tuple(rows)


def _judge(
    given: Given, work: Working, state: State, outputs: Mapping[str, float | None],
    levers: tuple[Sensitivity, ...],
) -> None:  # fmt: skip
    hot, limit = state.heat.oil_temperature, given["limit_temperature"]
    if hot > HOTTEST_OIL:
        work.finding(
            Level.DO_NOT_BUILD,
            "The oil would settle at {oil_temperature}, beyond {end}, where the oil's tables end: its force from there on is taken as constant. Such a road has to be short: see the time to the limit.",
            end=Measure(HOTTEST_OIL, "temperature", "°C"),
        )  # fmt: skip
    elif hot > limit:
        text = "The oil would settle at {oil_temperature}, above the limit of {limit_temperature}."
        if outputs["time_earliest"] is not None:
            text += " From cold the limit comes after {time_earliest}: a longer section at this speed is too long."
        else:
            text += " It takes more than six time constants, or twelve hours, to get there."
        work.finding(Level.LOOK_CLOSER, text)
    elif hot > limit - 10.0:
        work.finding(Level.LOOK_CLOSER, "The oil settles at {oil_temperature}, less than 10 K below the limit of {limit_temperature}; the equations are no closer than 20 to 30 % of the rise (common practice).")  # fmt: skip
    else:
        work.finding(Level.FINE, "The oil settles at {oil_temperature}, below the limit of {limit_temperature}, however long the road.")  # fmt: skip
    loss = outputs["force_loss"]
    assert loss is not None
    if loss > _FELT:
        work.finding(Level.LOOK_CLOSER, "Hot, {force_loss} of the force is gone; more than 25 % is felt (common practice). Less leak and bleed, more disc, or an oil of higher viscosity index.")  # fmt: skip
    else:
        words = (
            "{force_loss} of the force is gone"
            if loss >= 0.0
            else "the force is above the normal one, since the oil stays colder"
        )
        work.finding(Level.FINE, f"When settled, {words}.")
    strongest = next(one for one in levers if one.name != "power")
    work.finding(
        Level.FINE if hot <= limit - 10.0 else Level.LOOK_CLOSER,
        f"Of the damper and its place, {_ADVICE[strongest.name]} helps most: 10 % more changes the settled oil by {{most}}.",
        most=Measure(strongest.temperature_change, "temperature_difference", "K"),
    )  # fmt: skip
    if state.heat.body_temperature > _BURNS:
        work.finding(Level.LOOK_CLOSER, "The body gets {body_temperature}: metal above 60 °C burns skin within seconds (value from memory). Let it cool, and use a thermometer instead of a hand.")  # fmt: skip
    _judge_other(given, work, outputs)
    _judge_oil(given, work, state, outputs)
    if not state.heat.in_range:
        work.finding(Level.LOOK_CLOSER, "An equation is used outside its proven range; the table of ranges names it. Take the temperature as a guess.")  # fmt: skip


def _judge_other(given: Given, work: Working, outputs: Mapping[str, float | None]) -> None:
    own = given.choice("construction")
    other, hot = outputs["other_temperature"], outputs["oil_temperature"]
    assert hot is not None
    start = f"As a {_OTHER[own]} with the same outside, oil and road, and without reservoir,"
    if other is None:
        work.finding(Level.FINE, f"{start} the damper would get hotter than 300 °C.")
        return
    helps = other < hot and hot > given["limit_temperature"]
    work.finding(Level.LOOK_CLOSER if helps else Level.FINE,
                 f"{start} the oil would settle at {{other_temperature}}.")  # fmt: skip


def _judge_oil(
    given: Given, work: Working, state: State, outputs: Mapping[str, float | None]
) -> None:
    """Say what more oil does: nothing for the end, something for the time until then."""
    latest, power = outputs["time_latest"], outputs["power_settled"]
    if not latest:
        return
    assert power is not None
    more = replace(state.damper, oil_heat_capacity=1.1 * state.damper.oil_heat_capacity)
    later = _warm(given, replace(state, damper=more), power, 1.2 * latest)
    if later is None:
        return
    work.finding(
        Level.FINE,
        "10 % more oil leaves the settled temperature as it is, and puts the limit off by {later}.",
        later=Measure(later - latest, "time", "min"),
    )


def _states(given: Given) -> list[tuple[str, State]]:
    """Return both constructions, the given one first, as far as they settle."""
    own = given.choice("construction")
    other = state_of(given, _OTHER[own])
    return [(own, state_of(given)), *([(_OTHER[own], other)] if other.settled else [])]


def _draw_warm_up(result: Result) -> Drawing:
    given, outputs = result.given, result.outputs
    own, soonest = outputs["time_constant"], outputs["time_earliest"] or 60.0
    duration = 1.2 * soonest if own is None else 0.6 * _duration(own)
    states = _states(given) if own is not None else _states(given)[:1]
    curves = []
    for words, state in states:
        power = outputs["power_start"] if state.settled is None else state.heat.power
        curve = warm_up(
            damper=state.damper, power=max(power or 0.0, 0.0), surroundings=surroundings_of(given),
            start=given["air_temperature"], duration=duration,
        )  # fmt: skip
        curves.append(Curve(f"oil, {words}", _ROLES[words], curve.times, curve.oil))
        if len(curves) == 1:
            curves.append(Curve(f"body, {words}", "steel", curve.times, curve.body))
    limit = given["limit_temperature"]
    curves.append(Curve("limit", "stop", (0.0, duration), (limit, limit)))
    return Drawing(tuple(curves))


def _draw_wind(result: Result) -> Drawing:
    given = result.given
    speeds = grid(0.0, max(2.0 * given["air_speed"], 15.0), 16)
    power = tabled_power(given) if by_valves(given) else None
    curves = []
    for words, state in _states(given):
        found = []
        for speed in speeds:
            try:
                found.append((speed, settled(given, state.damper, speed, power).oil_temperature))
            except NoSolutionError:
                continue
        if found:
            curves.append(Curve(words, _ROLES[words], *zip(*found, strict=True)))
    limit = given["limit_temperature"]
    curves.append(Curve("limit", "stop", (speeds[0], speeds[-1]), (limit, limit)))
    here = result.outputs["oil_temperature"]
    points = () if here is None else (Point("here", given["air_speed"], here),)
    return Drawing(tuple(curves), points)


SHEET = Sheet(
    name="heat-and-fade",
    title="Heat and fade",
    question="How hot does this damper get on this road, how soon, and how much force does it lose?",
    page="calculate/heat-and-fade.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="warm-up", title="Warm-up",
            statement="From a start at air temperature, with the settled power all the time, or that of the start where none settles: the oil runs ahead of the body, and a twin-tube's oil runs ahead of a monotube's.",
            x=Axis("Time", "time", "min", like="time_constant"),
            y=Axis("Temperature", "temperature", "°C", like="oil_temperature"), draw=_draw_warm_up,
        ),
        Chart(
            name="wind", title="Settled oil over air speed",
            statement="The first metres per second of air help most; a twin-tube stays hotter at any speed, since its reserve stands between oil and air.",
            x=Axis("Air speed at the damper", "velocity", "m/s", like="air_speed"),
            y=Axis("Settled oil", "temperature", "°C", like="oil_temperature"), draw=_draw_wind,
        ),
    ),
    limits=(
        "One temperature for all the oil and one for each outside; piston, ends and mounts store and shed nothing.",
        "Expect 20 to 30 % on the rise, as of any convection equation outdoors (common practice).",
        "A viscous share is one number for all speeds; with the valves each speed has its own. Oil full of bubbles in a twin-tube loses more force than viscosity takes.",
        "The motion stays as it is when the force fades; a real wheel moves more.",
        "Mud keeps heat in, water takes it away; neither is counted, nor heat from brakes and exhaust.",
    ),
    on_request=True,
)  # fmt: skip
