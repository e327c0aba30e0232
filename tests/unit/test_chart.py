"""Charts: data in the reader's unit, a specification in JSON, drawn without error."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import vl_convert

from calculators.chart import Axis, Chart, Curve, Drawing, Point, chart_data, chart_spec, grid
from calculators.sheet import evaluate
from calculators.sheets import load
from calculators.view import Units
from calculators.visual import present_charts
from tests.unit.strategies import SHEETS

TOKENS = Path(__file__).parents[2] / "site_src" / "assets" / "css" / "tokens.css"
DRAWING = Drawing(
    (
        Curve("first", "accent", (0.0, 0.1), (0.0, 100.0)),
        Curve("second", "rebound", (0.0,), (50.0,)),
    ),
    (Point("here", 0.05, 50.0),),
)
CHART = Chart(
    name="test",
    title="Test",
    statement="It rises.",
    x=Axis("Stroke", "length", "mm"),
    y=Axis("Force", "force", "N"),
    draw=lambda _: DRAWING,
)
DATA = chart_data(CHART, DRAWING, x_unit="mm", y_unit="N")
WIDTHS = pytest.mark.parametrize("width", [340, 640])


def _spec(width: int = 640) -> dict[str, Any]:
    return chart_spec(CHART, DRAWING, x_unit="mm", y_unit="N", width=width)


def test_a_grid_holds_both_ends() -> None:
    assert grid(0.0, 1.0, 5) == (0.0, 0.25, 0.5, 0.75, 1.0)


def test_data_are_in_the_unit_of_the_reader() -> None:
    data = chart_data(CHART, DRAWING, x_unit="in", y_unit="kN")
    assert data["curves"][1] == {
        "x": pytest.approx(0.1 / 0.0254),
        "y": 0.1,
        "label": "first",
    }  # SP 811: 1 in
    (point,) = data["points"]
    assert point["x"] == pytest.approx(0.05 / 0.0254)
    assert (point["y"], point["label"], point["side"]) == (0.05, "here", "above right")


@WIDTHS
def test_a_specification_is_json_of_the_width_asked_for(width: int) -> None:
    spec = _spec(width)
    assert json.loads(json.dumps(spec, allow_nan=False)) == spec
    assert spec["width"] == width
    named = {layer["data"]["name"] for layer in spec["layer"]}
    assert named == set(DATA)


def test_axes_say_quantity_and_unit() -> None:
    encoding = _spec()["layer"][0]["encoding"]
    assert (encoding["x"]["title"], encoding["y"]["title"]) == ("Stroke (mm)", "Force (N)")


def test_an_axis_without_a_unit_says_its_quantity_alone() -> None:
    chart = Chart(
        name="test",
        title="",
        statement="",
        x=Axis("Share", "ratio", "1"),
        y=CHART.y,
        draw=CHART.draw,
    )
    spec = chart_spec(chart, DRAWING, x_unit="1", y_unit="N", width=640)
    assert spec["layer"][0]["encoding"]["x"]["title"] == "Share"


def test_one_curve_needs_no_legend_and_several_differ_by_dash_too() -> None:
    colour, dash = (_spec()["layer"][0]["encoding"][name] for name in ("color", "strokeDash"))
    assert colour["legend"] is not None
    assert len({tuple(one) for one in dash["scale"]["range"]}) == 2
    single = chart_spec(CHART, Drawing(DRAWING.curves[:1]), x_unit="mm", y_unit="N", width=640)
    assert single["layer"][0]["encoding"]["color"]["legend"] is None


def test_a_legend_on_a_phone_has_one_entry_a_line() -> None:
    assert _spec(340)["layer"][0]["encoding"]["color"]["legend"]["columns"] == 1


@pytest.mark.parametrize("sheet", SHEETS, ids=[sheet.name for sheet in SHEETS])
def test_charts_of_a_sheet_are_json_and_in_colours_of_the_style_sheet(sheet: Any) -> None:  # noqa: ANN401
    tokens = set(re.findall(r"(--sb-[a-z-]+):", TOKENS.read_text(encoding="utf-8")))
    for chart in present_charts(evaluate(sheet), Units(imperial=True), width=640):
        text = json.dumps(chart, allow_nan=False)
        assert set(re.findall(r"var\((--[a-z-]+)\)", text)) <= tokens


def test_the_key_of_a_chart_changes_with_its_axes_and_width_alone() -> None:
    sheet = load("critical-damping")
    first, other = (evaluate(sheet, {"damping_ratio": zeta}) for zeta in (0.2, 0.4))
    keys = [chart["key"] for chart in present_charts(first, Units(), width=640)]
    assert keys == [chart["key"] for chart in present_charts(other, Units(), width=640)]
    assert keys != [chart["key"] for chart in present_charts(first, Units(), width=500)]


@WIDTHS
def test_the_chart_library_draws_every_curve_and_point(width: int) -> None:
    drawn = vl_convert.vegalite_to_svg(json.dumps(_spec(width) | {"datasets": DATA}))
    assert drawn.startswith("<svg")
    assert "Stroke (mm)" in drawn
    assert "here" in drawn


def test_each_label_stands_on_the_side_that_its_point_names() -> None:
    words = [layer for layer in _spec()["layer"] if layer["mark"].get("type") == "text"]
    sides = {layer["transform"][0]["filter"]["equal"]: layer["mark"] for layer in words}
    assert sides["above right"]["align"] == sides["below right"]["align"] == "left"
    assert sides["above left"]["dx"] < 0.0 < sides["below right"]["dx"]
    assert sides["above left"]["dy"] < 0.0 < sides["below left"]["dy"]
