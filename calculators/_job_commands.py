"""Commands for jobs: ``run-job``, ``sweep``, ``schema`` and ``demo``."""

from __future__ import annotations

import csv
import json
import os
import sys
from collections import deque
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calculators import demo
from calculators._terminal import Answer, Progress, RefusedError, paragraph, read_bytes, write_text
from calculators.errors import CalculatorError, FileFormatError
from calculators.field import Choice, Rows
from calculators.job import TYPED, Job, order
from calculators.job_file import LARGEST, dumps, loads, schema
from calculators.quantities import format_value
from calculators.rows import read_rows
from calculators.sheets import load, names
from calculators.sweep import JobSweep, SheetSweep, separator_of
from calculators.table_file import csv_line
from calculators.view import Units, present, read

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Sequence

    from calculators.field import Value
    from calculators.job import Done
    from calculators.sheet import Sheet
    from calculators.sweep import Sweep

__all__ = ["add", "job_from"]

_PIECE = 200  # lines that one process takes at once
_AHEAD = 4  # pieces that wait for each process
_LONGEST_LINE = 100_000  # characters


def add(commands: Any) -> None:  # noqa: ANN401  argparse names no type for it
    """Add the commands to a parser."""
    run = commands.add_parser(
        "run-job",
        help="bring a job up to date and show its results",
        description="Calculate what is out of date in a job, in order, and show the results. "
        "The file is changed only with --save.",
    )
    run.add_argument("job", metavar="JOB", help="a *.job.json file")
    run.add_argument(
        "--set", metavar="CALCULATOR.INPUT=VALUE", action="append", default=[], dest="given",
        help="type a value first, as critical-damping.spring_rate='120 N/mm'",
    )  # fmt: skip
    run.add_argument(
        "--follow", metavar="CALCULATOR.INPUT", action="append", default=[],
        help="take back what was typed: follow the source again",
    )  # fmt: skip
    run.add_argument("--only", metavar="CALCULATOR", action="append", help="calculate these alone")
    run.add_argument("--all", action="store_true", help="calculate also what is up to date")
    run.add_argument(
        "--status", action="store_true", help="say what is out of date; calculate nothing"
    )
    run.add_argument("--save", metavar="FILE", help="write the job, brought up to date")
    run.add_argument("--json", action="store_true", help="one JSON object, in SI")
    run.set_defaults(act=_run_job)

    sweep = commands.add_parser(
        "sweep",
        help="run a CSV of cases through a calculator or a job",
        description="One case a line. The heading names inputs, with a unit in brackets where it "
        "is not the calculator's own: spring_rate [N/mm]; for a job CALCULATOR.INPUT. The answer "
        "is the same table with the outputs, in SI, and a column for faults.",
    )
    sweep.add_argument("target", metavar="NAME", help="a calculator, or a *.job.json file")
    sweep.add_argument("table", metavar="CSV", help="the cases; - reads standard input")
    sweep.add_argument("--out", metavar="FILE", help="write there instead of standard output")
    sweep.add_argument(
        "--only", metavar="CALCULATOR", action="append", default=[],
        help="of a job: outputs of this calculator",
    )  # fmt: skip
    sweep.add_argument(
        "--processes", type=int, default=0, help="how many at once; without it, one for each core"
    )
    sweep.set_defaults(act=_sweep)

    form = commands.add_parser("schema", help="print the JSON schema of job files")
    form.set_defaults(act=lambda _: Answer([json.dumps(schema(), indent=2)]))

    shown = commands.add_parser("demo", help="write the two invented jobs into a folder")
    shown.add_argument("folder", metavar="FOLDER")
    shown.set_defaults(act=_demo)


def job_from(path: str) -> Job:
    """Return the job in a file, or refuse it by name."""
    try:
        return loads(read_bytes(path, LARGEST))
    except FileFormatError as error:
        message = f"{path}: {error}"
        raise RefusedError(message) from error


def _named(word: str) -> tuple[Sheet, str]:
    sheet, point, name = word.strip().partition(".")
    if not point or sheet not in names():
        message = f"{word}: write CALCULATOR.INPUT, as critical-damping.spring_rate."
        raise RefusedError(message)
    declaration = load(sheet)
    if name not in {item.name for item in declaration.inputs}:
        message = f"{sheet} has no input called {name}."
        raise RefusedError(message)
    return declaration, name


