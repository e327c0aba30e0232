"""The stepped sine of the virtual bench: one line for each peak speed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.physics import loop
from calculators.sheet import Column, Level, Measure
from calculators.sheets._bench_case import KINDS, failed_steps, stepped_speeds, steps_of
from calculators.sheets._bench_run import UNRESOLVED, measured, told

if TYPE_CHECKING:
    from calculators.physics.bench import BenchTrace
    from calculators.sheet import Given, TableCell, Working

__all__ = ["record_steps"]

_COLUMNS = (
    Column("Peak speed", "v_t", "velocity", "m/s"),
    Column("Twin-tube: compression", "F_c_T", "force", "N"),
    Column("rebound", "F_r_T", "force", "N"),
    Column("lost share", "q_T", "percent", "%"),
    Column("Monotube: compression", "F_c_M", "force", "N"),
    Column("rebound", "F_r_M", "force", "N"),
    Column("lost share", "q_M", "percent", "%"),
)


def _figures(trace: BenchTrace | None) -> tuple[TableCell, ...]:
    """Return peak forces and the larger lost share of a trace; dashes where there is none."""
    if trace is None:
        return (None, None, None)
    forces = [trace.force[entry] for entry in measured(trace)]
    lost = max(stroke.lost_share for stroke in loop.strokes(trace=trace)[-2:])
    return max(forces), -min(forces), told(lost, 1.0, UNRESOLVED)


def record_steps(given: Given, work: Working) -> None:
    """Record the table of all peak speeds, and which of them found no solution."""
    found = [steps_of(given, kind) for kind in KINDS]
    rows = [
        (speed, *(cell for traces in found for cell in _figures(traces.get(speed))))
        for speed in stepped_speeds(given)
    ]
    work.table(
        "steps", "Peak forces at each peak speed, gas and friction included (—: no solution)",
        _COLUMNS, tuple(rows),
    )  # fmt: skip
    for speed, reason in failed_steps(given).items():
        work.finding(
            Level.LOOK_CLOSER,
            f"At a peak speed of {{speed}} there is no solution, and nothing is drawn ({reason})",
            speed=Measure(speed, "velocity", "m/s"),
        )
