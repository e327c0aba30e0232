"""Ride: what a damper does for the contact of the wheel with the ground."""

from __future__ import annotations

from math import ceil, sqrt
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing
from calculators.physics import comfort, quarter_car, ride, road
from calculators.picture import Picture
from calculators.sheet import Column, Level, Measure, Output, Sheet
from calculators.sheets._ride_case import INPUTS, chance_of, ride_of
from calculators.sheets._ride_regimes import COLUMNS as REGIMES
from calculators.sheets._ride_regimes import bars, regime_rows
from calculators.sheets._ride_strip import draw_strip, window_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from calculators.physics.ride import Ride
    from calculators.picture import Sketch
    from calculators.sheet import Given, Result, Working
    from calculators.view import Units

__all__ = ["SHEET"]

_SKIPPING = 0.05  # 1, share of the time off the ground that is too much; ours
_ROUGH_LOAD = 0.3  # 1, load coefficient that asks for a closer look; ours
_ROUNDING = 1e-9  # 1, share of the work that is lost in the last digits of its parts
_UNEXPLAINED = 0.005  # 1, share of the road's work that may be left open; ours
_CHANCE = 1e-3  # 1, change for a billionth more speed from which it is a ride of chance; ours
_MOST_POINTS = 700  # of a curve over time

_OUTPUTS = (
    Output(name="airborne_share", label="Share of time off the ground", symbol="q_a",
           quantity="percent", unit="%", headline=True,
           meaning="The tyre carries nothing: neither brakes nor steers."),
    Output(name="load_coefficient", label="Dynamic load coefficient", symbol="r_F",
           quantity="percent", unit="%", headline=True,
           meaning="Rms change of the tyre load over the load at rest; 0 would be a level road."),
    Output(name="mean_power", label="Mean power of the damper", symbol="P_d", quantity="power",
           unit="W", headline=True, meaning="Heat that it has to shed while this road lasts."),
    Output(name="lowest_load", label="Lowest tyre load", symbol="F_min", quantity="force",
           unit="N", meaning="0 means that the wheel left the ground."),
    Output(name="static_load", label="Tyre load at rest", symbol="F_0", quantity="force",
           unit="N", meaning="The weight of both masses."),
    Output(name="body_acceleration", label="Body acceleration, rms", symbol="a_b",
           quantity="acceleration", unit="m/s²", meaning="What body and load are shaken with."),
    Output(name="weighted_acceleration", label="Body acceleration as felt, rms", symbol="a_w",
           quantity="acceleration", unit="m/s²",
           meaning="Weighted by W_k of ISO 2631-1: what a person standing there would feel."),
    Output(name="travel_used", label="Travel used", symbol="s_u", quantity="length", unit="mm",
           meaning="Wheel travel from the lowest to the highest place against the body."),
    Output(name="stop_contacts", label="Contacts with the stops", symbol="N_s",
           quantity="count", unit="1", meaning="Bump and droop stop together."),
    Output(name="rod_velocity", label="Rod speed, rms", symbol="v_rms", quantity="velocity",
           unit="m/s", meaning="Of the damper, behind its bushes."),
    Output(name="peak_velocity", label="Rod speed, greatest", symbol="v_p", quantity="velocity",
           unit="m/s", meaning="The bench should reach it, and so should the table of forces."),
    Output(name="frequency", label="Crests in a second", symbol="f", quantity="frequency",
           unit="Hz", meaning="On corrugations; near wheel hop they are at their worst."),
)  # fmt: skip

_SIDES = (
    Column("Direction"),
    Column("Time share", "", "percent", "%"),
    Column("Rod speed, rms", "", "velocity", "m/s"),
    Column("greatest", "", "velocity", "m/s"),
    Column("Wheel travel", "", "length", "mm"),
    Column("Stop contacts", "", "count", "1"),
)


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    found = ride_of(given)
    outputs: dict[str, float | None] = {"frequency": _record_road(given, work)}
    outputs |= _record_load(work, found)
    outputs |= _record_body(given, work, found)
    outputs |= _record_damper(work, found)
    rows = regime_rows(given.rows("damper"), found)
    work.table("regimes", "Where on its curve the damper works", REGIMES, rows)
    outputs["mean_power"], error = _record_energy(work, found)
    _judge(given, work, found, error)
    return outputs


def _record_road(given: Given, work: Working) -> float | None:
    if given.choice("road") != "corrugation":
        return None
    frequency = work.step(
        "Crests in a second",
        "f = V/lambda_w",
        road.driving_frequency(speed=given["speed"], wavelength=given["wavelength"]),
        quantity="frequency",
        source=road.driving_frequency,
    )
    work.step(
        "Greatest vertical speed of the road under the wheel",
        "v_r = 2*pi*a*V/lambda_w",
        road.road_velocity_amplitude(
            speed=given["speed"], wavelength=given["wavelength"], amplitude=given["amplitude"]
        ),
        quantity="velocity",
        source=road.road_velocity_amplitude,
    )
    return frequency


