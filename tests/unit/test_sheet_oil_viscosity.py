"""The oil viscosity sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from calculators.errors import CalculatorError
from calculators.sheet import evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value

SHEET = load("oil-viscosity")


def _output(name: str, **values: Value) -> float | None:
    return evaluate(SHEET, values).outputs[name]


def test_the_two_points_come_back() -> None:
    assert _output("viscosity", temperature=313.15) == pytest.approx(15e-6, rel=1e-9)
    assert _output("viscosity", temperature=373.15) == pytest.approx(3.8e-6, rel=1e-9)


def test_the_index_of_the_standards_example() -> None:
    # ASTM D2270-10, procedure A, example: 73.30 and 8.86 mm²/s give 92.43
    index = _output("index", viscosity_1=73.30e-6, viscosity_2=8.86e-6)
    assert index == pytest.approx(92.43, abs=0.005)


def test_a_class_and_an_index_give_the_index_back() -> None:
    index = _output("index", known="index", grade="32", stated_index=105.0)
    assert index == pytest.approx(105.0, abs=1e-6)


def test_the_temperature_found_has_the_viscosity_looked_for() -> None:
    found = _output("wanted_temperature", wanted=50e-6)
    assert found is not None
    assert _output("viscosity", temperature=found) == pytest.approx(50e-6, rel=1e-9)


def test_an_oil_too_thin_for_an_index_has_none() -> None:
    assert _output("index", viscosity_1=5e-6, viscosity_2=1.7e-6) is None


def test_an_oil_that_thickens_with_heat_is_refused() -> None:
    with pytest.raises(CalculatorError):
        evaluate(SHEET, {"viscosity_1": 3e-6, "viscosity_2": 9e-6})
