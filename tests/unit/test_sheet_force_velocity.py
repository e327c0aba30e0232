"""The force-velocity sheet against hand calculation, and against the physics that it stands on."""

from __future__ import annotations

from math import isclose

import pytest
from hypothesis import assume, given, settings

from calculators.errors import ConflictError, InputError
from calculators.physics.cavitation import cavitation_limit
from calculators.physics.network import operating_point
from calculators.sheet import Level, Measure, Result, Table, Value, evaluate
from calculators.sheets import _valving as valving
from calculators.sheets import load
from calculators.sheets.force_velocity import SHEET
from tests.unit.strategies import Values, values_near_defaults, values_of

# Bleed alone: no ports, no gap, no friction, oil at 15 °C and as thin as allowed.
BLEED_ALONE: dict[str, Value] = {
    "compression_port_diameter": 0.0,
    "rebound_port_diameter": 0.0,
    "piston_gap": 0.0,
    "seal_friction": 0.0,
    "compression_bleed_diameter": 0.004,
    "rebound_bleed_diameter": 0.004,
    "temperature": 288.15,
    "viscosity_40": 2e-6,
    "viscosity_100": 0.9e-6,
    "gas_shown": "out",
    "speed": 0.1,
    "target_forces": (),
}


def _output(result: Result, name: str) -> float:
    value = result.outputs[name]
    assert value is not None
    return value


def _table(result: Result, name: str) -> Table:
    (table,) = (table for table in result.tables if table.name == name)
    return table


def _number(cell: float | str | Measure | None) -> float:
    assert isinstance(cell, float)
    return cell


def _step(result: Result, symbol: str) -> float:
    (step,) = (step for step in result.steps if step.formula.startswith(f"{symbol} ="))
    return step.answer.value


def test_one_sharp_hole_makes_the_force_of_the_hand_calculation() -> None:
    result = evaluate(SHEET, BLEED_ALONE)
    # derivation: ring π/4 (46² − 20²) = 1 347.743 mm², Q = 134.774 cm³/s, hole of 4 mm 12.566 mm²,
    # jet Q / (0.61 A) = 17.582 m/s, drop 870/2 · 17.582² = 134.47 kPa, force 181.23 N;
    # the viscous part adds well below 1 %
    for name in ("force_compression", "force_rebound"):
        assert 181.2 < _output(result, name) < 183.0
    assert result.outputs["opening_compression"] is None
    assert result.outputs["port_rebound"] is None


def test_twice_the_speed_through_one_sharp_hole_makes_four_times_the_force() -> None:
    slow = evaluate(SHEET, BLEED_ALONE)
    fast = evaluate(SHEET, {**BLEED_ALONE, "speed": 0.2})
    ratio = _output(fast, "force_rebound") / _output(slow, "force_rebound")
    assert ratio == pytest.approx(4.0, rel=0.01)


def test_the_gas_adds_to_compression_what_it_takes_from_rebound() -> None:
    with_gas, without = evaluate(SHEET, {"gas_shown": "in"}), evaluate(SHEET, {"gas_shown": "out"})
    gas = _output(with_gas, "gas_force")
    assert _output(with_gas, "force_compression") - _output(
        without, "force_compression"
    ) == pytest.approx(gas)
    assert _output(without, "force_rebound") - _output(with_gas, "force_rebound") == pytest.approx(
        gas
    )
    assert _output(with_gas, "mean_damping") == _output(without, "mean_damping")


def test_the_default_damper_meets_its_target_within_what_is_allowed() -> None:
    result = evaluate(SHEET)
    assert abs(_output(result, "deviation")) <= result.given["deviation_allowed"]
    assert any(
        finding.level is Level.FINE and "target" in finding.text for finding in result.findings
    )


@pytest.mark.parametrize("construction", ["monotube", "reservoir", "twin-tube"])
def test_the_cavitation_speed_is_that_of_the_physics(construction: str) -> None:
    result = evaluate(SHEET, {"construction": construction})
    given = result.given
    limit = cavitation_limit(
        damper=valving.damper_of(given),
        direction="compression",
        gas_pressure=valving.gas_at(given, given["temperature"]),
        oil=valving.oil_at(given, given["temperature"]),
        release_pressure=given["release_pressure"],
        maximum_speed=given["greatest_speed"],
    ).speed
    found = result.outputs["cavitation_compression"]
    if limit is None:
        assert found is None
    else:
        assert found == pytest.approx(limit, rel=1e-7)


@pytest.mark.parametrize("construction", ["monotube", "reservoir", "twin-tube"])
def test_the_demo_meets_its_target_in_every_construction(construction: str) -> None:
    result = evaluate(SHEET, {"construction": construction})
    assert abs(_output(result, "deviation")) <= result.given["deviation_allowed"]
    for name in ("cavitation_compression", "cavitation_rebound"):
        limit = result.outputs[name]
        assert limit is None or limit > 1.0  # the highest speed of the target table