def _duration(found: Ride) -> float:
    """Return the time between the first and the last sample that counts."""
    return (len(found.traces.time) - 1) * found.step


def _record_load(work: Working, found: Ride) -> dict[str, float | None]:
    static = work.step(
        "Tyre load at rest",
        "F_0 = (m_s + m_u)*9.80665",
        found.static_load,
        quantity="force",
        source=quarter_car.static_tyre_load,
    )
    work.let("T_c", _duration(found), quantity="time")
    work.let("t_a", found.airborne_share * _duration(found), quantity="time")
    share = work.step(
        "Share of time off the ground: time without load over all time, step by step",
        "q_a = t_a/T_c",
        found.airborne_share,
        quantity="percent",
        unit="%",
        source=ride.drive,
    )
    work.let("sigma_F", found.load_coefficient * static, quantity="force")
    coefficient = work.step(
        "Dynamic load coefficient: rms change of the load over the load at rest",
        "r_F = sigma_F/F_0",
        found.load_coefficient,
        quantity="percent",
        unit="%",
        source=ride.drive,
    )
    lowest = min(found.traces.tyre_force)
    work.let("DeltaF", static - lowest, quantity="force")
    least = work.step(
        "Lowest tyre load: at rest, less the largest relief",
        "F_min = F_0 - DeltaF",
        lowest,
        quantity="force",
        source=ride.drive,
    )
    return {
        "static_load": static,
        "airborne_share": share,
        "load_coefficient": coefficient,
        "lowest_load": least,
    }


def _record_body(given: Given, work: Working, found: Ride) -> dict[str, float | None]:
    work.let("F_b", given["sprung_mass"] * found.body_acceleration, quantity="force")
    acceleration = work.step(
        "Body acceleration: rms of all forces on the body, weight and spring at rest taken off",
        "a_b = F_b/m_s",
        found.body_acceleration,
        quantity="acceleration",
        source=ride.drive,
    )
    felt = found.weighted_acceleration / acceleration if acceleration else 0.0
    work.let("w_k", felt, quantity="ratio")
    weighted = work.step(
        "As felt: W_k leaves this share of it, over all frequencies",
        "a_w = w_k*a_b",
        felt * acceleration,
        quantity="acceleration",
        source=comfort.weighted_rms,
    )
    work.let("s_in", found.travel_compression, quantity="length", unit="mm")
    work.let("s_out", found.travel_rebound, quantity="length", unit="mm")
    used = work.step(
        "Travel used, inward and outward from rest",
        "s_u = s_in + s_out",
        found.travel_compression + found.travel_rebound,
        quantity="length",
        unit="mm",
        source=ride.drive,
    )
    work.let("N_b", float(found.bump_contacts), quantity="count")
    work.let("N_d", float(found.droop_contacts), quantity="count")
    contacts = work.step(
        "Contacts with the stops, bump and droop",
        "N_s = N_b + N_d",
        float(found.bump_contacts + found.droop_contacts),
        quantity="count",
        source=ride.drive,
    )
    return {
        "body_acceleration": acceleration,
        "weighted_acceleration": weighted,
        "travel_used": used,
        "stop_contacts": contacts,
    }


def _side(velocity: Sequence[float]) -> tuple[float, float]:
    """Return how many samples move this way, and their rms speed."""
    moving = [v for v in velocity if v > 0.0]
    return float(len(moving)), comfort.rms(values=moving) if moving else 0.0


def _record_damper(work: Working, found: Ride) -> dict[str, float | None]:
    rod = found.traces.damper_velocity
    sides = []
    for tail, values in (("c", rod), ("r", [-v for v in rod])):
        count, speed = _side(values)
        sides.append((work.let(f"q_{tail}", count / len(rod), quantity="percent", unit="%"),
                      work.let(f"u_{tail}", speed, quantity="velocity")))  # fmt: skip
    (q_c, u_c), (q_r, u_r) = sides
    effective = work.step(
        "Rod speed, rms: both directions by their shares of the time",
        "v_rms = sqrt(q_c*u_c**2 + q_r*u_r**2)",
        sqrt(q_c * u_c**2 + q_r * u_r**2),
        quantity="velocity",
        source=ride.drive,
    )
    inward, outward = found.peak_compression_velocity, found.peak_rebound_velocity
    work.let("v_c", inward, quantity="velocity")
    work.let("v_r_max", outward, quantity="velocity")
    peak = work.step(
        "Rod speed, greatest: larger of inward and outward",
        "v_p = max(v_c, v_r_max)",
        max(inward, outward),
        quantity="velocity",
        source=ride.drive,
    )
    rows = (
        ("compression", q_c, u_c, inward, found.travel_compression, float(found.bump_contacts)),
        ("rebound", q_r, u_r, outward, found.travel_rebound, float(found.droop_contacts)),
    )
    work.table("sides", "Compression and rebound", _SIDES, rows)
    return {"rod_velocity": effective, "peak_velocity": peak}


