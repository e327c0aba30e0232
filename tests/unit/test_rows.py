"""Tables that are typed or pasted: how cells are told apart, and where a fault is."""

from __future__ import annotations

import pytest

from calculators.errors import InputErrors
from calculators.field import Cell, Rows
from calculators.rows import read_rows, write_rows

UNITS = ("m", "m")
PROFILE = Rows(
    name="profile", label="Profile",
    columns=(
        Cell(label="Distance", symbol="x", quantity="length", unit="m",
             minimum=0.0, maximum=100.0, reason="Along the road."),
        Cell(label="Height", symbol="z", quantity="length", unit="m",
             minimum=-1.0, maximum=1.0, reason="Over the start."),
    ),
    default=((0.0, 0.0), (0.5, 0.01)),
    least=2, most=5, group="Road", help="Two columns.",
)  # fmt: skip
WANTED = ((0.0, 0.0), (0.5, 0.01))


def _fault(text: str) -> str:
    with pytest.raises(InputErrors) as caught:
        read_rows(PROFILE, text, UNITS)
    return str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "0;0\n0.5;0.01",
        "0\t0\n0.5\t0.01",
        "0 | 0\n0.5 | 0.01",
        "0, 0\n0.5, 0.01",
        "0,0\n0.5,0.01",
        "0;0\n0,5;0,01",
        "0  0\n0.5  0.01",
        "\n0;0\n\n0.5;0.01\n",
        "distance;height\n0;0\n0.5;0.01",
        "0;0\n50 cm;10 mm",
    ],
)
def test_cells_are_told_apart_however_they_are_parted(text: str) -> None:
    assert read_rows(PROFILE, text, UNITS) == WANTED


@pytest.mark.parametrize("text", ["0;0\n0,5,0,01", "0;0\n0.5", "0;0\n1;2;3"])
def test_a_row_with_too_many_or_too_few_cells_is_refused_by_its_number(text: str) -> None:
    assert "row 2" in _fault(text)


def test_a_fault_is_told_by_the_line_it_stands_in_and_its_column() -> None:
    assert "row 4, Height" in _fault("distance;height\n0;0\n\n0.5;high")


def test_a_heading_counts_as_no_row() -> None:
    assert "has 1 rows" in _fault("distance;height\n0;0")


def test_what_is_written_is_read_back() -> None:
    assert read_rows(PROFILE, write_rows(PROFILE, WANTED, UNITS), UNITS) == WANTED
