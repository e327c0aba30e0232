"""Commands for the bench: ``spec``, ``trace`` and ``batch``."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calculators import specification
from calculators._invent_command import pairs_from, size_from
from calculators._job_commands import job_from
from calculators._terminal import (
    FAILED,
    Answer,
    Progress,
    RefusedError,
    aligned,
    grid,
    paragraph,
    read_bytes,
    write_text,
)
from calculators.errors import CalculatorError, FileFormatError
from calculators.quantities import format_number, parse

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from calculators.batch import Batch
    from calculators.bench_file import Layout, Record
    from calculators.physics.acceptance import Specification, Verdict
    from calculators.physics.diagnosis import Diagnosis
    from calculators.physics.trace import TraceReport

__all__ = ["add"]

_PIECE = 1 << 18  # bytes of a trace that are read at once
_LARGEST_SPECIFICATION = 1_000_000  # bytes

# Modules that need numpy are imported by the commands that need them, so that the rest of
# the command line runs without it.


def add(commands: Any) -> None:  # noqa: ANN401  argparse names no type for it
    """Add the commands to a parser."""
    spec = commands.add_parser(
        "spec",
        help="print the bench specification of a job, as JSON",
        description="Forces by speed and direction and the gas force, each with its band, and "
        "the design they belong to. A band is a share, a force, or the wider of both.",
    )
    spec.add_argument("job", metavar="JOB")
    spec.add_argument("--band", metavar="SHARE", help='of the forces, as "10 %%"')
    spec.add_argument("--band-force", metavar="FORCE", default="0 N", help="at least, as 30 N")
    spec.add_argument("--gas-band", metavar="SHARE", help="of the gas force")
    spec.add_argument("--out", metavar="FILE", help="write there instead of standard output")
    spec.set_defaults(act=_spec)

    trace = commands.add_parser(
        "trace",
        help="measure a bench trace and judge it: exit status 0 pass, 1 fail",
        description="Read a CSV of time, displacement and force, measure it, and compare it with a "
        "specification. Exit status: 0 pass, or no specification; 1 fail, or not all measured; "
        "2 cannot be read.",
    )
    trace.add_argument("file", metavar="CSV")
    _add_reading(trace)
    trace.add_argument("--spec", metavar="FILE", help='what "spec" wrote')
    trace.add_argument(
        "--explain", metavar="JOB", help="say which part of the job's damper explains the trace"
    )
    trace.add_argument("--json", action="store_true", help="one JSON object, in SI")
    trace.set_defaults(act=_trace)

    batch = commands.add_parser(
        "batch",
        help="judge many traces: verdicts, spread, C_p and C_pk; exit status 1 if one fails",
        description="One trace a unit, in the order of making.",
    )
    batch.add_argument("spec", metavar="SPEC", help='what "spec" wrote')
    batch.add_argument("files", metavar="CSV", nargs="+")
    _add_reading(batch)
    batch.add_argument("--csv", metavar="FILE", help="also write the table of units")
    batch.add_argument("--json", action="store_true", help="one JSON object, in SI")
    batch.set_defaults(act=_batch)


def _add_reading(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--column", metavar="ROLE=NUMBER", action="append", default=[],
        help="which column is time, displacement, force or temperature; the first is 1",
    )  # fmt: skip
    parser.add_argument(
        "--unit", metavar="ROLE=UNIT", action="append", default=[], help="as force=kN"
    )
    parser.add_argument(
        "--reverse", metavar="ROLE", action="append", default=[], help="turn the sign of a column"
    )


def _share(text: str, what: str) -> float:
    try:
        return parse(text, quantity="percent", unit="%").value
    except CalculatorError as error:
        message = f"{what}: {error}"
        raise RefusedError(message) from error


def _spec(options: argparse.Namespace) -> Answer:
    job = job_from(options.job)
    try:
        found = specification.from_job(
            job,
            share=None if options.band is None else _share(options.band, "--band"),
            force=size_from(options.band_force, "force", "N", "--band-force"),
            gas_share=None if options.gas_band is None else _share(options.gas_band, "--gas-band"),
        )
    except CalculatorError as error:
        message = f"{options.job}: {error}"
        raise RefusedError(message) from error
    text = specification.dumps(found, job)
    if options.out:
        write_text(options.out, text)
        return Answer([f"{options.out}: {len(found.demands)} demands"])
    return Answer([text.rstrip("\n")])


def _specification(path: str) -> Specification:
    try:
        text = read_bytes(path, _LARGEST_SPECIFICATION).decode("utf-8")
        return specification.loads(text)
    except (FileFormatError, UnicodeDecodeError) as error:
        message = f"{path}: {error}"
        raise RefusedError(message) from error


def _layout(path: str, options: argparse.Namespace) -> Layout | None:
    """Return the layout that the options ask for, None to recognise it."""
    from calculators import bench_file  # noqa: PLC0415  needs numpy

    columns = pairs_from(options.column, "ROLE=NUMBER")
    units = pairs_from(options.unit, "ROLE=UNIT")
    if not (columns or units or options.reverse):
        return None
    with Path(path).open("rb") as file:
        layout = bench_file.layout_of(file.read(_PIECE))
    for role, text in columns:
        if not text.isdigit():
            message = f"{role}={text}: a column is a whole number, the first is 1."
            raise RefusedError(message)
        layout = layout.with_column(role, place=int(text) - 1)
    for role, text in units:
        layout = layout.with_column(role, unit=text)
    for role in options.reverse:
        layout = layout.with_column(role, reverse=True)
    return layout


def _record(path: str, options: argparse.Namespace) -> Record:
    """Return the trace in a file, told in pieces, or refuse it by name."""
    from calculators import bench_file  # noqa: PLC0415  needs numpy

    progress = Progress(sys.stderr)
    try:
        size = Path(path).stat().st_size
        reader = bench_file.Reader(_layout(path, options))
        with Path(path).open("rb") as file:
            while piece := file.read(_PIECE):
                reader.feed(piece)
                progress.tell(f"{path}: {reader.rows:,} rows, {reader.size / max(size, 1):.0%}")
        return reader.finish()
    except FileFormatError as error:
        message = f"{path}: {error}"
        raise RefusedError(message) from error
    except OSError as error:
        message = f"{path}: the file cannot be read ({error.strerror})."
        raise RefusedError(message) from error


def _measured(path: str, options: argparse.Namespace) -> tuple[Record, TraceReport]:
    from calculators.physics.trace import measure  # noqa: PLC0415  needs numpy

    record = _record(path, options)
    try:
        report = measure(
            time=record.time,
            displacement=record.displacement,
            force=record.force,
            temperature=record.temperature,
            turn_signs=not options.reverse,
        )
    except CalculatorError as error:
        message = f"{path}: {error}"
        raise RefusedError(message) from error
    return record, report


def _trace(options: argparse.Namespace) -> Answer:
    from calculators import batch, bench_job  # noqa: PLC0415  with what needs numpy

    wanted = None if options.spec is None else _specification(options.spec)
    job = None if options.explain is None else job_from(options.explain)
    record, report = _measured(options.file, options)
    verdict, reason, lag = None, None, None
    if wanted is not None:
        verdict = batch.Batch(wanted).add(options.file, report).verdict
    if job is not None:
        try:
            reason, lag = bench_job.explain(job, report), bench_job.lag_of(job, report)
        except CalculatorError as error:
            message = f"{options.explain}: {error}"
            raise RefusedError(message) from error
    status = FAILED if verdict is not None and not verdict.passed else 0
    if options.json:
        plain: dict[str, Any] = {
            "file": options.file,
            "rows": len(record.time),
            **_report_plain(report),
            "notices": [*record.notices, *report.notices],
            "verdict": None if verdict is None else batch.verdict_plain(verdict),
            "explanation": None if reason is None else _reason_plain(reason),
            "lag": None
            if lag is None
            else {
                "compliance_m_N": lag.measured,
                "designed_m_N": lag.designed,
                "soft": lag.soft,
            },
        }
        return Answer([json.dumps(plain, indent=2, ensure_ascii=False)], status)
    lines = [*_trace_report(options.file, record, report), *_verdict_lines(verdict)]
    if reason is not None and lag is not None:
        words = f"Explanation: {_reason_words(reason)}"
        if lag.soft:
            words += (
                f" The force also comes later than designed, {lag.measured / lag.designed:.1f} "
                "times as soft in series: look for air in the oil, soft bushes or a soft frame."
            )
        lines += ["", paragraph(words, indent=2, first=0)]
    return Answer(lines, status)


def _report_plain(report: TraceReport) -> dict[str, Any]:
    return {
        "gas_force_N": report.gas_force,
        "gas_force_from": report.gas_from,
        "sample_rate_Hz": report.sample_rate,
        "spikes": report.spikes,
        "signs_turned": report.turned,
        "temperature_K": [report.temperature_start, report.temperature_end],
        "speeds": [
            {
                "velocity_m_s": point.velocity,
                "compression_N": point.compression,
                "rebound_N": point.rebound,
                "cycles": point.cycles,
                "energy_J": point.energy,
                "hysteresis_N": point.hysteresis,
                "lost_compression_m": point.lost_compression,
                "lost_rebound_m": point.lost_rebound,
                "temperature_K": point.temperature,
            }
            for point in report.points
        ],
    }


def _reason_plain(reason: Diagnosis) -> dict[str, Any]:
    return {
        "answer": reason.answer,
        "candidates": list(reason.candidates),
        "misfit": reason.misfit,
        "limit": reason.limit,
        "suspects": [
            {
                "part": one.part,
                "factor": one.factor,
                "uncertainty": one.uncertainty,
                "misfit": one.misfit,
            }
            for one in reason.suspects
        ],
    }


def _trace_report(name: str, record: Record, report: TraceReport) -> Iterator[str]:
    yield from (name, "=" * len(name), "")
    yield from aligned(
        [
            ("Samples", f"{len(record.time):,} at {format_number(report.sample_rate)} Hz"),
            ("Gas force", f"{format_number(report.gas_force)} N, from the {report.gas_from}"),
        ]
    )
    yield ""
    heads = [
        ("Peak speed", "[m/s]"), ("Compression", "[N]"), ("Rebound", "[N]"), ("Cycles",),
        ("Work", "[J]"), ("Loop width", "[N]"), ("Lost, in", "[mm]"), ("Lost, out", "[mm]"),
    ]  # fmt: skip
    rows = [
        [format_number(value, digits=4) for value in (
            point.velocity, point.compression, point.rebound, point.cycles, point.energy,
            point.hysteresis, 1e3 * point.lost_compression, 1e3 * point.lost_rebound,
        )]
        for point in report.points
    ]  # fmt: skip
    yield from grid(heads, rows)
    notices = [*record.notices, *report.notices]
    if notices:
        yield ""
        for notice in notices:
            yield paragraph(notice, indent=4, first=2)


def _verdict_lines(verdict: Verdict | None) -> list[str]:
    from calculators.batch import demand_name  # noqa: PLC0415  with what needs numpy

    if verdict is None:
        return []
    rows = []
    for check in verdict.checks:
        low, high = (format_number(limit) for limit in check.demand.limits)
        measured = "not measured"
        if check.measured is not None and check.deviation is not None:
            measured = f"{format_number(check.measured)} N ({100.0 * check.deviation:+.1f} %)"
        word = "pass" if check.passed else "fail"
        rows.append((word, demand_name(check.demand), measured, f"{low} to {high} N"))
    return ["", f"Verdict: {'pass' if verdict.passed else 'fail'}", "", *aligned(rows)]


def _reason_words(reason: Diagnosis) -> str:
    if reason.answer == "as designed":
        return "the forces are those of the design, within the noise."
    best = reason.suspects[0]
    change = f"{best.part}, {best.factor:.3g} times the design (± {100.0 * best.uncertainty:.2g} %)"
    if reason.answer == "part":
        return f"{change}. No other single part comes near."
    if reason.answer == "unclear":
        return f"cannot be told apart: {', '.join(reason.candidates)}. Nearest: {change}."
    return f"no single part explains the forces. Nearest: {change}."


def _batch(options: argparse.Namespace) -> Answer:
    from calculators.batch import Batch  # noqa: PLC0415  with what needs numpy

    batch = Batch(_specification(options.spec))
    progress = Progress(sys.stderr)
    for number, path in enumerate(options.files, start=1):
        try:
            batch.add(Path(path).stem, _measured(path, options)[1])
        except RefusedError as error:
            batch.refuse(Path(path).stem, " ".join(error.lines))
        progress.tell(f"{number} of {len(options.files)} units")
    if options.csv:
        write_text(options.csv, batch.csv())
    status = 0 if batch.passed == len(batch.units) else FAILED
    if options.json:
        return Answer([json.dumps(batch.plain(), indent=2, ensure_ascii=False)], status)
    return Answer(_batch_report(batch), status)


def _batch_report(batch: Batch) -> Iterator[str]:
    from calculators.batch import demand_name  # noqa: PLC0415  with what needs numpy

    title = batch.specification.title or "Batch"
    yield from (title, "=" * len(title), "")
    yield f"  {batch.passed} of {len(batch.units)} units pass."
    if batch.few:
        yield paragraph(
            "Fewer than 25 units are few: spread and capability are uncertain; look at their "
            "confidence limits.", indent=2, first=2,
        )  # fmt: skip
    worst = batch.worst
    if worst is not None:
        unit, check = worst
        use = f"{100.0 * check.use:.0f} % of its band"
        yield f"  Worst: {unit.name}, {demand_name(check.demand)}, {use}."
    for unit in batch.units:
        if unit.verdict is None:
            yield paragraph(f"{unit.name}: {unit.fault}", indent=4, first=2)
    yield ""
    rows = []
    for demand, found in zip(batch.specification.demands, batch.capabilities(), strict=True):
        if found is None:
            rows.append([demand_name(demand), *"—" * 5])
            continue
        known = found.spread > 0.0
        rows.append(
            [
                demand_name(demand),
                format_number(found.mean),
                format_number(found.spread, digits=3),
                format_number(found.cp, digits=3) if known else "—",
                format_number(found.cpk, digits=3) if known else "—",
                f"{found.cpk_low:.2f} to {found.cpk_high:.2f}" if known else "—",
            ]
        )
    heads = [
        ("Demand",), ("Mean", "[N]"), ("Spread", "[N]"), ("C_p",), ("C_pk",), ("95 % of C_pk",)
    ]  # fmt: skip
    yield from grid(heads, rows)
