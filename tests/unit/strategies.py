"""Inputs of sheets for Hypothesis, drawn from the ranges that the sheets declare."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, TypeAlias

from hypothesis import strategies as st

from calculators.sheet import Choice, Rows
from calculators.sheets import load, names

if TYPE_CHECKING:
    from calculators.sheet import Cell, Field, RowValues, Sheet, Value

__all__ = ["SHEETS", "Values", "choices_of", "values_near_defaults", "values_of"]

Values: TypeAlias = "dict[str, Value]"

SHEETS = tuple(load(name) for name in names())


def _numbers(low: float, high: float, quantity: str) -> st.SearchStrategy[float]:
    """Return numbers of a range, whole ones for a count."""
    if quantity == "count":
        return st.integers(ceil(low), floor(high)).map(float)
    return st.floats(low, high)


def _rows(item: Rows) -> st.SearchStrategy[RowValues]:
    def cell(column: Cell) -> st.SearchStrategy[float]:
        return _numbers(column.minimum, column.maximum, column.quantity)

    row = st.tuples(*(cell(column) for column in item.columns))
    few = min(item.most, item.least + 8)
    return st.just(item.default) | st.lists(row, min_size=item.least, max_size=few).map(tuple)


def _anything(item: Field) -> st.SearchStrategy[Value]:
    """Return all that a sheet allows for an input, its bounds and its default often."""
    if isinstance(item, Choice):
        return st.sampled_from(item.keys)
    if isinstance(item, Rows):
        return _rows(item)
    numbers = _numbers(item.minimum, item.maximum, item.quantity) | st.sampled_from(
        [item.minimum, item.maximum, item.default]
    )
    return numbers | st.none() if item.optional else numbers


def _near_default(item: Field) -> st.SearchStrategy[Value]:
    """Return numbers around the default, so that most inputs fit together."""
    if isinstance(item, Rows):
        return st.just(item.default)
    if isinstance(item, Choice) or item.default is None:
        return _anything(item)
    low, high = sorted((0.8 * item.default, 1.25 * item.default))
    numbers = _numbers(max(low, item.minimum), min(high, item.maximum), item.quantity)
    return numbers | st.none() if item.optional else numbers


def values_of(sheet: Sheet) -> st.SearchStrategy[Values]:
    """Return inputs from all over the declared ranges, with every choice."""
    return st.fixed_dictionaries({item.name: _anything(item) for item in sheet.inputs})


def values_near_defaults(sheet: Sheet) -> st.SearchStrategy[Values]:
    """Return inputs around the defaults, with every choice."""
    return st.fixed_dictionaries({item.name: _near_default(item) for item in sheet.inputs})


def choices_of(sheet: Sheet) -> list[dict[str, str]]:
    """Return every combination of a sheet's choices."""
    combinations: list[dict[str, str]] = [{}]
    for item in sheet.inputs:
        if isinstance(item, Choice):
            combinations = [{**some, item.name: key} for some in combinations for key in item.keys]
    return combinations
