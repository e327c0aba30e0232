"""A piece of a calculator in a page to read: it wakes when the reader comes to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

from tests.browser.reader import LIVE, Reader

if TYPE_CHECKING:
    from playwright.sync_api import Page


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
