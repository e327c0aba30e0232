"""Random inputs of a sheet, drawn from its declaration: what every sheet must stand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calculators.field import Choice, Input, in_use

if TYPE_CHECKING:
    from random import Random

    from calculators.field import Rows, RowValues, Value
    from calculators.sheet import Sheet

__all__ = ["random_values"]

REACHES = (0.05, 0.3, 1.0)  # how far from the defaults one set goes, as a share of the way
LEFT_OUT = 0.25  # share of the optional inputs that stay empty
AT_A_BOUND = 0.05  # share of the numbers that stand on the end of their range
SHAKE = 0.1  # of a cell's value, as far as a table goes from its default
WIDE = 100.0  # maximum over minimum from which small numbers are drawn as often as large ones


def random_values(sheet: Sheet, rng: Random) -> dict[str, Value]:
    """Return one set of SI values and choices, each of them allowed by itself.

    Sets near the defaults mostly compute; of those far away, many are refused.
    Inputs that the drawn choices don't ask for are left out; optional ones may be None.
    """
    values: dict[str, Value] = {}
    choices: dict[str, str] = {}
    reach = rng.choice(REACHES)
    for item in sheet.inputs:
        if not in_use(item, choices):
            continue
        if isinstance(item, Choice):
            choices[item.name] = values[item.name] = rng.choice(item.keys)
        elif isinstance(item, Input):
            values[item.name] = _random_number(item, reach, rng)
        else:
            values[item.name] = _shaken_rows(item, reach, rng)
    return values


def _random_number(item: Input, reach: float, rng: Random) -> float | None:
    if item.optional and rng.random() < LEFT_OUT:
        return None
    if item.minimum > 0.0 and item.maximum > WIDE * item.minimum:
        drawn = item.minimum * math.pow(item.maximum / item.minimum, rng.random())
    else:
        drawn = rng.uniform(item.minimum, item.maximum)
    if rng.random() < AT_A_BOUND:
        drawn = rng.choice((item.minimum, item.maximum))
    start = drawn if item.default is None else item.default
    found = min(max(start + reach * (drawn - start), item.minimum), item.maximum)
    return float(round(found)) if item.quantity == "count" else found


def _shaken_rows(rows: Rows, reach: float, rng: Random) -> RowValues:
    """Return the default rows, each cell a little off: rows of chance would mean nothing."""
    return tuple(
        tuple(
            min(
                max(cell * (1.0 + SHAKE * reach * rng.uniform(-1.0, 1.0)), column.minimum),
                column.maximum,
            )
            for cell, column in zip(row, rows.columns, strict=True)
        )
        for row in rows.default
    )
