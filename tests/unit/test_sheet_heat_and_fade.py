"""The heat sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import isclose, pi
from typing import TYPE_CHECKING

import pytest

from calculators.errors import ConflictError
from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("heat-and-fade")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


def test_corrugations_give_half_of_coefficient_times_peak_speed_squared() -> None:
    values: dict[str, Value] = {
        "wavelength": 1.0, "vehicle_speed": 10.0, "wheel_amplitude": 0.005, "motion_ratio": 0.8,
        "force_normal": 500.0, "speed": 0.25, "viscous_share": 0.0,
    }  # fmt: skip
    peak = 2.0 * pi * 10.0 * 0.004  # by hand: 2π · 10 Hz · 4 mm
    assert isclose(_output("power_start", **values), 0.5 * 2_000.0 * peak**2, rel_tol=1e-12)


def test_a_random_road_gives_coefficient_times_mean_square() -> None:
    values: dict[str, Value] = {
        "motion": "rms", "velocity_rms": 0.2, "force_normal": 500.0, "speed": 0.25,
        "viscous_share": 0.0,
    }  # fmt: skip
    assert isclose(_output("power_start", **values), 80.0, rel_tol=1e-12)  # 2 000 · 0.04 by hand


def test_without_a_viscous_share_no_force_is_lost() -> None:
    result = _result(viscous_share=0.0)
    assert result.outputs["force_loss"] == 0.0
    assert result.outputs["power_start"] == result.outputs["power_settled"]
    assert result.outputs["time_earliest"] == pytest.approx(result.outputs["time_latest"], rel=1e-4)


def test_what_comes_in_goes_out() -> None:
    cases: tuple[dict[str, Value], ...] = (
        {}, {"construction": "twin-tube"}, {"reservoir": "finned", "sunlight": 900.0},
    )  # fmt: skip
    for values in cases:
        outputs = _result(**values).outputs
        ways = ("convected", "radiated", "reservoir_heat")
        out = sum(outputs[name] or 0.0 for name in ways) - (outputs["sun"] or 0.0)
        assert out == pytest.approx(outputs["power_settled"], rel=1e-9)


def test_force_and_heat_agree_where_it_settles() -> None:
    firm = _output("oil_temperature", viscous_share=0.0)
    fading = _output("oil_temperature", viscous_share=0.6)
    assert fading < firm  # a damper that fades takes less power


def test_a_twin_tube_runs_hotter_in_the_same_body() -> None:
    result = _result()
    twin = _output("oil_temperature", construction="twin-tube")
    assert twin == result.outputs["other_temperature"]
    assert _output("other_temperature") > _output("oil_temperature")


def test_fins_and_wind_help() -> None:
    assert _output("oil_temperature", reservoir="finned") < _output("oil_temperature")
    assert _output("oil_temperature", air_speed=8.0) < _output("oil_temperature")


def test_the_earliest_time_is_not_after_the_latest() -> None:
    cold: dict[str, Value] = {"air_temperature": 253.15, "viscous_share": 0.3, "motion": "power",
                              "power_given": 400.0}  # fmt: skip
    assert 0.0 < _output("time_earliest", **cold) < _output("time_latest", **cold)


def test_a_cool_damper_is_fine_and_a_boiling_one_not() -> None:
    cool = _result(motion="power", power_given=20.0)
    assert cool.outputs["time_earliest"] is None
    assert cool.findings[0].level is Level.FINE
    hot = _result(motion="power", power_given=300.0)
    assert hot.findings[0].level is Level.DO_NOT_BUILD


def test_what_does_not_fit_is_refused_by_name() -> None:
    with pytest.raises(ConflictError) as caught:
        _result(construction="twin-tube", working_diameter=0.045)
    assert "working_diameter" in caught.value.inputs
    with pytest.raises(ConflictError) as caught:
        _result(reservoir="plain", hose_volume=150e-6)
    assert "hose_volume" in caught.value.inputs


def test_a_straight_table_is_as_good_as_one_force() -> None:
    straight = ((0.26, 1_600.0, 1_600.0), (1.0, 1_600.0 / 0.26, 1_600.0 / 0.26))
    for motion in ("corrugation", "rms"):
        by_one = _result(motion=motion).outputs
        by_table = _result(motion=motion, force_by="table", damper=straight).outputs
        for name in ("power_start", "oil_temperature", "force_hot"):
            assert by_table[name] == pytest.approx(by_one[name], rel=1e-6), name


def test_a_table_is_told_again_at_the_settled_temperature() -> None:
    result = _result(force_by="table")
    table = next(table for table in result.tables if table.name == "curves")
    left = 1.0 - _output("force_loss", force_by="table")
    for row in table.rows:
        numbers = [cell for cell in row if isinstance(cell, float)]
        assert numbers[3] == pytest.approx(numbers[2] * left)
        assert numbers[6] == pytest.approx(numbers[5] * left)


def test_a_road_that_no_damper_bears_still_tells_the_minutes() -> None:
    # by hand, nothing given off: 0.4 L · 870 kg/m³ · 1 945 J/(kg K) · 75 K / 3 600 W = 14.1 s
    values: dict[str, Value] = {"motion": "power", "power_given": 3_600.0}
    result = _result(**values)
    assert result.outputs["oil_temperature"] is None
    time = _output("time_earliest", **values)
    assert 14.1 < time < 20.0
    assert result.findings[0].level is Level.DO_NOT_BUILD
    assert _output("time_earliest", **values, oil_volume=800e-6) > 1.8 * time


def test_above_the_limit_from_the_start_no_time_is_left() -> None:
    values: dict[str, Value] = {"air_temperature": 333.15, "limit_temperature": 333.15}
    assert _output("time_earliest", motion="power", power_given=3_600.0, **values) == 0.0


def test_a_gap_alone_fades_as_a_viscous_share_of_all() -> None:
    shut: dict[str, Value] = {
        f"{place}_{hole}_diameter": 0.0
        for place in ("compression", "rebound")
        for hole in ("bleed", "port")
    }  # fmt: skip
    gap: dict[str, Value] = {"piston_gap": 0.2e-3, "seal_friction": 0.0, **shut}
    for motion, velocity in (("corrugation", 0.15), ("rms", 0.2)):
        usual: dict[str, Value] = {"motion": motion, "velocity_rms": velocity}
        valves = _result(**usual, fade_by="valves", **gap).outputs
        hot, loss = valves["force_hot"], valves["force_loss"]
        assert hot is not None
        assert loss is not None
        force = hot / (1.0 - loss)
        share = _result(**usual, viscous_share=1.0, force_normal=force).outputs
        for name in ("power_start", "oil_temperature", "force_loss", "other_temperature"):
            assert valves[name] == pytest.approx(share[name], rel=1e-6), name


def test_valves_without_gap_and_bleed_hardly_fade() -> None:
    edges = _output(
        "force_loss", fade_by="valves", piston_gap=0.0, compression_bleed_diameter=0.0,
        rebound_bleed_diameter=0.0,
    )  # fmt: skip
    assert edges < _output("force_loss", fade_by="valves", piston_gap=0.05e-3)


def test_a_mean_power_is_refused_where_the_valves_need_a_speed() -> None:
    with pytest.raises(ConflictError) as caught:
        _result(motion="power", fade_by="valves")
    assert set(caught.value.inputs) == {"motion", "fade_by"}
