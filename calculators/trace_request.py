"""What a page may ask about bench traces: a file comes in pieces, figures and charts go back.

The page keeps the files and the figures of each; here stay the file that is being read and
the traces that were measured, until the page is left or its Python replaced. A refusal comes
back as ``{"refused": message}``. What needs numpy is imported when it is asked for.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from math import isfinite
from random import Random
from typing import TYPE_CHECKING, Any

from calculators import demo, job_file, specification
from calculators._refusal import Answer, may_refuse
from calculators.batch import Batch, Unit
from calculators.batch_view import batch_view
from calculators.bench_job import explain, lag_of, specimen_of_job, temperature_of
from calculators.errors import FileFormatError, InputError
from calculators.physics.acceptance import accept
from calculators.trace_view import explanation_view, layout_view, report_view
from calculators.view import Units

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from calculators._bench_head import Layout
    from calculators.bench_file import Reader
    from calculators.physics.acceptance import Specification
    from calculators.physics.diagnosis import Part
    from calculators.physics.trace import TraceReport

__all__ = ["DEMO_JOB", "KINDS", "LONG", "OPERATIONS"]

DEMO_JOB = "trailer"
_SAMPLE = 4  # lines of numbers that are shown
_LONGEST_NAME = 80  # characters of a file's name
_MOST_UNITS = 2_000  # of a batch
_MOST_SPEEDS = 200  # of one unit
_SPEEDS = (0.01, 0.05, 0.1, 0.13, 0.26, 0.39, 0.52, 1.0)  # m/s, a slow one for the gas first

_RATE, _CYCLES = 800.0, 4  # Hz, and cycles at each speed

# Invented dampers that a reader may try: words, the parts that are wrong, and by how much.
KINDS: dict[str, tuple[str, Mapping[Part, float]]] = {
    "sound": ("as designed", {}),
    "bleed": ("bleed a quarter too small", {"bleed": 0.75}),
    "stack": ("rebound stack a fifth too stiff", {"rebound stack": 0.8}),
    "charge": ("a third of the charge lost", {"charge": 0.67}),
    "two": ("small bleed and weak rebound stack", {"bleed": 0.6, "rebound stack": 1.4}),
}


@dataclass(frozen=True, slots=True)
class _Measured:
    """A trace that was measured."""

    rows: int
    notices: tuple[str, ...]
    report: TraceReport


@dataclass(frozen=True, slots=True)
class _Open:
    """A file that is being read, and whether its signs may be turned."""

    reader: Reader
    turn_signs: bool


_OPEN: dict[str, _Open] = {}
_MEASURED: dict[str, _Measured] = {}


def _specified(text: str) -> Specification | None:
    return specification.loads(text) if text else None


def _layout(piece: bytes, corrections: Sequence[Mapping[str, Any]]) -> Layout:
    """Return how a file is written, from its first piece and what the reader corrected."""
    from calculators import bench_file  # noqa: PLC0415  needs numpy

    layout = bench_file.layout_of(piece)
    if not corrections:
        return layout
    corrected = replace(layout, columns={}, notices=())
    taken: dict[int, str] = {}
    for one in corrections:
        role, place = str(one["role"]), int(one["place"])
        if place < 0:
            continue
        if place in taken:
            message = f"Column {place + 1} cannot be both {taken[place]} and {role}."
            raise FileFormatError(message)
        taken[place] = role
        corrected = corrected.with_column(
            role, place=place, unit=str(one["unit"]), reverse=bool(one["reverse"])
        )
    return corrected


def _show_layout(piece: bytes, corrections: Sequence[Mapping[str, Any]] = ()) -> Answer:
    """Return how a file is read: columns, units, the first lines, what was assumed."""
    from calculators._bench_head import split  # noqa: PLC0415  beside what needs numpy
    from calculators.bench_file import Reader  # noqa: PLC0415  needs numpy

    layout = _layout(piece, corrections)
    lines = Reader().decoded(piece).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    sample = [
        split(line, layout.separator)
        for line in lines[layout.skip : layout.skip + _SAMPLE]
        if line.strip()
    ]
    return layout_view(layout, sample)


def _begin(id: str, piece: bytes, corrections: Sequence[Mapping[str, Any]] = ()) -> Answer:  # noqa: A002  its name in the request
    """Start to read a file with its first piece."""
    from calculators.bench_file import Reader  # noqa: PLC0415  needs numpy

    layout = _layout(piece, corrections) if corrections else None
    reversed_ = any(one["reverse"] and int(one["place"]) >= 0 for one in corrections)
    _OPEN.clear()  # one file at a time: of a file that was given up nothing is kept
    _MEASURED.pop(id, None)
    _OPEN[id] = _Open(Reader(layout), turn_signs=not reversed_)
    return _feed(id, piece)


def _feed(id: str, piece: bytes) -> Answer:  # noqa: A002
    """Read the next piece of a file."""
    reader = _OPEN[id].reader
    reader.feed(piece)
    return {"rows": reader.rows}


def _finish(id: str) -> Answer:  # noqa: A002
    """Measure the file that was read, and return its figures in SI, for a batch."""
    from calculators.physics.trace import measure  # noqa: PLC0415  needs numpy

    opened = _OPEN.pop(id)
    record = opened.reader.finish()
    report = measure(
        time=record.time,
        displacement=record.displacement,
        force=record.force,
        temperature=record.temperature,
        turn_signs=opened.turn_signs,
    )
    _MEASURED[id] = _Measured(len(record.time), (*record.notices, *report.notices), report)
    return {
        "rows": len(record.time),
        "figures": {
            "velocities": report.velocities,
            "compression": report.compression,
            "rebound": report.rebound,
            "gas_force": report.gas_force,
        },
    }


def _report(
    id: str, name: str, specification: str = "", imperial: bool = False, width: int = 640,  # noqa: A002, FBT001, FBT002
) -> Answer:  # fmt: skip
    """Return a measured trace in the reader's units, against a specification if there is one."""
    held, wanted = _MEASURED[id], _specified(specification)
    report = held.report
    verdict = None
    if wanted is not None:
        verdict = accept(
            specification=wanted,
            velocities=report.velocities,
            compression=report.compression,
            rebound=report.rebound,
            gas_force=report.gas_force,
        )
    return report_view(
        name=str(name)[:_LONGEST_NAME], rows=held.rows, notices=held.notices, report=report,
        specification=wanted, verdict=verdict, units=Units(imperial=bool(imperial)), width=width,
    )  # fmt: skip


