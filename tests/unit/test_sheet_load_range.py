"""The load range sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING

import pytest

from calculators.errors import CalculatorError
from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("load-range")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


def test_four_times_the_mass_halves_frequency_and_damping_ratio_on_a_coil_spring() -> None:
    values: dict[str, Value] = {"mass_empty": 200.0, "mass_loaded": 800.0}
    for name in ("frequency", "ratio"):  # derivation: both go with m^(−1/2)
        loaded, empty = _output(f"{name}_loaded", **values), _output(f"{name}_empty", **values)
        assert loaded == pytest.approx(0.5 * empty, rel=1e-12)


def test_an_air_spring_hardly_changes_its_frequency() -> None:
    values: dict[str, Value] = {"spring": "air"}
    loaded, empty = (_output(f"frequency_{load}", **values) for load in ("loaded", "empty"))
    assert 0.9 < loaded / empty < 1.0


def test_friction_damps_the_more_the_smaller_the_travel() -> None:
    small, large = (_output("ratio_loaded", spring="leaf", amplitude=x) for x in (0.015, 0.03))
    assert small > large > _output("ratio_loaded")


def test_a_coupling_that_gives_nothing_leaves_the_swing_about_it() -> None:
    slow, held = (_output(name, coupling_rate=1e9) for name in ("slow", "held"))
    assert slow == pytest.approx(held, rel=1e-3)


def test_all_mass_above_the_axle_swings_like_the_corner() -> None:
    values: dict[str, Value] = {
        "centre_distance": 3.0, "axle_distance": 3.0, "gyration": 0.05, "wheel_rate": 40_000.0,
        "mass_loaded": 1_000.0, "coupling_rate": 1e6,
    }  # fmt: skip
    # derivation: √(40 000/1 000)/2π; the small radius of gyration turns the rest into pitch
    assert _output("held", **values) == pytest.approx(sqrt(40.0) / (2.0 * pi), rel=1e-3)


def test_axles_half_a_wave_apart_take_only_pitch() -> None:
    values: dict[str, Value] = {"axles": "two", "axle_spacing": 0.5, "wavelength": 1.0}
    assert _output("bounce_share", **values) == pytest.approx(0.0, abs=1e-12)  # derivation
    assert _output("pitch_share", **values) == pytest.approx(1.0)


def test_a_centre_of_mass_behind_the_axle_is_not_to_be_built() -> None:
    findings = _result(centre_distance=3.2).findings
    assert Level.DO_NOT_BUILD in {finding.level for finding in findings}


def test_leaves_that_stick_are_refused_in_words() -> None:
    with pytest.raises(CalculatorError, match="stick"):
        _result(spring="leaf", amplitude=0.001)
