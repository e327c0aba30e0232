"""A sheet as the card that stands in its page, with its worked example filled in."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from calculators.quantities import QUANTITIES
from calculators.sheet import Choice, Rows, evaluate, in_use
from calculators.sheets import load
from calculators.view import Units, present
from calculators.visual import present_pictures
from site_src.render.chart import chart_pictures
from site_src.render.html import environment, tree_html

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Field, Result

__all__ = ["card_html"]


def _form_item(item: Field, shown: Mapping[str, Any], *, used: bool) -> dict[str, Any]:
    common = {
        "name": item.name,
        "label": item.label,
        "help": item.help,
        "when": item.when,
        "used": used,
    }
    if isinstance(item, Choice):
        return {**common, "symbol": "", "options": item.options, "columns": (), "range": ""}
    if isinstance(item, Rows):
        columns = [
            {"label": column.label, "symbol": column.symbol, "unit": unit}
            for column, unit in zip(item.columns, shown["columns"], strict=True)
        ]
        return {
            **common,
            "symbol": "",
            "options": (),
            "columns": columns,
            "text": shown["text"],
            "range": "",
        }
    return {
        **common,
        "symbol": item.symbol,
        "options": (),
        "columns": (),
        "quantity": item.quantity,
        "units": QUANTITIES[item.quantity].units,
        "unit": shown["unit"],
        "text": shown["text"],
        "range": shown["range"],
        "optional": item.optional,
    }


def card_html(name: str) -> str:
    """Return the card of a sheet as HTML: form, default result, findings, charts, working."""
    sheet = load(name)
    result = evaluate(sheet)
    view = present(result, Units())
    items = [
        (
            item.group,
            _form_item(item, view["inputs"][item.name], used=in_use(item, result.given.choices)),
        )
        for item in sheet.inputs
    ]
    outputs = [
        {
            "name": output.name,
            "label": output.label,
            "symbol": output.symbol,
            "meaning": output.meaning,
            "headline": output.headline,
            "quantity": output.quantity,
            "units": QUANTITIES[output.quantity].units,
            **view["outputs"][output.name],
        }
        for output in sheet.outputs
    ]
    return (
        environment()
        .get_template("card.html")
        .render(
            sheet=sheet,
            groups=[
                (group, [item for _, item in run])
                for group, run in groupby(items, key=lambda pair: pair[0])
            ],
            outputs=outputs,
            view=view,
            charts=chart_pictures(result),
            pictures=_pictures(result),
        )
    )


def _pictures(result: Result) -> list[dict[str, Any]]:
    drawn = {picture["name"]: picture for picture in present_pictures(result, Units())}
    return [
        {
            **drawn[picture.name],
            "title": picture.title,
            "statement": picture.statement,
            "drawn": tree_html(drawn[picture.name]["elements"]),
        }
        for picture in result.sheet.pictures
    ]
