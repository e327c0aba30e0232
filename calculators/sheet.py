"""The sheet: one calculation, declared once.

A sheet is typed inputs, a pure function over SI floats, and typed outputs. From
this one declaration come the form in the page, the worked example, the working
step by step, the live result, the command line and the ranges of the tests.

The function gets the checked inputs (`Given`) and a record to write on
(`Working`): each step with its formula, findings in words, tables. It returns
the outputs by name. It knows no units, no page and no rounding.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from math import isfinite
from typing import TYPE_CHECKING, TypeAlias

from calculators.errors import ConflictError, InputError, InputErrors
from calculators.field import (
    Cell,
    Choice,
    Field,
    Input,
    Option,
    Rows,
    RowValues,
    Value,
    checked_choice,
    checked_number,
    checked_rows,
    in_use,
)
from calculators.formula import parse_formula
from calculators.quantities import QUANTITIES

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.chart import Chart
    from calculators.picture import Picture

__all__ = [
    "Cell",
    "Choice",
    "Column",
    "Field",
    "Finding",
    "Given",
    "Input",
    "Level",
    "Measure",
    "Option",
    "Output",
    "Result",
    "RowValues",
    "Rows",
    "Sheet",
    "Step",
    "Table",
    "TableCell",
    "Value",
    "Working",
    "evaluate",
    "in_use",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """A number that the sheet gives, with a sentence of meaning.

    A result of None means that it does not arise for these inputs.
    """

    name: str
    label: str
    symbol: str
    quantity: str
    unit: str
    meaning: str
    headline: bool = False


class Level(StrEnum):
    """What a finding tells the reader to do."""

    FINE = "fine"
    LOOK_CLOSER = "look closer"
    DO_NOT_BUILD = "do not build"


@dataclass(frozen=True, slots=True)
class Measure:
    """A value inside a sentence, a step or a table: SI, its quantity, its first unit."""

    value: float
    quantity: str
    unit: str


TableCell: TypeAlias = float | str | Measure | None


@dataclass(frozen=True, slots=True)
class Finding:
    """A judgement in words; `{name}` in the text stands for one of the values."""

    level: Level
    text: str
    values: Mapping[str, Measure] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the working: formula, the values of its symbols, the answer."""

    label: str
    formula: str
    values: Mapping[str, Measure]
    answer: Measure
    source: Callable[..., object]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table; a column without quantity holds words."""

    label: str
    symbol: str = ""
    quantity: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of SI values, words, or None where nothing applies; a Measure brings its own unit."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[TableCell, ...], ...]


class Given:
    """The checked inputs of one calculation, in SI."""

    def __init__(
        self,
        numbers: Mapping[str, float | None],
        choices: Mapping[str, str],
        rows: Mapping[str, RowValues],
    ) -> None:
        self._numbers = numbers
        self._choices = choices
        self._rows = rows

    def __getitem__(self, name: str) -> float:
        """Return a required number; it must be in use for the present choices."""
        value = self._numbers[name]
        if value is None:
            message = f"{name} is optional and was not given"
            raise KeyError(message)
        return value

    def optional(self, name: str) -> float | None:
        """Return a number, or None where the reader left it empty."""
        return self._numbers[name]

    def choice(self, name: str) -> str:
        """Return the key that the reader chose."""
        return self._choices[name]

    def rows(self, name: str) -> RowValues:
        """Return the rows of a table, in SI."""
        return self._rows[name]

    @property
    def tables(self) -> Mapping[str, RowValues]:
        """All tables in use, by name."""
        return self._rows

    @property
    def numbers(self) -> Mapping[str, float | None]:
        """All numbers in use, by name."""
        return self._numbers

    @property
    def choices(self) -> Mapping[str, str]:
        """All choices in use, by name."""
        return self._choices


class Working:
    """The record that a sheet's function writes on."""

    def __init__(
        self, symbols: Mapping[str, Measure], progress: Callable[[float], object] | None = None
    ) -> None:
        self._symbols = dict(symbols)
        self._progress = progress
        self.steps: list[Step] = []
        self.findings: list[Finding] = []
        self.tables: list[Table] = []

    def done(self, share: float) -> None:
        """Tell whoever waits how much of the work is done, 0 to 1."""
        if self._progress:
            self._progress(share)

    def let(self, symbol: str, value: float, *, quantity: str, unit: str = "") -> float:
        """Give a symbol a value without a step: a constant, or a name for a given input."""
        self._symbols[symbol] = Measure(
            value, quantity, unit or QUANTITIES[quantity].units[0].symbol
        )
        return value

    def step(
        self,
        label: str,
        formula: str,
        value: float,
        *,
        quantity: str,
        source: Callable[..., object],
        unit: str = "",
    ) -> float:
        """Record a step and return its value.

        The formula's symbols must be known: inputs, earlier steps, or `let`.
        """
        parsed = parse_formula(formula)
        answer = Measure(value, quantity, unit or QUANTITIES[quantity].units[0].symbol)
        values = {name: self._symbols[name] for name in sorted(parsed.names)}
        self.steps.append(Step(label, formula, values, answer, source))
        self._symbols[parsed.result] = answer
        return value

    def finding(self, level: Level, text: str, **values: Measure) -> None:
        """Record a judgement; `{name}` in the text is replaced by the value of that name."""
        self.findings.append(Finding(level, text, values))

    def table(self, name: str, title: str, columns: tuple[Column, ...],
              rows: tuple[tuple[TableCell, ...], ...]) -> None:  # fmt: skip
        """Record a table of results."""
        self.tables.append(Table(name, title, columns, rows))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A calculation: what it asks, what it answers, and how.

    Attributes
    ----------
    name, title, question
        Key with hyphens, heading, and the question that it answers in one sentence.
    page : str
        The page that belongs to it, as a path below docs.
    inputs, outputs, charts, pictures
        The declaration.
    calculate : callable
        From `Given` and `Working` to the outputs by name, pure.
    limits : tuple of str
        Where the result stops being true, one sentence each.
    needs : tuple of str
        Packages beyond the standard library that it imports.
    on_request : bool
        Whether it takes too long to follow every key: then the page calculates
        when the reader asks for it.
    """

    name: str
    title: str
    question: str
    page: str
    inputs: tuple[Field, ...]
    outputs: tuple[Output, ...]
    calculate: Callable[[Given, Working], Mapping[str, float | None]]
    charts: tuple[Chart, ...] = ()
    pictures: tuple[Picture, ...] = ()
    limits: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    on_request: bool = False

    def input(self, name: str) -> Field:
        """Return the input of that name, or raise KeyError."""
        return {item.name: item for item in self.inputs}[name]

    def output(self, name: str) -> Output:
        """Return the output of that name, or raise KeyError."""
        return {item.name: item for item in self.outputs}[name]

    @property
    def defaults(self) -> dict[str, Value]:
        """The default of every input, in SI."""
        return {
            item.name: item.keys[0] if isinstance(item, Choice) else item.default
            for item in self.inputs
        }


@dataclass(frozen=True, slots=True)
class Result:
    """What came of one calculation: everything in SI."""

    sheet: Sheet
    given: Given
    outputs: Mapping[str, float | None]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
    tables: tuple[Table, ...]


def evaluate(
    sheet: Sheet,
    values: Mapping[str, Value] | None = None,
    *,
    progress: Callable[[float], object] | None = None,
) -> Result:
    """Calculate a sheet from SI values.

    Parameters
    ----------
    sheet : Sheet
        The calculation.
    values : mapping, optional
        SI numbers and choice keys by input name; what is missing takes its default.
    progress : callable, optional
        Called with the share of the work done, 0 to 1, by a sheet that takes long; what it
        raises ends the work.

    Raises
    ------
    InputErrors
        With every fault of the inputs at once.
    InputError
        If the inputs are each allowed but not together.
    """
    given = _checked(sheet, {**sheet.defaults, **(values or {})})
    working = Working(_input_symbols(sheet, given), progress)
    outputs = sheet.calculate(given, working)
    expected = {output.name for output in sheet.outputs}
    if set(outputs) != expected:
        message = f"{sheet.name}: outputs differ from the declaration: {expected ^ set(outputs)}"
        raise TypeError(message)
    _require_finite_outputs(sheet, outputs)
    return Result(
        sheet, given, outputs,
        tuple(working.steps), tuple(working.findings), tuple(working.tables),
    )  # fmt: skip


def _input_symbols(sheet: Sheet, given: Given) -> dict[str, Measure]:
    symbols = {}
    for item in sheet.inputs:
        if isinstance(item, Input):
            value = given.numbers.get(item.name)
            if value is not None:
                symbols[item.symbol] = Measure(value, item.quantity, item.unit)
    return symbols


def _checked(sheet: Sheet, values: Mapping[str, Value]) -> Given:
    known = {item.name for item in sheet.inputs}
    errors: list[InputError] = [
        InputError(f"{sheet.name} has no input called {name}.", inputs=(name,))
        for name in values
        if name not in known
    ]
    choices: dict[str, str] = {}
    numbers: dict[str, float | None] = {}
    rows: dict[str, RowValues] = {}
    for item in sheet.inputs:
        if not in_use(item, choices):
            continue
        value = values[item.name]
        try:
            if isinstance(item, Choice):
                choices[item.name] = checked_choice(item, value)
            elif isinstance(item, Rows):
                rows[item.name] = checked_rows(item, value)
            else:
                numbers[item.name] = checked_number(item, value)
        except InputError as error:
            errors.append(error)
    if errors:
        raise InputErrors(errors)
    return Given(numbers, choices, rows)


def _require_finite_outputs(sheet: Sheet, outputs: Mapping[str, float | None]) -> None:
    for name, value in outputs.items():
        if value is not None and not isfinite(value):
            label = sheet.output(name).label
            message = (
                f"{label} has no finite value for these inputs. "
                "They are each allowed, but together they lead outside what can be computed."
            )
            raise ConflictError(message)
