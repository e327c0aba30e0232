"""A piece of a calculator in a page to read: it wakes when the reader comes to it."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators.field import Input
from site_src.places import ROOT
from tests.browser.reader import LIVE, Reader

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

DOCS = ROOT / "docs"
MARK = re.compile(r'^!experiment\(([\w-]+) "([^"]+)"\)$', re.MULTILINE)
EXPERIMENTS = [
    (path.relative_to(DOCS).with_suffix("").as_posix(), *found.groups())
    for path in sorted(DOCS.rglob("*.md"))
    for found in MARK.finditer(path.read_text(encoding="utf-8"))
]
# What is drawn: the pictures of charts, and the parts of drawings.
DRAWN = """card => [...card.querySelectorAll("figure svg, figure canvas")].map(
  one => one.tagName === "CANVAS" ? one.toDataURL() : one.outerHTML)"""


def test_an_experiment_goes_live_where_the_reader_comes_to_it(stranger: Page, address: str) -> None:
    asked: list[str] = []
    stranger.on("request", lambda request: asked.append(request.url))
    reader = Reader(stranger, "lag", f"{address}understand/lag/")
    reader.open()
    stranger.wait_for_load_state("networkidle")
    assert not any("/app/python/" in url for url in asked)
    expect(reader.part("state")).to_have_attribute("data-state", "waiting")
    reader.card.scroll_into_view_if_needed()
    expect(reader.part("state")).to_have_attribute("data-state", "live", timeout=LIVE)
    reader.type("damping", "9000")
    reader.expect_agreement()


@pytest.mark.parametrize(("path", "sheet", "shown"), EXPERIMENTS, ids=lambda text: text[:40])
def test_every_experiment_answers_what_the_reader_changes(
    used: BrowserContext, address: str, path: str, sheet: str, shown: str
) -> None:
    page = used.new_page()
    try:
        reader = Reader(page, sheet, f"{address}{path}/")
        reader.open()
        reader.card.scroll_into_view_if_needed()
        expect(reader.part("state")).to_have_attribute("data-state", "live", timeout=LIVE)
        offered = {item.name for item in reader.sheet.inputs} & set(shown.split())
        assert set(reader.asked()) <= offered
        asked = [reader.sheet.input(name) for name in reader.asked()]
        numbers = [item for item in asked if isinstance(item, Input) and item.default]
        pictures = [reader.card.evaluate(DRAWN)]
        for item in numbers[:2]:
            assert item.default is not None
            with reader.redrawn():
                reader.type(item.name, reader.text(item.name, 1.05 * item.default, item.unit))
            reader.expect_agreement()
            pictures.append(reader.card.evaluate(DRAWN))
        assert len(pictures) > 1
        assert all(before != after for before, after in pairwise(pictures))
    finally:
        page.close()