def _record_energy(work: Working, found: Ride) -> tuple[float, float]:
    """Record where the work of the road went; return mean power and what is left open."""
    account = found.energy
    parts = account.damper + account.tyre + account.friction + account.stored
    left_open = account.road - parts
    if abs(left_open) <= _ROUNDING * max(abs(account.road), abs(account.damper)):
        left_open = 0.0
    for symbol, value in (
        ("W_d", account.damper),
        ("W_t", account.tyre),
        ("W_f", account.friction),
        ("W_s", account.stored),
        ("W_e", left_open),
    ):
        work.let(symbol, value, quantity="energy")
    power = work.step(
        "Mean power: heat in the damper over the time that counts",
        "P_d = W_d/T_c",
        account.damper / _duration(found),
        quantity="power",
        source=ride.drive,
    )
    work.step(
        "Energy account: the work of the road is heat in damper, tyre and leaf friction, what "
        "masses and springs hold more than at the start, and what the time steps leave open",
        "W_r = W_d + W_t + W_f + W_s + W_e",
        account.road,
        quantity="energy",
        source=ride.drive,
    )
    return power, left_open


def _judge(given: Given, work: Working, found: Ride, error: float) -> None:
    _judge_contact(given, work, found)
    _judge_travel(given, work, found)
    _judge_damper(given, work, found)
    chance = chance_of(given)
    if chance > _CHANCE:
        work.finding(
            Level.LOOK_CLOSER,
            "The wheel is thrown so far that no two rides are alike: a billionth more speed changes "
            "these figures by up to {chance}. Read no digit beyond that, and take a longer time.",
            chance=Measure(chance, "percent", "%"),
        )
    account = found.energy
    if abs(error) > _UNEXPLAINED * abs(account.road):
        work.finding(
            Level.LOOK_CLOSER,
            "The energy account leaves {error} of {road_work} open: take these figures as rough.",
            error=Measure(error, "energy", "J"),
            road_work=Measure(account.road, "energy", "J"),
        )


def _judge_contact(given: Given, work: Working, found: Ride) -> None:
    share, coefficient = found.airborne_share, found.load_coefficient
    away = Measure(share * _duration(found), "time", "s")
    going_on = given.choice("road") in {"corrugation", "class"}
    words = "{airborne_share} of the time" if going_on else "{away}"
    if share == 0.0:
        work.finding(
            Level.FINE,
            "The wheel stays on the ground: the tyre never carries less than {lowest_load} of the "
            "{static_load} it carries at rest. This is what the damper is for.",
        )
    elif going_on and share < _SKIPPING:
        work.finding(
            Level.LOOK_CLOSER,
            f"The wheel leaves the ground for {words}: in these moments it neither brakes nor "
            "steers. Below 5 % is our limit for a closer look.",
        )
    else:
        work.finding(
            Level.DO_NOT_BUILD if going_on else Level.LOOK_CLOSER,
            f"The wheel is off the ground for {words}: what brakes and steering need is not "
            "there. Drive slower, or try another damper here and compare.",
            away=away,
        )
    if coefficient > _ROUGH_LOAD:
        work.finding(
            Level.LOOK_CLOSER,
            "The tyre load swings by {load_coefficient} of its value at rest (rms): grip comes "
            "and goes, and the road takes the blows. Above 30 % is our limit for a closer look.",
        )


def _judge_travel(given: Given, work: Working, found: Ride) -> None:
    sides = {
        "inward": Measure(found.travel_compression, "length", "mm"),
        "outward": Measure(found.travel_rebound, "length", "mm"),
    }
    if found.both_stops_time is not None:
        work.finding(
            Level.DO_NOT_BUILD,
            "Both stops are hit, the second of them first at {moment} after the start: the travel "
            "is used up both ways. More damping, a stiffer spring or less speed.",
            moment=Measure(found.both_stops_time, "time", "s"),
        )
    elif found.bump_contacts or found.droop_contacts:
        which = "bump" if found.bump_contacts else "droop"
        work.finding(
            Level.LOOK_CLOSER,
            f"The {which} stop is touched, {{stop_contacts}} times: the stop, not the damper, "
            "ends this motion. Count the blows over a working life.",
        )
    elif given.optional("bump_travel") is not None or given.optional("droop_travel") is not None:
        work.finding(
            Level.FINE,
            "The wheel moves {inward} in and {outward} out from rest and touches no stop.",
            **sides,
        )


