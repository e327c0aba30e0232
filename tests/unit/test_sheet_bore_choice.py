"""The bore sheet against hand calculation, and its table against its own limits."""

from __future__ import annotations

from itertools import pairwise

import pytest

from calculators.sheet import Level, Result, Value, evaluate
from calculators.sheets.bore_choice import SHEET


def _output(result: Result, name: str) -> float:
    value = result.outputs[name]
    assert value is not None
    return value


def test_force_over_ring_is_the_pressure_of_the_hand_calculation() -> None:
    result = evaluate(SHEET)
    # derivation: ring π/4 (46² − 20²) = 1 347.743 mm²; 3 326 N / 1 347.743 mm² = 2.467 83 MPa
    assert _output(result, "drop_rebound") == pytest.approx(2.46783e6, rel=1e-5)
    # derivation: 120 W / (40 W/(m² K) · π · 0.051 m · 0.3 m) = 62.414 K
    assert _output(result, "heat_rise") == pytest.approx(62.414, abs=0.001)
    # derivation: 120 W / (π · 0.051 m · 0.3 m) = 2 496.5 W/m²
    assert _output(result, "heat_per_area") == pytest.approx(2496.55, abs=0.05)
    # derivation: 1.9 MPa · π/4 · 20² mm² / 1 663 N = 596.90 N / 1 663 N
    assert _output(result, "gas_share") == pytest.approx(0.35893, abs=1e-5)
    # derivation: π/4 · 20² mm² · 0.52 m/s = 163.363 cm³/s
    assert _output(result, "reserve_flow") == pytest.approx(163.363e-6, rel=1e-5)


def test_twice_the_force_takes_twice_the_pressure() -> None:
    once, twice = (
        evaluate(SHEET),
        evaluate(SHEET, {"force_compression": 2 * 1_663.0, "force_rebound": 2 * 3_326.0}),
    )
    for name in ("drop_compression", "drop_rebound"):
        assert _output(twice, name) == pytest.approx(2.0 * _output(once, name))


def test_a_stiffer_suspension_asks_for_a_larger_bore() -> None:
    wide: dict[str, Value] = {"gas_gauge": 2.5e6}
    once = evaluate(SHEET, wide)
    more = evaluate(SHEET, {**wide, "force_compression": 2 * 1_663.0, "force_rebound": 2 * 3_326.0})
    assert _output(more, "smallest_bore") > _output(once, "smallest_bore")


def test_the_smallest_bore_passes_and_all_below_it_fail() -> None:
    result = evaluate(SHEET)
    (table,) = (table for table in result.tables if table.name == "bores")
    smallest = _output(result, "smallest_bore")
    for row in table.rows:
        assert isinstance(row[0], float)
        if row[0] < smallest:
            assert row[-1] != "passes"
        if row[0] == smallest:
            assert row[-1] == "passes"


def test_the_peak_falls_as_the_bore_grows() -> None:
    (table,) = (table for table in evaluate(SHEET).tables if table.name == "bores")
    peaks = [row[1] for row in table.rows]
    for larger, smaller in pairwise(peaks):
        assert isinstance(larger, float)
        assert isinstance(smaller, float)
        assert larger > smaller


def test_a_bore_over_its_pressure_is_not_to_be_built() -> None:
    result = evaluate(SHEET, {"bore_diameter": 0.030})
    assert any(
        finding.level is Level.DO_NOT_BUILD and "larger bore" in finding.text
        for finding in result.findings
    )


def test_a_rod_thicker_than_all_customary_bores_finds_none() -> None:
    result = evaluate(SHEET, {"rod_diameter": 0.070, "bore_diameter": 0.100})
    assert result.outputs["smallest_bore"] is None
    assert any("no customary bore" in finding.text for finding in result.findings)
