"""A job as text: ``*.job.json``, a published, versioned format.

`job.schema.json` beside this file describes it. What `dumps` writes, `loads` reads back,
and the text of the two is the same, byte for byte. A text that is damaged, too large, of
an unknown version or about unknown calculators is refused with the place and the reason;
ranges are left to the calculation, which names them.
"""

from __future__ import annotations

import json
import unicodedata
from math import isfinite
from pkgutil import get_data
from typing import TYPE_CHECKING, Any, NoReturn

from calculators.errors import FileFormatError
from calculators.field import Choice, Rows
from calculators.handed import HANDED
from calculators.job import DEFAULT, TYPED, Entry, Held, Job
from calculators.sheets import load, names

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from calculators.field import Field, Value

__all__ = ["FORMAT", "LARGEST", "VERSION", "dumps", "loads", "schema"]

FORMAT = "strokebook-job"
VERSION = 1
LARGEST = 5_000_000  # bytes; a job with every calculator has some 100 000
_LONGEST_TITLE, _LONGEST_NOTES = 200, 20_000  # characters
_MOST_ROWS = 10_000
_EXPANDED = 4  # levels of the text that stand one entry a line
_TOP = {"format", "version", "title", "notes", "sheets"}
_PARTS = {"current", "inputs", "outputs", "handed"}

# From the number of an old version to what makes its data those of the next one.
_MIGRATIONS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}


def loads(text: str | bytes) -> Job:
    """Return the job that a text holds.

    Raises
    ------
    FileFormatError
        If it is not a whole, sound job of a known version; with line and column where
        the text stops being JSON, and with the place in words everywhere else.
    """
    data = _object(_parsed(text), "The file")
    if data.get("format") != FORMAT:
        _refuse(f'This is no job file: its "format" is not "{FORMAT}".')
    data = _migrated(data)
    _only(data, _TOP, "The file")
    sheets = _object(data.get("sheets", {}), '"sheets"')
    job = Job(
        title=_words(data.get("title", ""), "title", _LONGEST_TITLE, lines=False),
        notes=_words(data.get("notes", ""), "notes", _LONGEST_NOTES, lines=True),
    )
    for name in sorted(sheets):
        if name not in names():
            _refuse(f"There is no calculator called {name[:60]!r}.{_NEWER}")
        job.sheets[name] = _entry(name, _object(sheets[name], name))
    return job


_NEWER = " The file may come from another version of this handbook."


def _refuse(message: str) -> NoReturn:
    raise FileFormatError(message)


def _parsed(text: str | bytes) -> object:
    size = len(text)
    if size > LARGEST:
        _refuse(f"The file has {size:,} bytes; at most {LARGEST:,} are read.")
    if isinstance(text, bytes):
        text = _decoded(text)
    try:
        return json.loads(
            text.removeprefix("\ufeff"), object_pairs_hook=_unique, parse_constant=_no_constant
        )
    except json.JSONDecodeError as error:
        message = f"This is not JSON: {error.msg}. The file is damaged or of another kind."
        raise FileFormatError(message, line=error.lineno, column=error.colno) from error
    except RecursionError as error:
        message = "The file is nested too deeply to be a job."
        raise FileFormatError(message) from error
    except ValueError as error:  # a whole number of thousands of digits
        message = f"A number in the file cannot be read: {str(error)[:80]}."
        raise FileFormatError(message) from error


