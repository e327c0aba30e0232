"""The virtual bench as a sheet: what it says of two constructions, and what it draws."""

from __future__ import annotations

import json
from math import isclose, pi
from typing import TYPE_CHECKING, Any

import pytest

from calculators.errors import ConflictError, NoSolutionError
from calculators.physics import bench
from calculators.physics.loop import loop_measures
from calculators.sheet import Level, Measure, evaluate
from calculators.sheets import _bench_case, load
from calculators.sheets._bench_case import KINDS, specimen_of, trace_of
from calculators.sheets._cutaway import draw_cutaways, frames_of
from calculators.view import Units, present, present_error
from calculators.visual import present_charts, present_pictures

if TYPE_CHECKING:
    from calculators.picture import Motion
    from calculators.sheet import Result, Value

SHEET = load("virtual-bench")
SI = Units()
LARGEST_MOTION = 150_000  # bytes of JSON that a phone can take


def _result(**values: Value) -> Result:
    return evaluate(SHEET, values)


def _said(result: Result) -> str:
    return " ".join(finding["text"] for finding in present(result, SI)["findings"])


def _motion(result: Result, units: Units = SI) -> Motion:
    twin, mono = (trace_of(result.given, kind) for kind in KINDS)
    motion = draw_cutaways(twin, mono, result.given["reserve_oil"], units).motion
    assert motion is not None
    return motion


def _numbers(motion: Motion, part: str, attribute: str) -> list[float]:
    return [float(text) for text in motion.parts[part][attribute]]


def _shifts(motion: Motion, part: str) -> list[float]:
    """Return how far a group is moved down in each frame."""
    texts = motion.parts[part]["transform"]
    return [float(text.removeprefix("translate(0 ").removesuffix(")")) for text in texts]


DEFAULT = _result()


def test_shaken_oil_at_low_pressure_goes_flat_and_kept_apart_does_not() -> None:
    twin, mono = (
        DEFAULT.outputs[f"lost_rebound_share_{kind}"] for kind in ("twin_tube", "monotube")
    )
    assert twin is not None
    assert mono is not None
    assert twin > 0.05 > 10.0 * mono
    assert "The twin-tube goes flat, the monotube does not" in _said(DEFAULT)


def test_the_verdict_tells_gas_foot_valve_and_piston_drop() -> None:
    trace = trace_of(DEFAULT.given, "twin-tube")
    last = range(len(trace.time) - 1 - trace.cycle_steps, len(trace.time))
    entry = min(last, key=lambda i: trace.pressure_rod[i])
    gas, head, rod = (
        column[entry] / 1e5
        for column in (trace.pressure_gas, trace.pressure_head, trace.pressure_rod)
    )
    for bar in (gas, head - gas, head - rod, rod):
        assert f"{bar:#.3g}\u00a0bar" in _said(DEFAULT)


def test_a_slow_motion_leaves_both_in_order() -> None:
    slow = _result(motion="sine", frequency=0.2, amplitude=0.03)
    assert "Neither goes flat" in _said(slow)
    assert slow.findings[0].level is Level.FINE


def test_a_monotube_without_enough_charge_cavitates_and_the_text_says_why() -> None:
    weak = _result(charge_at_20=4e5, speed=50.0 / 3.6)
    share = weak.outputs["cavitation_share_monotube"]
    assert share is not None
    assert share > 0.0
    assert "Cavitation in the monotube: its rod side falls to" in _said(weak)
    assert "below the customary 10\u00a0bar to 25\u00a0bar" in _said(weak)


def test_more_charge_and_cleaner_oil_bring_the_twin_tube_back() -> None:
    better = _result(charge_at_20_twin_tube=8e5, free_gas_twin_tube=0.01)
    lost, before = (result.outputs["lost_rebound_twin_tube"] for result in (better, DEFAULT))
    assert lost is not None
    assert before is not None
    assert lost < 0.2 * before


