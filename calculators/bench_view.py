"""Tables and charts of the bench in the reader's units, as plain data.

They have the form of those of a card (`view`, `visual`), so the page paints them alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from calculators.chart import Axis, Chart, chart_data, chart_spec
from calculators.formula import symbol_node
from calculators.quantities import format_number, from_si

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.chart import Drawing
    from calculators.view import Units

__all__ = ["Band", "Figure", "figure_view", "in_unit", "percent", "signed", "table_view"]

_MOST_ROWS = 36  # of a curve in the table of a chart
_SPEED_DIGITS = 3  # of a peak speed, which is never run more exactly
_NONE = "—"

Band = tuple[float, float, float]  # where along x, lower and upper limit, SI
Cell = float | str | None
Column = tuple[str, str, str]  # words and perhaps a $symbol, quantity, unit; no quantity for words


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A chart for one answer, with what is allowed as a band behind the curves.

    Attributes
    ----------
    name, title, statement : str
        As in a sheet's chart.
    x, y : Axis
        What is drawn along each side.
    drawing : Drawing
        Curves and points.
    band : sequence of tuple of float
        Where, from, to.
    whole : bool
        Whether only whole numbers stand along x.
    """

    name: str
    title: str
    statement: str
    x: Axis
    y: Axis
    drawing: Drawing
    band: Sequence[Band] = ()
    whole: bool = False


def in_unit(value: float, axis: Axis | Column, units: Units, *, digits: int = 4) -> str:
    """Return a value for reading in the reader's unit, which is not written."""
    quantity, unit = (axis.quantity, axis.unit) if isinstance(axis, Axis) else axis[1:]
    return format_number(
        from_si(value, unit=units.of(quantity, unit), quantity=quantity), digits=digits
    )


def signed(value: float, *, digits: int = 3) -> str:
    """Return a number with its sign, also if it is above zero."""
    text = format_number(value, digits=digits)
    return text if value < 0.0 else f"+{text}"


def percent(share: float | None) -> str:
    """Return a deviation in percent, to a tenth."""
    if share is None:
        return _NONE
    tenths = round(100.0 * share, 1)
    return f"{signed(tenths) if tenths else '0'}\u00a0%"


def _shown(unit: str) -> str:
    return "" if unit == "1" else unit


def table_view(
    name: str, title: str, columns: Sequence[Column], rows: Sequence[Sequence[Cell]], units: Units
) -> dict[str, Any]:
    """Return a table: SI values in the columns' units, words as they are."""

    def cell(value: Cell, column: Column) -> str:
        if value is None:
            return _NONE
        if isinstance(value, str):
            return value
        return in_unit(value, column, units, digits=_SPEED_DIGITS if column[1] == "velocity" else 4)

    def heading(column: Column) -> dict[str, Any]:
        words, quantity, unit = column
        label, _, symbol = words.partition(" $")
        return {
            "label": label,
            "symbol": symbol_node(symbol) if symbol else None,
            "unit": _shown(units.of(quantity, unit)) if quantity else "",
        }

    return {
        "name": name,
        "title": title,
        "columns": [heading(column) for column in columns],
        "rows": [
            [cell(value, column) for value, column in zip(row, columns, strict=True)]
            for row in rows
        ],
    }


def figure_view(figure: Figure, units: Units, *, width: int) -> dict[str, Any]:
    """Return a chart: words, key of its axes, its data, specification, and the data as a table."""
    drawing, x, y = figure.drawing, figure.x, figure.y
    chart = Chart(
        name=figure.name, title=figure.title, statement=figure.statement, x=x, y=y,
        draw=lambda _: drawing,
    )  # fmt: skip
    x_unit, y_unit = units.of(x.quantity, x.unit), units.of(y.quantity, y.unit)
    spec = chart_spec(chart, drawing, x_unit=x_unit, y_unit=y_unit, width=width)
    data = chart_data(chart, drawing, x_unit=x_unit, y_unit=y_unit)
    if figure.whole:
        spec["layer"][0]["encoding"]["x"]["axis"]["tickMinStep"] = 1
    if figure.band:
        data["band"] = [
            {
                "x": from_si(at, unit=x_unit, quantity=x.quantity),
                "low": from_si(low, unit=y_unit, quantity=y.quantity),
                "high": from_si(high, unit=y_unit, quantity=y.quantity),
            }
            for at, low, high in figure.band
        ]
        spec["layer"].insert(0, _band_layer())
    curves = "|".join(curve.label for curve in drawing.curves)
    return {
        "name": figure.name,
        "title": figure.title,
        "statement": figure.statement,
        "key": f"{x_unit}|{y_unit}|{width}|{len(figure.band)}|{curves}",
        "data": data,
        "spec": spec,
        "table": _data_table(figure, units),
    }


def _band_layer() -> dict[str, Any]:
    return {
        "data": {"name": "band"},
        "mark": {
            "type": "area",
            "color": "var(--sb-accent-soft)",
            "opacity": 1,
            "line": False,
            "stroke": "var(--sb-line)",
            "strokeWidth": 1,
        },
        "encoding": {
            "x": {"field": "x", "type": "quantitative"},
            "y": {"field": "low", "type": "quantitative"},
            "y2": {"field": "high"},
        },
    }


def _data_table(figure: Figure, units: Units) -> dict[str, Any]:
    """Return the curves and the band as a table, long curves thinned out."""
    x, y = figure.x, figure.y
    rows: list[list[Cell]] = []
    thinned = False
    for curve in figure.drawing.curves:
        every = -(-len(curve.x) // _MOST_ROWS)
        thinned |= every > 1
        rows += [[curve.label, *pair] for pair in list(zip(curve.x, curve.y, strict=True))[::every]]
    for words, place in (("lower limit", 1), ("upper limit", 2)):
        rows += [[words, one[0], one[place]] for one in figure.band]
    title = f"Data of “{figure.title}”" + (", every few points" if thinned else "")
    columns = [
        ("Curve", "", ""), (x.label, x.quantity, x.unit), (y.label, y.quantity, y.unit)
    ]  # fmt: skip
    return table_view(f"{figure.name}-data", title, columns, rows, units)
