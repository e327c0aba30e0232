"""A job as plain data in the reader's units: what is filled in, what follows from what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from calculators.field import Choice, Rows
from calculators.job import TYPED, Job, order
from calculators.quantities import format_value, from_si, short_number
from calculators.rows import write_rows
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Field, Value
    from calculators.job import Entry, Held, Status
    from calculators.sheet import Sheet
    from calculators.view import Units

__all__ = ["field_text", "followed", "inputs_view", "page_of", "value_words", "view"]

_UP_TO_DATE, _OUT_OF_DATE, _NEVER = "up to date", "out of date", "not calculated"


def page_of(sheet: Sheet) -> str:
    """Return the address of a calculator's page below the site."""
    return sheet.page.removesuffix(".md") + "/"


def followed(origin: str) -> str:
    """Return where a value comes from in words: ``Critical damping: wheel rate``."""
    name, _, value = origin.partition(".")
    sheet = load(name)
    for item in (*sheet.inputs, *sheet.outputs):
        if item.name == value:
            return f"{sheet.title}: {item.label[0].lower()}{item.label[1:]}"
    return f"{sheet.title}: {value.replace('_', ' ')}"


def view(job: Job, units: Units) -> dict[str, Any]:
    """Return title, notes and every calculator of a job with its state, in order."""
    status = job.status()
    sheets = [_line(job, name, status[name], units) for name in order(job.sheets)]
    late = [name for name, one in status.items() if not one.up_to_date]
    return {
        "title": job.title,
        "notes": job.notes,
        "sheets": sheets,
        "late": len(late),
        "needs": sorted({package for name in late for package in load(name).needs}),
    }


def _line(job: Job, name: str, status: Status, units: Units) -> dict[str, Any]:
    sheet, entry = load(name), job.sheets[name]
    held = job.resolve(name)
    above = {one.origin.partition(".")[0] for one in held.values() if one.followed}
    return {
        "name": name,
        "title": sheet.title,
        "page": page_of(sheet),
        "state": _state(entry, status),
        "why": _why(sheet, entry, status, held),
        "typed": [
            sheet.input(key).label for key, one in entry.inputs.items() if one.origin == TYPED
        ],
        "follows": [load(one).title for one in order(above)],
        "results": _results(sheet, entry, units),
    }


def _state(entry: Entry, status: Status) -> str:
    if status.up_to_date:
        return _UP_TO_DATE
    return _OUT_OF_DATE if entry.outputs else _NEVER


def _why(sheet: Sheet, entry: Entry, status: Status, held: dict[str, Held]) -> str:
    """Return what has changed since the last calculation, as a sentence; empty if nothing has."""
    if not entry.outputs or status.up_to_date:
        return ""
    reasons = []
    for key in status.changed:
        one = held[key]
        reasons.append(followed(one.origin) if one.followed else sheet.input(key).label)
    said = [f"changed: {', '.join(dict.fromkeys(reasons))}"] if reasons else []
    if status.waits_for:
        said.append(f"waits for {', '.join(load(name).title for name in status.waits_for)}")
    if not said:
        said.append("inputs were typed since")
    return f"{'; '.join(said)}."


def _results(sheet: Sheet, entry: Entry, units: Units) -> list[dict[str, str]]:
    """Return the main results of the last calculation."""
    found = []
    for output in sheet.outputs:
        value = entry.outputs.get(output.name)
        if output.headline and value is not None:
            unit = units.of(output.quantity, output.unit)
            text = format_value(value, unit=unit, quantity=output.quantity, digits=4)
            found.append({"label": output.label, "text": text})
    return found


def inputs_view(job: Job, name: str, units: Units) -> dict[str, dict[str, Any]]:
    """Return every input of a calculator as it stands in a job.

    For each: the text for its field, the unit, where the value comes from ("typed",
    "default" or "follows"), and what it follows, or would follow if it were not typed.
    """
    sheet, free = load(name), Job(sheets=dict(job.sheets))
    entry = job.sheets.get(name)
    if entry is not None:
        free.sheets[name] = type(entry)(
            inputs={
                key: one
                for key, one in entry.inputs.items()
                if one.origin != TYPED or isinstance(sheet.input(key), Choice)
            }
        )
        # a choice stays as it is: what the others would follow depends on it
    held, offered = job.resolve(name), free.resolve(name)
    return {item.name: _input(item, held[item.name], _offer(job, name, item, offered), units)
            for item in sheet.inputs}  # fmt: skip


def _offer(job: Job, name: str, item: Field, offered: dict[str, Held]) -> Held:
    """Return what an input would hold if it were not typed."""
    entry = job.sheets.get(name)
    if not isinstance(item, Choice) or entry is None or item.name not in entry.inputs:
        return offered[item.name]
    kept = {key: one for key, one in entry.inputs.items() if key != item.name}
    without = Job(sheets={**job.sheets, name: type(entry)(inputs=kept)})
    return without.resolve(name)[item.name]


def _input(item: Field, held: Held, offered: Held, units: Units) -> dict[str, Any]:
    text, unit = field_text(item, held.value, units)
    origin = "follows" if held.followed else held.origin
    source = offered.origin if offered.followed else ""
    return {
        "text": text,
        "unit": unit,
        "origin": origin,
        "from": followed(source) if source else "",
        "page": page_of(load(source.partition(".")[0])) if source else "",
        "offered": value_words(item, offered.value, units),
    }


def field_text(item: Field, value: Value, units: Units) -> tuple[str, str]:
    """Return a value as the text that stands in its field, and the field's unit."""
    if isinstance(item, Choice):
        return str(value), ""
    if isinstance(item, Rows):
        assert isinstance(value, tuple)
        return write_rows(item, value, units.of_columns(item)), ""
    unit = units.of(item.quantity, item.unit, item.name)
    if value is None:
        return "", unit
    assert isinstance(value, float)
    return short_number(from_si(value, unit=unit, quantity=item.quantity)), unit


def value_words(item: Field, value: Value, units: Units) -> str:
    """Return a value for reading, with its unit."""
    if isinstance(item, Choice):
        return next(option.label for option in item.options if option.key == value)
    if isinstance(item, Rows):
        return f"{len(value)} rows" if isinstance(value, tuple) else "none"
    if not isinstance(value, float):
        return "none"
    unit = units.of(item.quantity, item.unit, item.name)
    return format_value(value, unit=unit, quantity=item.quantity, digits=4)
