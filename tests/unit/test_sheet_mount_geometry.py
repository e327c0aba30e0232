"""The mount geometry sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import cos, isclose, radians, sin
from typing import TYPE_CHECKING

import pytest

from calculators.errors import CalculatorError
from calculators.sheet import Level, evaluate
from calculators.sheets import load
from calculators.view import Units

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("mount-geometry")

# An upright damper at four fifths of a level arm.
LEVEL: dict[str, Value] = {
    "wheel_x": 0.5, "wheel_y": 0.0, "lower_x": 0.4, "lower_y": 0.0, "upper_x": 0.4, "upper_y": 0.4,
}  # fmt: skip


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


def _levels(result: Result) -> set[Level]:
    return {finding.level for finding in result.findings}


def test_an_upright_damper_on_a_level_arm_has_the_lever_ratio() -> None:
    assert isclose(_output("damper_ratio", **LEVEL), 0.8, rel_tol=1e-12)  # derivation: 0.4/0.5


def test_a_leaning_damper_on_a_beam_axle_has_the_cosine() -> None:
    lean = radians(20.0)
    values: dict[str, Value] = {
        "layout": "beam", "lower_x": 0.5, "lower_y": 0.0,
        "upper_x": 0.5 - 0.4 * sin(lean), "upper_y": 0.4 * cos(lean),
    }  # fmt: skip
    assert isclose(_output("damper_ratio", **values), cos(lean), rel_tol=1e-12)  # derivation
    assert isclose(_output("lean", **values), -lean, rel_tol=1e-12)


def test_a_damper_that_closes_before_the_stop_is_not_to_be_built() -> None:
    result = _result(closed_length=0.36)
    assert (result.outputs["margin_closed"] or 0.0) < 0.0
    assert Level.DO_NOT_BUILD in _levels(result)


def test_a_spring_around_the_damper_has_its_ratio() -> None:
    values: dict[str, Value] = {"spring_place": "damper"}
    assert _output("spring_ratio", **values) == _output("damper_ratio", **values)


def test_a_strut_has_no_lower_bush() -> None:
    assert _result(layout="strut").outputs["lower_share"] is None


@pytest.mark.parametrize("layout", ["arm", "beam", "strut"])
def test_the_drawing_has_one_value_a_frame_for_all_that_moves(layout: str) -> None:
    sketch = SHEET.pictures[0].draw(_result(layout=layout), Units())
    assert sketch.motion is not None
    lengths = {
        len(values) for changes in sketch.motion.parts.values() for values in changes.values()
    }
    assert len(lengths) == 1


def test_an_upper_mount_below_the_lower_one_is_refused() -> None:
    with pytest.raises(CalculatorError, match="above"):
        _result(upper_y=-0.5)
