"""Recognising a bench file: separator, decimal sign, columns and units, from its first lines."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from calculators.errors import FileFormatError, UnitError
from calculators.quantities import unit as find_unit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

ROLES = {
    "time": "time",
    "displacement": "length",
    "force": "force",
    "temperature": "temperature",
}
REQUIRED = ("time", "displacement", "force")
NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
GAPS = {"", "nan", "na", "n/a", "null", "none", "-", "--", "#n/a"}

_ASSUMED = {"time": "s", "displacement": "mm", "force": "N", "temperature": "°C"}
_WORDS = {
    "time": {"time", "zeit", "temps", "tiempo", "t", "timestamp", "elapsed"},
    "displacement": {
        "displacement", "disp", "position", "pos", "travel", "stroke", "weg", "hub", "x",
        "deplacement", "déplacement", "course", "desplazamiento", "stellung",
    },
    "force": {"force", "load", "kraft", "f", "fuerza", "effort", "last"},
    "temperature": {"temperature", "temp", "temperatur", "température", "temperatura", "toil"},
}  # fmt: skip
_SPELLED = {
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "sek": "s", "sekunden": "s",
    "msec": "ms", "millisecond": "ms", "milliseconds": "ms", "minutes": "min",
    "millimeter": "mm", "millimetre": "mm", "millimeters": "mm", "millimetres": "mm",
    "meter": "m", "metre": "m", "meters": "m", "metres": "m", "inch": "in", "inches": "in",
    "newton": "N", "newtons": "N", "kilonewton": "kN", "lbs": "lbf", "lb": "lbf", "kg": "kgf",
    "celsius": "°C", "fahrenheit": "°F", "kelvin": "K", "c": "°C", "f": "°F",
    "grad c": "°C", "°": "°C",
}  # fmt: skip
_SEPARATORS = (";", "\t", "|", ",", " ")
_LEAST_CELLS = 2
_MOST_PREAMBLE = 400  # lines before the numbers
_MOST_CELLS = 200
_SAMPLE = 60  # lines of numbers that are looked at


@dataclass(frozen=True, slots=True)
class Column:
    """Where a measured quantity stands, in which unit, and whether its sign is turned."""

    place: int
    unit: str
    reversed: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """How a bench file is written; recognised, and open to correction.

    Attributes
    ----------
    separator : str
        Between cells: ``;``, tab, ``|``, ``,`` or a space for any blanks.
    decimal : str
        Decimal sign, ``.`` or ``,``.
    grouping : str
        Sign between thousands, or nothing.
    skip : int
        Lines before the first line of numbers.
    cells : int
        Cells in a line.
    heads : tuple of str
        The headings as they stand in the file; empty texts if there are none.
    columns : mapping
        By role (time, displacement, force, temperature) the column.
    notices : tuple of str
        What was assumed, one sentence each.
    """

    separator: str
    decimal: str
    grouping: str
    skip: int
    cells: int
    heads: tuple[str, ...]
    columns: Mapping[str, Column]
    notices: tuple[str, ...] = field(default=(), compare=False)

    def with_column(
        self, role: str, *, place: int | None = None, unit: str = "", reverse: bool | None = None
    ) -> Layout:
        """Return the layout with one column corrected.

        Raises
        ------
        FileFormatError
            If the role or the column does not exist, or the unit does not fit.
        """
        if role not in ROLES:
            message = f"{role[:40]!r} is none of {', '.join(ROLES)}."
            raise FileFormatError(message)
        old = self.columns.get(role, Column(-1, _ASSUMED[role]))
        at = old.place if place is None else place
        if not 0 <= at < self.cells:
            message = f"There is no column {at + 1}; the file has {self.cells}."
            raise FileFormatError(message)
        symbol = checked_unit(unit, role) if unit else old.unit
        turned = old.reversed if reverse is None else reverse
        columns = {name: one for name, one in self.columns.items() if one.place != at}
        return replace(self, columns={**columns, role: Column(at, symbol, turned)})


def checked_unit(text: str, role: str) -> str:
    """Return the symbol of a unit of a role, or refuse."""
    symbol = _unit_of(text, role)
    if symbol is None:
        message = f"{text[:20]!r} is no unit of {ROLES[role]}."
        raise FileFormatError(message)
    return symbol


def split(line: str, separator: str) -> list[str]:
    """Return the cells of a line, without quotation marks and outer blanks."""
    if separator == " ":
        return line.split()
    try:
        cells = next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])
    except csv.Error:
        cells = line.split(separator)
    return [cell.strip() for cell in cells]


def plain(cell: str, decimal: str, grouping: str) -> str:
    """Return the text of a number with a decimal point and ASCII signs."""
    cell = cell.strip().replace("\u2212", "-")
    if grouping:
        cell = cell.replace(grouping, "")
    return cell.replace(",", ".") if decimal == "," else cell


def is_number(cell: str, decimal: str, grouping: str) -> bool:
    """Return whether a cell holds a number, or a mark for a missing one."""
    return bool(NUMBER.fullmatch(plain(cell, decimal, grouping)))


def recognise(lines: Sequence[str]) -> Layout:
    """Return the layout of a file from its first lines.

    Raises
    ------
    FileFormatError
        If there are no columns of numbers.
    """
    skip, separator, decimal, grouping, cells = _numbers_in(lines)
    heads, units = _headings(lines[:skip], separator, cells)
    sample = [
        [plain(cell, decimal, grouping) for cell in split(line, separator)]
        for line in lines[skip : skip + _SAMPLE * 20]
        if line.strip()
    ]
    rows = [row for row in sample if len(row) == cells]
    columns, notices = _roles(heads, units, rows)
    return Layout(separator, decimal, grouping, skip, cells, heads, columns, tuple(notices))


def _numbers_in(lines: Sequence[str]) -> tuple[int, str, str, str, int]:
    """Return lines to skip, separator, decimal sign, grouping and number of cells."""
    best, found_best = (0, -99.0, 0), None
    for rank, separator in enumerate(_SEPARATORS):
        for decimal, grouping in ((".", ""), (",", ""), (",", "."), (".", ",")):
            if separator == "," and grouping == ",":
                continue
            found = _first_run(lines, separator, decimal, grouping)
            if found is None:
                continue
            start, length, cells = found
            # more lines that read as numbers are better; then fewer assumptions
            merit = (length, -rank - (0.5 if grouping else 0.0), cells)
            if merit > best:
                best, found_best = merit, (start, separator, decimal, grouping, cells)
    if found_best is None:
        message = (
            "No columns of numbers were found. Wanted: a text file with time, displacement "
            "and force, one sample a line, cells parted by commas, semicolons or tabs."
        )
        raise FileFormatError(message, line=1, column=1)
    return found_best


def _first_run(
    lines: Sequence[str], separator: str, decimal: str, grouping: str
) -> tuple[int, int, int] | None:
    """Return start, length and width of the first lines that are numbers throughout."""
    for start, line in enumerate(lines[: _MOST_PREAMBLE + 1]):
        cells = split(line, separator)
        if not _LEAST_CELLS <= len(cells) <= _MOST_CELLS or not _numeric(cells, decimal, grouping):
            continue
        length, seen = 0, 0
        for other in lines[start : start + _SAMPLE]:
            if not other.strip():
                continue
            seen += 1
            there = split(other, separator)
            length += len(there) == len(cells) and _numeric(there, decimal, grouping)
        if 2 * length >= seen:
            return start, length, len(cells)
    return None


def _numeric(cells: Sequence[str], decimal: str, grouping: str) -> bool:
    """Return whether at least two cells are numbers; one column of words is let through."""
    numbers = sum(is_number(cell, decimal, grouping) for cell in cells)
    gaps = sum(cell.strip().casefold() in GAPS for cell in cells)
    return numbers >= _LEAST_CELLS and numbers + gaps >= len(cells) - 1


def _headings(
    preamble: Sequence[str], separator: str, cells: int
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return headings, and units that stand in a line of their own below them."""
    named = [split(line, separator) for line in preamble if line.strip()]
    empty = ("",) * cells
    if not named:
        return empty, empty
    last = named[-1]
    if len(last) != cells:
        usual = [row for row in named if len(row) == cells]
        if separator == "," and len(last) > 1 and cells == 2 * len(last):
            message = (
                f"The heading has {len(last)} cells and the numbers {cells}: commas part the cells "
                "and are decimal signs too. Save the file with semicolons or with decimal points."
            )
            raise FileFormatError(message, line=len(preamble) + 1, column=1)
        if not usual:
            return empty, empty
        last = usual[-1]
    if len(named) > 1 and len(named[-2]) == cells and all(_bare_unit(cell) for cell in last):
        return tuple(named[-2]), tuple(cell.strip("[]() ") for cell in last)
    return tuple(last), empty


