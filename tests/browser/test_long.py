"""A calculation that takes long says how far it is, and can be stopped."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.reader import LIVE

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import BrowserContext, Page

    from tests.browser.reader import Reader

# What the bar has shown, as the page paints it.
WATCH = """card => {
  const bar = card.querySelector("progress");
  window.shares = [];
  new MutationObserver(() => window.shares.push(bar.position)).observe(bar, { attributes: true });
}"""


@pytest.fixture
def map_reader(emptied: BrowserContext, reader_of: Callable[[Page, str], Reader]) -> Reader:
    reader = reader_of(emptied.new_page(), "speed-map")
    reader.open()
    reader.wait_until_live()
    return reader


def test_a_long_calculation_shows_how_far_it_is(map_reader: Reader) -> None:
    map_reader.card.evaluate(WATCH)
    expect(map_reader.part("progress")).to_be_hidden()
    with map_reader.repainted():
        pass
    shares = [share for share in map_reader.page.evaluate("window.shares") if share >= 0.0]
    assert len(set(shares)) > 2
    assert shares == sorted(shares)
    expect(map_reader.part("progress")).to_be_hidden()
    map_reader.expect_agreement()


def test_a_page_loaded_again_amid_a_calculation_begins_it_anew(map_reader: Reader) -> None:
    name, text = map_reader.changed_number()
    map_reader.field(name).fill(text)
    map_reader.ask()
    expect(map_reader.part("progress")).to_be_visible()
    map_reader.page.reload(wait_until="domcontentloaded")
    map_reader.wait_until_live()
    assert map_reader.field(name).input_value() == text
    map_reader.expect_agreement()


def test_a_long_calculation_can_be_stopped_and_asked_for_again(map_reader: Reader) -> None:
    printed = map_reader.seen["outputs"]
    name, text = map_reader.changed_number()
    map_reader.field(name).fill(text)
    map_reader.ask()
    map_reader.button("stop").click()
    state = map_reader.part("state")
    expect(state).to_contain_text("Stopped")
    expect(state).to_have_attribute("data-state", "ready")
    expect(map_reader.part("progress")).to_be_hidden()
    expect(map_reader.part("stale")).to_be_visible()
    assert map_reader.seen["outputs"] == printed
    assert map_reader.field(name).input_value() == text
    map_reader.ask()
    expect(state).to_have_attribute("data-state", "ready", timeout=LIVE)
    expect(map_reader.part("stale")).to_be_hidden()
    map_reader.expect_agreement()
