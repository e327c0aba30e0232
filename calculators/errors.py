"""What can go wrong, as one small family.

CalculatorError
├── InputError (also a ValueError)
│   ├── OutOfRangeError     one quantity outside its allowed range, or not finite
│   ├── UnitError           a unit or a number that cannot be read for this quantity
│   └── ConflictError       inputs that are each fine, but not together
├── NoSolutionError         the inputs are fine, but no answer was found
└── FileFormatError         a job file or CSV that cannot be read (line and column)

Every message names the quantity, the value with its unit, what is allowed and
what to do. The same parts travel as fields, so that a page can repeat them in
the reader's unit beside the right input.
"""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = [
    "CalculatorError",
    "ConflictError",
    "FileFormatError",
    "InputError",
    "InputErrors",
    "NoSolutionError",
    "OutOfRangeError",
    "UnitError",
    "require_above",
    "require_at_least",
    "require_between",
    "require_finite",
]


class CalculatorError(Exception):
    """Base of everything that this package raises on purpose."""


class InputError(CalculatorError, ValueError):
    """A value that was given cannot be used.

    Attributes
    ----------
    inputs : tuple of str
        Names of the inputs concerned, empty if not known at this depth.
    """

    def __init__(self, message: str, *, inputs: Iterable[str] = ()) -> None:
        super().__init__(message)
        self.inputs = tuple(inputs)


class OutOfRangeError(InputError):
    """One quantity is outside its allowed range, or is not a finite number.

    Attributes
    ----------
    label, value, unit
        The quantity in words, its value and its unit as the message prints them.
    minimum, maximum : float or None
        The allowed range in that unit; None where there is no bound.
    minimum_allowed : bool
        Whether the minimum itself is allowed.
    advice : str
        What to do, one sentence.
    """

    def __init__(
        self,
        label: str,
        value: float,
        unit: str,
        *,
        minimum: float | None = None,
        maximum: float | None = None,
        minimum_allowed: bool = True,
        advice: str = "",
        inputs: Iterable[str] = (),
    ) -> None:
        self.label = label
        self.value = value
        self.unit = unit
        self.minimum = minimum
        self.maximum = maximum
        self.minimum_allowed = minimum_allowed
        self.advice = advice
        shown = f"{value:g} {unit}".strip() if isfinite(value) else "not a finite number"
        message = f"{label} is {shown}; allowed: {self._allowed()}. {advice}".strip()
        super().__init__(message, inputs=inputs)

    def _allowed(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        if self.minimum is not None and self.maximum is not None:
            if self.minimum_allowed:
                return f"{self.minimum:g} to {self.maximum:g}{unit}"
            return f"above {self.minimum:g} and up to {self.maximum:g}{unit}"
        if self.minimum is not None:
            word = "at least" if self.minimum_allowed else "above"
            return f"{word} {self.minimum:g}{unit}"
        if self.maximum is not None:
            return f"at most {self.maximum:g}{unit}"
        return "a finite number"


class UnitError(InputError):
    """A unit or a number that cannot be read, or that fits no unit of the quantity."""


class ConflictError(InputError):
    """Inputs that are each allowed, but cannot be true together."""


class InputErrors(InputError):  # noqa: N818  several of them
    """Several faults of one form, reported together.

    Attributes
    ----------
    errors : tuple of InputError
        The single faults, in the order of the form.
    """

    def __init__(self, errors: Iterable[InputError]) -> None:
        self.errors = tuple(errors)
        names = [name for error in self.errors for name in error.inputs]
        super().__init__(" ".join(str(error) for error in self.errors), inputs=names)


class NoSolutionError(CalculatorError):
    """The inputs are allowed, but no answer was found; the message says where it stopped."""


class FileFormatError(CalculatorError):
    """A file cannot be read.

    Attributes
    ----------
    line, column : int or None
        Where it stopped making sense, counted from 1; None if that is unknown.
    """

    def __init__(self, message: str, *, line: int | None = None, column: int | None = None) -> None:
        where = f"line {line}" if line is not None else ""
        if line is not None and column is not None:
            where = f"{where}, column {column}"
        super().__init__(f"{where}: {message}" if where else message)
        self.line = line
        self.column = column


def require_finite(value: float, label: str, unit: str, advice: str = "") -> None:
    """Raise OutOfRangeError unless the value is a finite number."""
    if not isfinite(value):
        raise OutOfRangeError(label, value, unit, advice=advice)


def require_above(minimum: float, value: float, label: str, unit: str, advice: str = "") -> None:
    """Raise OutOfRangeError unless the value is finite and above the minimum."""
    if not (isfinite(value) and value > minimum):
        raise OutOfRangeError(
            label, value, unit, minimum=minimum, minimum_allowed=False, advice=advice
        )


def require_at_least(minimum: float, value: float, label: str, unit: str, advice: str = "") -> None:
    """Raise OutOfRangeError unless the value is finite and not below the minimum."""
    if not (isfinite(value) and value >= minimum):
        raise OutOfRangeError(label, value, unit, minimum=minimum, advice=advice)


def require_between(
    minimum: float, maximum: float, value: float, label: str, unit: str, advice: str = ""
) -> None:
    """Raise OutOfRangeError unless the value is finite and within the closed range."""
    if not (isfinite(value) and minimum <= value <= maximum):
        raise OutOfRangeError(label, value, unit, minimum=minimum, maximum=maximum, advice=advice)
