"""The ride as a sheet: contact with the ground, stops, energy and the moving drawing."""

from __future__ import annotations

import json
from math import inf, isclose
from typing import TYPE_CHECKING

import pytest

from calculators.errors import ConflictError
from calculators.sheet import Level, evaluate
from calculators.sheets import load
from calculators.sheets._ride_form import DAMPER
from calculators.sheets._ride_regimes import regimes_of
from calculators.view import Units, present
from calculators.visual import present_charts, present_pictures

if TYPE_CHECKING:
    from calculators.sheet import Result, Value

SHEET = load("ride-run")
DEFAULT = evaluate(SHEET)
LARGEST_MOTION = 150_000  # bytes of JSON that a phone can take


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _value(result: Result, name: str) -> float:
    value = result.outputs[name]
    assert value is not None
    return value


def _said(result: Result) -> str:
    return " ".join(finding["text"] for finding in present(result, Units())["findings"])


def _let(result: Result, symbol: str) -> float:
    return next(step.values[symbol].value for step in result.steps if symbol in step.values)


def test_the_corrugation_of_the_demo_by_hand() -> None:
    # 40 km/h = 11.1111 m/s, / 0.75 m; (760 + 65) kg · 9.80665 m/s²
    assert isclose(_value(DEFAULT, "frequency"), 14.8148148, rel_tol=1e-7)
    assert isclose(_value(DEFAULT, "static_load"), 8090.48625, rel_tol=1e-9)


def test_high_corrugations_throw_the_wheel_and_low_ones_do_not() -> None:
    low = _result(amplitude=0.003)
    assert _value(DEFAULT, "airborne_share") > 0.05
    assert DEFAULT.findings[0].level is Level.DO_NOT_BUILD
    assert _value(low, "airborne_share") == 0.0
    assert low.findings[0].level is Level.FINE
    assert "This is what the damper is for" in _said(low)


def test_without_a_damper_the_wheel_skips_more() -> None:
    weak = tuple((v, 0.1 * low, 0.1 * high) for v, low, high in DAMPER.default)
    bare, damped = _result(amplitude=0.004, damper=weak), _result(amplitude=0.004)
    assert _value(bare, "load_coefficient") > 1.5 * _value(damped, "load_coefficient")


def test_the_energy_is_accounted_for_to_half_a_percent() -> None:
    for road in ("corrugation", "class", "obstacle", "measured"):
        result = _result(road=road)
        work = next(step for step in result.steps if step.formula.startswith("W_r"))
        assert abs(_let(result, "W_e")) < 5e-3 * work.answer.value, road


def test_a_deep_hole_at_speed_uses_up_the_travel_and_the_moment_is_told() -> None:
    deep = _result(road="obstacle", height=-0.25, length=3.0, speed=60.0 / 3.6)
    assert _value(deep, "stop_contacts") >= 2.0
    assert "Both stops are hit, the second of them first at" in _said(deep)
    assert "s after the start" in _said(deep)


def test_without_stops_none_is_touched() -> None:
    free = _result(road="obstacle", height=-0.2, length=3.0, bump_travel=None, droop_travel=None)
    assert _value(free, "stop_contacts") == 0.0
    assert "stop" not in _said(free)


def test_the_same_number_makes_the_same_road_and_another_another() -> None:
    one, same, other = (
        _value(_result(road="class", seed=seed), "load_coefficient") for seed in (1.0, 1.0, 2.0)
    )
    assert one == same != other


def test_the_histogram_counts_all_of_the_time() -> None:
    charts = {chart["name"]: chart for chart in present_charts(DEFAULT, Units(), width=640)}
    rows = charts["speeds"]["data"]["curves"]
    assert isclose(sum(row["y"] for row in rows[1::4]), 100.0, rel_tol=1e-9)


def test_the_regimes_share_all_of_the_time_and_heat() -> None:
    table = next(table for table in DEFAULT.tables if table.name == "regimes")
    for column in (4, 5):
        shares = [row[column] for row in table.rows]
        assert isclose(sum(share for share in shares if isinstance(share, float)), 1.0)


def test_a_table_bends_where_its_local_coefficient_changes() -> None:
    # by hand: 5 067 N·s/m up to 0.13 m/s, 3 669 up to 0.26, then 2 023 to 2 031
    names = [(one.name, one.start, one.end) for one in regimes_of(DAMPER.default, 1)]
    assert names == [
        ("low", 0.0, 0.13), ("mid", 0.13, 0.26), ("high", 0.26, 1.0), ("beyond the table", 1.0, inf)
    ]  # fmt: skip


def test_a_straight_table_has_one_regime() -> None:
    straight = ((0.1, 100.0, 200.0), (0.5, 500.0, 1_000.0))
    assert [one.name for one in regimes_of(straight, 2)] == ["low", "beyond the table"]


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ({"damper": ((0.2, 100.0, 200.0), (0.1, 200.0, 300.0))}, "damper"),
        ({"damper": ((0.1, 200.0, 200.0), (0.2, 100.0, 300.0))}, "damper"),
        ({"road": "measured", "profile": ((1.0, 0.0), (1.0, 0.1))}, "profile"),
        ({"road": "measured", "profile": ((0.0, 0.0), (1.0, 0.1), (0.5, 0.1))}, "profile"),
        ({"unsprung_mass": 5.0, "tyre_rate": 3e6, "duration": 30.0}, "duration"),
    ],
)
def test_what_cannot_be_driven_is_refused_beside_its_input(
    values: dict[str, Value], name: str
) -> None:
    with pytest.raises(ConflictError) as caught:
        evaluate(SHEET, values)
    assert caught.value.inputs == (name,)


@pytest.mark.parametrize(
    ("places", "row"), [((0.0, 0.1, 0.2, 0.2, 0.3), 4), ((0.0, 0.1, 0.2, 1.6, 1.7), 4)]
)
def test_a_profile_that_goes_back_or_has_a_gap_is_refused_with_its_row(
    places: tuple[float, ...], row: int
) -> None:
    with pytest.raises(ConflictError, match=f"Measured profile, row {row}:"):
        _result(road="measured", profile=tuple((place, 0.0) for place in places))


@pytest.mark.parametrize("road", ["corrugation", "class", "obstacle", "measured"])
def test_the_motion_is_light_and_its_frames_fit_each_other(road: str) -> None:
    result = _result(road=road)
    [picture] = present_pictures(result, Units())
    assert len(json.dumps(picture)) < LARGEST_MOTION
    counts = {
        len(values)
        for changes in picture["motion"]["parts"].values()
        for values in changes.values()
    }
    assert len(counts) == 1


def test_the_drawing_tells_when_the_wheel_is_in_the_air() -> None:
    [picture] = present_pictures(DEFAULT, Units(imperial=True))
    parts = picture["motion"]["parts"]
    for said, height in zip(parts["moment"]["text"], parts["ride-bar"]["height"], strict=True):
        assert float(height) == 0.0 or "off the ground" not in said
    assert any("off the ground" in said for said in parts["moment"]["text"])
    assert all(text.endswith("lbf") for text in parts["ride-load"]["text"])


def test_a_ride_of_chance_says_so_and_others_do_not() -> None:
    thrown = _result(
        road="class", road_class="E", speed=110.0 / 3.6, sprung_mass=60.0, duration=20.0
    )
    assert _value(thrown, "airborne_share") > 0.5
    assert "no two rides are alike" in _said(thrown)
    assert "no two rides are alike" not in _said(DEFAULT)