def _bare_unit(cell: str) -> bool:
    text = cell.strip("[]() ")
    return text in {"", "-"} or any(_unit_of(text, role) is not None for role in ROLES)


def _unit_of(text: str, role: str) -> str | None:
    """Return the symbol of a unit of a role, however it is spelled, or None."""
    bare = text.strip().strip("[]()").strip()
    for spelling in (bare, _SPELLED.get(bare.casefold(), "")):
        if spelling:
            try:
                return find_unit(spelling, quantity=ROLES[role]).symbol
            except UnitError:
                continue
    return None


def _name_and_unit(head: str) -> tuple[str, str]:
    """Return the words and the unit of a heading such as "Force [kN]" or "force_N"."""
    match = re.fullmatch(r"\s*(.*?)\s*[\[(]\s*([^\])]*)\s*[\])]\s*", head)
    if match:
        return match[1], match[2]
    match = re.fullmatch(r"\s*(.+?)\s*(?:/\s*|,\s*|_|\s+)([^\s_/,]+)\s*", head)
    if match and any(_unit_of(match[2], role) for role in ROLES) and _role_of(match[1]):
        return match[1], match[2]
    return head, ""


def _role_of(words: str) -> str | None:
    parts = [part for part in re.split(r"[^\w°]+|_|\d+", words.casefold()) if part]
    for role in ("temperature", "time", "displacement", "force"):
        if any(part in _WORDS[role] for part in parts):
            return role
    return None


