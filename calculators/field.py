"""What a sheet asks for: a number, a choice, or a table of numbers."""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose, isfinite
from typing import TYPE_CHECKING, TypeAlias

from calculators.errors import InputError, OutOfRangeError
from calculators.quantities import QUANTITIES

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "Cell",
    "Choice",
    "Field",
    "Input",
    "Option",
    "RowValues",
    "Rows",
    "Value",
    "checked_choice",
    "checked_number",
    "checked_rows",
    "in_use",
    "settled",
]

_LAST_DIGITS = 1e-9  # 1, share of a value by which it may miss the end of its range

RowValues: TypeAlias = tuple[tuple[float, ...], ...]
Value: TypeAlias = float | str | RowValues | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """A number that the reader gives.

    Attributes
    ----------
    name, label, symbol
        Key in code, words in the page, the trade's symbol in formula notation.
    quantity, unit
        Kind of quantity, and the unit in which it is first offered. A "count" is a
        whole number.
    default, minimum, maximum
        In coherent SI.
    optional : bool
        Whether the reader may leave it empty.
    reason : str
        Why the range ends where it does, as a sentence with an instruction.
    help : str
        One sentence: what it is and where to get it.
    group : str
        Heading under which the form shows it.
    when : tuple of (str, tuple of str)
        Choices, all of which must stand on one of the keys named; otherwise the
        input is not asked for.
    """

    name: str
    label: str
    symbol: str
    quantity: str
    unit: str
    default: float | None
    minimum: float
    maximum: float
    reason: str
    help: str
    group: str
    optional: bool = False
    when: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to a choice."""

    key: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A question with a few answers, the first of which is the default."""

    name: str
    label: str
    options: tuple[Option, ...]
    help: str
    group: str
    when: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the options, in order."""
        return tuple(option.key for option in self.options)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One column of a table that the reader fills in, its range in coherent SI."""

    label: str
    symbol: str
    quantity: str
    unit: str
    minimum: float
    maximum: float
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A table that the reader types or pastes, one row a line.

    Attributes
    ----------
    columns : tuple of Cell
        What each row holds.
    default : tuple of tuple of float
        Rows in coherent SI.
    least, most : int
        How many rows are allowed.
    """

    name: str
    label: str
    columns: tuple[Cell, ...]
    default: RowValues
    least: int
    most: int
    help: str
    group: str
    when: tuple[tuple[str, tuple[str, ...]], ...] = ()


Field: TypeAlias = Input | Choice | Rows


def in_use(item: Field, choices: Mapping[str, str]) -> bool:
    """Return whether an input is asked for with these choices."""
    return all(choices.get(name) in keys for name, keys in item.when)


def settled(value: float, minimum: float, maximum: float) -> float:
    """Return a value, or the end of its range if it is beyond that by a last digit only.

    The end of a range, shown in another unit and read back, may come out a digit off.
    """
    for end in (minimum, maximum):
        if not minimum <= value <= maximum and isclose(value, end, rel_tol=_LAST_DIGITS):
            return end
    return value


def checked_choice(item: Choice, value: Value) -> str:
    """Return the key that was chosen, or raise InputError."""
    if value not in item.keys:
        message = f"{item.label} is {value!r}; allowed: {', '.join(item.keys)}."
        raise InputError(message, inputs=(item.name,))
    return str(value)


def checked_number(item: Input, value: Value) -> float | None:
    """Return a number in its range, None if it is optional and empty, or raise InputError."""
    if value is None:
        if item.optional:
            return None
        message = f"{item.label} is missing. {item.help}"
        raise InputError(message, inputs=(item.name,))
    if not isinstance(value, int | float):
        message = f"{item.label} is {value!r}; the core takes SI numbers."
        raise InputError(message, inputs=(item.name,))
    if not (isfinite(value) and item.minimum <= value <= item.maximum):
        raise OutOfRangeError(
            item.label, value, QUANTITIES[item.quantity].units[0].symbol,
            minimum=item.minimum, maximum=item.maximum, advice=item.reason, inputs=(item.name,),
        )  # fmt: skip
    _require_whole(item.label, value, item.quantity, item.name)
    return float(value)


def _require_whole(label: str, value: float, quantity: str, name: str) -> None:
    """Raise InputError if the value is a count and no whole number."""
    if quantity == "count" and value != round(value):
        message = f"{label} is {value:g}; this is counted, so give a whole number."
        raise InputError(message, inputs=(name,))


def checked_rows(item: Rows, value: Value) -> RowValues:
    """Return rows of numbers, each in the range of its column, or raise InputError."""
    if not isinstance(value, tuple) or not item.least <= len(value) <= item.most:
        message = f"{item.label} needs {item.least} to {item.most} rows of SI numbers."
        raise InputError(message, inputs=(item.name,))
    for number, row in enumerate(value, start=1):
        if len(row) != len(item.columns):
            message = (
                f"{item.label}, row {number} has {len(row)} cells; needed: {len(item.columns)}."
            )
            raise InputError(message, inputs=(item.name,))
        for cell, column in zip(row, item.columns, strict=True):
            label = f"{item.label}, row {number}, {column.label}"
            if not (isfinite(cell) and column.minimum <= cell <= column.maximum):
                raise OutOfRangeError(
                    label, cell, QUANTITIES[column.quantity].units[0].symbol,
                    minimum=column.minimum, maximum=column.maximum,
                    advice=column.reason, inputs=(item.name,),
                )  # fmt: skip
            _require_whole(label, cell, column.quantity, item.name)
    return value
