"""Laws of rod volume, reserve level and dividing piston."""

from __future__ import annotations

from math import isclose, pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.area import annulus_area
from calculators.physics.displacement import (
    dividing_piston,
    gas_column_for_ratio,
    oil_expansion,
    rod_volume,
    twin_tube_fill,
)

RODS = st.floats(0.008, 0.025)
STROKES = st.floats(0.02, 0.2)
TWIN: dict[str, Any] = {
    "rod_diameter": 0.018,
    "stroke": 0.16,
    "reserve_inner_diameter": 0.055,
    "working_outer_diameter": 0.038,
    "reserve_length": 0.26,
    "oil_level": 0.15,
}
MONO: dict[str, Any] = {
    "rod_diameter": 0.02,
    "stroke": 0.15,
    "chamber_diameter": 0.05,
    "chamber_length": 0.07,
    "piston_length": 0.02,
    "gas_column": 0.06,
}
WARM: dict[str, Any] = {"oil_volume": 4e-4, "expansion_coefficient": 7.5e-4}


@given(rod=RODS, stroke=STROKES)
def test_the_reserve_takes_up_what_the_rod_displaces(rod: float, stroke: float) -> None:
    fill = twin_tube_fill(**{**TWIN, "rod_diameter": rod, "stroke": stroke, "oil_level": 0.05})
    lost_gas = fill.gas_volume_extended - fill.gas_volume_compressed
    assert isclose(lost_gas, rod_volume(rod_diameter=rod, stroke=stroke), rel_tol=1e-9)
    assert isclose(fill.level_rise * fill.reserve_area, lost_gas, rel_tol=1e-9)


@given(rod=RODS, stroke=st.floats(0.02, 0.15), rise=st.floats(-60.0, 60.0))
def test_oil_and_gas_behind_the_dividing_piston_keep_their_sum(
    rod: float, stroke: float, rise: float
) -> None:
    values = {**MONO, **WARM, "rod_diameter": rod, "stroke": stroke, "gas_column": 0.09}
    cold = dividing_piston(**values)
    warm = dividing_piston(**values, temperature_difference=rise)
    growth = oil_expansion(volume=4e-4, expansion_coefficient=7.5e-4, temperature_difference=rise)
    lost_gas = cold.gas_volume_extended - warm.gas_volume_compressed
    displaced = rod_volume(rod_diameter=rod, stroke=stroke) + growth
    assert isclose(lost_gas, displaced, rel_tol=1e-9, abs_tol=1e-15)


@given(stroke=STROKES)
def test_a_thinner_rod_displaces_less_down_to_nothing(stroke: float) -> None:
    assert rod_volume(rod_diameter=0.0, stroke=stroke) == 0.0
    thin = rod_volume(rod_diameter=0.01, stroke=stroke)
    assert isclose(rod_volume(rod_diameter=0.02, stroke=stroke), 4.0 * thin, rel_tol=1e-12)


def test_a_vanishing_rod_hardly_moves_the_level() -> None:
    fill = twin_tube_fill(**{**TWIN, "rod_diameter": 1e-6})
    assert isclose(fill.compression_ratio, 1.0, abs_tol=1e-8)


@given(angle=st.floats(0.0, 1.0), more=st.floats(0.01, 0.4))
def test_leaning_takes_margin_at_the_foot_and_at_the_top(angle: float, more: float) -> None:
    less = twin_tube_fill(**TWIN, angle=angle)
    leaning = twin_tube_fill(**TWIN, angle=angle + more)
    assert leaning.foot_valve_margin < less.foot_valve_margin
    assert leaning.top_margin < less.top_margin
    assert leaning.level_extended == less.level_extended


def test_cold_oil_uncovers_a_foot_valve_that_was_just_covered() -> None:
    fill = twin_tube_fill(
        **{**TWIN, "oil_level": 0.012}, **WARM, foot_valve_height=0.01, temperature_difference=-45.0
    )
    assert fill.foot_valve_margin < 0.0


