"""What a sheet may ask for: counts are whole numbers."""

from __future__ import annotations

import pytest

from calculators.errors import InputError
from calculators.field import Cell, Input, Rows, checked_number, checked_rows

HOLES = Input(
    name="holes", label="Bleed holes", symbol="N_b", quantity="count", unit="1", default=2.0,
    minimum=1.0, maximum=60.0, group="Piston", reason="At least one.", help="How many.",
)  # fmt: skip
STACK = Rows(
    name="stack", label="Stack",
    columns=(
        Cell(label="number", symbol="n", quantity="count", unit="1", minimum=1.0, maximum=9.0),
    ),
    default=((1.0,),), least=1, most=5, group="Piston", help="One shim a line.",
)  # fmt: skip


@pytest.mark.parametrize("value", [1.5, 2.000001, 59.9])
def test_a_part_of_a_hole_is_refused_in_words(value: float) -> None:
    with pytest.raises(InputError, match=r"Bleed holes is .*give a whole number") as caught:
        checked_number(HOLES, value)
    assert caught.value.inputs == ("holes",)


def test_a_whole_count_is_taken() -> None:
    assert checked_number(HOLES, 6.0) == 6.0


def test_a_part_of_a_count_in_a_table_is_refused_with_its_row() -> None:
    with pytest.raises(InputError, match=r"Stack, row 2, number is 2\.5") as caught:
        checked_rows(STACK, ((1.0,), (2.5,)))
    assert caught.value.inputs == ("stack",)
