"""Charts and drawings of a result in the reader's units, as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from calculators.chart import axis_title, chart_data, chart_spec
from calculators.sheet import Input, Output

if TYPE_CHECKING:
    from calculators.chart import Axis, Chart
    from calculators.picture import Picture
    from calculators.sheet import Result
    from calculators.view import Units

__all__ = ["present_charts", "present_pictures"]


def _axis_unit(axis: Axis, result: Result, units: Units) -> str:
    if axis.like:
        fields = {item.name: item for item in (*result.sheet.inputs, *result.sheet.outputs)}
        like = fields[axis.like]
        if isinstance(like, Input | Output):
            return units.of(like.quantity, like.unit, like.name)
    return units.of(axis.quantity, axis.unit)


def present_charts(result: Result, units: Units, *, width: int) -> list[dict[str, Any]]:
    """Return the charts of a result: name, key of the axes, their titles, data, specification."""
    return [_present_chart(chart, result, units, width) for chart in result.sheet.charts]


def _present_chart(chart: Chart, result: Result, units: Units, width: int) -> dict[str, Any]:
    drawing = chart.draw(result)
    x_unit, y_unit = _axis_unit(chart.x, result, units), _axis_unit(chart.y, result, units)
    curves = "|".join(curve.label for curve in drawing.curves)
    return {
        "name": chart.name,
        "key": f"{x_unit}|{y_unit}|{width}|{curves}",
        "columns": [axis_title(chart.x, x_unit), axis_title(chart.y, y_unit)],
        "data": chart_data(chart, drawing, x_unit=x_unit, y_unit=y_unit),
        "spec": chart_spec(chart, drawing, x_unit=x_unit, y_unit=y_unit, width=width),
    }


def present_pictures(result: Result, units: Units) -> list[dict[str, Any]]:
    """Return the drawings of a result: name, size, elements as trees, motion."""
    return [_present_picture(picture, result, units) for picture in result.sheet.pictures]


def _present_picture(picture: Picture, result: Result, units: Units) -> dict[str, Any]:
    sketch = picture.draw(result, units)
    motion = sketch.motion
    return {
        "name": picture.name,
        "width": sketch.width,
        "height": sketch.height,
        "elements": list(sketch.elements),
        "motion": None
        if motion is None
        else {
            "duration": motion.duration,
            "slow": motion.slow,
            "parts": {
                part: {name: list(values) for name, values in changes.items()}
                for part, changes in motion.parts.items()
            },
        },
    }