def _explain(id: str, job: str, imperial: bool = False) -> Answer:  # noqa: A002, FBT001, FBT002
    """Return which part of a job's damper explains a measured trace."""
    design, report = job_file.loads(job), _MEASURED[id].report
    found = explain(design, report)
    return explanation_view(found, lag_of(design, report), Units(imperial=bool(imperial)))


def _read_specification(text: str) -> Answer:
    """Return the specification that a text holds, its own or that of a job, and the job."""
    job = ""
    if _format_of(text) == job_file.FORMAT:
        design = job_file.loads(text)
        found, job = specification.from_job(design), text
    else:
        found = specification.loads(text)
    return {
        "title": found.title or "A specification without a title",
        "demands": len(found.demands),
        "specification": specification.dumps(found),
        "job": job,
    }


def _format_of(text: str) -> str:
    """Return which kind of our files a text is; empty if none."""
    try:
        data = json.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError):
        return ""
    return str(data.get("format", "")) if isinstance(data, dict) else ""


def _demo() -> Answer:
    """Return the specification of the invented job, and the job."""
    return _read_specification(job_file.dumps(demo.read(DEMO_JOB)))


def _invent(number: int = 1, kind: str = "sound", unit: int = 0) -> Answer:
    """Return an invented bench file of the demo job's damper; `unit` names one of a batch."""
    from calculators import invented  # noqa: PLC0415  needs numpy

    job = demo.read(DEMO_JOB)
    specimen = specimen_of_job(job)
    for part, factor in KINDS[kind][1].items():
        specimen = invented.altered(specimen, part, factor)
    name = f"invented-{kind}-{number}.csv"
    if unit > 0:
        random = Random(number)  # noqa: S311  invented units, and no secret
        for _ in range(unit):
            made = invented.varied(specimen, random)
        specimen, name = made, f"invented-unit-{unit:02d}.csv"
    recording = invented.Recording(
        speeds=_SPEEDS, temperature=temperature_of(job), sample_rate=_RATE, cycles=_CYCLES
    )
    return {
        "name": name,
        "text": invented.trace_text(specimen, recording, seed=number + unit),
    }


def _summary(
    specification: str, units: Sequence[Mapping[str, Any]], demand: int = 0,
    imperial: bool = False, width: int = 640,  # noqa: FBT001, FBT002
) -> Answer:  # fmt: skip
    """Return a batch: `units` has a name and the figures, or the fault, of each."""
    wanted = _specified(specification)
    if wanted is None or not units:
        message = "A batch needs a specification and at least one unit."
        raise InputError(message)
    if len(units) > _MOST_UNITS:
        message = f"The batch has {len(units)} units; at most {_MOST_UNITS} are taken at once."
        raise InputError(message)
    batch = Batch(wanted)
    for item in units:
        name = str(item["name"])[:_LONGEST_NAME]
        figures = item.get("figures")
        if figures is None:
            batch.refuse(name, str(item.get("fault", ""))[:500])
            continue
        verdict = accept(
            specification=wanted,
            velocities=_numbers(figures["velocities"]),
            compression=_numbers(figures["compression"]),
            rebound=_numbers(figures["rebound"]),
            gas_force=_numbers([figures["gas_force"]])[0],
        )
        batch.units.append(Unit(name, verdict))
    place = min(max(0, int(demand)), len(wanted.demands) - 1)
    return batch_view(batch, demand=place, units=Units(imperial=bool(imperial)), width=width)


def _numbers(values: Sequence[float]) -> tuple[float, ...]:
    found = tuple(float(value) for value in values[:_MOST_SPEEDS])
    if not all(map(isfinite, found)):
        message = "The figures of a unit have to be finite numbers."
        raise InputError(message)
    return found


_NAMED: Mapping[str, Callable[..., Answer]] = {
    "trace.layout": _show_layout,
    "trace.begin": _begin,
    "trace.feed": _feed,
    "trace.finish": _finish,
    "trace.report": _report,
    "trace.explain": _explain,
    "trace.specification": _read_specification,
    "trace.demo": _demo,
    "trace.invent": _invent,
    "batch.summary": _summary,
}
OPERATIONS = {name: may_refuse(operation) for name, operation in _NAMED.items()}
LONG: frozenset[str] = frozenset()  # none tells how far it is: a page feeds a file in pieces