def test_the_figures_are_those_of_the_last_cycle() -> None:
    for kind in KINDS:
        measures = loop_measures(trace=trace_of(DEFAULT.given, kind))
        tail = kind.replace("-", "_")
        for name, value in (
            ("lost_rebound", measures.rebound.lost_stroke),
            ("lost_compression", measures.compression.lost_stroke),
            ("peak_compression", measures.peak_compression),
            ("peak_rebound", measures.peak_rebound),
            ("energy", measures.energy),
            ("mean_power", measures.mean_power),
            ("hysteresis", measures.hysteresis),
            ("phase", measures.phase),
            ("lowest_pressure", min(measures.lowest_pressure_head, measures.lowest_pressure_rod)),
        ):
            shown = DEFAULT.outputs[f"{name}_{tail}"]
            assert shown is not None
            assert isclose(shown, value, rel_tol=1e-9), name


def test_the_corrugation_of_the_demo_by_hand() -> None:
    # 40 km/h = 11.1111 m/s, / 0.75 m; 2π · 14.8148 Hz · 12 mm · 0.75
    assert isclose(DEFAULT.outputs["driving_frequency"] or 0.0, 14.8148148, rel_tol=1e-7)
    assert isclose(DEFAULT.outputs["peak_speed"] or 0.0, 0.8377580, rel_tol=1e-6)


def test_the_energy_is_accounted_for_to_half_a_percent() -> None:
    values = {
        name: measure.value for step in DEFAULT.steps for name, measure in step.values.items()
    }
    for mark, kind in (("T", "twin_tube"), ("M", "monotube")):
        energy = DEFAULT.outputs[f"energy_{kind}"]
        assert energy is not None
        assert abs(values[f"W_t_{mark}"]) < 5e-3 * energy


def test_both_have_the_same_piston_and_only_the_twin_tube_a_foot_valve() -> None:
    twin, mono = (specimen_of(DEFAULT.given, kind) for kind in KINDS)
    assert twin.damper.piston == mono.damper.piston
    assert twin.damper.reserve is not None
    assert mono.damper.reserve is None
    assert mono.filling.gas_pressure > twin.filling.gas_pressure


def test_a_record_has_work_and_lost_stroke_but_no_lag() -> None:
    record = _result(motion="trace")
    for kind in ("twin_tube", "monotube"):
        assert record.outputs[f"phase_{kind}"] is None
        assert record.outputs[f"hysteresis_{kind}"] is None
        assert (record.outputs[f"energy_{kind}"] or 0.0) > 0.0
        assert record.outputs[f"lost_rebound_{kind}"] is not None


def test_the_table_shows_each_figure_in_the_units_of_the_reader() -> None:
    table = next(table for table in DEFAULT.tables if table.name == "both")
    shown = present(DEFAULT, Units(imperial=True))["tables"][0]["rows"]
    for row, texts in zip(table.rows, shown, strict=True):
        assert texts[0] == row[0]
        for cell, text in zip(row, texts, strict=True):
            if isinstance(cell, Measure) and cell.quantity == "force":
                assert text.endswith("lbf")
    assert ["Cavitation", "no", "no", "in neither"] in shown


@pytest.mark.parametrize(
    ("values", "names"),
    [
        ({"road_amplitude": 0.15}, ("speed", "wavelength", "road_amplitude")),
        ({"motion": "sine", "amplitude": 0.2}, ("frequency", "amplitude")),
        ({"motion": "sine", "frequency": 60.0, "amplitude": 0.05}, ("frequency", "amplitude")),
        ({"rod_length": 0.05}, ("rod_length", "rod_travel")),
        (
            {"motion": "trace", "record": ((0.0, 0.0), (0.1, 0.01), (0.1, 0.02), (0.2, 0.0))},
            ("record",),
        ),
    ],
)
def test_a_motion_that_cannot_be_is_refused_beside_its_inputs(
    values: dict[str, Value], names: tuple[str, ...]
) -> None:
    with pytest.raises(ConflictError) as caught:
        evaluate(SHEET, values)
    assert caught.value.inputs == names


def test_no_solution_tells_time_velocity_and_pressures_and_draws_nothing() -> None:
    with pytest.raises(
        NoSolutionError, match=r" s, at .* m/s \(absolute: head side .* bar"
    ) as caught:
        _result(free_gas_monotube=0.0, charge_at_20=0.0, speed=20.0)
    [fault] = present_error(SHEET, caught.value, SI)
    assert fault["inputs"] == []
    assert "gas" in fault["message"]


