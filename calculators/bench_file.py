"""Reading a bench trace: CSV of time, displacement, force and perhaps temperature.

A file arrives in pieces, bytes or text, and may be large: `Reader` takes piece after piece
and keeps the numbers alone. What separates the cells, the decimal sign, the columns and
their units are recognised from the first lines (`Layout`) and can be corrected. Lines that
are no numbers are refused with line and column; a few gaps are left out and counted.

This module needs numpy.
"""

from __future__ import annotations

import codecs
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from calculators._bench_head import (
    GAPS,
    NUMBER,
    REQUIRED,
    ROLES,
    Column,
    Layout,
    plain,
    recognise,
    split,
)
from calculators.errors import FileFormatError
from calculators.quantities import format_value, to_si

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

__all__ = ["LARGEST", "MOST_ROWS", "Column", "Layout", "Reader", "Record", "layout_of", "read"]

LARGEST = 100 * 1024 * 1024  # bytes
MOST_ROWS = 5_000_000
_HEAD = 65_536  # characters from which the layout is recognised
_BLOCK = 1 << 20  # characters that are turned into numbers at once
_LONGEST_LINE = 20_000  # characters
_GAPS_ALLOWED = 0.01  # 1, share of the rows that may lack a number
_FEW = 3  # rows that are always allowed to lack one
_LEAST_ROWS = 16
# Beyond these nothing is measured on a damper: SI.
_BEYOND = {"time": 1e9, "displacement": 10.0, "force": 1e7, "temperature": 2_000.0}


@dataclass(frozen=True, slots=True)
class Record:
    """A bench trace as it was recorded, in SI.

    Attributes
    ----------
    time, displacement, force : array
        One entry a sample [s], [m], [N]; signs as the layout says.
    temperature : array or None
        [K].
    layout : Layout
        How the file was read.
    gaps : int
        Rows left out because a number was missing.
    repeated : int
        Rows left out because their time was that of the row before.
    notices : tuple of str
        What was assumed or left out, one sentence each.
    """

    time: Array
    displacement: Array
    force: Array
    temperature: Array | None
    layout: Layout
    gaps: int
    repeated: int
    notices: tuple[str, ...]


