"""The lag sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import isclose, pi, radians
from typing import TYPE_CHECKING

import pytest

from calculators.errors import InputError
from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("lag")

RIGID: dict[str, Value] = {"lower_bush": None, "bracket": None, "oil_column": None}


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


def test_at_the_corner_frequency_half_of_the_damping_is_left() -> None:
    values: dict[str, Value] = {
        **RIGID, "upper_bush": 1e6, "damping": 1_000.0, "motion": "bench",
        "frequency_given": 1e6 / (2.0 * pi * 1_000.0),
    }  # fmt: skip
    assert isclose(_output("phase", **values), radians(45.0), rel_tol=1e-12)  # derivation: ωc/K = 1
    assert isclose(_output("damping_share", **values), 0.5, rel_tol=1e-12)


def test_two_equal_bushes_are_half_as_stiff_as_one() -> None:
    values: dict[str, Value] = {**RIGID, "upper_bush": 4e6, "lower_bush": 4e6}
    assert isclose(_output("stiffness", **values), 2e6, rel_tol=1e-12)  # derivation


def test_the_oil_column_is_as_stiff_as_by_hand() -> None:
    values: dict[str, Value] = {**RIGID, "upper_bush": None, "oil_column": 0.1}
    # by hand: 1.4e9 · π · 0.046² / 4 / 0.1
    assert _output("stiffness", **values) == pytest.approx(2.32666e7, rel=1e-5)


def test_speed_and_wavelength_give_the_frequency() -> None:
    assert isclose(_output("frequency", speed=15.0, wavelength=0.75), 20.0)  # 15 / 0.75


def test_the_worked_number_of_the_page_holds() -> None:
    values: dict[str, Value] = {
        **RIGID, "upper_bush": 1e6, "damping": 5_000.0, "motion": "bench",
        "frequency_given": 10.0, "amplitude": 0.005,
    }  # fmt: skip
    assert isclose(_output("time_constant", **values), 0.005)
    # mean speed 4 · 10 Hz · 5 mm = 0.2 m/s; 0.2 · 0.005 · ln 20 = 2.996 mm
    assert round(_output("lost_stroke", **values) * 1e3, 3) == 2.996


def test_lost_stroke_over_travel_does_not_depend_on_the_amplitude() -> None:
    small, large = (_output("lost_stroke_share", amplitude=size) for size in (0.002, 0.02))
    assert isclose(small, large, rel_tol=1e-12)


def test_a_stronger_damper_beyond_the_corner_takes_out_less() -> None:
    soft: dict[str, Value] = {**RIGID, "upper_bush": 5e5}
    assert _output("effective_damping", damping=20_000.0, **soft) < _output(
        "effective_damping", damping=7_600.0, **soft
    )
    levels = [finding.level for finding in _result(damping=20_000.0, **soft).findings]
    assert Level.DO_NOT_BUILD in levels


def test_the_softest_part_is_named() -> None:
    assert any("brackets" in finding.text for finding in _result(bracket=1e6).findings)


def test_a_damper_in_which_nothing_gives_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        _result(upper_bush=None, **RIGID)
    assert "upper_bush" in caught.value.inputs
