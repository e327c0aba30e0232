"""The frequency view as a sheet: by hand, at its fixed points, and against the drive."""

from __future__ import annotations

from math import isclose, pi, sqrt
from typing import TYPE_CHECKING

from calculators.physics import frequency
from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.sheet import Result

SHEET = load("frequency-view")
DEFAULT = evaluate(SHEET)


def _value(result: Result, name: str) -> float:
    value = result.outputs[name]
    assert value is not None
    return value


def test_the_fixed_points_by_hand() -> None:
    # √(400 000 / 825) / 2π and √(400 000 / 65) / 2π
    assert isclose(_value(DEFAULT, "fixed_travel"), 3.50447651, rel_tol=1e-8)
    assert isclose(_value(DEFAULT, "fixed_acceleration"), 12.48514093, rel_tol=1e-8)


def test_at_its_fixed_point_the_travel_is_that_of_the_masses_alone() -> None:
    # 1 + m_u / m_s = 1 + 65 / 760 times the road; the tyre without damping
    at = {"wavelength": 2.0, "speed": 2.0 * sqrt(400_000.0 / 825.0) / (2.0 * pi)}
    for damping in (1_000.0, 4_000.0, 16_000.0):
        result = evaluate(SHEET, {**at, "damping": damping, "tyre_damping": 0.0})
        assert isclose(_value(result, "travel_amplitude"), 0.012 * (1.0 + 65.0 / 760.0))


def test_the_working_is_the_complex_response() -> None:
    for bush in (None, 1_500_000.0):
        result = evaluate(SHEET, {"bush_rate": bush})
        car = frequency.LinearCar(
            sprung_mass=760.0, unsprung_mass=65.0, wheel_rate=67_500.0, tyre_rate=400_000.0,
            damping=4_000.0, motion_ratio=0.75, tyre_damping=100.0,
            **({} if bush is None else {"bush_rate": bush}),
        )  # fmt: skip
        gain = frequency.transfer(car=car, frequency=40.0 / 3.6 / 0.75)
        load_step = next(step for step in result.steps if step.formula.startswith("F_t"))
        assert isclose(load_step.answer.value, 0.012 * abs(gain.tyre_force), rel_tol=1e-12)


def test_a_low_corrugation_agrees_with_the_drive() -> None:
    straight = ((1.0, 4_000.0, 4_000.0),)
    drive = evaluate(load("ride-run"), {"amplitude": 0.003, "damper": straight})
    seen = evaluate(SHEET, {"amplitude": 0.003})
    for ours, theirs in (
        ("load_amplitude", _value(drive, "load_coefficient") * _value(drive, "static_load")),
        ("rod_amplitude", _value(drive, "rod_velocity")),
        ("acceleration_amplitude", _value(drive, "body_acceleration")),
    ):
        assert isclose(_value(seen, ours), sqrt(2.0) * theirs, rel_tol=5e-3), ours


def test_a_load_that_would_have_to_pull_is_told() -> None:
    assert DEFAULT.findings[0].level is Level.LOOK_CLOSER
    assert "the tyre would have to pull" in DEFAULT.findings[0].text
    assert evaluate(SHEET, {"amplitude": 0.003}).findings[0].level is Level.FINE
