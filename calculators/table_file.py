"""Writing tables as CSV so that no cell can start a formula in a spreadsheet."""

from __future__ import annotations

import csv
import io
from math import isfinite
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

__all__ = ["TableValue", "csv_line", "csv_text", "safe_text"]

TableValue: TypeAlias = float | int | str | None

# The last four are the wide forms of the first, which some spreadsheets take for them.
_STARTERS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def safe_text(text: str) -> str:
    """Return a text that a spreadsheet shows and never computes.

    A text that starts like a formula, also behind blanks, gets an apostrophe in front.
    """
    return f"'{text}" if text.lstrip(" \u00a0").startswith(_STARTERS) else text


def _cell(value: TableValue) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return safe_text(value)
    if isinstance(value, float):
        return repr(value) if isfinite(value) else ""
    return str(value)


def csv_line(cells: Iterable[TableValue]) -> str:
    """Return one line of CSV, with its end; numbers with a decimal point, gaps left empty."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([_cell(cell) for cell in cells])
    return out.getvalue()


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[TableValue]]) -> str:
    """Return a table as CSV text."""
    return csv_line(heads) + "".join(csv_line(row) for row in rows)
