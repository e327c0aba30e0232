"""One construction on the virtual bench, and the working behind its figures."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, copysign, cos, isclose, pi, sin
from typing import TYPE_CHECKING

from calculators.physics import area, bench, chamber, gas, loop, network
from calculators.sheets._bench_case import gas_at_rest, motion_of, oil_inside, trace_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from calculators.physics.bench import BenchTrace
    from calculators.physics.loop import EnergyParts, Stroke
    from calculators.sheet import Given, Working
    from calculators.sheets._bench_case import Kind

__all__ = [
    "MARKS",
    "UNRESOLVED",
    "Run",
    "measured",
    "record_motion",
    "record_run",
    "run_of",
    "told",
]

MARKS: Mapping[Kind, str] = {"twin-tube": "T", "monotube": "M"}
UNRESOLVED = 1e-5  # 1, share of the whole below which the time steps tell nothing; ours
_ROUNDING = 1e-9  # 1, share of the work that is lost in the last digits of its parts


def told(value: float, whole: float, share: float) -> float:
    """Return a value, or zero where it is no more than what the reckoning leaves there."""
    return value if abs(value) > share * abs(whole) else 0.0


@dataclass(frozen=True, slots=True)
class Run:
    """One construction on the bench, and the part of its trace that is measured."""

    kind: Kind
    trace: BenchTrace
    span: range
    parts: EnergyParts
    inward: Stroke | None
    outward: Stroke | None

    @property
    def mark(self) -> str:
        return MARKS[self.kind]

    @property
    def worst(self) -> Stroke | None:
        """The stroke that loses the larger share."""
        found = [stroke for stroke in (self.inward, self.outward) if stroke is not None]
        return max(found, key=lambda stroke: stroke.lost_share, default=None)

    @property
    def left_open(self) -> float:
        """Work less its parts: what the time steps leave open."""
        parts = self.parts
        return (
            parts.work - parts.piston_loss - parts.reserve_loss - parts.friction_loss - parts.stored
        )

    @property
    def lost_share(self) -> float:
        return self.worst.lost_share if self.worst is not None else 0.0

    def top(self, *columns: Sequence[float]) -> int:
        """Return the entry at which the largest value of the columns stands."""
        return max(self.span, key=lambda entry: max(column[entry] for column in columns))

    def bottom(self, *columns: Sequence[float]) -> int:
        """Return the entry at which the smallest value of the columns stands."""
        return min(self.span, key=lambda entry: min(column[entry] for column in columns))


def _longest(strokes: Sequence[Stroke], *, compression: bool) -> Stroke | None:
    ways = [stroke for stroke in strokes if stroke.compression == compression]
    return max(ways, key=lambda stroke: stroke.travel, default=None)


def measured(trace: BenchTrace) -> range:
    """Return the entries of a trace that are measured: the last cycle, or all of a record."""
    last = len(trace.time) - 1
    return range(last - trace.cycle_steps if trace.cycle_steps else 0, last + 1)


def run_of(given: Given, kind: Kind) -> Run:
    trace = trace_of(given, kind)
    strokes = loop.strokes(trace=trace)
    if trace.cycle_steps:
        strokes = strokes[-2:]
    return Run(
        kind, trace, measured(trace), loop.energy_parts(trace=trace),
        _longest(strokes, compression=True), _longest(strokes, compression=False),
    )  # fmt: skip


def record_motion(given: Given, work: Working, run: Run) -> tuple[float | None, float]:
    """Record frequency and peak speed of the rod."""
    motion = motion_of(given)
    if motion is None:
        velocity = [run.trace.velocity[entry] for entry in run.span]
        work.let("v_in", max(0.0, *velocity), quantity="velocity")
        work.let("v_out", max(0.0, *(-v for v in velocity)), quantity="velocity")
        peak = max(0.0, *(abs(v) for v in velocity))
        return None, work.step("Peak rod speed: larger of inward and outward", "v_p = max(v_in, v_out)", peak,
                               quantity="velocity", source=bench.corrugation)  # fmt: skip
    if given.choice("motion") == "corrugation":
        work.step(
            "Crests in a second",
            "f = V/lambda_w",
            motion.frequency,
            quantity="frequency",
            source=bench.corrugation,
        )
        work.step("Amplitude at the damper", "X = a*MR_d", motion.amplitude, quantity="length", unit="mm",
                  source=bench.corrugation)  # fmt: skip
    if given.choice("motion") == "stepped":
        work.let("v_n", motion.peak_velocity, quantity="velocity")
        work.step("Cycles in a second at the highest speed with a solution", "f = v_n/(2*pi*X)",
                  motion.frequency, quantity="frequency", source=bench.run_stepped_sine)  # fmt: skip
    peak = work.step(
        "Peak rod speed",
        "v_p = 2*pi*f*X",
        motion.peak_velocity,
        quantity="velocity",
        source=bench.corrugation,
    )
    return motion.frequency, peak


def _record_gas(given: Given, work: Working, run: Run) -> None:
    m, state = run.mark, gas_at_rest(given, run.kind)
    reserve = " + V_R" if run.kind == "twin-tube" else ""
    work.step(f"All oil, {run.kind}", f"V_o{m} = A_p*L_head + A_a*L_rod{reserve}", oil_inside(given, run.kind),
              quantity="volume", unit="cm³", source=area.circle_area)  # fmt: skip
    work.step(f"Gas at the middle, {run.kind}", f"V_g{m} = V_{m}0 - V_o{m}*beta*(T - 293.15) - A_r*x_m", state.volume,
              quantity="volume", unit="cm³", source=gas.charge_state)  # fmt: skip
    work.step(f"Its pressure at rest, {run.kind}, absolute", f"p_g{m} = (p_{m} + 101325)*T/293.15*V_{m}0/V_g{m}",
              state.pressure, quantity="pressure_absolute", unit="bar", source=gas.charge_state)  # fmt: skip


def _pressure(work: Working, symbol: str, value: float) -> None:
    work.let(symbol, value, quantity="pressure_absolute", unit="bar")


def _record_peak(work: Working, run: Run, *, compression: bool) -> float:
    """Record how the pressures at the peak make its force."""
    trace, m = run.trace, run.mark
    way, c, sign = ("compression", "c", 1.0) if compression else ("rebound", "r", -1.0)
    entry = run.top([sign * force for force in trace.force])
    velocity = trace.velocity[entry]
    friction = trace.specimen.damper.seal_friction
    _pressure(work, f"p_h{c}_{m}", trace.pressure_head[entry])
    _pressure(work, f"p_r{c}_{m}", trace.pressure_rod[entry])
    rub = work.let(
        f"F_f{c}_{m}", copysign(friction, sign * velocity) if velocity else 0.0, quantity="force"
    )
    assert abs(rub) <= friction
    first, second = (f"(p_hc_{m} - 101325)*A_p", f"(p_rc_{m} - 101325)*A_a")
    if not compression:
        first, second = (f"(p_rr_{m} - 101325)*A_a", f"(p_hr_{m} - 101325)*A_p")
    return work.step(
        f"Peak force in {way}, {run.kind}: pressures there and friction", f"F_{c}_{m} = {first} - {second} + F_f{c}_{m}",
        sign * trace.force[entry], quantity="force", source=loop.loop_measures,
    )  # fmt: skip


def _record_energy(work: Working, run: Run, frequency: float | None) -> tuple[float, float]:
    """Record where the work goes, and the mean power."""
    m, parts = run.mark, run.parts
    terms = {
        "W_p": parts.piston_loss, "W_q": parts.reserve_loss, "W_f": parts.friction_loss, "U": parts.stored,
        "W_t": run.left_open,
    }  # fmt: skip
    for symbol, value in terms.items():
        work.let(f"{symbol}_{m}", told(value, parts.work, _ROUNDING), quantity="energy")
    energy = work.step(
        f"Work, {run.kind}: heat in piston and foot valve and at the seals, stored, and what the time steps leave open",
        f"W_{m} = " + " + ".join(f"{symbol}_{m}" for symbol in terms),
        parts.work, quantity="energy", source=loop.loop_energy,
    )  # fmt: skip
    if frequency is not None:
        power = work.step(f"Mean power, {run.kind}", f"P_{m} = W_{m}*f", energy * frequency,
                          quantity="power", source=loop.loop_measures)  # fmt: skip
        return energy, power
    duration = work.let("t_e", run.trace.time[-1] - run.trace.time[0], quantity="time")
    return energy, work.step(f"Mean power, {run.kind}", f"P_{m} = W_{m}/t_e", energy / duration,
                             quantity="power", source=loop.loop_measures)  # fmt: skip


def _record_loop(work: Working, run: Run) -> tuple[float | None, float | None]:
    """Record width and lag of the loop, where there is one."""
    trace, m = run.trace, run.mark
    if not trace.cycle_steps:
        return None, None
    force, first, last = trace.damping_force, run.span[0], run.span[-1]
    swing = max(force[first:]) - min(force[first:])
    inner, outer = (
        told(force[place], swing, UNRESOLVED) for place in (first + trace.cycle_steps // 2, last)
    )
    work.let(f"F_in_{m}", inner, quantity="force")
    work.let(f"F_out_{m}", outer, quantity="force")
    width = work.step(
        f"Width of the loop, {run.kind}: damping force left at the inner and the outer reversal", f"b_{m} = abs(F_in_{m} - F_out_{m})",
        abs(inner - outer), quantity="force", source=loop.hysteresis_width,
    )  # fmt: skip
    turn = 2.0 * pi / trace.cycle_steps
    with_speed = (
        2.0
        / trace.cycle_steps
        * sum(force[first + k] * sin(turn * k) for k in range(1, trace.cycle_steps))
    )
    ends = 0.5 * (force[first] + force[last])
    with_travel = (
        -2.0
        / trace.cycle_steps
        * (ends + sum(force[first + k] * cos(turn * k) for k in range(1, trace.cycle_steps)))
    )
    lag = loop.phase_lag(trace=trace)
    if with_speed <= 0.0 or not isclose(
        atan(with_travel / with_speed), lag, rel_tol=1e-9, abs_tol=1e-12
    ):
        return width, None  # a force that drives instead of damping has no lag
    with_travel = told(with_travel, with_speed, UNRESOLVED)
    work.let(f"F_v_{m}", with_speed, quantity="force")
    work.let(f"F_x_{m}", with_travel, quantity="force")
    lag = work.step(
        f"Lag, {run.kind}: fundamental in step with travel over that in step with velocity", f"phi_{m} = atan(F_x_{m}/F_v_{m})",
        atan(with_travel / with_speed), quantity="angle", unit="°", source=loop.phase_lag,
    )  # fmt: skip
    return width, lag


def _record_lost(
    work: Working, run: Run, *, compression: bool
) -> tuple[float | None, float | None]:
    """Record how far the rod goes after a reversal before half of the steady force is there."""
    stroke, m = (run.inward if compression else run.outward), run.mark
    name, c, sign = ("compression", "c", 1.0) if compression else ("rebound", "r", -1.0)
    if stroke is None:
        return None, None
    turn = run.trace.displacement[run.trace.time.index(stroke.start)]
    way = told(stroke.lost_stroke, stroke.travel, UNRESOLVED)
    work.let(f"x_{c}0_{m}", turn, quantity="length", unit="mm")
    work.let(f"x_{c}1_{m}", turn + sign * way, quantity="length", unit="mm")
    work.let(f"s_t{c}_{m}", stroke.travel, quantity="length", unit="mm")
    lost = work.step(
        f"Lost stroke in {name}, {run.kind}: from the reversal to where half of the steady force is there",
        f"s_{c}_{m} = abs(x_{c}1_{m} - x_{c}0_{m})", way,
        quantity="length", unit="mm", source=loop.strokes,
    )  # fmt: skip
    share = work.step(f"As a share of the stroke, {run.kind}", f"q_{c}_{m} = s_{c}_{m}/s_t{c}_{m}", way / stroke.travel,
                      quantity="percent", unit="%", source=loop.strokes)  # fmt: skip
    return lost, share


def _record_low(given: Given, work: Working, run: Run) -> tuple[float, float]:
    """Record the balance behind the lowest pressures, and how long they last."""
    trace, m = run.trace, run.mark
    entry = run.bottom(trace.pressure_rod)
    head, rod, charge = (
        trace.pressure_head[entry],
        trace.pressure_rod[entry],
        trace.pressure_gas[entry],
    )
    _pressure(work, f"p_gl_{m}", charge)
    work.let(f"DeltaP_p_{m}", head - rod, quantity="pressure_difference", unit="bar")
    foot = ""
    if run.kind == "twin-tube":
        work.let(f"DeltaP_f_{m}", head - charge, quantity="pressure_difference", unit="bar")
        foot = f" + DeltaP_f_{m}"
    words = "gas, plus the drop at the foot valve," if foot else "gas"
    work.step(f"Lowest rod-side pressure, {run.kind}: {words} less the drop at the piston",
              f"p_rl_{m} = p_gl_{m}{foot} - DeltaP_p_{m}", rod,
              quantity="pressure_absolute", unit="bar", source=network.operating_point)  # fmt: skip
    head_low = min(trace.pressure_head[entry] for entry in run.span)
    _pressure(work, f"p_hl_{m}", head_low)
    lowest = work.step(f"Lowest chamber pressure, {run.kind}", f"p_l_{m} = min(p_rl_{m}, p_hl_{m})", min(rod, head_low),
                       quantity="pressure_absolute", unit="bar", source=loop.loop_measures)  # fmt: skip
    low = sum(
        min(trace.pressure_head[i], trace.pressure_rod[i]) < given["release_pressure"]
        for i in run.span[1:]
    )
    work.let(f"N_v_{m}", float(low), quantity="count")
    work.let(f"N_t_{m}", float(len(run.span) - 1), quantity="count")
    share = work.step(f"Time below the release pressure, {run.kind}: time steps below over all", f"q_v_{m} = N_v_{m}/N_t_{m}",
                      low / (len(run.span) - 1), quantity="percent", unit="%", source=loop.loop_measures)  # fmt: skip
    return lowest, share


def _record_bubbles(given: Given, work: Working, run: Run) -> float:
    """Record the largest volume of free gas in one chamber."""
    trace, m = run.trace, run.mark
    entry = run.top(trace.free_gas_head, trace.free_gas_rod)
    specimen, x = trace.specimen, trace.displacement[entry]
    at_rod = trace.free_gas_rod[entry] >= trace.free_gas_head[entry]
    pressure = (trace.pressure_rod if at_rod else trace.pressure_head)[entry]
    where = "rod side" if at_rod else "head side"
    _pressure(work, f"p_b_{m}", pressure)
    work.let(f"x_b_{m}", x, quantity="length", unit="mm")
    formula = f"A_a*(L_rod + x_b_{m})" if at_rod else f"A_p*(L_head - x_b_{m})"
    room = given["rod_length"] + x if at_rod else given["head_length"] - x
    section = specimen.damper.annulus_area if at_rod else specimen.damper.piston_area
    work.step(f"Room of the {where} with the most bubbles, {run.kind}", f"V_k_{m} = {formula}", section * room,
              quantity="volume", unit="cm³", source=area.circle_area)  # fmt: skip
    work.step(
        f"Oil with bubbles there over its volume at air pressure, {run.kind}",
        f"v_b_{m} = (1 - alpha_{m})*(1 - (p_b_{m} - 101325)/K_o) + alpha_{m}*101325/p_b_{m}",
        chamber.relative_volume(oil=specimen.chamber_oil, pressure=pressure),
        quantity="ratio", source=chamber.relative_volume,
    )  # fmt: skip
    return work.step(
        f"Largest volume of bubbles, {run.kind}", f"V_b_{m} = alpha_{m}*101325/p_b_{m}/v_b_{m}*V_k_{m}",
        max(trace.free_gas_head[entry], trace.free_gas_rod[entry]),
        quantity="volume", unit="cm³", source=chamber.free_gas_share,
    )  # fmt: skip


def record_run(
    given: Given, work: Working, run: Run, frequency: float | None
) -> dict[str, float | None]:
    """Record one construction and return its outputs without the name of the construction."""
    _record_gas(given, work, run)
    lost_in, share_in = _record_lost(work, run, compression=True)
    lost_out, share_out = _record_lost(work, run, compression=False)
    lowest, torn = _record_low(given, work, run)
    bubbles = _record_bubbles(given, work, run)
    peak_in, peak_out = (
        _record_peak(work, run, compression=True),
        _record_peak(work, run, compression=False),
    )
    energy, power = _record_energy(work, run, frequency)
    width, lag = _record_loop(work, run)
    return {
        "lost_compression": lost_in, "lost_compression_share": share_in,
        "lost_rebound": lost_out, "lost_rebound_share": share_out,
        "lowest_pressure": lowest, "cavitation_share": torn, "bubble_volume": bubbles,
        "peak_compression": peak_in, "peak_rebound": peak_out, "energy": energy, "mean_power": power,
        "hysteresis": width, "phase": lag,
    }  # fmt: skip
