"""The speed map as a sheet: the same as single drives, and fair comparisons."""

from __future__ import annotations

import subprocess
import sys
from math import isclose
from typing import TYPE_CHECKING

import pytest

from calculators.errors import ConflictError
from calculators.physics.heat import steady_heat
from calculators.physics.shell import Surroundings
from calculators.sheet import Measure, evaluate
from calculators.sheets import load
from calculators.sheets._ride_heat import damper_of
from calculators.view import Units, present
from calculators.visual import present_charts

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("speed-map")
DEFAULT = evaluate(SHEET)


def _value(result: Result, name: str) -> float:
    value = result.outputs[name]
    assert value is not None
    return value


def test_the_map_agrees_with_a_single_drive() -> None:
    drive = evaluate(load("ride-run"), {"duration": 4.0})
    assert isclose(
        _value(DEFAULT, "airborne_loaded"), _value(drive, "airborne_share"), abs_tol=0.005
    )
    for ours, theirs in (
        ("coefficient_loaded", "load_coefficient"),
        ("power_loaded", "mean_power"),
    ):
        assert isclose(_value(DEFAULT, ours), _value(drive, theirs), rel_tol=0.005), ours


def test_the_empty_vehicle_skips_more() -> None:
    assert _value(DEFAULT, "airborne_empty") > _value(DEFAULT, "airborne_loaded")


def test_the_best_damper_is_named_with_its_factor() -> None:
    said = " ".join(finding["text"] for finding in present(DEFAULT, Units())["findings"])
    assert "2 × the forces holds the wheel better than the first" in said
    alone = evaluate(SHEET, {"factors": ((1.0,),)})
    assert _value(alone, "least_coefficient") == pytest.approx(
        max(_value(alone, f"coefficient_{load}") for load in ("loaded", "empty"))
    )


def test_the_speed_of_comparison_is_a_row_of_the_tables() -> None:
    between = evaluate(SHEET, {"speed": 43.0 / 3.6, "factors": ((1.0,),)})
    table = next(table for table in between.tables if table.name == "map-airborne")
    row = next(row for row in table.rows if row[0] == 43.0 / 3.6)
    assert row[1] == _value(between, "airborne_loaded")
    assert len(table.rows) == 13
    assert not any(isinstance(cell, Measure) for cell in row)


def test_dampers_of_one_factor_keep_apart_in_the_charts() -> None:
    twice = evaluate(SHEET, {"factors": ((1.0,), (1.0,))})
    for chart in present_charts(twice, Units(), width=640):
        assert len({row["label"] for row in chart["data"]["curves"]}) == 2


def test_an_empty_mass_above_the_loaded_one_is_refused() -> None:
    with pytest.raises(ConflictError) as caught:
        evaluate(SHEET, {"sprung_mass_empty": 900.0})
    assert caught.value.inputs == ("sprung_mass_empty", "sprung_mass")


def test_temperatures_are_those_at_which_the_power_is_shed() -> None:
    result = evaluate(SHEET, {"speed": 100.0 / 3.6, "factors": ((1.0,),)})
    air = Surroundings(air_temperature=318.15, air_speed=0.33 * 100.0 / 3.6)
    damper = damper_of(result.given)
    for words in ("loaded", "empty"):
        power = _value(result, f"power_{words}")
        settled = steady_heat(damper=damper, power=power, surroundings=air).oil_temperature
        assert _value(result, f"temperature_{words}") == pytest.approx(settled, abs=0.2)


def test_where_no_oil_lives_no_temperature_is_told() -> None:
    assert DEFAULT.outputs["temperature_loaded"] is None
    said = " ".join(finding["text"] for finding in present(DEFAULT, Units())["findings"])
    assert "the oil of the first damper would pass 300 °C if the road went on" in said


def test_a_twin_tube_stays_hotter_than_a_monotube() -> None:
    one: dict[str, Value] = {"speed": 100.0 / 3.6, "factors": ((1.0,),)}
    twin = evaluate(SHEET, {**one, "construction": "twin-tube"})
    assert _value(twin, "temperature_loaded") > _value(evaluate(SHEET, one), "temperature_loaded")


def test_a_finned_reservoir_cools_and_is_asked_for_alone() -> None:
    one: dict[str, Value] = {"speed": 100.0 / 3.6, "factors": ((1.0,),)}
    plain, finned = evaluate(SHEET, one), evaluate(SHEET, {**one, "reservoir": "finned"})
    assert _value(finned, "temperature_loaded") < _value(plain, "temperature_loaded") - 30.0
    assert "working_diameter" not in plain.given.numbers
    assert "fin_count" not in plain.given.numbers
    assert "fin_count" in finned.given.numbers
    with pytest.raises(ConflictError, match="fins do not fit"):
        evaluate(SHEET, {**one, "reservoir": "finned", "fin_diameter": 0.05})


def test_a_working_tube_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ConflictError) as caught:
        evaluate(SHEET, {"construction": "twin-tube", "working_diameter": 0.045})
    assert caught.value.inputs == ("working_diameter", "body_diameter")


def test_a_new_map_tells_how_far_it_is_and_a_known_one_is_there_at_once() -> None:
    shares: list[float] = []
    evaluate(SHEET, {"speed": 41.0 / 3.6, "factors": ((1.0,),)}, progress=shares.append)
    assert shares
    assert shares == sorted(shares)
    again: list[float] = []
    evaluate(SHEET, {"speed": 41.0 / 3.6, "factors": ((1.0,),)}, progress=again.append)
    assert again == []


def test_the_single_ride_loads_without_numpy() -> None:
    code = (
        "import sys; from calculators.sheets import load; load('ride-run'); "
        "load('frequency-view'); sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def _said(**values: Value) -> str:
    result = evaluate(SHEET, values)
    return " ".join(finding["text"] for finding in present(result, Units())["findings"])


def test_a_map_of_wild_rides_says_so() -> None:
    assert "no two rides are alike" not in _said()
    assert "no two rides are alike" in _said(amplitude=0.05, factors=((1.0,), (0.1,)))


def test_a_rod_beyond_the_table_of_the_damper_is_pointed_out() -> None:
    assert "faster than the 1\u00a0m/s of its table" in _said()
    assert "of its table" not in _said(amplitude=0.002)


def test_the_share_of_the_wind_is_a_round_number() -> None:
    steps = {step.formula: step for step in DEFAULT.steps}
    assert steps["w = s_w*V"].values["s_w"].value == 0.33
