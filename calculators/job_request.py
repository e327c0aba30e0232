"""What a page may ask about a job: it sends the job's text, and gets a new text back.

The page keeps nothing but the text; every change is made here. A refusal comes back as
``{"refused": message}``, and then the page changes nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from calculators import demo
from calculators._refusal import Answer, may_refuse
from calculators.candidates import compare
from calculators.errors import CalculatorError
from calculators.job import TYPED, Entry, Job, merge
from calculators.job_file import dumps, loads
from calculators.job_spec import spec
from calculators.job_view import followed, inputs_view, value_words, view
from calculators.sheets import load
from calculators.view import Units, present_error, read

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

__all__ = ["LONG", "OPERATIONS"]

_LONGEST_TEXT = 100_000  # characters of one input


def _units(units: Mapping[str, str], imperial: bool) -> Units:  # noqa: FBT001  part of a request
    return Units({str(name): str(unit) for name, unit in units.items()}, imperial=bool(imperial))


def _told(job: Job, imperial: bool) -> Answer:  # noqa: FBT001  part of a request
    return {"text": dumps(job), "view": view(job, Units(imperial=bool(imperial)))}


def _open(text: str, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002  part of a request
    """Read a job, and return it as canonical text with its view."""
    return _told(loads(text), imperial)


def _new(title: str, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002
    """Return an empty job."""
    return _open(dumps(Job(title=str(title))), imperial)


def _demo(name: str, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002
    """Return one of the invented jobs, calculated throughout."""
    return _told(demo.read(name), imperial)


def _name(text: str, title: str, notes: str | None = None, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002
    """Give a job another title, and other notes."""
    job = loads(text)
    job.title = " ".join(str(title).split())
    job.notes = job.notes if notes is None else str(notes)
    return _open(dumps(job), imperial)


def _remove(text: str, sheet: str, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002
    """Leave a calculator out of a job."""
    job = loads(text)
    job.remove(sheet)
    return _told(job, imperial)


def _inputs(
    text: str, sheet: str, units: Mapping[str, str], imperial: bool = False,  # noqa: FBT001, FBT002
) -> Answer:  # fmt: skip
    """Return a calculator's inputs as they stand in a job, as texts in the reader's units."""
    job = loads(text)
    one = job.status().get(sheet)
    return {
        "used": one is not None,
        "current": one is not None and one.up_to_date,
        "inputs": inputs_view(job, sheet, _units(units, imperial)),
    }


def _capture(
    text: str, sheet: str, texts: Mapping[str, str], units: Mapping[str, str],
    typed: Sequence[str], imperial: bool = False,  # noqa: FBT001, FBT002
) -> Answer:  # fmt: skip
    """Take what was typed into a calculator's form into a job, and calculate.

    `typed` names the inputs that the reader changed; of the others only the choices are
    looked at, to know which inputs are asked for. Faults come back beside their inputs,
    and then the job stays as it was.
    """
    job, declaration, reader = loads(text), load(sheet), _units(units, imperial)
    try:
        reading = read(
            declaration, {name: str(one)[:_LONGEST_TEXT] for name, one in texts.items()}, reader
        )
        for name in typed:
            if name in reading.values:
                job.enter(sheet, name, reading.values[name])
        job.calculate(sheet)
    except CalculatorError as error:
        return {"errors": present_error(declaration, error, reader)}
    told = {"errors": [], **_told(job, imperial)}
    return told | {"inputs": inputs_view(job, sheet, reading.units)}


def _follow(
    text: str, sheet: str, names: Sequence[str], units: Mapping[str, str], imperial: bool = False,  # noqa: FBT001, FBT002
) -> Answer:  # fmt: skip
    """Take back what was typed into some inputs: they follow again, or stand on their default."""
    job = loads(text)
    for name in names:
        job.follow(sheet, name)
    return _told(job, imperial) | {"inputs": inputs_view(job, sheet, _units(units, imperial))}


def _recalculate(
    text: str, imperial: bool = False, progress: Callable[[float], object] | None = None,  # noqa: FBT001, FBT002
) -> Answer:  # fmt: skip
    """Calculate all that is out of date, and say what could not be."""
    job, reader, faults = loads(text), Units(imperial=bool(imperial)), []
    late = sum(not one.up_to_date for one in job.status().values())
    for number, done in enumerate(job.recalculate(), start=1):
        if done.error is not None:
            sheet = load(done.sheet)
            said = " ".join(one["message"] for one in present_error(sheet, done.error, reader))
            faults.append({"sheet": done.sheet, "title": sheet.title, "message": said})
        if progress is not None:
            progress(min(1.0, number / late))
    if progress is not None:
        progress(1.0)  # what came out as before puts nothing behind it out of date
    return _told(job, imperial) | {"faults": faults}


def _share(text: str, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002
    """Return a job with nothing but what was typed: the rest follows from it."""
    job = loads(text)
    typed = {
        name: Entry({key: one for key, one in entry.inputs.items() if one.origin == TYPED})
        for name, entry in job.sheets.items()
    }
    return _told(Job(job.title, job.notes, typed), imperial)


def _merge(text: str, other: str, imperial: bool = False) -> Answer:  # noqa: FBT001, FBT002
    """Take another job into this one; where both typed an input, this one counts and says so."""
    reader = Units(imperial=bool(imperial))
    whole, conflicts = merge(loads(text), loads(other))
    told = []
    for one in conflicts:
        item = load(one.sheet).input(one.name)
        mine, theirs = (value_words(item, value, reader) for value in (one.mine, one.theirs))
        told.append(f"{followed(f'{one.sheet}.{one.name}')}: {mine} kept, {theirs} left out")
    return _told(whole, imperial) | {"conflicts": told}


def _spec(
    text: str, imperial: bool = False, progress: Callable[[float], object] | None = None,  # noqa: FBT001, FBT002
) -> Answer:  # fmt: skip
    """Return the specification of a job: see `job_spec`."""
    return spec(loads(text), Units(imperial=bool(imperial)), progress)


def _compare(
    candidates: Sequence[Mapping[str, Any]], weights: Mapping[str, str], imperial: bool = False,  # noqa: FBT001, FBT002
    progress: Callable[[float], object] | None = None,
) -> Answer:  # fmt: skip
    """Return up to four candidates side by side: see `candidates`."""
    return compare(candidates, weights, Units(imperial=bool(imperial)), progress)


LONG = frozenset({"job.recalculate", "job.compare", "job.spec"})  # operations that may take long
_NAMED: Mapping[str, Callable[..., Answer]] = {
    "open": _open,
    "new": _new,
    "demo": _demo,
    "name": _name,
    "remove": _remove,
    "inputs": _inputs,
    "capture": _capture,
    "follow": _follow,
    "recalculate": _recalculate,
    "share": _share,
    "merge": _merge,
    "spec": _spec,
    "compare": _compare,
}
OPERATIONS = {f"job.{name}": may_refuse(operation) for name, operation in _NAMED.items()}
