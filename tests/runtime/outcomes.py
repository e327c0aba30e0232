"""What a sheet answers to sets of SI values, as plain data; runs in either Python."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from calculators.errors import CalculatorError
from calculators.sheet import Measure, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from calculators.field import Value
    from calculators.sheet import Sheet

__all__ = ["outcomes"]


def outcomes(name: str, cases: Sequence[Mapping[str, Value]]) -> list[dict[str, Any]]:
    """Return for each set of values every number of the answer, or the refusal."""
    sheet = load(name)
    return [_outcome(sheet, {key: _rows(value) for key, value in case.items()}) for case in cases]


def _rows(value: Any) -> Any:  # noqa: ANN401  a value of any kind
    """Return a table as the core takes it, after its way through JSON."""
    return tuple(map(tuple, value)) if isinstance(value, list) else value


def _plain(cell: float | str | Measure | None) -> float | str | None:
    return cell.value if isinstance(cell, Measure) else cell


def _outcome(sheet: Sheet, values: Mapping[str, Value]) -> dict[str, Any]:
    try:
        result = evaluate(sheet, values)
    except CalculatorError as error:
        return {"refusal": f"{type(error).__name__}: {error}"}
    drawings = {chart.name: chart.draw(result) for chart in sheet.charts}
    return {
        "outputs": dict(result.outputs),
        "steps": [[step.formula, step.answer.value] for step in result.steps],
        "findings": [[finding.level.value, finding.text] for finding in result.findings],
        "tables": {
            table.name: [list(map(_plain, row)) for row in table.rows] for table in result.tables
        },
        "curves": {
            f"{chart}: {curve.label}, {axis}": list(values)
            for chart, drawing in drawings.items()
            for curve in drawing.curves
            for axis, values in (("x", curve.x), ("y", curve.y))
        },
        "points": {
            f"{chart}: {point.label}": [point.x, point.y]
            for chart, drawing in drawings.items()
            for point in drawing.points
        },
    }