def _judge_damper(given: Given, work: Working, found: Ride) -> None:
    fastest = given.rows("damper")[-1][0]
    if max(found.peak_compression_velocity, found.peak_rebound_velocity) > fastest:
        work.finding(
            Level.LOOK_CLOSER,
            "The rod reaches {peak_velocity}, beyond the {fastest} of the table: its last line "
            "was drawn on. Measure the damper at that speed.",
            fastest=Measure(fastest, "velocity", "m/s"),
        )
    account = found.energy
    part = Measure(account.damper / account.road if account.road > 0.0 else 0.0, "percent", "%")
    work.finding(
        Level.FINE,
        "The damper turns {mean_power} into heat, {part} of the work that the road does on the "
        "tyre.",
        part=part,
    )


def _thinned(span: range) -> range:
    return span[:: ceil(len(span) / _MOST_POINTS)]


def _over_time(result: Result, label: str, column: Sequence[float]) -> Curve:
    entries = _thinned(window_of(result.given, ride_of(result.given)))
    time = ride_of(result.given).traces.time
    return Curve(label, "accent", [time[i] for i in entries], [column[i] for i in entries])


def _level(label: str, role: str, like: Curve, value: float) -> Curve:
    return Curve(label, role, (like.x[0], like.x[-1]), (value, value))


def _draw_load(result: Result) -> Drawing:
    found = ride_of(result.given)
    load = _over_time(result, "tyre load", found.traces.tyre_force)
    return Drawing((load, _level("at rest", "steel", load, found.static_load)))


def _draw_travel(result: Result) -> Drawing:
    given, found = result.given, ride_of(result.given)
    curves = [_over_time(result, "wheel travel", found.traces.travel)]
    for label, role, name, sign in (
        ("bump stop", "compression", "bump_travel", 1.0),
        ("droop stop", "rebound", "droop_travel", -1.0),
    ):
        travel = given.optional(name)
        if travel is not None:
            curves.append(_level(label, role, curves[0], sign * travel))
    return Drawing(tuple(curves))


def _draw_speeds(result: Result) -> Drawing:
    return Drawing(bars(result.given.rows("damper"), ride_of(result.given)))


def _draw_strip(result: Result, units: Units) -> Sketch:
    return draw_strip(result.given, ride_of(result.given), units)


SHEET = Sheet(
    name="ride-run",
    title="Ride over a road",
    question="Does this damper keep the wheel on the ground, on this road at this speed?",
    page="calculate/ride-run.md",
    inputs=INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    pictures=(
        Picture(
            name="strip", title="Wheel, road and body in slow motion",
            statement="The road runs under the wheel at the driving speed; heights are enlarged, "
                      "lengths are not. Where the tyre presses on the road, the road covers part "
                      "of it; a gap under its middle is air. The bar on the right is the load of the tyre, "
                      "with a line at the load at rest.",
            draw=_draw_strip,
        ),
    ),
    charts=(
        Chart(
            name="load", title="Tyre load over time",
            statement="Where the curve lies at zero the wheel is in the air; each blow after it is "
                      "the wheel coming back.",
            x=Axis("Time since the start", "time", "s", like="duration"),
            y=Axis("Tyre load", "force", "N", like="static_load"), draw=_draw_load,
        ),
        Chart(
            name="speeds", title="How long the rod moves at which speed",
            statement="Each bar is the share of the time that the rod spends at that speed, in the "
                      "colour of the damper's regime there: low, where its curve is straight from "
                      "rest, mid, where it bends, high, where it is straight again.",
            x=Axis("Rod speed, compression positive", "velocity", "m/s", like="peak_velocity"),
            y=Axis("Share of the time", "percent", "%"), draw=_draw_speeds,
        ),
        Chart(
            name="travel", title="Suspension travel over time",
            statement="Counted from rest, compression positive. On corrugations a damper that is "
                      "stronger in rebound holds the wheel higher than at rest.",
            x=Axis("Time since the start", "time", "s", like="duration"),
            y=Axis("Wheel travel", "length", "mm", like="travel_used"), draw=_draw_travel,
        ),
    ),
    limits=(
        ("One wheel, vertical motion, steady speed; the other wheels and the pitch of the body are "
        "left out."),
        ("The tyre touches in a point: waves and holes shorter than its patch are felt too "
        "strongly."),
        ("Spring and tyre are straight lines, the tyre pushes and never pulls; the stops give all "
        "energy back."),
        ("The damper follows its table at once, without bubbles and at one temperature; only its "
        "bushes make it late."),
        "A random road repeats after 400 m and has waves of 0.4 to 50 m.",
    ),
    on_request=True,
)  # fmt: skip