def _roles(
    heads: tuple[str, ...], units: tuple[str, ...], rows: list[list[str]]
) -> tuple[dict[str, Column], list[str]]:
    columns: dict[str, Column] = {}
    notices: list[str] = []
    for place, head in enumerate(heads):
        words, written = _name_and_unit(head)
        role = _role_of(words)
        if role is None or role in columns:
            continue
        text = units[place] or written
        symbol = _unit_of(text, role) if text else None
        if symbol is None:
            symbol = _likely_unit(role, rows, place)
            why = f'"{text[:20]}" is not known' if text else "none is written"
            notices.append(f"Unit of {role}: {why}; taken as {symbol}.")
        columns[role] = Column(place, symbol)
    if not any(heads):
        columns, notices = _unnamed(rows)
    return columns, notices


def _values(rows: list[list[str]], place: int) -> list[float]:
    return [float(row[place]) for row in rows if NUMBER.fullmatch(row[place])]


def _likely_unit(role: str, rows: list[list[str]], place: int) -> str:
    """Return the unit that fits the size of the numbers."""
    values = _values(rows, place)
    if len(values) < _LEAST_CELLS:
        return _ASSUMED[role]
    span = max(values) - min(values)
    if role == "time" and span / (len(values) - 1) >= 0.1:  # noqa: PLR2004  no bench is that slow
        return "ms"
    if role == "force" and max(map(abs, values)) < 30.0:  # noqa: PLR2004  N, a seal rubs with that
        return "kN"
    if role == "displacement" and max(map(abs, values)) < 0.5:  # noqa: PLR2004  mm, no stroke
        return "m"
    return _ASSUMED[role]


def _unnamed(rows: list[list[str]]) -> tuple[dict[str, Column], list[str]]:
    """Return roles for columns without headings: the one that always rises is the time."""
    width = len(rows[0]) if rows else 0
    rising = [
        place
        for place in range(width)
        if all(a < b for a, b in zip(_values(rows, place), _values(rows, place)[1:], strict=False))
    ]
    if len(rows) < _LEAST_CELLS or not rising:
        return {}, []
    order = [rising[0], *(place for place in range(width) if place != rising[0])]
    columns = {
        role: Column(place, _likely_unit(role, rows, place))
        for role, place in zip(ROLES, order, strict=False)
    }
    words = ", ".join(
        f"{role} in column {one.place + 1} ({one.unit})" for role, one in columns.items()
    )
    return columns, [f"There are no headings; taken as {words}. Please check."]
