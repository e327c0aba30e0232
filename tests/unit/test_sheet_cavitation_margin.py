"""The cavitation sheet against hand calculation, and against the physics that it stands on."""

from __future__ import annotations

import pytest

from calculators.physics.cavitation import cavitation_limit
from calculators.sheet import Level, Result, evaluate
from calculators.sheets import _valving as valving
from calculators.sheets.cavitation_margin import SHEET

# Gas at exactly 20 bar absolute: 20 °C, rod out, no growth of the oil.
TWENTY_BAR = {"charge_at_20": 1.898675e6, "temperature": 293.15, "rod_travel": 0.0}


def _output(result: Result, name: str) -> float:
    value = result.outputs[name]
    assert value is not None
    return value


def test_the_largest_force_is_that_of_the_hand_calculation() -> None:
    result = evaluate(SHEET, TWENTY_BAR)
    # derivation: 19.7 bar · 1 347.743 mm² + (20 − 1.013 25) bar · 314.159 mm² = 2 655.05 + 596.49 N
    assert _output(result, "largest_force") == pytest.approx(3_251.54, abs=0.02)


def test_the_force_at_the_limit_is_the_largest_force_and_friction() -> None:
    result = evaluate(SHEET, TWENTY_BAR)
    (table,) = (table for table in result.tables if table.name == "limits")
    assert table.rows[0][3] == pytest.approx(_output(result, "largest_force") + 30.0, abs=0.01)


@pytest.mark.parametrize("construction", ["monotube", "reservoir", "twin-tube"])
@pytest.mark.parametrize("direction", ["compression", "rebound"])
def test_the_limit_is_that_of_the_physics(construction: str, direction: str) -> None:
    result = evaluate(SHEET, {"construction": construction})
    given = result.given
    limit = cavitation_limit(
        damper=valving.damper_of(given),
        direction="compression" if direction == "compression" else "rebound",
        gas_pressure=valving.gas_at(given, given["temperature"]),
        oil=valving.oil_at(given, given["temperature"]),
        release_pressure=given["release_pressure"],
        maximum_speed=given["searched_to"],
    ).speed
    found = result.outputs[f"limit_{direction}"]
    assert found == (None if limit is None else pytest.approx(limit, rel=1e-9))


@pytest.mark.parametrize("construction", ["monotube", "reservoir", "twin-tube"])
def test_the_charge_needed_leaves_the_margin_wanted(construction: str) -> None:
    name = "charge_at_20_twin_tube" if construction == "twin-tube" else "charge_at_20"
    first = evaluate(SHEET, {"construction": construction})
    charge = max(0.0, _output(first, "charge_needed"))
    second = evaluate(SHEET, {"construction": construction, name: charge})
    assert _output(second, "charge_needed") == pytest.approx(_output(first, "charge_needed"))
    least = [
        evaluate(
            SHEET, {"construction": construction, name: charge, "temperature": second.given[at]}
        )
        for at in ("temperature_cold", "temperature", "temperature_hot")
    ]
    margins = [
        _output(result, f"margin_{way}") for result in least for way in ("compression", "rebound")
    ]
    assert min(margins) == pytest.approx(second.given["margin_wanted"], rel=1e-6)


@pytest.mark.parametrize("construction", ["monotube", "reservoir", "twin-tube"])
def test_the_demo_keeps_the_margin_wanted_in_every_construction(construction: str) -> None:
    findings = evaluate(SHEET, {"construction": construction}).findings
    assert findings[0].level is Level.FINE


def test_the_charge_is_the_one_input_that_makes_the_demo_cavitate() -> None:
    findings = evaluate(SHEET, {"charge_at_20": 15e5}).findings  # as the page says
    assert findings[0].level is Level.DO_NOT_BUILD


def test_the_reserve_drop_needed_closes_the_margin() -> None:
    result = evaluate(SHEET, {"charge_at_20": 10e5})
    lacking = result.given["margin_wanted"] - _output(result, "margin_compression")
    assert _output(result, "reserve_drop_needed") == pytest.approx(lacking)


def test_a_gauge_at_altitude_must_read_more() -> None:
    result = evaluate(SHEET, {"filling_altitude": 1_500.0})
    more = _output(result, "charge_needed_altitude") - _output(result, "charge_needed")
    # source: ISO 2533, 845.56 hPa at 1 500 m (value from memory), so 101 325 − 84 556 Pa
    assert more == pytest.approx(16_769.0, abs=5.0)


def test_where_a_sealed_damper_works_does_not_move_its_limit() -> None:
    low, high = evaluate(SHEET, {"altitude": 0.0}), evaluate(SHEET, {"altitude": 4_000.0})
    assert low.outputs["limit_compression"] == high.outputs["limit_compression"]


def test_a_valve_to_the_reservoir_moves_the_limit_out() -> None:
    plain = _output(evaluate(SHEET), "limit_compression")
    valved = evaluate(SHEET, {"construction": "reservoir"}).outputs["limit_compression"]
    assert valved is None or valved > plain


def test_a_choked_intake_empties_the_head_side_in_rebound() -> None:
    result = evaluate(
        SHEET,
        {
            "construction": "twin-tube",
            "intake_port_diameter": 0.5e-3,
            "foot_bleed_diameter": 0.5e-3,
        },
    )
    assert _output(result, "limit_rebound") < 1.0
    assert any(finding.level is Level.DO_NOT_BUILD for finding in result.findings)
