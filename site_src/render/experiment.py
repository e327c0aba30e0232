"""A sheet cut down to what one page explains: a few inputs, what they move, one picture."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from calculators.sheets import load
from site_src.render.card import card_html

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["experiment_html"]

_FIELD = re.compile(r'<div class="(sb-(?:input|output)[^"]*)" data-(?:input|output)="([\w-]+)"')
_FIGURE = re.compile(
    r'<figure class="sb-(?:chart|picture) sb-far" data-(?:chart|picture)="([\w-]+)">.*?</figure>',
    re.DOTALL,
)


def experiment_html(name: str, words: str) -> str:
    """Return the card of a sheet that shows only the inputs, results and charts named.

    It is the whole card, so the same core answers and all other inputs keep their
    defaults; what is not named is left out of sight. A chart that shares its name with
    a result, as "phase" of the lag sheet, is not shown.

    Raises
    ------
    ValueError
        If the sheet has nothing of one of the names.
    """
    kept = set(words.split())
    fields, drawn = set(_fields(name)), set(_drawn(name))
    unknown = kept - fields - drawn
    if unknown or not kept:
        message = f"!experiment({name}): the sheet has no {', '.join(sorted(unknown)) or 'names'}"
        raise ValueError(message)

    def field(found: re.Match[str]) -> str:
        if found[2] in kept:
            return found[0]
        return found[0].replace(found[1], f"{found[1]} sb-unseen", 1)

    def figure(found: re.Match[str]) -> str:
        return found[0] if found[1] in kept - fields else ""

    card = _FIGURE.sub(figure, _FIELD.sub(field, card_html(name)))
    more = (
        f'<p class="sb-experiment__more"><a href="@root/{load(name).page.removesuffix(".md")}/">'
        "All inputs, the working and the sources</a></p>"
    )
    return f'<div class="sb-experiment">{card}{more}</div>'


def _fields(name: str) -> Iterator[str]:
    sheet = load(name)
    yield from (field.name for field in sheet.inputs)
    yield from (output.name for output in sheet.outputs)


def _drawn(name: str) -> Iterator[str]:
    sheet = load(name)
    yield from (chart.name for chart in sheet.charts)
    yield from (picture.name for picture in sheet.pictures)