class Reader:
    """Takes a file piece by piece; `finish` gives the record.

    Parameters
    ----------
    layout : Layout, optional
        How the file is written; without it, it is recognised.

    Attributes
    ----------
    rows, size : int
        Samples read and bytes or characters taken so far, for a progress bar.
    """

    def __init__(self, layout: Layout | None = None) -> None:
        self.layout = layout
        self.rows = 0
        self.size = 0
        self._given = layout
        self._decoder: codecs.IncrementalDecoder | None = None
        self._notices: list[str] = []
        self._rest: list[str] = []
        self._waiting = 0
        self._line = 0  # lines handled so far
        self._blocks: list[Array] = []
        self._gaps = 0
        self._first_gap: tuple[int, int] | None = None

    def feed(self, piece: bytes | str) -> None:
        """Take the next piece of the file.

        Raises
        ------
        FileFormatError
            As soon as something cannot be read; with line and column.
        """
        self.size += len(piece)
        if self.size > LARGEST:
            message = f"The file is larger than {LARGEST // 1024**2} MB. Cut it, or thin it out."
            raise FileFormatError(message)
        text = piece if isinstance(piece, str) else self.decoded(piece)
        if "\0" in text:
            message = "The file holds binary data and is no text. Export the trace as CSV."
            raise FileFormatError(message, line=self._line + 1, column=1)
        self._rest.append(text)
        self._waiting += len(text)
        if self._waiting >= (_HEAD if self.layout is None or self._line == 0 else _BLOCK):
            self._work(last=False)

    def finish(self) -> Record:
        """Return the whole record.

        Raises
        ------
        FileFormatError
            If the file is empty, too short, or its times don't rise.
        """
        if self._decoder is not None:
            try:
                self._rest.append(self._decoder.decode(b"", final=True))
            except UnicodeDecodeError as error:
                message = "The file ends in the middle of a letter: it was cut off."
                pending = "".join(self._rest).count("\n")
                raise FileFormatError(message, line=self._line + pending + 1) from error
        self._work(last=True)
        if self.layout is None or self.rows == 0:
            message = "The file holds no samples."
            raise FileFormatError(message, line=1, column=1)
        return self._record(self.layout)

    def decoded(self, piece: bytes) -> str:
        """Return a piece of the file as text: UTF-8, UTF-16 with its mark, or Windows-1252."""
        if self._decoder is None:
            name = "utf-8-sig"
            if piece.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
                name = "utf-16"
            elif b"\0" in piece[:_HEAD]:
                message = "The file holds binary data and is no text. Export the trace as CSV."
                raise FileFormatError(message, line=1, column=1)
            self._decoder = codecs.getincrementaldecoder(name)()
        before = self._decoder.getstate()
        try:
            return self._decoder.decode(piece)
        except UnicodeDecodeError:
            # an older export: every byte is a letter there
            self._notices.append("The file is not UTF-8; read as Windows-1252.")
            left = before[0]
            self._decoder = codecs.getincrementaldecoder("cp1252")("replace")
            return self._decoder.decode(left + piece)

    def _work(self, *, last: bool) -> None:
        text = "".join(self._rest)
        if not last and text.endswith("\r"):  # its line feed may come in the next piece
            text, kept = text[:-1], "\r"
        else:
            kept = ""
        text = text.replace("\r\n", "\n").replace("\r", "\n")
        end = len(text) if last else text.rfind("\n") + 1
        if len(text) - end > _LONGEST_LINE:
            message = f"A line is longer than {_LONGEST_LINE:,} characters: this is no table."
            raise FileFormatError(message, line=self._line + text.count("\n") + 1)
        self._rest = [text[end:] + kept]
        self._waiting = len(self._rest[0])
        lines = text[:end].split("\n")
        if lines and not lines[-1]:
            lines.pop()
        if not lines:
            return
        if self._line == 0:
            lines = self._start(lines)
        self._take(lines)

    def _start(self, lines: list[str]) -> list[str]:
        """Recognise the layout, and return the lines behind the headings."""
        lines[0] = lines[0].removeprefix("\ufeff")
        longest = max(map(len, lines[:500]))
        if longest > _LONGEST_LINE:
            message = f"A line is longer than {_LONGEST_LINE:,} characters: this is no table."
            raise FileFormatError(message, line=1)
        if self.layout is None:
            self.layout = recognise(lines)
        missing = [role for role in REQUIRED if role not in self.layout.columns]
        if missing:
            there = ", ".join(filter(None, self.layout.heads))[:120] or "no headings"
            message = (
                f"No column for {' and '.join(missing)} was recognised (found: {there}). "
                "Name the columns time, displacement and force, or say which they are."
            )
            raise FileFormatError(message, line=max(1, self.layout.skip), column=1)
        self._line = self.layout.skip
        return lines[self.layout.skip :]

    def _take(self, lines: list[str]) -> None:
        assert self.layout is not None
        block = self._fast(lines, self.layout)
        if block is None:
            block = self._slow(lines, self.layout)
        self._line += len(lines)
        self.rows += len(block)
        if self.rows > MOST_ROWS:
            message = f"The file has more than {MOST_ROWS:,} rows. Cut it, or thin it out."
            raise FileFormatError(message, line=self._line)
        if len(block):
            self._blocks.append(block)

    def _fast(self, lines: list[str], layout: Layout) -> Array | None:
        """Return the numbers of clean lines, one column a role; None if they are not clean."""
        text = "\n".join(lines)
        sep = layout.separator
        if '"' in text or "#" in text or (sep != " " and not _even(text, lines, layout)):
            return None
        if layout.grouping:
            text = text.replace(layout.grouping, "")
        if layout.decimal == ",":
            text = text.replace(",", ".")
        places = [column.place for column in layout.columns.values()]
        try:
            block = np.loadtxt(
                text.split("\n"), delimiter=None if sep == " " else sep, usecols=places,
                comments=None, ndmin=2, dtype=np.float64,
            )  # fmt: skip
        except (ValueError, IndexError):
            return None
        if len(block) != len(lines) or not np.isfinite(block).all():
            return None
        return block

    def _slow(self, lines: list[str], layout: Layout) -> Array:
        """Return the numbers of lines, read one by one; refuse with line and column."""
        rows = []
        for number, line in enumerate(lines, start=self._line + 1):
            if not line.strip() or line.lstrip().startswith("#"):
                continue
            cells = split(line, layout.separator)
            if len(cells) > layout.cells and not any(cells[layout.cells :]):
                cells = cells[: layout.cells]
            if len(cells) != layout.cells:
                message = f"{len(cells)} cells; the others have {layout.cells}."
                raise FileFormatError(message, line=number, column=min(len(cells), layout.cells))
            row = self._row(cells, layout, number)
            if row is not None:
                rows.append(row)
        return np.array(rows, dtype=np.float64).reshape(-1, len(layout.columns))

    def _row(self, cells: list[str], layout: Layout, line: int) -> list[float] | None:
        """Return the numbers of one line, None if one is missing."""
        row: list[float] = []
        for role, column in layout.columns.items():
            cell = cells[column.place]
            text = plain(cell, layout.decimal, layout.grouping)
            if text.casefold() in GAPS:
                self._gaps += 1
                if self._first_gap is None:
                    self._first_gap = (line, column.place + 1)
                return None
            if not NUMBER.fullmatch(text):
                message = f"{role} is {cell[:40]!r}, which is no number."
                raise FileFormatError(message, line=line, column=column.place + 1)
            row.append(float(text))
        return row

    def _record(self, layout: Layout) -> Record:
        allowed = max(_FEW, int(_GAPS_ALLOWED * (self.rows + self._gaps)))
        if self._gaps > allowed and self._first_gap is not None:
            line, column = self._first_gap
            message = (
                f"{self._gaps} rows lack a number, more than 1 % of all; this is the first. "
                "Record the trace again."
            )
            raise FileFormatError(message, line=line, column=column)
        if self.rows < _LEAST_ROWS:
            message = f"The file has {self.rows} samples; at least {_LEAST_ROWS} make a trace."
            raise FileFormatError(message, line=layout.skip + 1, column=1)
        whole = np.concatenate(self._blocks)
        self._blocks = []
        found = {
            role: _si(whole[:, place], role, column, layout)
            for place, (role, column) in enumerate(layout.columns.items())
        }
        kept = _rising(found["time"], layout, self._gaps)
        repeated = int(len(whole) - kept.sum())
        if repeated:
            found = {role: values[kept] for role, values in found.items()}
        notices = [*layout.notices, *self._notices]
        if self._gaps:
            notices.append(f"{self._gaps} rows without a number were left out.")
        if repeated:
            notices.append(f"{repeated} rows with the time of the row before were left out.")
        return Record(
            found["time"], found["displacement"], found["force"], found.get("temperature"),
            layout, self._gaps, repeated, tuple(notices),
        )  # fmt: skip


