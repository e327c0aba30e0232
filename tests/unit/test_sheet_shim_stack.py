"""The shim-stack sheet: what must hold of its answers beyond what holds of every sheet."""

from __future__ import annotations

from math import isclose, pi
from typing import TYPE_CHECKING

import pytest

from calculators.errors import InputError
from calculators.physics.shim_stage import two_stage_state
from calculators.sheet import Level, evaluate
from calculators.sheets import load
from calculators.view import Units, read
from calculators.visual import present_pictures

if TYPE_CHECKING:
    from calculators.field import Value
    from calculators.sheet import Result

SHEET = load("shim-stack")


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _output(name: str, **values: Value) -> float:
    value = _result(**values).outputs[name]
    assert value is not None
    return value


def _shims(*sizes: float) -> tuple[tuple[float, float], ...]:
    return tuple((0.032, thickness * 1e-3) for thickness in sizes)


def test_half_the_thickness_moves_eight_times_as_far() -> None:
    thick, thin = (_output("compliance", shims=_shims(size)) for size in (0.4, 0.2))
    assert isclose(thin / thick, 8.0, rel_tol=1e-9)  # derivation: rigidity grows with t³


def test_one_shim_of_three_tenths_is_nine_times_three_of_one_tenth() -> None:
    one, three = (_output("compliance", shims=_shims(*sizes)) for sizes in ((0.3,), (0.1,) * 3))
    assert isclose(three / one, 9.0, rel_tol=1e-9)  # derivation: 0.3³ / (3 · 0.1³)


def test_the_rigidity_shown_is_that_of_the_page() -> None:
    steps = {step.formula.split(" =")[0]: step.answer.value for step in _result().steps}
    assert round(steps["D_1"], 4) == 0.5192  # by hand: 210e9 · (0.3e-3)³ / (12 · 0.91)
    assert isclose(steps["D"], 6.0 * steps["D_1"], rel_tol=1e-12)


def test_below_the_crack_pressure_the_stack_stays_on_its_seat() -> None:
    crack = _output("crack_pressure")
    assert _output("lift", pressure=0.99 * crack) == 0.0
    assert _output("lift", pressure=1.01 * crack) > 0.0


def test_the_clamp_carries_the_pressure_on_the_ports_once_the_stack_is_open() -> None:
    steps = {step.formula.split(" =")[0]: step.answer.value for step in _result().steps}
    by_hand = 1e6 * pi / 4.0 * (0.027**2 - 0.018**2)  # 10 bar on the ring of the ports
    assert isclose(steps["F_k"], by_hand, rel_tol=1e-9)


def test_a_second_stage_makes_the_opening_stiffer_only_after_contact() -> None:
    contact = _output("contact_pressure", stages="two")
    before, after = 0.9 * contact, 1.5 * contact
    assert isclose(
        _output("lift", pressure=before),
        _output("lift", stages="two", pressure=before),
        rel_tol=1e-9,
    )
    assert _output("lift", stages="two", pressure=after) < _output("lift", pressure=after)


def test_a_taper_below_the_gap_adds_to_the_clearance_further_out() -> None:
    tapered = ((0.032, 0.2e-3), (0.031, 0.2e-3), (0.013, 0.2e-3))
    values: dict[str, Value] = {"stages": "two", "gap": 0.1e-3, "shims": tapered}
    result = _result(**values, second_clamp_diameter=0.016)
    steps = {step.formula.split(" =")[0]: step.answer.value for step in result.steps}
    assert isclose(
        steps["h_t"], 0.3e-3
    )  # by hand: 0.1 mm, and 0.2 mm of the shim held by the clamp


def test_stages_of_equal_shims_touch_at_the_smaller_edge_with_the_gap_alone() -> None:
    values: dict[str, Value] = {"stages": "two", "shims": _shims(0.2, 0.2)}
    result = _result(**values, second_shims=((0.030, 0.3e-3),) * 2)
    steps = {step.formula.split(" =")[0]: step.answer.value for step in result.steps}
    plain = two_stage_state(
        first_clamp_diameter=0.012, first_diameters=(0.032,) * 2, first_thicknesses=(0.2e-3,) * 2,
        gap=0.05e-3, second_clamp_diameter=0.014, second_diameters=(0.030,) * 2,
        second_thicknesses=(0.3e-3,) * 2, youngs_modulus=210e9, poisson_ratio=0.3,
        port_inner_diameter=0.018, port_outer_diameter=0.027, seat_diameter=0.030, pressure=1e6,
        preload_deflection=0.016e-3, yield_strength=1.4e9, fatigue_limit=0.7e9,
    )  # fmt: skip
    assert steps["h_t"] == 0.05e-3
    assert result.outputs["lift"] == plain.lift


def test_too_much_pressure_is_not_to_be_built() -> None:
    levels = [finding.level for finding in _result(pressure=10e6).findings]
    assert Level.DO_NOT_BUILD in levels


def test_a_small_shim_between_large_ones_is_pointed_out() -> None:
    shims = ((0.032, 0.2e-3), (0.016, 0.2e-3), (0.032, 0.2e-3))
    assert any("gap" in finding.text for finding in _result(shims=shims).findings)


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"seat_diameter": 0.034}, "shims"),
        ({"port_outer_diameter": 0.031}, "port_inner_diameter"),
        ({"clamp_diameter": 0.021}, "shims"),
        ({"stages": "two", "second_clamp_diameter": 0.030}, "second_shims"),
    ],
    ids=[
        "seat beyond the first shim",
        "ports beyond the seat",
        "clamp under a shim",
        "second clamp",
    ],
)
def test_a_geometry_that_cannot_be_is_refused_beside_its_input(
    values: dict[str, Value], named: str
) -> None:
    with pytest.raises(InputError) as caught:
        evaluate(SHEET, values)
    assert named in caught.value.inputs


def test_a_pasted_list_is_read_as_typed() -> None:
    read_back = read(SHEET, {"shims": "32\t0.3\n32; 0,25\n"}, Units())
    assert read_back.values["shims"] == ((0.032, 0.3e-3), (0.032, 0.25e-3))


@pytest.mark.parametrize("stages", ["one", "two"])
@pytest.mark.parametrize("thickness", [0.05e-3, 0.3e-3, 2e-3])
def test_the_drawing_stays_inside_its_frame(stages: str, thickness: float) -> None:
    shims = ((0.032, thickness),) * 20
    (drawn,) = present_pictures(_result(stages=stages, shims=shims, pressure=20e5), Units())
    numbers = [
        (name, float(value))
        for element in drawn["elements"]
        for name, value in element[1].items()
        if name in {"x", "y", "x1", "y1", "x2", "y2"}
    ]
    width, height = drawn["width"], drawn["height"]
    for name, value in numbers:
        assert 0.0 <= value <= (width if name.startswith("x") else height), name
