"""Tables that a reader types or pastes: one row a line, one quantity a column.

Cells stand apart by tabs, semicolons or ``|``; commas part cells where a space
follows, or where nothing else would make the row complete, so a decimal comma stays
what it is. A cell may carry its unit. A first line without a digit is a heading.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from calculators.errors import InputError, InputErrors
from calculators.field import settled
from calculators.quantities import format_value, from_si, parse, short_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.field import Cell, Rows, RowValues

__all__ = ["read_rows", "write_rows"]

_BETWEEN = re.compile(r"\t|;|\||,(?=\s)|\s{2,}")


def read_rows(rows: Rows, text: str, units: Sequence[str]) -> RowValues:
    """Return the SI values of a typed table.

    Raises
    ------
    InputErrors
        With every cell that cannot be read or is out of range, by row and column.
    """
    lines = [
        (number, line.strip())
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip()
    ]
    if lines and not any(sign.isdigit() for sign in lines[0][1]):
        del lines[0]
    errors: list[InputError] = []
    if not rows.least <= len(lines) <= rows.most:
        message = (
            f"{rows.label} has {len(lines)} rows; allowed: {rows.least} to {rows.most}. {rows.help}"
        )
        raise InputErrors([InputError(message, inputs=(rows.name,))])
    values = []
    for number, line in lines:
        try:
            values.append(_read_line(rows, line, units, number))
        except InputErrors as error:
            errors += error.errors
    if errors:
        raise InputErrors(errors)
    return tuple(values)


def _read_line(rows: Rows, line: str, units: Sequence[str], number: int) -> tuple[float, ...]:
    cells = _cells(line, len(rows.columns))
    if len(cells) != len(rows.columns):
        wanted = "; ".join(column.label for column in rows.columns)
        message = (
            f"{rows.label}, row {number} has {len(cells)} cells; needed: {wanted}. "
            "Part cells with a semicolon or a tab."
        )
        raise InputErrors([InputError(message, inputs=(rows.name,))])
    values, errors = [], []
    for cell, column, unit in zip(cells, rows.columns, units, strict=True):
        try:
            values.append(_read_cell(cell, column, unit))
        except InputError as error:
            message = f"{rows.label}, row {number}, {column.label}: {error}"
            errors.append(InputError(message, inputs=(rows.name,)))
    if errors:
        raise InputErrors(errors)
    return tuple(values)


def _cells(line: str, wanted: int) -> list[str]:
    """Return the cells of a line, parted at commas only if that gives as many as are wanted."""
    cells = [cell.strip() for cell in _BETWEEN.split(line) if cell.strip()]
    at_commas = [cell.strip() for cell in line.split(",")]
    return at_commas if len(cells) == 1 and len(at_commas) == wanted else cells


def _read_cell(cell: str, column: Cell, unit: str) -> float:
    seen = parse(
        cell, quantity=column.quantity, unit=unit, minimum=column.minimum, maximum=column.maximum
    )
    value = settled(seen.value, column.minimum, column.maximum)
    if not column.minimum <= value <= column.maximum:
        shown, low, high = (
            format_value(one, unit=unit, quantity=column.quantity)
            for one in (value, column.minimum, column.maximum)
        )
        message = f"{shown} is not allowed; allowed: {low} to {high}. {column.reason}"
        raise InputError(message)
    return value


def write_rows(rows: Rows, values: Sequence[Sequence[float]], units: Sequence[str]) -> str:
    """Return SI values as the text that `read_rows` reads back."""
    return "\n".join(
        "; ".join(
            short_number(from_si(value, unit=unit, quantity=column.quantity))
            for value, column, unit in zip(row, rows.columns, units, strict=True)
        )
        for row in values
    )