def test_a_speed_without_solution_is_left_out_of_the_curve() -> None:
    torn = _result(free_gas_monotube=0.0, charge_at_20=1.2e6, speed=4.0)
    charts = {chart["name"]: chart for chart in present_charts(torn, SI, width=640)}
    speeds = [row["label"] for row in charts["speeds"]["data"]["curves"]]
    assert speeds.count("twin-tube") == 7
    assert speeds.count("monotube") < 7


def test_loops_are_drawn_in_their_own_order() -> None:
    charts = {chart["name"]: chart for chart in present_charts(DEFAULT, SI, width=640)}
    rows = charts["force-displacement"]["data"]["curves"]
    path = [row["x"] for row in rows if row["label"] == "monotube"]
    assert isclose(path[0], path[-1], abs_tol=1e-9)  # a closed loop
    assert path != sorted(path)
    assert charts["force-displacement"]["spec"]["layer"][0]["mark"]["order"] is False


@pytest.mark.parametrize("motion", ["corrugation", "sine", "trace"])
def test_the_motion_is_light_and_its_frames_fit_each_other(motion: str) -> None:
    result = _result(motion=motion)
    [picture] = present_pictures(result, SI)
    assert len(json.dumps(picture["motion"])) < LARGEST_MOTION
    counts = {
        len(values)
        for changes in picture["motion"]["parts"].values()
        for values in changes.values()
    }
    assert counts == {len(frames_of(trace_of(result.given, "twin-tube")))}
    assert 60 <= counts.pop() <= 120


def test_the_piston_follows_the_displacement() -> None:
    motion = _motion(DEFAULT)
    trace = trace_of(DEFAULT.given, "twin-tube")
    wanted = [trace.displacement[i] for i in frames_of(trace)]
    for part in ("twin-rod", "mono-rod"):
        moved = _shifts(motion, part)
        scale = max(moved) / max(wanted)
        for way, x in zip(moved, wanted, strict=True):
            assert isclose(way, scale * x, abs_tol=0.1)


def test_the_dividing_piston_goes_by_the_volume_of_the_rod() -> None:
    slow = _result(motion="sine", frequency=0.2, amplitude=0.03)
    motion = _motion(slow)
    rod, divider = _shifts(motion, "mono-rod"), _numbers(motion, "mono-divider", "y")
    ratio = (max(divider) - min(divider)) / (max(rod) - min(rod))
    # by hand: (20 / 46)²; a little more, since the oil gives way to the rising pressure
    assert isclose(ratio, (0.020 / 0.046) ** 2, rel_tol=0.02)


def test_the_oil_level_rises_as_the_rod_goes_in() -> None:
    slow = _result(motion="sine", frequency=0.2, amplitude=0.03)
    motion = _motion(slow)
    rod, level = _shifts(motion, "twin-rod"), _numbers(motion, "twin-level", "height")
    assert rod.index(max(rod)) in range(len(rod))
    assert abs(rod.index(max(rod)) - level.index(max(level))) <= 1
    assert abs(rod.index(min(rod)) - level.index(min(level))) <= 1


def test_chambers_never_overlap_and_fill_the_tube() -> None:
    motion = _motion(DEFAULT)
    rod_top = _numbers(motion, "twin-rod-oil", "y")
    rod_height = _numbers(motion, "twin-rod-oil", "height")
    head_top = _numbers(motion, "twin-head-oil", "y")
    head_height = _numbers(motion, "twin-head-oil", "height")
    piston = [
        top - start - height
        for top, start, height in zip(head_top, rod_top, rod_height, strict=True)
    ]
    assert max(piston) - min(piston) <= 0.3  # the piston keeps its thickness
    ends = [top + height for top, height in zip(head_top, head_height, strict=True)]
    assert max(ends) - min(ends) <= 0.3  # and the foot valve stays where it is


def test_arrows_point_with_the_flow() -> None:
    motion, trace = _motion(DEFAULT), trace_of(DEFAULT.given, "monotube")
    flows = [trace.piston_flow[i] for i in frames_of(trace)]
    for way, sign in (("compression", 1.0), ("rebound", -1.0)):
        texts = motion.parts[f"mono-piston-{way}"]["transform"]
        sizes = [float(text.partition("scale(")[2].partition(" ")[0]) for text in texts]
        largest = max(abs(flow) for flow in flows)
        for size, flow in zip(sizes, flows, strict=True):
            assert (size > 0.0) == (sign * flow > 0.003 * largest) or size <= 0.01


