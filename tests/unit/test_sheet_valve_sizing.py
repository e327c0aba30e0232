"""The valve-sizing sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import pytest

from calculators.errors import InputError
from calculators.physics.drill import SHIM_THICKNESSES
from calculators.physics.fluid import Oil
from calculators.physics.shim import stack_compliance
from calculators.physics.sizing import Duty, ValveFrame, make_valves
from calculators.sheet import Level, Rows, evaluate
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("valve-sizing")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _rows() -> tuple[tuple[float, ...], ...]:
    target = SHEET.input("target")
    assert isinstance(target, Rows)
    return target.default


def test_the_default_target_is_the_table_of_critical_damping_in_whole_newtons() -> None:
    (table,) = evaluate(load("critical-damping")).tables
    wanted = tuple((row[0], round(float(row[1])), abs(round(float(row[2])))) for row in table.rows)  # type: ignore[arg-type]  # no words in this table
    assert _rows() == wanted


@pytest.mark.parametrize("foot", ["open", "foot"])
def test_a_common_damper_meets_its_target_within_ten_percent(foot: str) -> None:
    outputs = _result(foot=foot).outputs
    for name in ("deviation_compression", "deviation_rebound"):
        value = outputs[name]
        assert value is not None
        assert value < 0.1


def test_ports_are_several_and_no_larger_than_the_largest_drill() -> None:
    (forces, sizes) = _result(largest_port=0.0043).tables
    assert forces.name == "forces"
    for row in sizes.rows:
        assert row[3] in {"3", "4", "6", "8"}
        assert isinstance(row[4], float)
        assert row[4] <= 0.0043


def test_made_diameters_are_whole_tenths_of_a_millimetre() -> None:
    outputs = _result().outputs
    for name in ("bleed_diameter", "port_compression", "port_rebound"):
        value = outputs[name]
        assert value is not None
        assert abs(value * 1e4 - round(value * 1e4)) < 1e-6


def test_twice_the_speeds_at_the_same_forces_want_about_twice_the_bleed() -> None:
    faster = tuple((2.0 * row[0], *row[1:]) for row in _rows())
    areas = []
    for rows in (_rows(), faster):
        result = _result(target=rows, port_room=5e-4, max_lift=3e-3, largest_port=0.009)
        steps = {step.formula.split(" =")[0]: step.values for step in result.steps}
        areas.append(steps["d_b0"]["A_b"].value)
    assert areas[1] / areas[0] == pytest.approx(2.0, rel=0.05)  # derivation: Q = C_d A √(2Δp/ρ)


def test_a_foot_valve_has_sizes_of_its_own_and_an_intake() -> None:
    result = _result(foot="foot")
    assert result.outputs["compliance_foot"] is not None
    sizes = result.tables[1]
    assert [row[0] for row in sizes.rows][-2:] == ["foot valve, compression", "intake"]
    drop = sizes.rows[-1][7]
    assert isinstance(drop, float)
    assert drop < 0.5e5  # the drop allowed at the intake


@pytest.mark.parametrize("foot", ["open", "foot"])
def test_the_shims_of_the_table_have_the_compliance_that_is_used(foot: str) -> None:
    result = _result(foot=foot)
    given = result.given
    seats = [("disc_compression", "clamp_diameter"), ("disc_rebound", "clamp_diameter"),
             ("foot_disc", "foot_clamp")]  # fmt: skip
    for row, (disc, clamp) in zip(result.tables[1].rows[:3], seats, strict=False):
        count, thickness = int(str(row[8])), row[9]
        assert thickness in SHIM_THICKNESSES
        assert isinstance(thickness, float)
        stacked = stack_compliance(
            clamp_diameter=given[clamp], diameters=(given[disc] + 1e-3,) * count,
            thicknesses=(thickness,) * count, youngs_modulus=210e9, poisson_ratio=0.3,
            port_inner_diameter=given[clamp], port_outer_diameter=given[disc],
            seat_diameter=given[disc],
        )  # fmt: skip
        assert row[6] == pytest.approx(stacked, rel=1e-9)


def test_a_target_that_no_valve_follows_is_pointed_out() -> None:
    flat = tuple((row[0], 1_000.0 + place, 1_500.0 + place) for place, row in enumerate(_rows()))
    levels = [finding.level for finding in _result(target=flat, port_room=20e-6).findings]
    assert Level.LOOK_CLOSER in levels


def test_ports_that_take_all_the_room_are_pointed_out() -> None:
    assert any("all the room" in finding.text for finding in _result(port_room=20e-6).findings)


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"rod_diameter": 0.05}, "rod_diameter"),
        ({"disc_rebound": 0.05}, "disc_rebound"),
        ({"clamp_diameter": 0.029}, "clamp_diameter"),
        ({"foot": "foot", "intake_room": 10e-6}, "intake_drop"),
        ({"target": ((0.1, 10.0, 20.0), (0.2, 9.0, 30.0), (0.3, 40.0, 50.0), (0.4, 60.0, 70.0))},
         "target"),
    ],
    ids=["rod", "disc", "clamp", "intake", "falling force"],
)  # fmt: skip
def test_what_does_not_fit_is_refused_beside_its_input(
    values: dict[str, Value], named: str
) -> None:
    with pytest.raises(InputError) as caught:
        evaluate(SHEET, values)
    assert named in caught.value.inputs


def test_a_frame_limits_number_and_size_of_the_drilled_ports() -> None:
    duty = Duty(flows=(5e-5, 1e-4, 3e-4, 1e-3), pressure_drops=(8e5, 12e5, 20e5, 45e5))
    frame = ValveFrame(0.02, 1e-3, 8 * pi * 0.002**2 / 4, port_counts=(6, 8), largest_port=0.002)
    (made,) = make_valves(duties=(duty,), frames=(frame,), oil=Oil(850.0, 0.012), preload_step=5e4)
    assert made.ports.count in {6, 8}
    assert made.ports.diameter <= 0.002
