"""The search finds pages, and costs nothing until somebody searches."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Page


@pytest.fixture
def page(stranger: Page, address: str) -> Page:
    """Give a stranger on a page of the handbook."""
    stranger.goto(address + "care/noises/")
    return stranger


def search(page: Page, words: str) -> None:
    page.locator("[data-md-component=search-query]").press_sequentially(words)


def test_the_index_is_fetched_when_somebody_searches(page: Page) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.wait_for_load_state("networkidle")
    assert not [url for url in asked if url.endswith("pages.json")]
    with page.expect_request("**/pages.json"):
        search(page, "co")


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("corrugated", "What corrugations do"),
        ("oily", "Is it leaking?"),
        ("torque", "Rod and bolt"),
    ],
)
def test_the_page_that_is_meant_is_found(page: Page, words: str, found: str) -> None:
    search(page, words)
    expect(page.locator(".md-search-result__item h1", has_text=found).first).to_be_visible()


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("wet", "Is it leaking?"),
        ("leaking", "Is it leaking?"),
        ("dripping", "Is it leaking?"),
        ("knocking", "Noises"),
        ("squeaking", "Noises"),
        ("bouncing", "Bounce and lean"),
        ("spongy", "Bounce and lean"),
        ("bumpy", "Bounce and lean"),
        ("loose", "Bushes and bearings"),
        ("bent", "Rod and body"),
        ("cupping", "Tyre wear"),
    ],
)
def test_the_words_of_customers_lead_to_the_page_for_them_first(
    page: Page, words: str, found: str
) -> None:
    search(page, words)
    expect(page.locator(".md-search-result__item h1").first).to_have_text(found)


def test_the_form_of_a_calculator_clutters_no_result(page: Page) -> None:
    search(page, "imperial")
    expect(page.locator(".md-search-result__meta")).to_contain_text("matching")
    assert "mmmcm" not in page.locator(".md-search-result__list").inner_text()