def test_bubbles_are_largest_where_the_free_gas_is() -> None:
    motion, trace = _motion(DEFAULT), trace_of(DEFAULT.given, "twin-tube")
    gas = [trace.free_gas_rod[i] for i in frames_of(trace)]
    radii = _numbers(motion, "twin-rod-bubble", "r")
    assert radii[gas.index(max(gas))] >= max(radii) - 0.2
    assert max(radii) > 1.5 * min(radii)


def test_pressures_in_the_drawing_are_in_the_unit_of_the_reader() -> None:
    texts = _motion(DEFAULT, Units(imperial=True)).parts["mono-p-gas"]["text"]
    assert all(text.endswith("psi") for text in texts)


def test_a_cycle_starts_in_the_middle_of_compression() -> None:
    trace = trace_of(DEFAULT.given, "twin-tube")
    first = frames_of(trace)[0]
    assert isclose(trace.velocity[first], max(trace.velocity), rel_tol=1e-9)
    assert isclose(
        _motion(DEFAULT).duration, 1.0 / (DEFAULT.outputs["driving_frequency"] or pi), rel_tol=1e-9
    )


def test_the_stepped_sine_gives_a_line_for_each_customary_speed() -> None:
    result = evaluate(SHEET, {"motion": "stepped", "top_speed": 0.6})
    (table,) = (table for table in result.tables if table.name == "steps")
    assert [row[0] for row in table.rows] == [0.05, 0.1, 0.13, 0.26, 0.39, 0.52, 0.6]
    assert result.outputs["peak_compression_twin_tube"] == table.rows[-1][1]
    assert result.outputs["peak_rebound_monotube"] == table.rows[-1][5]


def test_a_step_is_the_sine_of_the_same_speed() -> None:
    stepped = evaluate(SHEET, {"motion": "stepped", "top_speed": 0.52})
    frequency = 0.52 / (2.0 * pi * 0.020)
    sine = evaluate(SHEET, {"motion": "sine", "frequency": frequency, "amplitude": 0.020})
    for name in ("peak_compression_monotube", "energy_monotube"):
        one, other = stepped.outputs[name], sine.outputs[name]
        assert one == pytest.approx(other, rel=5e-3)  # two cycles against three


def test_a_speed_without_a_solution_leaves_the_others_standing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole = bench.run_sine

    def fails_when_fast(**given: Any) -> bench.BenchTrace:  # noqa: ANN401  as run_sine takes them
        if given["motion"].peak_velocity > 0.5:
            message = "The bench finds no pressures after 0.1 s, at 0.61 m/s."
            raise NoSolutionError(message)
        return whole(**given)

    monkeypatch.setattr(bench, "run_sine", fails_when_fast)
    result = evaluate(SHEET, {"motion": "stepped", "top_speed": 0.777})
    (table,) = (table for table in result.tables if table.name == "steps")
    assert table.rows[-1][1:] == (None,) * 6
    assert all(cell is not None for cell in table.rows[0])
    assert result.outputs["peak_speed"] == pytest.approx(0.39)
    assert any("no solution" in finding.text for finding in result.findings)
    (chart,) = (chart for chart in SHEET.charts if chart.name == "force-velocity")
    assert max(chart.draw(result).curves[0].x) == pytest.approx(0.39, rel=1e-3)


def test_the_figures_are_settled_to_more_than_nine_digits(monkeypatch: pytest.MonkeyPatch) -> None:
    values: dict[str, Value] = {"motion": "sine"}
    usual = evaluate(SHEET, values).outputs
    monkeypatch.setattr("calculators.physics._bench_solver._TOLERANCE", 1e-11)
    _bench_case._sine.cache_clear()  # noqa: SLF001  traces of the coarser solver
    finer = evaluate(SHEET, values).outputs
    _bench_case._sine.cache_clear()  # noqa: SLF001
    assert finer == pytest.approx(usual, rel=1e-9)
