"""What a calculator hands on to others beyond its outputs: masses, force tables, hole sizes.

Each entry of `HANDED` names such a value, says which kind of quantity it is, and reads it
out of a result. `links` says who takes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import TYPE_CHECKING, TypeAlias

from calculators.formula import parse_formula
from calculators.sheet import Measure

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.sheet import Result, RowValues, TableCell, Value

__all__ = ["CHOICE", "HANDED", "ROWS", "Handed"]

CHOICE, ROWS = "choice", "rows"
_TABLE_SPEED = 0.52  # m/s, a customary bench speed (common practice) at which a bore is chosen
_BARE = {"monotube": "monotube", "twin-tube": "twin-tube"}

_Read: TypeAlias = "Callable[[Result], Value]"


@dataclass(frozen=True, slots=True)
class Handed:
    """One value that is handed on.

    Attributes
    ----------
    kind : str
        Name of its quantity, or "choice" for a key, or "rows" for a table.
    read : callable
        From a result to the SI value; None where it does not arise.
    """

    kind: str
    read: _Read


def _number(cell: TableCell) -> float | None:
    """Return the number in a cell of a table; a count may stand there as words."""
    if isinstance(cell, Measure):
        return cell.value
    if isinstance(cell, str):
        return float(cell) if cell.isdigit() else None
    return cell


def _rows_of(result: Result, table: str) -> tuple[tuple[TableCell, ...], ...]:
    return next((item.rows for item in result.tables if item.name == table), ())


def _columns(table: str, *places: int) -> _Read:
    """Return a reader of some columns of a table; rows with an empty cell are left out."""

    def read(result: Result) -> RowValues | None:
        rows = []
        for row in _rows_of(result, table):
            cells = [_number(row[place]) for place in places]
            if all(cell is not None and cell > 0.0 for cell in cells):
                rows.append(tuple(cell for cell in cells if cell is not None))
        return tuple(rows) or None

    return read


def _at(table: str, first: float | str, place: int) -> _Read:
    """Return a reader of one cell of a table, in the row that starts with this."""

    def read(result: Result) -> float | None:
        rows = _rows_of(result, table)
        return next((_number(row[place]) for row in rows if row[0] == first), None)

    return read


def _symbol(symbol: str) -> _Read:
    """Return a reader of a value by its symbol: a step of the working, or an input."""

    def read(result: Result) -> float | None:
        for step in result.steps:
            if parse_formula(step.formula).result == symbol:
                return step.answer.value
        for item in result.sheet.inputs:
            if getattr(item, "symbol", "") == symbol:
                return result.given.numbers.get(item.name)
        return None

    return read


def _just(value: float | str) -> _Read:
    return lambda _result: value


def _translated(choice: str, words: Mapping[str, str]) -> _Read:
    """Return a reader of a choice, in the words of another calculator."""
    return lambda result: words.get(result.given.choices.get(choice, ""))


def _ride_compression(result: Result) -> float | None:
    length = result.outputs["ride_length"]
    return None if length is None else max(0.0, result.given["extended_length"] - length)


def _lean(result: Result) -> float | None:
    lean = result.outputs["lean"]
    return None if lean is None else abs(lean)


def _gas_volume(*constructions: str) -> _Read:
    def read(result: Result) -> float | None:
        there = result.given.choice("construction") in constructions
        return result.given["gas_volume"] if there else None

    return read


def _gas_in(result: Result) -> float:
    """Return the gas force that stands in the force table."""
    gas = result.outputs["gas_force"]
    return gas if gas is not None and result.given.choice("gas_shown") == "in" else 0.0


def _damping_forces(result: Result) -> RowValues | None:
    """Return the force-velocity table without the gas force; speeds that cavitate are left out."""
    gas, rows = _gas_in(result), []
    for row in _rows_of(result, "forces"):
        speed, inward, outward = (_number(cell) for cell in row[:3])
        if speed is None or inward is None or outward is None:
            continue
        rows.append((speed, max(0.0, inward - gas), max(0.0, outward + gas)))
    return tuple(rows) or None


def _mean_force(result: Result) -> float | None:
    """Return the mean damping force of both directions at the speed of comparison."""
    inward, outward = result.outputs["force_compression"], result.outputs["force_rebound"]
    return None if inward is None or outward is None else (inward + outward) / 2.0


def _sine_stroke(result: Result) -> float | None:
    """Return the stroke, end to end, of a sine with the rod's rms speed at the road's frequency."""
    frequency, speed = result.outputs["frequency"], result.outputs["rod_velocity"]
    return None if not frequency or speed is None else sqrt(2.0) * speed / (pi * frequency)


def _largest(place: int) -> _Read:
    def read(result: Result) -> float | None:
        forces = (_number(row[place]) for row in _rows_of(result, "forces"))
        return max((force for force in forces if force is not None and force > 0.0), default=None)

    return read


_SIZES = {
    "compression": "piston, compression",
    "rebound": "piston, rebound",
    "foot": "foot valve, compression",
    "intake": "intake",
}
_SIZE_COLUMNS = {
    "bleed_count": (1, "count"),
    "bleed_diameter": (2, "length"),
    "port_count": (3, "count"),
    "port_diameter": (4, "length"),
    "crack_pressure": (5, "pressure_difference"),
    "compliance": (6, "compliance"),
}

HANDED: Mapping[str, Mapping[str, Handed]] = {
    "critical-damping": {
        "mass_empty": Handed("mass", _symbol("m_s")),
        "mass_loaded": Handed("mass", _symbol("m_sl")),
        "forces": Handed(ROWS, _columns("forces", 0, 1, 2)),
        "table_speed": Handed("velocity", _just(_TABLE_SPEED)),
        "force_compression": Handed("force", _at("forces", _TABLE_SPEED, 1)),
        "force_rebound": Handed("force", _at("forces", _TABLE_SPEED, 2)),
    },
    "force-velocity": {
        "forces": Handed(ROWS, _damping_forces),
        "force_by": Handed(CHOICE, _just("table")),
        "fade_by": Handed(CHOICE, _just("valves")),
        "foot": Handed(
            CHOICE,
            _translated(
                "construction", {"monotube": "open", "reservoir": "foot", "twin-tube": "foot"}
            ),
        ),
        "mean_force": Handed("force", _mean_force),
        "largest_compression": Handed("force", _largest(1)),
        "largest_rebound": Handed("force", _largest(2)),
        "gas_volume_twin_tube": Handed("volume", _gas_volume("twin-tube")),
        "gas_volume_monotube": Handed("volume", _gas_volume("monotube", "reservoir")),
        "body": Handed(CHOICE, _translated("construction", _BARE | {"reservoir": "monotube"})),
    },
    "mount-geometry": {
        # the ratio from there has the lean in it: what follows it leans no further
        "no_angle": Handed("angle", _just(0.0)),
        "ride_compression": Handed("length", _ride_compression),
        "lean_size": Handed("angle", _lean),
    },
    "ride-run": {
        "stroke": Handed("length", _sine_stroke),
    },
    "rod-displacement": {
        "volume_given": Handed(CHOICE, _just("volume")),
        "construction_valves": Handed(
            CHOICE,
            _translated("construction", _BARE | {"piggyback": "reservoir", "hose": "reservoir"}),
        ),
        "foot": Handed(
            CHOICE,
            _translated(
                "construction",
                {"monotube": "open", "twin-tube": "foot", "piggyback": "foot", "hose": "foot"},
            ),
        ),
    },
    "valve-sizing": {
        "forces": Handed(ROWS, _columns("forces", 0, 2, 5)),
        **{
            f"{place}_{part}": Handed(kind, _at("sizes", row, column))
            for place, row in _SIZES.items()
            for part, (column, kind) in _SIZE_COLUMNS.items()
            if not (place == "intake" and part.startswith("bleed"))
        },
    },
}
