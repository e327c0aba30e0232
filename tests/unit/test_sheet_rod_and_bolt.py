"""The rod and bolt sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from calculators.errors import CalculatorError
from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("rod-and-bolt")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


def test_twice_the_length_of_a_slender_rod_bears_a_quarter() -> None:
    short, long = (_output("critical_force", free_length=length) for length in (1.0, 2.0))
    assert long == pytest.approx(short / 4.0, rel=1e-12)  # derivation: Euler


def test_an_m12_bolt_has_its_proof_load() -> None:
    # ISO 898-1: 84.3 mm² and 830 MPa, 70.0 kN
    assert _output("proof_load", size="M12", grade="10.9") == pytest.approx(70.0e3, abs=100.0)


def test_the_preload_scatters_with_the_nut_factor() -> None:
    # by hand: 80/(0.2 · 0.012) = 33 333 N
    assert _output("preload", torque=80.0) == pytest.approx(33_333.3, abs=0.1)
    assert _output("preload_least", scatter=0.25) == pytest.approx(_output("preload") / 1.25)
    assert _output("preload_most", scatter=0.25) == pytest.approx(_output("preload") / 0.75)


def test_the_first_finding_sends_the_reader_to_the_manual() -> None:
    first = _result().findings[0]
    assert first.level is Level.LOOK_CLOSER
    assert "manual" in first.text


def test_a_rod_that_bows_out_is_not_to_be_built() -> None:
    result = _result(free_length=2.5, rod_diameter=0.012, neck_diameter=0.009)
    assert any(
        finding.level is Level.DO_NOT_BUILD and "bows out" in finding.text
        for finding in result.findings
    )


def test_a_neck_thicker_than_the_rod_is_refused() -> None:
    with pytest.raises(CalculatorError, match="thicker"):
        _result(neck_diameter=0.03)