def _value(sheet: Sheet, name: str, text: str) -> Value:
    item = sheet.input(name)
    if isinstance(item, Choice):
        return text.strip()
    units = Units()
    if isinstance(item, Rows):
        return read_rows(item, text.replace(" / ", "\n"), units.of_columns(item))
    held = Job().resolve(sheet.name)
    needed = {
        other: key for other, keys in item.when for key in keys[:1] if held[other].value != key
    }
    return read(sheet, {**needed, name: text}, units).values[name]


def _changed(job: Job, given: Sequence[str], follow: Sequence[str]) -> None:
    faults = []
    for word in given:
        place, equals, text = word.partition("=")
        try:
            if not equals:
                faults.append(f"{word}: write CALCULATOR.INPUT=VALUE.")
                continue
            sheet, name = _named(place)
            job.enter(sheet.name, name, _value(sheet, name, text))
        except RefusedError as error:
            faults += error.lines
        except CalculatorError as error:
            faults.append(f"{place}: {error}")
    for word in follow:
        try:
            sheet, name = _named(word)
            job.follow(sheet.name, name)
        except RefusedError as error:
            faults += error.lines
    if faults:
        raise RefusedError(*faults)


def _run_job(options: argparse.Namespace) -> Answer:
    job = job_from(options.job)
    _changed(job, options.given, options.follow)
    strange = [name for name in options.only or () if name not in job.sheets]
    if strange:
        used = ", ".join(sorted(job.sheets))
        message = f"The job does not use {', '.join(strange)}; it uses {used}."
        raise RefusedError(message)
    if options.status:
        return Answer(_status(job, as_json=options.json))
    if options.all:
        for entry in job.sheets.values():
            entry.current = False
    progress, done = Progress(sys.stderr), []
    for number, one in enumerate(job.recalculate(options.only), start=1):
        progress.tell(f"{number} calculated, {load(one.sheet).title} last")
        done.append(one)
    faults = [one for one in done if one.error is not None]
    if options.save and not faults:
        write_text(options.save, dumps(job))
    status = 2 if faults else 0
    for one in faults:
        sys.stderr.write(f"{one.sheet}: {one.error}\n")
    if options.json:
        return Answer([json.dumps(_job_plain(job, done), indent=2, ensure_ascii=False)], status)
    return Answer(_job_report(job, done), status)


def _status(job: Job, *, as_json: bool) -> Iterator[str]:
    status = job.status()
    if as_json:
        plain = {
            name: {"up_to_date": one.up_to_date, "changed": one.changed, "waits_for": one.waits_for}
            for name, one in status.items()
        }
        yield json.dumps(plain, indent=2)
        return
    for name, one in status.items():
        words = "up to date" if one.up_to_date else "out of date"
        if one.changed and not one.never:
            words += f"; changed: {', '.join(one.changed)}"
        if one.waits_for:
            words += f"; waits for {', '.join(one.waits_for)}"
        yield paragraph(f"{name}: {words}", indent=4, first=0)


def _job_plain(job: Job, done: Sequence[Done]) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads(dumps(job))
    whole["calculated"] = [one.sheet for one in done if one.error is None]
    whole["faults"] = {one.sheet: str(one.error) for one in done if one.error is not None}
    whole["findings"] = {
        one.sheet: present(one.result, Units(), working=False)["findings"]
        for one in done
        if one.result is not None
    }
    return whole


def _job_report(job: Job, done: Sequence[Done]) -> Iterator[str]:
    title = job.title or "A job without title"
    yield from (title, "=" * len(title))
    if job.notes:
        yield from map(paragraph, job.notes.splitlines())
    calculated = {one.sheet: one for one in done}
    for name in order(job.sheets):
        yield from ("", f"{load(name).title} ({name})")
        yield from _sheet_report(job, name, calculated.get(name))