def test_a_rod_too_long_for_the_gas_names_the_compression() -> None:
    # By hand: 110 mm of gas · (55² − 38²) / 18² = 536.8 mm of stroke.
    with pytest.raises(ConflictError, match=r"compression of 0\.53675"):
        twin_tube_fill(**{**TWIN, "stroke": 0.6})


def test_hot_oil_that_fills_the_chamber_is_a_conflict() -> None:
    with pytest.raises(ConflictError, match="no room for gas even at full extension"):
        dividing_piston(
            **MONO, oil_volume=2e-3, expansion_coefficient=7.5e-4, temperature_difference=90.0
        )


@pytest.mark.parametrize(
    ("values", "word"),
    [({"rod_diameter": 0.04}, "working tube"), ({"working_outer_diameter": 0.055}, "no ring")],
)
def test_tubes_that_do_not_fit_are_a_conflict(values: dict[str, float], word: str) -> None:
    with pytest.raises(ConflictError, match=word):
        twin_tube_fill(**{**TWIN, **values})


def test_oil_to_the_brim_is_a_conflict() -> None:
    with pytest.raises(ConflictError, match="Fill in less oil"):
        twin_tube_fill(**{**TWIN, "oil_level": 0.26})


def test_a_dividing_piston_that_strikes_is_a_result_and_not_an_error() -> None:
    short = dividing_piston(**{**MONO, "chamber_length": 0.05})
    assert isclose(short.clearance_oil_compressed, -0.006, abs_tol=1e-12)  # 50 − 20 − 36 mm
    valve = dividing_piston(**MONO, gas_end_stop=0.04)
    assert isclose(valve.clearance_gas, -0.004, abs_tol=1e-12)  # 36 − 40 mm
    hollow = dividing_piston(**{**MONO, "gas_column": 0.02}, gas_recess_volume=2e-5)
    assert hollow.clearance_gas < 0.0 < hollow.gas_volume_compressed


def test_only_in_the_body_does_the_working_piston_come_closer() -> None:
    body = dividing_piston(**MONO)
    reservoir = dividing_piston(**MONO, location="reservoir")
    assert isclose(body.clearance_oil_extended - reservoir.clearance_oil_extended, 0.15)
    assert body.clearance_oil_compressed == reservoir.clearance_oil_compressed
    assert reservoir.clearance_oil_extended < reservoir.clearance_oil_compressed


def test_a_rod_as_thick_as_the_bore_fits_only_beside_a_reservoir() -> None:
    with pytest.raises(ConflictError, match="thinner than the bore"):
        dividing_piston(**{**MONO, "rod_diameter": 0.05})
    values = {**MONO, "rod_diameter": 0.05, "stroke": 0.05}
    assert isclose(dividing_piston(**values, location="reservoir").travel, 0.05, rel_tol=1e-12)


def test_another_place_for_the_chamber_is_refused() -> None:
    with pytest.raises(ConflictError, match="'body' or 'reservoir'"):
        dividing_piston(**{**MONO, "location": "roof"})


@given(ratio=st.floats(1.05, 10.0))
def test_the_gas_column_for_a_ratio_gives_that_ratio(ratio: float) -> None:
    column = gas_column_for_ratio(
        rod_diameter=0.02,
        stroke=0.15,
        chamber_area=pi / 4.0 * 0.05**2,
        compression_ratio=ratio,
    )
    result = dividing_piston(**{**MONO, "gas_column": column})
    assert isclose(result.compression_ratio, ratio, rel_tol=1e-9)


def test_oil_cannot_shrink_to_nothing() -> None:
    with pytest.raises(OutOfRangeError, match="shrink to nothing"):
        oil_expansion(volume=1e-3, expansion_coefficient=0.01, temperature_difference=-100.0)


def test_a_ring_without_width_is_told_in_millimetres() -> None:
    with pytest.raises(ConflictError, match=r"\(46 mm\) must be smaller than .* \(45 mm\)"):
        annulus_area(outer_diameter=0.045, inner_diameter=0.046)
