"""Charts drawn at build time, by the same library and specification as in the page."""

from __future__ import annotations

import json
import re
from functools import cache
from typing import TYPE_CHECKING, Any

import vl_convert
from markupsafe import Markup

from calculators.view import Units
from calculators.visual import present_charts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Result

__all__ = ["NARROW", "WIDE", "chart_pictures", "chart_svg"]

WIDE, NARROW = 640, 340  # px, width of the drawing on a desk and on a phone
_NOISE = re.compile(r' (?:aria-[a-z]+|role|pointer-events|xmlns:xlink|version|font-family)="[^"]*"')
_SIZE = re.compile(r'^<svg([^>]*?) width="[^"]*" height="[^"]*"')
_PLACES = re.compile(r' (?:d|transform)="[^"]*"')
_LONG = re.compile(r"(\d+\.\d)\d+")


def chart_svg(chart: Mapping[str, Any]) -> Markup:
    """Return the drawing of a chart, given as its specification and data, in the page's colours."""
    return _svg(json.dumps(chart["spec"] | {"datasets": chart["data"]}))


@cache
def _svg(specification: str) -> Markup:
    drawn = vl_convert.vegalite_to_svg(
        specification, vl_version=vl_convert.get_vegalite_versions()[-1]
    )
    bare = _NOISE.sub("", _SIZE.sub(r"<svg\1", drawn))
    shortened = _PLACES.sub(
        lambda place: _LONG.sub(r"\1", place[0]), bare
    )  # a tenth of a pixel is enough
    return Markup(shortened.replace("<svg", '<svg aria-hidden="true"', 1))  # noqa: S704  made by the chart library


def _pictures(result: Result, width: int) -> dict[str, Markup]:
    charts = present_charts(result, Units(), width=width)
    return {chart["name"]: chart_svg(chart) for chart in charts}


def chart_pictures(result: Result) -> list[dict[str, Any]]:
    """Return each chart of a result with its words and its two pictures, wide and narrow."""
    wide, narrow = _pictures(result, WIDE), _pictures(result, NARROW)
    return [
        {
            "name": chart.name,
            "title": chart.title,
            "statement": chart.statement,
            "wide": wide[chart.name],
            "narrow": narrow[chart.name],
        }
        for chart in result.sheet.charts
    ]