def test_the_default_target_is_that_of_valve_sizing() -> None:
    assert SHEET.defaults["target_forces"] == load("valve-sizing").defaults["target"]


def test_a_curve_is_drawn_no_further_than_the_oil_stays_whole() -> None:
    result = evaluate(SHEET, {"charge_at_20": 10e5})
    limit = _output(result, "cavitation_compression")
    for chart in SHEET.charts:
        curve = chart.draw(result).curves[0]
        assert max(curve.x) == pytest.approx(limit, rel=1e-6)
    forces = _table(result, "forces")
    assert all((row[1] is None) == (_number(row[0]) > limit) for row in forces.rows)


def test_the_disc_opens_at_the_speed_that_is_stated() -> None:
    result = evaluate(SHEET)
    given = result.given
    for name, sign in (("opening_compression", 1.0), ("opening_rebound", -1.0)):
        regimes = [
            operating_point(
                damper=valving.damper_of(given),
                velocity=sign * _output(result, name) * share,
                gas_pressure=2e6,
                oil=valving.oil_at(given, given["temperature"]),
            ).piston_regime
            for share in (1.0 - 1e-6, 1.0 + 1e-6)
        ]
        assert regimes == ["bleed", "opening"]


def test_with_a_foot_valve_the_head_side_stands_above_the_gas_by_its_drop() -> None:
    result = evaluate(SHEET, {"construction": "twin-tube", "gas_shown": "out"})
    ring, rod = _step(result, "A_a"), _step(result, "A_r")
    foot = _step(result, "p_head_c") - _step(result, "p_g")
    piston = _step(result, "p_head_c") - _step(result, "p_rod_c")
    assert foot > 0.0
    # derivation: F = Δp_piston A_a + Δp_foot A_r + friction
    assert _output(result, "force_compression") == pytest.approx(piston * ring + foot * rod + 30.0)


def test_more_bleed_softens_every_click() -> None:
    result = evaluate(SHEET, {"family": "clicks"})
    rows = _table(result, "clicks").rows
    rebound = [_number(row[3]) for row in rows]
    assert len(rows) == 9  # 8 clicks and the closed end
    assert rebound == sorted(rebound, reverse=True)
    assert _output(result, "reach") > 1.0


def test_the_tolerance_band_holds_the_drawn_curve() -> None:
    result = evaluate(SHEET, {"family": "tolerance"})
    for row in _table(result, "band").rows:
        least, drawn, most = (_number(cell) for cell in row[2:5])
        assert least < drawn < most
    still = dict.fromkeys(
        ("bleed_tolerance", "crack_tolerance", "compliance_tolerance", "viscosity_tolerance"), 0.0
    )
    assert evaluate(SHEET, {"family": "tolerance", **still}).outputs["band"] == 0.0


def test_the_motion_ratio_counts_twice_for_the_coefficient_at_the_wheel() -> None:
    result = evaluate(SHEET, {"motion_ratio": 0.5})
    assert isclose(_output(result, "wheel_damping"), 0.25 * _output(result, "mean_damping"))


def test_wear_of_the_piston_band_fades_the_damper() -> None:
    sound, worn = evaluate(SHEET), evaluate(SHEET, {"piston_gap": 0.15e-3})
    assert abs(_output(worn, "fade_rebound")) > 2.0 * abs(_output(sound, "fade_rebound"))


def test_without_a_target_there_is_no_comparison() -> None:
    result = evaluate(SHEET, {"target_forces": (), "family": "target"})
    assert result.outputs["deviation"] is None
    assert not [table for table in result.tables if table.name == "comparison"]
    assert len(SHEET.charts[0].draw(result).curves) == 1


def test_a_speed_beyond_the_curve_is_refused_in_words() -> None:
    with pytest.raises(ConflictError, match="beyond the curve"):
        evaluate(SHEET, {"speed": 2.0, "greatest_speed": 1.0})


@pytest.mark.parametrize(
    ("name", "value"),
    [("rebound_bleed_diameter", 1e-160), ("compression_compliance", 1e-200), ("piston_gap", 1e-9)],
)
def test_a_size_that_nobody_can_make_is_refused_beside_its_input(name: str, value: float) -> None:
    with pytest.raises(ConflictError) as caught:
        evaluate(SHEET, {name: value})
    assert caught.value.inputs == (name,)


@settings(max_examples=100)
@given(values_of(SHEET) | values_near_defaults(SHEET))
def test_no_speed_is_without_a_solution(values: Values) -> None:
    try:
        evaluate(SHEET, values)
    except InputError:
        assume(False)  # noqa: FBT003  refused in words; a missing solution is no input error
