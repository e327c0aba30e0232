"""Plain text for a terminal: paragraphs, lists and tables within 80 columns."""

from __future__ import annotations

import codecs
import io
import textwrap
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from typing import TextIO

__all__ = [
    "WIDTH", "Answer", "Progress", "RefusedError", "aligned", "grid", "paragraph", "read_bytes",
    "speak_any_encoding", "write_text",
]  # fmt: skip

WIDTH = 80

FAILED = 1  # exit status of a verdict that is not a pass

_EVERY = 2.0  # s, between two lines of progress


class RefusedError(Exception):
    """What was given cannot be used; one line for each fault."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


@dataclass(slots=True)
class Answer:
    """What a command writes, and its exit status once all of it is written."""

    lines: Iterable[str]
    status: int = 0


class Progress:
    """Lines on long work for a person who waits, at most one in two seconds."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._last = monotonic()

    def tell(self, words: str) -> None:
        """Write a line, if the last one is long enough ago."""
        if monotonic() - self._last >= _EVERY:
            self._last = monotonic()
            self._stream.write(f"{words}\n")
            self._stream.flush()


def read_bytes(path: str, most: int) -> bytes:
    """Return what a file holds, or refuse it by name."""
    try:
        if Path(path).stat().st_size > most:
            message = f"{path}: larger than {most:,} bytes."
            raise RefusedError(message)
        return Path(path).read_bytes()
    except OSError as error:
        message = f"{path}: the file cannot be read ({error.strerror})."
        raise RefusedError(message) from error


def write_text(path: str, text: str) -> None:
    """Write a file as UTF-8, whole or not at all, or refuse it by name."""
    part = Path(f"{path}.part")
    try:
        part.write_bytes(text.encode())
        part.replace(path)
    except OSError as error:
        message = f"{path}: the file cannot be written ({error.strerror})."
        raise RefusedError(message) from error


_SPELLED = {
    "−": "-",
    "–": "-",
    "—": "-",
    "×": "x",
    "·": ".",
    "√": "sqrt",
    "°": "deg",
    "≤": "<=",
    "≥": ">=",
    "≈": "~",
    "’": "'",
    "…": "...",
}


def paragraph(text: str, *, indent: int = 0, first: int | None = None) -> str:
    """Return text in lines that fit, indented; the first line may be indented differently."""
    start = " " * (indent if first is None else first)
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * indent,
        break_long_words=False,
        break_on_hyphens=False,
    )


def aligned(rows: Iterable[Sequence[str]], *, indent: int = 2) -> list[str]:
    """Return rows of cells as lines, each column as wide as its widest cell."""
    cells = [list(row) for row in rows]
    widths = [max(_width(cell) for cell in column) for column in zip(*cells, strict=True)]
    return [
        " " * indent
        + "  ".join(_padded(cell, width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in cells
    ]


def grid(
    heads: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], *, indent: int = 2
) -> list[str]:
    """Return a table as lines: each head is a few lines, cells stand flush right below it.

    A table that is too wide for that is told row by row, a line for each cell.
    """
    most = (WIDTH - indent) // len(heads) - 2
    numbers = [max((_width(row[index]) for row in rows), default=0) for index in range(len(heads))]
    wrapped = [
        _narrow(head, max(most, number)) for head, number in zip(heads, numbers, strict=True)
    ]
    widths = [
        max(number, *map(_width, head)) for head, number in zip(wrapped, numbers, strict=True)
    ]
    room = WIDTH - indent - sum(widths)
    if room < len(widths) - 1:
        return _row_by_row(heads, rows, indent)
    gap = "  " if room >= 2 * len(widths) else " "
    height = max(map(len, wrapped))
    tops = [[""] * (height - len(head)) + head for head in wrapped]
    lines = [*zip(*tops, strict=True), tuple("-" * width for width in widths), *rows]
    return [
        (
            " " * indent
            + gap.join(_padded(cell, -width) for cell, width in zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    ]


def _row_by_row(
    heads: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], indent: int
) -> list[str]:
    names = [" ".join(part for part in head if part) for head in heads]
    lines: list[str] = []
    for first, *others in rows:
        lines.append(f"{' ' * indent}{names[0]}: {first}")
        lines += aligned(zip(names[1:], others, strict=True), indent=indent + 2)
    return lines


def _narrow(head: Sequence[str], width: int) -> list[str]:
    lines = (textwrap.wrap(part, width, break_long_words=False) for part in head if part)
    return [line for part in lines for line in part] or [""]


def _width(text: str) -> int:
    return sum(not unicodedata.combining(letter) for letter in text)


def _padded(text: str, width: int) -> str:
    """Return text filled up with spaces, in front of it if the width is negative."""
    space = " " * (abs(width) - _width(text))
    return space + text if width < 0 else text + space


def _spelled(letter: str) -> str:
    """Return a letter in ASCII: a Greek one by its name, a raised digit as a digit."""
    plain = _SPELLED.get(letter) or unicodedata.normalize("NFKD", letter)
    if plain.isascii():
        return plain
    name = unicodedata.name(letter, "").split()
    if name[:1] == ["GREEK"]:
        return name[-1].lower() if "SMALL" in name else name[-1].capitalize()
    return _SPELLED.get(plain[0]) or plain.encode("ascii", "ignore").decode() or "?"


def _spell_out(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_spelled, error.object[error.start : error.end])), error.end


def speak_any_encoding(*streams: TextIO) -> None:
    """Let streams spell out what their encoding lacks: ζ becomes zeta, never an error."""
    codecs.register_error("strokebook-spell-out", _spell_out)
    for stream in streams:
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="strokebook-spell-out")
