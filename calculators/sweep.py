"""Many cases through one calculator, or through a job: one line in, one line out.

A heading names inputs, with a unit in brackets where it is not the calculator's own:
``spring_rate [N/mm]``; for a job ``critical-damping.spring_rate``. A line that cannot be
calculated says why in the column "fault", and the rest goes on.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from calculators.errors import CalculatorError, FileFormatError, InputError
from calculators.field import Choice, Input
from calculators.job import Entry, Job, upstream
from calculators.quantities import QUANTITIES, parse, to_si
from calculators.quantities import unit as find_unit
from calculators.sheet import evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from calculators.field import Value
    from calculators.sheet import Output, Sheet
    from calculators.table_file import TableValue

__all__ = ["JobSweep", "SheetSweep", "Sweep", "separator_of"]

_HEAD = re.compile(r"\s*([\w.-]+)\s*(?:[\[(]\s*(.*?)\s*[\])])?\s*")
_PLAIN = re.compile(r"\s*[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?\s*")


class Sweep(Protocol):
    """What turns the cells of a line into the cells of the answer.

    Attributes
    ----------
    heads : tuple of str
        Headings of the answer.
    width : int
        Cells that a line has.
    """

    heads: tuple[str, ...]
    width: int

    def run(self, cells: Sequence[str]) -> list[TableValue]:
        """Return the results of one line, the fault last; it never raises for bad cells."""


def separator_of(line: str) -> str:
    """Return what parts the cells of a heading line: the sign that occurs most."""
    return max((";", "\t", ","), key=line.count)


@dataclass(frozen=True, slots=True)
class _Column:
    """One column of the file: the input it feeds, and how its numbers become SI."""

    head: str
    sheet: str
    item: Input | Choice
    unit: str
    factor: float
    zero: float

    def value(self, text: str) -> Value:
        if isinstance(self.item, Choice):
            return text.strip()
        if _PLAIN.fullmatch(text):
            return float(text) * self.factor + self.zero
        if not text.strip():
            return None
        return parse(
            text, quantity=self.item.quantity, unit=self.unit,
            minimum=self.item.minimum, maximum=self.item.maximum,
        ).value  # fmt: skip


def _column(head: str, declaration: Sheet, name: str, unit: str) -> _Column:
    item = {item.name: item for item in declaration.inputs}.get(name)
    if item is None:
        message = f"{declaration.name} has no input called {name[:60]}."
        raise FileFormatError(message, line=1)
    if isinstance(item, Choice):
        return _Column(head, declaration.name, item, "", 1.0, 0.0)
    if not isinstance(item, Input):
        message = f"{name} of {declaration.name} is a table; a cell holds one number."
        raise FileFormatError(message, line=1)
    try:
        symbol = find_unit(unit, quantity=item.quantity).symbol if unit else item.unit
    except InputError as error:
        message = f"{head.strip()[:60]}: {error}"
        raise FileFormatError(message, line=1) from error
    zero = to_si(0.0, unit=symbol, quantity=item.quantity)
    factor = to_si(1.0, unit=symbol, quantity=item.quantity) - zero
    return _Column(head, declaration.name, item, symbol, factor, zero)


def _parts(head: str) -> tuple[str, str]:
    match = _HEAD.fullmatch(head)
    if match is None:
        message = f"{head[:60]!r} is no heading; write INPUT or INPUT [UNIT]."
        raise FileFormatError(message, line=1)
    return match[1], match[2] or ""


def _once(columns: Sequence[_Column]) -> tuple[_Column, ...]:
    seen: set[tuple[str, str]] = set()
    for column in columns:
        if (column.sheet, column.item.name) in seen:
            message = f"{column.item.name} stands in two columns."
            raise FileFormatError(message, line=1)
        seen.add((column.sheet, column.item.name))
    return tuple(columns)


def _head_of(output: Output, sheet: str = "") -> str:
    unit = QUANTITIES[output.quantity].units[0].symbol
    return f"{sheet}{'.' if sheet else ''}{output.name} [{unit}]"


def _texts(columns: Sequence[_Column], cells: Sequence[str]) -> list[Value]:
    """Return the SI values of a line, or raise InputError with the heading."""
    if len(cells) != len(columns):
        message = f"{len(cells)} cells; the heading has {len(columns)}."
        raise InputError(message)
    values = []
    for column, text in zip(columns, cells, strict=True):
        try:
            values.append(column.value(text))
        except InputError as error:
            message = f"{column.head.strip()}: {error}"
            raise InputError(message) from error
    return values


class SheetSweep:
    """One calculator; `fixed` are SI values of inputs that are the same in every line."""

    def __init__(
        self, sheet: str, heads: Sequence[str], *, fixed: Mapping[str, Value] | None = None
    ) -> None:
        self._sheet = load(sheet)
        self._fixed = dict(fixed or {})
        columns = []
        for head in heads:
            name, unit = _parts(head)
            name = name.removeprefix(f"{sheet}.")
            columns.append(_column(head, self._sheet, name, unit))
        self._columns = _once(columns)
        self.width = len(columns)
        self.heads = (*map(_head_of, self._sheet.outputs), "fault")

    def run(self, cells: Sequence[str]) -> list[TableValue]:
        """Return the outputs of one line in SI, and the fault."""
        try:
            values = _texts(self._columns, cells)
            names = (column.item.name for column in self._columns)
            given = {**self._fixed, **dict(zip(names, values, strict=True))}
            outputs = evaluate(self._sheet, given).outputs
        except CalculatorError as error:
            return [*(None for _ in self._sheet.outputs), str(error)]
        return [*(outputs[output.name] for output in self._sheet.outputs), ""]


class JobSweep:
    """A job; `wanted` are the calculators whose outputs are wanted, without it all of them."""

    def __init__(self, job: Job, heads: Sequence[str], *, wanted: Sequence[str] = ()) -> None:
        self._job = job
        columns = []
        for head in heads:
            name, unit = _parts(head)
            sheet, point, name = name.partition(".")
            if not point or sheet not in job.sheets:
                message = f"{head.strip()[:60]!r}: write CALCULATOR.INPUT, of one in the job."
                raise FileFormatError(message, line=1)
            columns.append(_column(head, load(sheet), name, unit))
        self._columns = _once(columns)
        strange = [name for name in wanted if name not in job.sheets]
        if strange:
            message = f"The job does not use {strange[0]}."
            raise FileFormatError(message)
        self.width = len(columns)
        self._wanted = tuple(wanted) or tuple(sorted(job.sheets))
        self._needed = set(self._wanted)
        ahead = list(self._wanted)
        while ahead:
            above = upstream(ahead.pop()) & set(job.sheets) - self._needed
            self._needed |= above
            ahead += above
        self.heads = (
            *(_head_of(output, name) for name in self._wanted for output in load(name).outputs),
            "fault",
        )

    def run(self, cells: Sequence[str]) -> list[TableValue]:
        """Return the outputs of one line in SI, and the fault."""
        job = Job(sheets={name: _copy(entry) for name, entry in self._job.sheets.items()})
        faults = []
        try:
            for column, value in zip(self._columns, _texts(self._columns, cells), strict=True):
                job.enter(column.sheet, column.item.name, value)
            faults = [
                f"{done.sheet}: {done.error}"
                for done in job.recalculate(self._needed)
                if done.error is not None
            ]
        except CalculatorError as error:
            faults = [str(error)]
        found: list[TableValue] = []
        for name in self._wanted:
            entry = job.sheets[name]
            sound = entry.current and not faults
            found += [
                entry.outputs.get(output.name) if sound else None for output in load(name).outputs
            ]
        return [*found, " ".join(faults)]


def _copy(entry: Entry) -> Entry:
    return replace(
        entry, inputs=dict(entry.inputs), outputs=dict(entry.outputs), handed=dict(entry.handed)
    )
