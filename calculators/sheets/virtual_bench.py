"""Virtual bench: one motion, two constructions, and what the force does after each reversal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import CalculatorError
from calculators.physics import area, loop
from calculators.picture import Picture
from calculators.sheet import Output, Sheet
from calculators.sheets._bench_case import KINDS, steps_of, sweep, trace_of
from calculators.sheets._bench_form import INPUTS
from calculators.sheets._bench_run import (
    MARKS,
    UNRESOLVED,
    measured,
    record_motion,
    record_run,
    run_of,
    told,
)
from calculators.sheets._bench_steps import record_steps
from calculators.sheets._bench_verdict import compare, judge
from calculators.sheets._cutaway import draw_cutaways
from calculators.sheets._valving import record_damper, record_oil

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.physics.bench import BenchTrace
    from calculators.picture import Sketch
    from calculators.sheet import Given, Result, Working
    from calculators.view import Units

__all__ = ["SHEET"]

_SPEEDS = grid(20.0 / 3.6, 80.0 / 3.6, 7)  # m/s, of the vehicle
_ROLES = ("gas", "accent")  # colours of twin-tube and monotube


def _pair(
    name: str,
    label: str,
    symbol: str,
    quantity: str,
    unit: str,
    meaning: str,
    *,
    headline: bool = False,
) -> tuple[Output, ...]:
    """Return one output for each construction."""
    return tuple(
        Output(
            name=f"{name}_{kind.replace('-', '_')}", label=f"{label}, {kind}", symbol=f"{symbol}_{MARKS[kind]}",
            quantity=quantity, unit=unit, meaning=meaning, headline=headline,
        )
        for kind in KINDS
    )  # fmt: skip


_OUTPUTS = (
    *_pair("lost_compression", "Lost stroke in compression", "s_c", "length", "mm",
           "Rod travel after the reversal until half of the steady force is there; the flat spot."),
    *_pair("lost_compression_share", "Lost share of compression", "q_c", "percent", "%",
           "Of the whole stroke; at 100 % the force never came."),
    *_pair("lost_rebound", "Lost stroke in rebound", "s_r", "length", "mm",
           "The same after the reversal at the other end.", headline=True),
    *_pair("lost_rebound_share", "Lost share of rebound", "q_r", "percent", "%", "Of the whole stroke."),
    *_pair("lowest_pressure", "Lowest chamber pressure", "p_l", "pressure_absolute", "bar",
           "Absolute; near zero the oil tears.", headline=True),
    *_pair("cavitation_share", "Time below the release pressure", "q_v", "percent", "%",
           "Share of the time in which a chamber is so low that the oil lets go of its air; 0 is no cavitation."),
    *_pair("bubble_volume", "Largest volume of bubbles", "V_b", "volume", "cm³",
           "Free gas and voids in one chamber at their largest."),
    *_pair("peak_compression", "Peak force in compression", "F_c", "force", "N",
           "Largest force against the rod moving in, gas force and seals included."),
    *_pair("peak_rebound", "Peak force in rebound", "F_r", "force", "N",
           "Largest force against the rod moving out; the gas force takes from it."),
    *_pair("energy", "Work in a cycle", "W", "energy", "J",
           "What the rod puts in and the damper turns into heat in one cycle, or over a record."),
    *_pair("mean_power", "Mean power", "P", "power", "W", "Heat that has to leave the damper."),
    *_pair("hysteresis", "Width of the loop at reversal", "b", "force", "N",
           "Damping force that is left from the stroke before where the rod stands still, both ends together."),
    *_pair("phase", "Lag of the force", "phi", "angle", "°",
           "Of the fundamental behind the velocity; 90° would be a spring."),
    Output(name="peak_speed", label="Peak rod speed", symbol="v_p", quantity="velocity", unit="m/s",
           meaning="What the valves have to pass."),
    Output(name="driving_frequency", label="Cycles in a second", symbol="f", quantity="frequency", unit="Hz",
           meaning="Of a sine or of the corrugations."),
)  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    twin, mono = (run_of(given, kind) for kind in KINDS)
    frequency, peak = record_motion(given, work, twin)
    damper = twin.trace.specimen.damper
    work.step(
        "Piston area",
        "A_p = pi*D**2/4",
        damper.piston_area,
        quantity="area",
        unit="mm²",
        source=area.circle_area,
    )
    record_damper(given, work, damper)
    record_oil(given, work)
    found = {run.kind: record_run(given, work, run, frequency) for run in (twin, mono)}
    compare(work, _OUTPUTS, found["twin-tube"], found["monotube"])
    if given.choice("motion") == "stepped":
        record_steps(given, work)
    judge(given, work, twin, mono)
    outputs: dict[str, float | None] = {
        f"{name}_{kind.replace('-', '_')}": value
        for kind, values in found.items()
        for name, value in values.items()
    }
    return {**outputs, "peak_speed": peak, "driving_frequency": frequency}


def _curves(
    result: Result, x: Callable[[BenchTrace, int], float], y: Callable[[BenchTrace, int], float]
) -> tuple[Curve, ...]:
    """Return one curve for each construction, over the measured part of its traces."""
    drawn = []
    for kind, role in zip(KINDS, _ROLES, strict=True):
        if result.given.choice("motion") == "stepped":
            traces = list(steps_of(result.given, kind).values())
        else:
            traces = [trace_of(result.given, kind)]
        places = [(trace, i) for trace in traces for i in measured(trace)]
        drawn.append(
            Curve(kind, role, [x(*place) for place in places], [y(*place) for place in places])
        )
    return tuple(drawn)


def _draw_velocity(result: Result) -> Drawing:
    return Drawing(
        _curves(result, lambda trace, i: trace.velocity[i], lambda trace, i: trace.force[i])
    )


def _draw_travel(result: Result) -> Drawing:
    return Drawing(
        _curves(result, lambda trace, i: trace.displacement[i], lambda trace, i: trace.force[i])
    )


def _over_time(
    result: Result, columns: Callable[[BenchTrace], tuple[tuple[float, ...], tuple[float, ...]]]
) -> Drawing:
    """Return what both chambers of both constructions do over the measured time."""
    drawn = []
    for kind, role in zip(KINDS, _ROLES, strict=True):
        trace = trace_of(result.given, kind)
        span = measured(trace)
        times = [trace.time[i] - trace.time[span[0]] for i in span]
        for side, column in zip(("head side", "rod side"), columns(trace), strict=True):
            drawn.append(Curve(f"{kind}, {side}", role, times, [column[i] for i in span]))
    return Drawing(tuple(drawn))


def _draw_pressures(result: Result) -> Drawing:
    return _over_time(result, lambda trace: (trace.pressure_head, trace.pressure_rod))


def _draw_bubbles(result: Result) -> Drawing:
    return _over_time(result, lambda trace: (trace.free_gas_head, trace.free_gas_rod))


def _lost_share(trace: BenchTrace) -> float:
    worst = max(stroke.lost_share for stroke in loop.strokes(trace=trace)[-2:])
    return told(worst, 1.0, UNRESOLVED)


def _draw_speeds(result: Result) -> Drawing:
    given, drawn = result.given, []
    for kind, role in zip(KINDS, _ROLES, strict=True):
        speeds, shares = [], []
        for speed in _SPEEDS:
            try:
                shares.append(_lost_share(sweep(given, kind, speed)))
            except CalculatorError:  # no room or no solution there: the curve leaves it out
                continue
            speeds.append(speed)
        drawn.append(Curve(kind, role, speeds, shares))
    if given.choice("motion") != "corrugation":
        return Drawing(tuple(drawn))
    here = given["speed"]
    points = tuple(
        Point(kind, here, told(run_of(given, kind).lost_share, 1.0, UNRESOLVED)) for kind in KINDS
    )
    return Drawing(tuple(drawn), points)


def _draw_cutaways(result: Result, units: Units) -> Sketch:
    twin, mono = (trace_of(result.given, kind) for kind in KINDS)
    return draw_cutaways(twin, mono, result.given["reserve_oil"], units)


SHEET = Sheet(
    name="virtual-bench",
    title="Virtual bench",
    question="In this motion, does the force come at once after each reversal, in a twin-tube and in a monotube with the same piston?",
    page="calculate/virtual-bench.md",
    inputs=INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    pictures=(
        Picture(
            name="cutaway", title="Both dampers cut open",
            statement="The tube is held and the rod moved, with the same piston in both. The stronger the colour of the oil, the higher its pressure, which stands beside each chamber, absolute; arrows are as thick as the flow, and bubbles show the free gas, drawn at four times its share. Below, the force over the cycle.",
            draw=_draw_cutaways,
        ),
    ),
    charts=(
        Chart(
            name="force-velocity", title="Force over velocity",
            statement="Without lag both branches fall together; where they part, the force comes late.",
            x=Axis("Rod velocity, compression positive", "velocity", "m/s", like="peak_speed"),
            y=Axis("Force", "force", "N", like="peak_compression_twin_tube"), draw=_draw_velocity,
        ),
        Chart(
            name="force-displacement", title="Force over displacement",
            statement="The area inside is the work of a cycle; a flat spot shows as a corner cut off after the reversal.",
            x=Axis("Rod travel from the middle, inward positive", "length", "mm", like="lost_rebound_twin_tube"),
            y=Axis("Force", "force", "N", like="peak_compression_twin_tube"), draw=_draw_travel,
        ),
        Chart(
            name="pressures", title="Pressure in the chambers",
            statement="Where a chamber comes near zero, its bubbles swell and the force waits for them.",
            x=Axis("Time", "time", "ms"), y=Axis("Absolute pressure", "pressure_absolute", "bar", like="lowest_pressure_twin_tube"),
            draw=_draw_pressures,
        ),
        Chart(
            name="bubbles", title="Free gas in the chambers",
            statement="Bubbles swell while a chamber is low and have to be squeezed before the force returns; in the monotube the line hardly leaves zero.",
            x=Axis("Time", "time", "ms"), y=Axis("Free gas and voids", "volume", "cm³", like="bubble_volume_twin_tube"),
            draw=_draw_bubbles,
        ),
        Chart(
            name="speeds", title="Lost stroke over the speed of the vehicle",
            statement="On the corrugated road of the form, whatever the motion above; the worse of both directions. A speed without a solution is left out.",
            x=Axis("Speed of the vehicle", "velocity", "km/h", like="speed"),
            y=Axis("Lost share of the stroke", "percent", "%", like="lost_rebound_share_twin_tube"), draw=_draw_speeds,
        ),
    ),
    limits=(
        "Free gas is a fixed amount: no air dissolves and none is released. Voids are counted with the bubbles.",
        "Valve discs and oil have no mass, tubes and hoses are rigid, and the dividing piston has neither mass nor friction.",
        "The foot valve never draws gas from the reserve, however hard the damper is shaken or leans.",
        "On corrugations the wheel follows the road and the body stands still: the worst case.",
        "One temperature throughout, at sea level; the gas has settled when the motion starts.",
        "Half of the steady force is our measure of a force that has arrived.",
    ),
    on_request=True,
)  # fmt: skip
