"""Solvers and fits end where the inputs put them: the last digits of an input move nothing.

Two Pythons differ in the last digit of a logarithm or a sum. A result that a solver has
not settled would carry that digit up to where it shows.
"""

from __future__ import annotations

from math import inf, isclose, nextafter
from random import Random
from typing import TYPE_CHECKING

import pytest

from calculators.errors import CalculatorError
from calculators.field import Choice, Input, Rows
from calculators.sheet import Measure, evaluate
from calculators.sheets import load, names
from tests.sheet_inputs import random_values

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from calculators.field import Value
    from calculators.sheet import Result, Sheet

# A wheel that leaves the ground carries a last digit on and on, so rides are held to it at
# their defaults only; the sheet itself says where a ride is too wild for that.
DRIVEN = ("ride-run", "speed-map")
SETS = 2  # of random inputs, beside the defaults; some of them are refused
SETTLED = 1e-9  # 1, relative: what is left of a nudge of the inputs by 10⁻¹⁴
NUDGES: dict[str, Callable[[float, Random], float]] = {
    "one unit in the last place": lambda x, rng: nextafter(x, rng.choice((-inf, inf))),
    "1e-15": lambda x, rng: x * (1.0 + rng.choice((-1e-15, 1e-15))),
    "1e-14": lambda x, rng: x * (1.0 + rng.choice((-1e-14, 1e-14))),
}


def _nudged(
    sheet: Sheet, values: dict[str, Value], nudge: Callable[[float, Random], float]
) -> dict[str, Value]:
    """Return the inputs, each measured number a little off and within its range."""
    rng = Random(1)  # noqa: S311  test inputs, no secret
    moved: dict[str, Value] = {**values}
    for item in sheet.inputs:
        value = values.get(item.name)
        if isinstance(item, Input) and isinstance(value, float) and item.quantity != "count":
            moved[item.name] = min(max(nudge(value, rng), item.minimum), item.maximum)
        elif isinstance(item, Rows) and isinstance(value, tuple):
            moved[item.name] = tuple(
                tuple(
                    cell if column.quantity == "count"
                    else min(max(nudge(cell, rng), column.minimum), column.maximum)
                    for cell, column in zip(row, item.columns, strict=True)
                )
                for row in value
            )  # fmt: skip
    return moved


def _cases(sheet: Sheet) -> Iterator[dict[str, Value]]:
    """Give the defaults, the same with each other answer to a choice, and some random sets."""
    yield dict(sheet.defaults)
    if sheet.name in DRIVEN:
        return
    for item in sheet.inputs:
        if isinstance(item, Choice):
            yield from ({**sheet.defaults, item.name: key} for key in item.keys[1:])
    rng = Random(20_261_125)  # noqa: S311  test inputs, no secret
    yield from (random_values(sheet, rng) for _ in range(SETS))


def _numbers(result: Result) -> Iterator[tuple[str, object]]:
    """Give every figure of the answers and of the tables, with its place."""
    yield from result.outputs.items()
    for table in result.tables:
        for number, row in enumerate(table.rows):
            for column, cell in zip(table.columns, row, strict=True):
                plain = cell.value if isinstance(cell, Measure) else cell
                yield f"{table.name}, row {number}, {column.label}", plain


def _outcome(sheet: Sheet, values: dict[str, Value]) -> dict[str, object] | None:
    try:
        return dict(_numbers(evaluate(sheet, values)))
    except CalculatorError:
        return None


@pytest.mark.parametrize("nudge", NUDGES)
@pytest.mark.parametrize("name", names())
def test_the_last_digits_of_the_inputs_do_not_show_in_the_answers(name: str, nudge: str) -> None:
    sheet = load(name)
    for values in _cases(sheet):
        before = _outcome(sheet, values)
        if before is None:
            continue
        after = _outcome(sheet, _nudged(sheet, values, NUDGES[nudge]))
        assert after is not None, values
        assert before.keys() == after.keys()
        for place, one in before.items():
            other = after[place]
            if isinstance(one, float) and isinstance(other, float):
                assert isclose(one, other, rel_tol=SETTLED, abs_tol=1e-15), f"{place}, {values}"
            else:
                assert one == other, f"{place}, {values}"