def _decoded(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        message = "This byte is no UTF-8 text. The file is damaged, or of another kind."
        raise FileFormatError(
            message,
            line=before.count(b"\n") + 1,
            column=error.start - (before.rfind(b"\n") + 1) + 1,
        ) from error


def _unique(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for name, value in pairs:
        if name in found:
            _refuse(f"{name[:60]!r} stands twice in one place.")
        found[name] = value
    return found


def _no_constant(word: str) -> NoReturn:
    _refuse(f"The file holds {word}; every value is a finite number.")


def _migrated(data: dict[str, Any]) -> dict[str, Any]:
    version = data.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        _refuse(f'"version" is {_shown(version)}; it is a whole number from 1 to {VERSION}.')
    if version > VERSION:
        _refuse(
            f"The file is of version {str(version)[:20]}; this handbook reads up to {VERSION}. "
            "Open it with the newer handbook that wrote it."
        )
    for step in range(version, VERSION):
        data = _MIGRATIONS[step](data)
    return data


def _shown(value: object) -> str:
    return "missing" if value is None else repr(value)[:60]


def _object(value: object, place: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        _refuse(f"{place} has to be a JSON object, and is {_shown(value)}.")
    return value


def _only(data: Mapping[str, object], known: Iterable[str], place: str) -> None:
    strange = sorted(set(data) - set(known))
    if strange:
        _refuse(f"{place} holds {strange[0][:60]!r}, which is not known.{_NEWER}")


def _words(value: object, name: str, longest: int, *, lines: bool) -> str:
    if not isinstance(value, str) or len(value) > longest:
        _refuse(f'"{name}" has to be a text of at most {longest:,} characters.')
    allowed = {"\n", "\t"} if lines else set()
    for char in value:
        if unicodedata.category(char) in {"Cc", "Cs"} and char not in allowed:
            _refuse(f'"{name}" holds the control character U+{ord(char):04X}.')
    return value


def _entry(sheet: str, data: dict[str, Any]) -> Entry:
    _only(data, _PARTS, sheet)
    current = data.get("current", False)
    if not isinstance(current, bool):
        _refuse(f'{sheet}: "current" is {_shown(current)}; it is true or false.')
    declaration = load(sheet)
    fields = {item.name: item for item in declaration.inputs}
    parts = {
        part: _object(data.get(part, {}), f"{sheet}: {part}")
        for part in ("inputs", "outputs", "handed")
    }
    _only(parts["inputs"], fields, f"{sheet}: inputs")
    _only(parts["outputs"], [output.name for output in declaration.outputs], f"{sheet}: outputs")
    _only(parts["handed"], HANDED.get(sheet, {}), f"{sheet}: handed")
    return Entry(
        inputs={
            name: _held(fields[name], value, f"{sheet}.{name}")
            for name, value in sorted(parts["inputs"].items())
        },
        outputs={
            name: None if value is None else _number(value, f"{sheet}.{name}")
            for name, value in sorted(parts["outputs"].items())
        },
        handed={
            name: _any_value(value, f"{sheet}.{name}")
            for name, value in sorted(parts["handed"].items())
        },
        current=current,
    )


def _held(item: Field, data: object, place: str) -> Held:
    pair = _object(data, place)
    _only(pair, ("value", "from"), place)
    if "value" not in pair:
        _refuse(f'{place} has no "value".')
    origin = pair.get("from")
    if not isinstance(origin, str) or not _is_origin(origin):
        _refuse(f'{place}: "from" is {_shown(origin)}; it is typed, default or CALCULATOR.VALUE.')
    return Held(_value(item, pair["value"], place), origin)


def _is_origin(text: str) -> bool:
    sheet, point, name = text.partition(".")
    return text in {TYPED, DEFAULT} or bool(point and name.isidentifier() and sheet in names())


def _value(item: Field, value: object, place: str) -> Value:
    if isinstance(item, Choice):
        if value not in item.keys:
            _refuse(f"{place} is {_shown(value)}; allowed: {', '.join(item.keys)}.")
        return str(value)
    if isinstance(item, Rows):
        return _rows(value, place, len(item.columns))
    if value is None and item.optional:
        return None
    return _number(value, place)


def _number(value: object, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        _refuse(f"{place} is {_shown(value)}; it is a number, in SI.")
    try:
        number = float(value)
    except OverflowError:
        number = float("inf")
    if not isfinite(number):
        _refuse(f"{place} is too large to calculate with.")
    return number


def _rows(value: object, place: str, columns: int | None) -> tuple[tuple[float, ...], ...]:
    if not isinstance(value, list) or len(value) > _MOST_ROWS:
        _refuse(f"{place} has to be a list of at most {_MOST_ROWS:,} rows.")
    rows = []
    for number, row in enumerate(value, start=1):
        if not isinstance(row, list) or (columns is not None and len(row) != columns):
            many = "" if columns is None else f"{columns} "
            _refuse(f"{place}, row {number} is no list of {many}numbers.")
        rows.append(tuple(_number(cell, f"{place}, row {number}") for cell in row))
    return tuple(rows)


def _any_value(value: object, place: str) -> Value:
    if value is None:
        return None
    if isinstance(value, str):
        return _words(value, place, _LONGEST_TITLE, lines=False)
    return _rows(value, place, None) if isinstance(value, list) else _number(value, place)


def dumps(job: Job) -> str:
    """Return a job as text: canonical, so that equal jobs give equal bytes."""
    return _pretty(_plain(job), 0) + "\n"


def _plain(job: Job) -> dict[str, object]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": job.title,
        "notes": job.notes,
        "sheets": {
            name: {
                "current": entry.current,
                "inputs": {
                    key: {"value": held.value, "from": held.origin}
                    for key, held in sorted(entry.inputs.items())
                },
                "outputs": dict(sorted(entry.outputs.items())),
                "handed": dict(sorted(entry.handed.items())),
            }
            for name, entry in sorted(job.sheets.items())
        },
    }


def _pretty(value: object, level: int) -> str:
    """Return JSON with one entry a line down to the inputs, and each input on its line."""
    if not isinstance(value, dict) or level >= _EXPANDED or not value:
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    space = "  " * (level + 1)
    lines = (
        f"{space}{json.dumps(name, ensure_ascii=False)}: {_pretty(item, level + 1)}"
        for name, item in value.items()
    )
    return "{\n" + ",\n".join(lines) + f"\n{'  ' * level}}}"


def schema() -> dict[str, Any]:
    """Return the published JSON schema of the format."""
    found: dict[str, Any] = json.loads(get_data("calculators", "job.schema.json") or b"")
    return found
