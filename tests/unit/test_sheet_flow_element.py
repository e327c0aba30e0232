"""The flow-element sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import isclose, pi, sqrt
from typing import TYPE_CHECKING

import pytest

from calculators.sheet import Level, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("flow-element")
ELEMENTS = ("orifice", "gap", "capillary", "valve")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


@pytest.mark.parametrize("element", ELEMENTS)
@pytest.mark.parametrize("drop", [2e4, 5e5, 6e6])
def test_flow_from_drop_and_drop_from_flow_agree(element: str, drop: float) -> None:
    flow = _output("flow_found", element=element, pressure_drop=drop)
    back = _output("drop_found", element=element, known="flow", flow=flow)
    assert isclose(back, drop, rel_tol=1e-9)


def test_a_hole_in_thin_oil_passes_what_the_root_law_says() -> None:
    flow = _output("flow_found", viscosity=0.5e-6, pressure_drop=20e5)
    by_hand = 0.61 * pi / 4.0 * 0.0018**2 * sqrt(2.0 * 20e5 / 850.0)  # C_d A √(2Δp/ρ)
    assert flow == pytest.approx(by_hand, rel=1e-3)


def test_a_gap_of_twice_the_clearance_leaks_eight_times_as_much() -> None:
    narrow, wide = (_output("flow_found", element="gap", clearance=size) for size in (3e-5, 6e-5))
    assert isclose(wide / narrow, 8.0, rel_tol=1e-9)  # derivation: h³


def test_a_bore_of_twice_the_diameter_passes_sixteen_times_as_much() -> None:
    narrow, wide = (_output("flow_found", element="capillary", bore=size) for size in (4e-4, 8e-4))
    assert isclose(wide / narrow, 16.0, rel_tol=1e-9)  # derivation: d⁴


def test_gap_and_bore_lose_everything_by_viscosity_and_a_hole_little() -> None:
    assert isclose(_output("viscous_share", element="gap"), 1.0)
    assert _output("viscous_share", element="orifice") < 0.05


def test_more_and_smaller_holes_of_one_area_are_more_viscous() -> None:
    one = _output("viscous_share", holes="1", hole_diameter=0.002)
    four = _output("viscous_share", holes="4", hole_diameter=0.001)
    assert four > one


def test_a_valve_below_its_crack_pressure_is_its_bleed() -> None:
    shut: dict[str, Value] = {"pressure_drop": 8e4}
    bleed = _output("flow_found", element="orifice", hole_diameter=0.0018, **shut)
    assert isclose(_output("flow_found", element="valve", **shut), bleed, rel_tol=1e-12)
    assert _output("lift", element="valve", **shut) == 0.0


def test_a_disc_at_its_stop_is_pointed_out() -> None:
    result = _result(element="valve", max_lift=0.05e-3, pressure_drop=20e5)
    assert result.outputs["lift"] == 0.05e-3
    assert Level.LOOK_CLOSER in [finding.level for finding in result.findings]


def test_turbulent_flow_in_a_bore_is_pointed_out() -> None:
    result = _result(element="capillary", bore=0.004, pressure_drop=20e5)
    assert Level.LOOK_CLOSER in [finding.level for finding in result.findings]


def test_the_slit_under_the_disc_passes_what_the_ports_pass() -> None:
    result = _result(element="valve", pressure_drop=10e5)
    steps = {step.formula.split(" =")[0]: step for step in result.steps}
    through_ports = steps["p_p"].values["Q_d"].value
    assert isclose(steps["Q_y"].answer.value, through_ports, rel_tol=1e-9)


def test_a_check_valve_passes_oil_one_way_only() -> None:
    open_way = _output("flow_found", element="check", pressure_drop=5e5)
    assert open_way > 0.0
    for drop in (1e3, 5e5, 50e6):
        shut = _result(element="check", direction="backward", pressure_drop=drop).outputs
        assert shut["flow_found"] == shut["lift"] == 0.0


def test_a_check_valve_is_a_valve_less_its_bleed() -> None:
    usual: dict[str, Value] = {"pressure_drop": 5e5}
    valve = _output("flow_found", element="valve", **usual)
    bleed = _output("flow_found", element="orifice", hole_diameter=0.0018, **usual)
    assert isclose(_output("flow_found", element="check", **usual), valve - bleed, rel_tol=1e-9)


def test_a_check_valve_below_its_crack_pressure_passes_nothing() -> None:
    result = _result(element="check", pressure_drop=0.9e5)
    assert result.outputs["flow_found"] == 0.0
    assert Level.LOOK_CLOSER in [finding.level for finding in result.findings]


def test_a_check_valve_needs_its_crack_pressure_for_the_least_flow() -> None:
    # by hand: viscous slit, y² = μ Q / (4 · 0.157² π d_o p_c), (0.11 µm)²; over the crack
    # pressure y / C = 700 Pa
    drop = _output("drop_found", element="check", known="flow", flow=1e-9)
    assert drop - 1e5 == pytest.approx(700.0, rel=0.05)