def _sheet_report(job: Job, name: str, done: Done | None) -> Iterator[str]:
    entry, sheet = job.sheets[name], load(name)
    typed = [sheet.input(key).label for key, held in entry.inputs.items() if held.origin == TYPED]
    if typed:
        yield paragraph(f"Typed: {', '.join(typed)}", indent=4, first=2)
    for output in sheet.outputs:
        value = entry.outputs.get(output.name)
        if output.headline and value is not None:
            text = format_value(value, unit=output.unit, quantity=output.quantity)
            yield paragraph(f"{output.label}: {text}", indent=4, first=2)
    if done is not None and done.result is not None:
        for finding in present(done.result, Units(), working=False)["findings"]:
            if finding["level"] != "fine":
                yield paragraph(f"{finding['level']}: {finding['text']}", indent=4, first=2)
    if not entry.current:
        yield "  out of date"


_worker: Sweep | None = None  # of this process


def _start(target: str, text: str, heads: Sequence[str], only: Sequence[str]) -> None:
    """Make the sweep of a process; a job comes as text."""
    global _worker  # noqa: PLW0603  a process has one
    _worker = _made(target, text, heads, only)


def _made(target: str, text: str, heads: Sequence[str], only: Sequence[str]) -> Sweep:
    if text:
        return JobSweep(loads(text), heads, wanted=only)
    return SheetSweep(target, heads)


def _piece(lines: list[list[str]]) -> tuple[str, int]:
    """Return the answer to some lines, and how many have a fault."""
    assert _worker is not None
    found = [(cells, _worker.run(cells)) for cells in lines]
    faults = sum(bool(values[-1]) for _, values in found)
    width = _worker.width
    text = "".join(
        csv_line([*cells[:width], *[""] * (width - len(cells)), *values]) for cells, values in found
    )
    return text, faults


def _sweep(options: argparse.Namespace) -> Answer:
    text = ""
    if options.target not in names():
        if not options.target.endswith(".json"):
            message = f"There is no calculator called {options.target}, and it is no job file."
            raise RefusedError(message)
        text = dumps(job_from(options.target))
    try:
        table = (
            sys.stdin
            if options.table == "-"
            else Path(options.table).open(encoding="utf-8-sig", newline="")  # noqa: SIM115
        )
        with table:
            first = table.readline(_LONGEST_LINE)
            separator = separator_of(first)
            heads = [cell.strip() for cell in next(csv.reader([first], delimiter=separator), [])]
            answer = _made(options.target, text, heads, options.only).heads
            reader = (row for row in csv.reader(table, delimiter=separator) if row)
            pieces = _answers(options, text, heads, reader)
            head = csv_line([*heads, *answer])
            if options.out:
                with Path(options.out).open("w", encoding="utf-8", newline="") as out:
                    out.write(head)
                    out.writelines(pieces)
            else:
                sys.stdout.write(head)
                sys.stdout.writelines(pieces)
    except FileFormatError as error:
        message = f"{options.table}: {error}"
        raise RefusedError(message) from error
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        message = f"{options.table}: the file cannot be read or written ({error})."
        raise RefusedError(message) from error
    return Answer([])


def _answers(
    options: argparse.Namespace, text: str, heads: Sequence[str], rows: Iterator[list[str]]
) -> Iterator[str]:
    """Yield the answers piece by piece, in order, with a few pieces on the way at any time."""
    from concurrent.futures import ProcessPoolExecutor  # noqa: PLC0415  slow to load, rarely used

    processes = options.processes or os.cpu_count() or 1
    progress, count, faults = Progress(sys.stderr), 0, 0
    setting = (options.target, text, heads, options.only)
    with ProcessPoolExecutor(processes, initializer=_start, initargs=setting) as pool:
        waiting: deque[Any] = deque()
        while True:
            while len(waiting) < processes * _AHEAD and (lines := list(islice(rows, _PIECE))):
                count += len(lines)
                waiting.append(pool.submit(_piece, lines))
            if not waiting:
                break
            answer, wrong = waiting.popleft().result()
            faults += wrong
            progress.tell(f"{count:,} lines, {faults:,} with a fault")
            yield answer
    if faults:
        sys.stderr.write(f'{faults:,} of {count:,} lines have a fault; see the column "fault".\n')


def _demo(options: argparse.Namespace) -> Answer:
    folder = Path(options.folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        message = f"{folder}: the folder cannot be made ({error.strerror})."
        raise RefusedError(message) from error
    written = []
    for name in demo.NAMES:
        path = folder / f"{name}.job.json"
        write_text(str(path), dumps(demo.make(name)))
        written.append(f"{path}: invented")
    return Answer(written)