def _even(text: str, lines: list[str], layout: Layout) -> bool:
    """Return whether all lines have the same number of cells, by counting separators."""
    if layout.separator == layout.decimal:
        return False
    return text.count(layout.separator) == len(lines) * (layout.cells - 1)


def _si(values: Array, role: str, column: Column, layout: Layout) -> Array:
    """Return a column in SI, or refuse what cannot have been measured."""
    quantity = ROLES[role]
    zero = to_si(0.0, unit=column.unit, quantity=quantity)
    factor = to_si(1.0, unit=column.unit, quantity=quantity) - zero
    with np.errstate(over="ignore"):
        si = values * factor + zero
    wrong = ~(np.abs(si) <= _BEYOND[role])
    if wrong.any():
        row = int(np.argmax(wrong))
        most = format_value(_BEYOND[role], unit=column.unit, quantity=quantity)
        message = f"{role} is {values[row]:g} {column.unit}, beyond {most}. Check column and unit."
        raise FileFormatError(message, line=layout.skip + row + 1, column=column.place + 1)
    return -si if column.reversed and role != "time" else si


def _rising(time: Array, layout: Layout, gaps: int) -> NDArray[np.bool_]:
    """Return which rows to keep: a repeated time is left out, one that falls is refused."""
    step = np.diff(time)
    if (step < 0.0).any():
        row = int(np.argmax(step < 0.0)) + 1
        about = "" if gaps == 0 else "about "
        message = (
            f"The time falls from {time[row - 1]:g} s to {time[row]:g} s ({about}here). "
            "A trace runs forward: cut it there, or name the right column."
        )
        raise FileFormatError(
            message, line=layout.skip + row + 1, column=layout.columns["time"].place + 1
        )
    kept = np.concatenate(([True], step > 0.0))
    if kept.sum() < max(_LEAST_ROWS, 0.5 * len(time)):
        message = "Most rows have the time of the row before: the time is written too coarsely."
        row = int(np.argmin(kept))
        raise FileFormatError(
            message, line=layout.skip + row + 1, column=layout.columns["time"].place + 1
        )
    return kept


def layout_of(start: bytes | str) -> Layout:
    """Return the layout of a file from its first piece, to be corrected where it is wrong.

    Raises
    ------
    FileFormatError
        If there are no columns of numbers.
    """
    text = start if isinstance(start, str) else Reader().decoded(start)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    whole = lines[:-1] if len(lines) > 1 else lines  # the last line may be cut off
    return recognise([line.removeprefix("\ufeff") for line in whole])


def read(pieces: Iterable[bytes | str], *, layout: Layout | None = None) -> Record:
    """Return the record of a file that arrives in pieces.

    Raises
    ------
    FileFormatError
        If it cannot be read; with line and column.
    """
    reader = Reader(layout)
    for piece in pieces:
        reader.feed(piece)
    return reader.finish()
