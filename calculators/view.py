"""A result in the reader's units, as plain data.

The page, the build and the command line all show what this module returns: the
same words, digits and units everywhere. Text that a reader typed is read here
too, and every refusal comes back beside the input it concerns.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, floor, isfinite, log10
from typing import TYPE_CHECKING, Any

from calculators.docstring import qualified_name, references
from calculators.errors import CalculatorError, InputError, InputErrors, OutOfRangeError
from calculators.field import settled
from calculators.formula import Number, parse_formula, symbol_node
from calculators.quantities import (
    QUANTITIES,
    counterpart,
    format_number,
    format_value,
    from_si,
    parse,
    short_number,
)
from calculators.rows import read_rows, write_rows
from calculators.sheet import Choice, Input, Measure, Rows, evaluate, in_use

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.field import Field, Value
    from calculators.sheet import Column, Result, Sheet, Step, Table, TableCell

__all__ = ["Reading", "Units", "present", "present_error", "range_text", "read", "restated"]

_STEP_DIGITS = 6
_DIGITS = 4
_ALL_DIGITS = 12  # of what was typed, without the dust of conversion


@dataclass(frozen=True, slots=True)
class Units:
    """The units that a reader chose.

    Attributes
    ----------
    chosen : mapping
        Unit symbol by input or output name.
    imperial : bool
        Whether everything else is shown in the trade's imperial units.
    """

    chosen: Mapping[str, str] = field(default_factory=dict)
    imperial: bool = False

    def of(self, quantity: str, unit: str, name: str = "") -> str:
        """Return the unit in which a value is shown."""
        if name in self.chosen:
            return self.chosen[name]
        return counterpart(unit, quantity=quantity) if self.imperial else unit

    def of_columns(self, rows: Rows) -> tuple[str, ...]:
        """Return the units in which the columns of a table are read and shown."""
        return tuple(self.of(column.quantity, column.unit) for column in rows.columns)


@dataclass(frozen=True, slots=True)
class Reading:
    """What a reader's texts came to: SI values, and the units that they named."""

    values: Mapping[str, Value]
    units: Units


def read(sheet: Sheet, texts: Mapping[str, str], units: Units) -> Reading:
    """Return the SI values of typed texts; an empty text leaves an optional input out.

    Raises
    ------
    InputErrors
        With one error for every text that cannot be read.
    """
    values: dict[str, Value] = {}
    named: dict[str, str] = dict(units.chosen)
    errors: list[InputError] = []
    choices: dict[str, str] = {}
    for item in sheet.inputs:
        if not in_use(item, choices):
            continue
        text = texts.get(item.name)
        if isinstance(item, Choice):
            choices[item.name] = item.keys[0] if text is None else text
        if text is None:
            continue
        try:
            values[item.name], unit = _read_one(item, text, units)
            if unit:
                named[item.name] = unit
        except InputErrors as error:
            errors += error.errors
        except InputError as error:
            errors.append(InputError(f"{item.label}: {error}", inputs=(item.name,)))
    unknown = [name for name in texts if name not in {item.name for item in sheet.inputs}]
    errors += [
        InputError(f"{sheet.name} has no input called {name[:40]}.", inputs=(name,))
        for name in unknown
    ]
    if errors:
        raise InputErrors([*errors, *_range_errors(sheet, values)])
    return Reading(values, Units(named, units.imperial))


def _read_one(item: Field, text: str, units: Units) -> tuple[Value, str]:
    """Return the value of one text, and the unit that applied if it is a number."""
    if isinstance(item, Choice):
        return text, ""
    if isinstance(item, Rows):
        return read_rows(item, text, units.of_columns(item)), ""
    if not text.strip():
        return None, ""
    unit = units.of(item.quantity, item.unit, item.name)
    seen = parse(
        text, quantity=item.quantity, unit=unit, minimum=item.minimum, maximum=item.maximum
    )
    return settled(seen.value, item.minimum, item.maximum), seen.unit


