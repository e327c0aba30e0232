"""One bench trace as the page shows it: how the file was read, figures, verdict, charts, cause."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from calculators.batch import demand_name
from calculators.bench_view import Figure, figure_view, in_unit, percent, signed, table_view
from calculators.chart import Axis, Curve, Drawing, Point
from calculators.quantities import QUANTITIES, format_number, format_value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators._bench_head import Layout
    from calculators.bench_job import Lag
    from calculators.physics.acceptance import Check, Specification, Verdict
    from calculators.physics.diagnosis import Diagnosis, Part
    from calculators.physics.trace import TraceReport
    from calculators.view import Units

__all__ = ["explanation_view", "layout_view", "report_view", "verdict_words"]

_MOST_CELLS = 40  # characters of a heading or a cell that are shown
_MOST_LOOPS = 4
_ROLES = {
    "time": ("Time", "time"),
    "displacement": ("Displacement", "length"),
    "force": ("Force", "force"),
    "temperature": ("Temperature", "temperature"),
}
_OPTIONAL = "temperature"
_SEPARATORS = {";": "semicolons", "\t": "tabs", "|": "upright bars", ",": "commas", " ": "blanks"}
_SPEED = Axis("Speed of the rod, inward above zero", "velocity", "m/s")
_TRAVEL = Axis("Travel of the rod, inward above zero", "length", "mm")
_FORCE = Axis("Damping force", "force", "N")
_ROLES_OF_CURVES = ("steel", "gas", "oil", "accent")

_PARTS: dict[Part, str] = {
    "bleed": "Bleed area",
    "compression preload": "Preload in compression, as opening pressure",
    "rebound preload": "Preload in rebound, as opening pressure",
    "compression stack": "Compliance of the stack, compression (more is softer)",
    "rebound stack": "Compliance of the stack, rebound (more is softer)",
    "oil": "Viscosity of the oil",
    "charge": "Gas charge, absolute",
}
_COVERAGE = 1.96  # 1, standard deviations on each side that hold 95 % of a normal distribution


def layout_view(layout: Layout, sample: Sequence[Sequence[str]]) -> dict[str, Any]:
    """Return how a file is read, for the reader to correct."""
    decimal = "a decimal comma" if layout.decimal == "," else "a decimal point"
    names = [head[:_MOST_CELLS] for head in layout.heads]
    roles = []
    for role, (label, quantity) in _ROLES.items():
        column = layout.columns.get(role)
        units = [unit.symbol for unit in QUANTITIES[quantity].units]
        roles.append(
            {
                "role": role,
                "label": label,
                "place": -1 if column is None else column.place,
                "unit": units[0] if column is None else column.unit,
                "reverse": column is not None and column.reversed,
                "units": units,
                "required": role != _OPTIONAL,
            }
        )
    return {
        "said": f"Cells parted by {_SEPARATORS[layout.separator]}, {decimal}, "
        f"{layout.skip} lines before the numbers.",
        "columns": [f"{place + 1}: {name}".rstrip(": ") for place, name in enumerate(names)],
        "roles": roles,
        "sample": [[cell[:_MOST_CELLS] for cell in row] for row in sample],
        "notices": list(layout.notices),
    }


def verdict_words(verdict: Verdict) -> tuple[str, str]:
    """Return a verdict as one word, and as a sentence."""
    off = [check for check in verdict.checks if check.measured is not None and not check.passed]
    gone = [check for check in verdict.checks if check.measured is None]
    count = len(verdict.checks)
    missing = (
        f" Not measured: {', '.join(demand_name(check.demand) for check in gone)}." if gone else ""
    )
    if verdict.passed:
        return "pass", f"All {count} demands are met."
    if off:
        return "fail", f"{len(off)} of {count} demands are not met.{missing}"
    return "incomplete", f"What was measured is within the band, but that is not all.{missing}"


def report_view(
    *,
    name: str,
    rows: int,
    notices: Sequence[str],
    report: TraceReport,
    specification: Specification | None,
    verdict: Verdict | None,
    units: Units,
    width: int,
) -> dict[str, Any]:
    """Return everything about one trace."""
    word, sentence = ("", "") if verdict is None else verdict_words(verdict)
    tables = [_facts(rows, report, units), _speeds(report, units)]
    if verdict is not None:
        tables.insert(0, _checks(verdict.checks, units))
    figures = (_curve(report, specification), _loops(report, units), _phase(report, units))
    return {
        "title": name,
        "specification": "" if specification is None else specification.title,
        "verdict": word,
        "said": sentence,
        "findings": [{"level": "look closer", "text": text} for text in notices],
        "tables": tables,
        "charts": [figure_view(figure, units, width=width) for figure in figures],
    }


def _checks(checks: Sequence[Check], units: Units) -> dict[str, Any]:
    columns = [
        ("Direction", "", ""), ("Peak speed", "velocity", "m/s"), ("At least", "force", "N"),
        ("Wanted", "force", "N"), ("At most", "force", "N"), ("Measured", "force", "N"),
        ("Deviation", "", ""), ("Verdict", "", ""),
    ]  # fmt: skip
    rows: list[list[float | str | None]] = []
    for check in checks:
        demand = check.demand
        low, high = demand.limits
        word = "pass" if check.passed else "fail"
        rows.append(
            [
                "gas force" if demand.side == "gas" else demand.side,
                None if demand.side == "gas" else demand.velocity,
                low, demand.force, high, check.measured, percent(check.deviation),
                "not measured" if check.measured is None else word,
            ]
        )  # fmt: skip
    return table_view("verdict", "Verdict for each speed and direction", columns, rows, units)


def _facts(rows: int, report: TraceReport, units: Units) -> dict[str, Any]:
    gas = in_unit(report.gas_force, _FORCE, units)
    rate_unit = units.of("stiffness", "N/mm")
    rate = format_value(report.gas_rate, unit=rate_unit, quantity="stiffness")
    facts: list[list[float | str | None]] = [
        ["Samples", f"{format_number(rows, digits=9)} at {format_number(report.sample_rate)} Hz"],
        ["Gas force in mid-stroke", f"{gas} {units.of('force', 'N')}, from the {report.gas_from}"],
        ["Rise of the gas force with the travel", rate],
        ["Middle of the stroke in the record", _with_unit(report.centre, "length", "mm", units)],
        ["Cycles measured", format_number(sum(point.cycles for point in report.points))],
        ["Cycles left out, no whole sine", format_number(report.skipped)],
        ["Spikes replaced", format_number(report.spikes)],
    ]
    if report.temperature_start is not None and report.temperature_end is not None:
        start, end = (
            _with_unit(value, "temperature", "°C", units)
            for value in (report.temperature_start, report.temperature_end)
        )
        facts.append(["Temperature, first to last", f"{start} to {end}"])
    columns = [("What", "", ""), ("Found", "", "")]
    return table_view("facts", "What the record holds", columns, facts, units)


def _with_unit(value: float, quantity: str, unit: str, units: Units) -> str:
    return format_value(value, unit=units.of(quantity, unit), quantity=quantity)


def _speeds(report: TraceReport, units: Units) -> dict[str, Any]:
    warm = any(point.temperature is not None for point in report.points)
    columns = [
        ("Peak speed", "velocity", "m/s"), ("Compression", "force", "N"), ("Rebound", "force", "N"),
        ("Cycles", "", ""), ("Work a cycle", "energy", "J"), ("Hysteresis", "force", "N"),
        ("Lost stroke, inward", "length", "mm"), ("Lost stroke, outward", "length", "mm"),
        ("Change, first to last cycle", "", ""),
    ]  # fmt: skip
    if warm:
        columns.append(("Temperature", "temperature", "°C"))
    rows: list[list[float | str | None]] = []
    for point in report.points:
        row: list[float | str | None] = [
            point.velocity, point.compression, point.rebound, format_number(point.cycles),
            point.energy, point.hysteresis, point.lost_compression, point.lost_rebound,
            percent(point.change),
        ]  # fmt: skip
        rows.append([*row, point.temperature] if warm else row)
    return table_view("speeds", "Forces at peak speed, gas left out", columns, rows, units)


def _curve(report: TraceReport, specification: Specification | None) -> Figure:
    from calculators.physics.trace import damping_curve  # noqa: PLC0415  needs numpy

    speeds = report.velocities
    x = (*(-speed for speed in reversed(speeds)), 0.0, *speeds)
    y = (*(-force for force in reversed(report.rebound)), 0.0, *report.compression)
    fastest = damping_curve(loop=report.points[-1].loop)
    band = [] if specification is None else _band(specification)
    said = "The shaded band is what the specification allows." if band else ""
    return Figure(
        name="curve",
        title="Force over speed",
        statement=f"Compression to the right and up, rebound to the left and down. {said}".strip(),
        x=_SPEED,
        y=_FORCE,
        drawing=Drawing(
            (
                Curve("at the peak of each speed", "accent", x, y),
                Curve("through the fastest cycle", "gas", *fastest),
            ),
            tuple(Point("", *pair) for pair in zip(x, y, strict=True) if pair[0]),
        ),
        band=band,
    )


def _band(specification: Specification) -> list[tuple[float, float, float]]:
    """Return the limits over the speed: rebound left and down, compression right and up."""
    found = [(0.0, 0.0, 0.0)]
    for demand in specification.demands:
        low, high = demand.limits
        if demand.side == "compression":
            found.append((demand.velocity, low, high))
        elif demand.side == "rebound":
            found.append((-demand.velocity, -high, -low))
    return sorted(found) if len(found) > 1 else []


def _chosen(report: TraceReport) -> list[int]:
    """Return which speeds are drawn as loops: the fastest, and others spread evenly below it."""
    last = len(report.points) - 1
    count = min(_MOST_LOOPS, last + 1)
    return sorted({last - round(step * last / max(1, count)) for step in range(count)})


def _speed_words(speed: float, units: Units) -> str:
    unit = units.of("velocity", "m/s")
    return format_value(speed, unit=unit, quantity="velocity", digits=3)


def _loops(report: TraceReport, units: Units) -> Figure:
    curves = []
    for role, place in zip(_ROLES_OF_CURVES, _chosen(report), strict=False):
        point = report.points[place]
        x, y = point.loop.displacement, point.loop.force
        words = _speed_words(point.velocity, units)
        curves.append(Curve(words, role, (*x, x[0]), (*y, y[0])))
    return Figure(
        name="loops",
        title="Force over travel",
        statement="The mean cycle of each speed, gas left out. Its area is the work of a cycle; "
        "a flat stretch after a reversal is lost stroke.",
        x=_TRAVEL,
        y=_FORCE,
        drawing=Drawing(tuple(curves)),
    )


def _phase(report: TraceReport, units: Units) -> Figure:
    point = report.points[-1]
    x, y = point.loop.velocity, point.loop.force
    return Figure(
        name="phase",
        title="Hysteresis at the fastest speed",
        statement="Force over speed through one whole cycle. The two branches lie apart where the "
        "force comes late.",
        x=_SPEED,
        y=_FORCE,
        drawing=Drawing(
            (Curve(_speed_words(point.velocity, units), "accent", (*x, x[0]), (*y, y[0])),),
        ),
    )


def explanation_view(found: Diagnosis, lag: Lag | None, units: Units) -> dict[str, Any]:
    """Return which part explains a trace, with its uncertainty, or that it cannot be told."""
    rows: list[list[float | str | None]] = [
        [
            _PARTS[one.part],
            f"{format_number(one.factor, digits=3)} ×",
            f"±\u00a0{format_number(100.0 * _COVERAGE * one.uncertainty, digits=2)}\u00a0%",
            format_number(one.misfit, digits=3),
            _role_of(one.part, found),
        ]
        for one in found.suspects
    ]
    columns = [
        ("Part", "", ""), ("Size against the design", "", ""), ("95 % limits", "", ""),
        ("Misfit left", "", ""), ("Does it explain the trace?", "", ""),
    ]  # fmt: skip
    said = [_cause(found)]
    if lag is not None and lag.soft:
        times = format_number(lag.measured / lag.designed, digits=2) if lag.designed > 0.0 else ""
        how = f"{times} times as soft in series as designed" if times else "and designed it is not"
        said.append(
            f"The force also comes late: the damper is {how}. Look for air in the oil, soft "
            "bushes or a soft frame."
        )
    said.append(
        f"Misfit of the design as it is: {format_number(found.misfit, digits=3)}. Noise alone "
        f"stays below {format_number(found.limit, digits=3)} in 99 of 100 sound dampers."
    )
    return {
        "answer": found.answer,
        "said": said,
        "table": table_view("suspects", "One part at a time", columns, rows, units),
    }


def _lower(part: Part) -> str:
    words = _PARTS[part].partition(" (")[0]
    return words[0].lower() + words[1:]


def _cause(found: Diagnosis) -> str:
    if found.answer == "as designed":
        return "Nothing to explain: the forces are those of the design, within the noise."
    best = found.suspects[0]
    change = signed(100.0 * (best.factor - 1.0), digits=2)
    nearest = f"{_lower(best.part)}, {change} % against the design"
    if found.answer == "part":
        return f"It is the {nearest}. No other single part comes near."
    if found.answer == "unclear":
        names = ", ".join(_lower(part) for part in found.candidates)
        return (
            f"It cannot be told which part it is: {names} explain the trace about equally well. "
            "Run more speeds, below and above the opening of the discs. Other speeds part them."
        )
    return (
        f"No single part explains the forces; nearest comes the {nearest}. Two parts may be off "
        "together, or the job describes another damper than the one on the bench."
    )


def _role_of(part: Part, found: Diagnosis) -> str:
    if found.answer == "as designed":
        return "not needed"
    if found.answer == "none":
        return "no"
    return "yes" if part in found.candidates else "no"
