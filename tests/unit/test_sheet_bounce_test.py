"""The bounce test sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import exp, log, pi, sqrt
from typing import TYPE_CHECKING

import pytest

from calculators.errors import CalculatorError
from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("bounce-test")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


HALVED: dict[str, Value] = {
    "sides": "one", "peaks": ((0.0, 0.08), (1.0, 0.04), (2.0, 0.02)),
}  # fmt: skip


def test_peaks_that_halve_have_the_decrement_ln_2() -> None:
    assert _output("decrement", **HALVED) == pytest.approx(log(2.0), rel=1e-12)  # derivation
    # by hand: 0.693147 / √(4π² + 0.480453)
    assert _output("damping_ratio", **HALVED) == pytest.approx(0.109652, abs=5e-6)
    assert _output("damped_frequency", **HALVED) == pytest.approx(1.0, rel=1e-12)


def test_one_overshoot_and_two_peaks_of_both_sides_agree() -> None:
    one: dict[str, Value] = {
        "measured": "overshoot", "release": 0.06, "overshoot": 0.02, "half_time": 0.4,
    }  # fmt: skip
    two: dict[str, Value] = {"peaks": ((0.0, 0.06), (0.4, 0.02))}
    for name in ("damping_ratio", "ratio_uncertainty", "frequency", "frequency_uncertainty"):
        assert _output(name, **one) == pytest.approx(_output(name, **two), rel=1e-12)


def test_the_coefficient_of_a_made_up_decay_comes_back() -> None:
    mass, rate, damping = 400.0, 25_000.0, 1_500.0
    fade, omega = damping / (2.0 * mass), sqrt(rate / mass)
    swing = 2.0 * pi / sqrt(omega**2 - fade**2)
    peaks = tuple((i * swing / 2.0, 0.1 * exp(-fade * i * swing / 2.0)) for i in range(4))
    values: dict[str, Value] = {"peaks": peaks, "sprung_mass": mass, "motion_ratio": 1.0}
    assert _output("wheel_damping", **values) == pytest.approx(damping, rel=1e-9)
    assert _output("wheel_rate", **values) == pytest.approx(rate, rel=1e-9)


def test_heights_alone_give_what_evenly_timed_peaks_give() -> None:
    heights: dict[str, Value] = {"measured": "heights", "whole_time": 1.05}
    timed: dict[str, Value] = {
        "peaks": ((0.0, 0.060), (0.35, 0.024), (0.70, 0.010), (1.05, 0.004)),
    }  # fmt: skip
    assert _output("frequency", **heights) == pytest.approx(_output("frequency", **timed))


def test_unequal_directions_are_told_apart() -> None:
    peaks = ((0.0, 0.060), (0.35, 0.018), (0.70, 0.010), (1.05, 0.003))
    up, down = (_output(name, peaks=peaks) for name in ("rebound_ratio", "compression_ratio"))
    assert up > down
    turned = _result(peaks=peaks, start="up")
    assert turned.outputs["rebound_ratio"] == down
    assert any(finding.level is Level.LOOK_CLOSER for finding in turned.findings)


def test_a_growing_swing_is_refused() -> None:
    with pytest.raises(CalculatorError, match="shrink"):
        _result(peaks=((0.0, 0.01), (0.4, 0.02)))