def _range_errors(sheet: Sheet, values: Mapping[str, Value]) -> tuple[InputError, ...]:
    try:
        evaluate(sheet, values)
    except InputErrors as error:
        return error.errors
    except CalculatorError:
        return ()
    return ()


def range_text(item: Input, unit: str) -> str:
    """Return an input's allowed range in words, in the given unit; what it says is allowed."""
    low, high = (
        _inward(from_si(bound, unit=unit, quantity=item.quantity), way)
        for bound, way in ((item.minimum, ceil), (item.maximum, floor))
    )
    return f"{_short(low)} to {_with_unit(_short(high), unit)}"


def _inward(bound: float, way: Callable[[float], int]) -> float:
    """Return a bound rounded to the digits shown, towards the values that are allowed."""
    if float(f"{bound:.{_DIGITS - 1}e}") == float(f"{bound:.12g}"):
        return bound
    digit = 10.0 ** (floor(log10(abs(bound))) - _DIGITS + 1)
    return way(bound / digit) * digit


def _with_unit(number: str, unit: str) -> str:
    if unit == "1":
        return number
    return f"{number}{unit}" if unit == "°" else f"{number}\u00a0{unit}"


def _short(value: float) -> str:
    return format_number(value, digits=_DIGITS)


def present_error(sheet: Sheet, error: CalculatorError, units: Units) -> list[dict[str, Any]]:
    """Return the faults as plain data: message in the reader's units, inputs concerned."""
    errors = error.errors if isinstance(error, InputErrors) else (error,)
    return [
        {"inputs": list(getattr(single, "inputs", ())), "message": _message(sheet, single, units)}
        for single in errors
    ]


def _message(sheet: Sheet, error: CalculatorError, units: Units) -> str:
    if isinstance(error, OutOfRangeError) and len(error.inputs) == 1:
        item = sheet.input(error.inputs[0])
        if isinstance(item, Input) and isfinite(error.value):
            unit = units.of(item.quantity, item.unit, item.name)
            value = format_value(error.value, unit=unit, quantity=item.quantity, digits=_ALL_DIGITS)
            return f"{item.label} is {value}; allowed: {range_text(item, unit)}. {item.reason}"
    return str(error)


def present(result: Result, units: Units, *, working: bool = True) -> dict[str, Any]:
    """Return a result as plain data in the reader's units, the working only if it is wanted."""
    return {
        "inputs": _present_inputs(result, units),
        "outputs": _present_outputs(result, units),
        "findings": _present_findings(result, units),
        "tables": [_present_table(table, units) for table in result.tables],
        "steps": [_present_step(step, units) for step in result.steps if working],
    }


def _present_inputs(result: Result, units: Units) -> dict[str, Any]:
    return {item.name: _present_input(result, item, units) for item in result.sheet.inputs}


def _present_input(result: Result, item: Field, units: Units) -> dict[str, Any]:
    if isinstance(item, Choice):
        return {"key": result.given.choices.get(item.name)}
    if isinstance(item, Rows):
        columns = units.of_columns(item)
        rows = result.given.tables.get(item.name, item.default)
        return {
            "text": write_rows(item, rows, columns),
            "columns": [_shown_unit(unit) for unit in columns],
        }
    unit = units.of(item.quantity, item.unit, item.name)
    value = result.given.numbers.get(item.name, item.default)
    return {
        "value": value,
        "unit": unit,
        "text": "" if value is None else _input_text(value, unit, item.quantity),
        "range": range_text(item, unit),
    }


def _input_text(value: float, unit: str, quantity: str) -> str:
    """Return an input as text: what the reader would have typed, without the dust of conversion."""
    return short_number(from_si(value, unit=unit, quantity=quantity))


def restated(item: Input | Rows, text: str, *, before: Units, after: Units) -> str:
    """Return what was typed, in other units; a text that cannot be read stays as it is."""
    try:
        if isinstance(item, Rows):
            old, new = before.of_columns(item), after.of_columns(item)
            return text if old == new else write_rows(item, read_rows(item, text, old), new)
        unit, to = (units.of(item.quantity, item.unit, item.name) for units in (before, after))
        if unit == to:
            return text
        return _input_text(parse(text, quantity=item.quantity, unit=unit).value, to, item.quantity)
    except CalculatorError:
        return text


