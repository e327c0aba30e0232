"""Every outside check holds, and a library still says what the row says it says."""

from __future__ import annotations

from importlib import import_module
from math import isfinite

import pytest

from calculators.quantities import QUANTITIES
from site_src.evidence import KINDS, Row, all_rows, compute

ROWS = all_rows()
COHERENT = {quantity.units[0].symbol for quantity in QUANTITIES.values()}
WEAK = {"common practice", "value from memory"}


def _identified(row: Row, number: int) -> object:
    return pytest.param(row, id=f"{row.topic}-{number}-{row.function}")


CASES = [_identified(row, number) for number, row in enumerate(ROWS)]
LIVE = [_identified(row, number) for number, row in enumerate(ROWS) if row.reference]


@pytest.mark.parametrize("row", CASES)
def test_our_value_agrees_with_the_outside_one(row: Row) -> None:
    assert abs(compute(row) - row.expected) <= row.allowed, row.source


@pytest.mark.parametrize("row", LIVE)
def test_the_reference_still_gives_the_value_of_the_row(row: Row) -> None:
    module, _, name = row.reference.partition(":")
    call = getattr(import_module(module), name)
    value = float(call(*row.reference_args, **row.reference_kwargs))
    assert abs(value - row.expected) <= row.allowed, row.reference


@pytest.mark.parametrize("row", CASES)
def test_a_row_is_complete(row: Row) -> None:
    assert row.kind in KINDS
    assert row.source.strip(), "a row names its source"
    assert row.unit in COHERENT, "the unit is coherent SI"
    assert isfinite(row.allowed), "a row says how far off is allowed"
    assert row.reference or row.kind != "library", "a library value can be called again"


def test_a_weak_value_never_stands_alone_for_a_formula() -> None:
    strong = {row.function for row in ROWS if row.kind not in WEAK}
    weak = {row.function for row in ROWS if row.kind in WEAK}
    assert weak <= strong
