"""Charts as plain data: curves and points in, their rows and a Vega-Lite specification out.

The same specification is drawn at build time and in the page, so both show the
same picture. Colours are roles of the style sheet (``var(--sb-…)``), so a chart
follows light, dark and print by itself; curves also differ by dash.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, get_args

from calculators.quantities import all_from_si

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from calculators.sheet import Result

__all__ = [
    "Axis",
    "Chart",
    "Curve",
    "Drawing",
    "Point",
    "Side",
    "axis_title",
    "chart_data",
    "chart_spec",
    "grid",
]

_DASHES = ([1, 0], [7, 4], [2, 3], [10, 3, 2, 3])
_HEIGHT = 280


@dataclass(frozen=True, slots=True)
class Axis:
    """What is drawn along one side: words, quantity, first unit.

    `like` names an input or output whose unit, as the reader chose it, is taken.
    """

    label: str
    quantity: str
    unit: str
    like: str = ""


@dataclass(frozen=True, slots=True)
class Curve:
    """One line: SI values, and the colour role it is drawn in."""

    label: str
    role: str
    x: Sequence[float]
    y: Sequence[float]


Side = Literal["above right", "above left", "below right", "below left"]


@dataclass(frozen=True, slots=True)
class Point:
    """One marked place, for example where the reader's inputs stand.

    `side` says where its words stand: right or left of it, above or below.
    """

    label: str
    x: float
    y: float
    side: Side = "above right"


@dataclass(frozen=True, slots=True)
class Drawing:
    """What a chart shows for one result."""

    curves: tuple[Curve, ...]
    points: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A chart of a sheet: declared once, drawn for each result.

    `statement` says in words what the reader should see; it is the text
    alternative and the caption.
    """

    name: str
    title: str
    statement: str
    x: Axis
    y: Axis
    draw: Callable[[Result], Drawing]


def grid(start: float, stop: float, count: int) -> tuple[float, ...]:
    """Return evenly spaced values, both ends included."""
    return tuple(start + (stop - start) * index / (count - 1) for index in range(count))


def chart_data(chart: Chart, drawing: Drawing, *, x_unit: str, y_unit: str) -> dict[str, Any]:
    """Return the rows of a chart in the reader's units: `curves` and `points`."""

    def rows(
        xs: Iterable[float], ys: Iterable[float], labels: Iterable[str]
    ) -> list[dict[str, float | str]]:
        shown_x = all_from_si(xs, unit=x_unit, quantity=chart.x.quantity)
        shown_y = all_from_si(ys, unit=y_unit, quantity=chart.y.quantity)
        return [
            {"x": x, "y": y, "label": label}
            for x, y, label in zip(shown_x, shown_y, labels, strict=True)
        ]

    points = drawing.points
    places = rows([p.x for p in points], [p.y for p in points], [p.label for p in points])
    return {
        "curves": [
            row
            for curve in drawing.curves
            for row in rows(curve.x, curve.y, [curve.label] * len(curve.x))
        ],
        "points": [
            {**place, "side": point.side} for place, point in zip(places, points, strict=True)
        ],
    }


def axis_title(axis: Axis, unit: str) -> str:
    """Return what stands along an axis: its words, and the unit if it has one."""
    return f"{axis.label} ({unit})" if unit not in {"", "1"} else axis.label


def chart_spec(
    chart: Chart, drawing: Drawing, *, x_unit: str, y_unit: str, width: int
) -> dict[str, Any]:
    """Return the Vega-Lite specification of a chart, without its data."""
    labels = [curve.label for curve in drawing.curves]
    colours = [f"var(--sb-{curve.role})" for curve in drawing.curves]
    dashes = [_DASHES[index % len(_DASHES)] for index in range(len(labels))]
    legend = (
        {"orient": "top", "title": None, "labelLimit": width, "symbolSize": 400}
        if len(labels) > 1
        else None
    )
    if legend is not None and width < 480:  # noqa: PLR2004  a phone: one entry a line
        legend["columns"] = 1
    x = {
        "field": "x",
        "type": "quantitative",
        "title": axis_title(chart.x, x_unit),
        "axis": {"tickCount": max(4, width // 90)},
        "scale": {"zero": False, "nice": False},
    }
    y = {
        "field": "y",
        "type": "quantitative",
        "title": axis_title(chart.y, y_unit),
        "axis": {"tickCount": 6},
        "scale": {"zero": False},
    }
    line = {
        "data": {"name": "curves"},
        "mark": {
            "type": "line",
            "strokeWidth": 2.5,
            "interpolate": "linear",
            "clip": True,
            "order": False,  # points in the order given: a loop goes back over its x
        },
        "encoding": {
            "x": x,
            "y": y,
            "color": {
                "field": "label",
                "type": "nominal",
                "legend": legend,
                "scale": {"domain": labels, "range": colours},
            },
            "strokeDash": {
                "field": "label",
                "type": "nominal",
                "legend": legend,
                "scale": {"domain": labels, "range": dashes},
            },
        },
    }
    place = {
        "x": {"field": "x", "type": "quantitative"},
        "y": {"field": "y", "type": "quantitative"},
    }
    dot = {
        "data": {"name": "points"},
        "encoding": place,
        "mark": {
            "type": "point",
            "filled": True,
            "size": 90,
            "color": "var(--sb-ink)",
            "stroke": "var(--sb-paper)",
            "strokeWidth": 2,
            "opacity": 1,
        },
    }
    return {
        "width": width,
        "height": _HEIGHT,
        "autosize": {"type": "fit", "contains": "padding"},
        "background": None,
        "description": chart.statement,
        "layer": [line, dot, *(_words(side, place) for side in get_args(Side))],
        "config": _CONFIG,
    }


def _words(side: Side, place: dict[str, Any]) -> dict[str, Any]:
    """Return the layer with the labels of the points whose words stand on one side."""
    right = side.endswith("right")
    return {
        "data": {"name": "points"},
        "transform": [{"filter": {"field": "side", "equal": side}}],
        "encoding": {**place, "text": {"field": "label", "type": "nominal"}},
        "mark": {
            "type": "text",
            "align": "left" if right else "right",
            "dx": 9 if right else -9,
            "dy": -9 if side.startswith("above") else 13,
            "fontSize": 13,
            "color": "var(--sb-ink)",
        },
    }


_CONFIG = {
    "locale": {
        "number": {"decimal": ".", "thousands": "\u2009", "grouping": [3], "currency": ["", ""]}
    },
    "view": {"stroke": None},
    "axis": {
        "labelFontSize": 13,
        "titleFontSize": 13,
        "titleFontWeight": "normal",
        "labelColor": "var(--sb-ink)",
        "titleColor": "var(--sb-ink)",
        "gridColor": "var(--sb-line)",
        "domainColor": "var(--sb-ink)",
        "tickColor": "var(--sb-line)",
        "titlePadding": 8,
    },
    "legend": {"labelFontSize": 13, "labelColor": "var(--sb-ink)"},
}