def _present_outputs(result: Result, units: Units) -> dict[str, Any]:
    shown: dict[str, Any] = {}
    for output in result.sheet.outputs:
        unit = units.of(output.quantity, output.unit, output.name)
        value = result.outputs[output.name]
        shown[output.name] = {
            "value": value,
            "unit": unit,
            "text": "—"
            if value is None
            else _short(from_si(value, unit=unit, quantity=output.quantity)),
        }
    return shown


class _Words(dict[str, str]):
    """What stands for a name in a finding's text: written out when the text asks for it."""

    def __init__(self, measures: Mapping[str, Measure], units: Units) -> None:
        super().__init__()
        self._measures, self._units = measures, units

    def __missing__(self, name: str) -> str:
        measure = self._measures[name]
        unit = self._units.of(measure.quantity, measure.unit, name)
        return format_value(measure.value, unit=unit, quantity=measure.quantity, digits=3)


def _present_findings(result: Result, units: Units) -> list[dict[str, str]]:
    known = _named_measures(result)
    return [
        {
            "level": finding.level.value,
            "text": finding.text.format_map(_Words({**known, **finding.values}, units)),
        }
        for finding in result.findings
    ]


def _named_measures(result: Result) -> dict[str, Measure]:
    known: dict[str, Measure] = {}
    for item in result.sheet.inputs:
        value = result.given.numbers.get(item.name)
        if isinstance(item, Input) and value is not None:
            known[item.name] = Measure(value, item.quantity, item.unit)
    for output in result.sheet.outputs:
        value = result.outputs[output.name]
        if value is not None:
            known[output.name] = Measure(value, output.quantity, output.unit)
    return known


def _cell(value: TableCell, column: Column, units: Units) -> str:
    if value is None:
        return "—"
    if isinstance(value, str):
        return value
    if isinstance(value, Measure):
        unit = units.of(value.quantity, value.unit)
        return format_value(value.value, unit=unit, quantity=value.quantity, digits=_DIGITS)
    unit = units.of(column.quantity, column.unit)
    return _short(from_si(value, unit=unit, quantity=column.quantity))


def _present_table(table: Table, units: Units) -> dict[str, Any]:
    return {
        "name": table.name,
        "title": table.title,
        "columns": [
            {
                "label": column.label,
                "symbol": symbol_node(column.symbol) if column.symbol else None,
                "unit": _shown_unit(units.of(column.quantity, column.unit))
                if column.quantity
                else "",
            }
            for column in table.columns
        ],
        "rows": [
            [_cell(value, column, units) for value, column in zip(row, table.columns, strict=True)]
            for row in table.rows
        ],
    }


def _shown_unit(unit: str) -> str:
    return "" if unit == "1" else unit


def _si_number(measure: Measure) -> Number:
    unit = QUANTITIES[measure.quantity].units[0].symbol
    return Number(format_number(measure.value, digits=_STEP_DIGITS), _shown_unit(unit))


def _present_step(step: Step, units: Units) -> dict[str, Any]:
    formula = parse_formula(step.formula)
    numbers = {name: _si_number(measure) for name, measure in step.values.items()}
    answer = _si_number(step.answer)
    unit = units.of(step.answer.quantity, step.answer.unit)
    in_reader_unit = format_value(
        step.answer.value, unit=unit, quantity=step.answer.quantity, digits=_STEP_DIGITS
    )
    return {
        "label": step.label,
        "symbols": formula.symbols(),
        "numbers": formula.numbers(numbers, answer),
        "plain": " = ".join(
            (formula.plain(), formula.plain(numbers), f"{answer.digits} {answer.unit}".rstrip())
        ),
        "also": in_reader_unit if unit != QUANTITIES[step.answer.quantity].units[0].symbol else "",
        "function": qualified_name(step.source),
        "references": list(references(step.source)),
    }
