"""Every link and anchor of the built site leads somewhere; needs no browser."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import TYPE_CHECKING
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest

if TYPE_CHECKING:
    from pathlib import Path

HERE = "http://here/"  # stands for the root of the site


@dataclass
class Page(HTMLParser):
    """The anchors of a page, and where its links lead."""

    anchors: set[str] = field(default_factory=set)
    doubled: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Start the parser."""
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del tag
        for name, value in attrs:
            if name == "id" and value:
                if value in self.anchors:
                    self.doubled.append(value)
                self.anchors.add(value)
            elif name in {"href", "src"} and value is not None:
                self.links.append(value)


@pytest.fixture(scope="module")
def parsed(pages: dict[str, str]) -> dict[str, Page]:
    """Return every page of the site, read."""
    read = {path: Page() for path in pages}
    for path, page in read.items():
        page.feed(pages[path])
    return read


def internal(path: str, page: Page) -> list[tuple[str, str, str]]:
    """Return each link of a page into the site: as written, the path it means, the anchor."""
    found = []
    for link in page.links:
        address, anchor = urldefrag(urljoin(HERE + path, link))
        if address.startswith(HERE):
            found.append((link, unquote(urlsplit(address).path).lstrip("/"), unquote(anchor)))
    return found


def test_no_page_shows_a_mark_that_was_not_read(pages: dict[str, str]) -> None:
    shown = {
        path: re.findall(r"!(?:calculator|value|figure|experiment)\(", text)
        for path, text in pages.items()
    }
    assert {path: marks for path, marks in shown.items() if marks} == {}


def test_every_link_leads_to_a_file_of_the_site(parsed: dict[str, Page], folder: Path) -> None:
    dead = {
        f"{path}: {link}"
        for path, page in parsed.items()
        for link, target, _ in internal(path, page)
        if not (
            folder / target / "index.html"
            if not target or target.endswith("/")
            else folder / target
        ).is_file()
    }
    assert dead == set()


def test_every_anchor_is_on_the_page_that_a_link_names(parsed: dict[str, Page]) -> None:
    dead = {
        f"{path}: {link}"
        for path, page in parsed.items()
        for link, target, anchor in internal(path, page)
        if anchor and target in parsed and anchor not in parsed[target].anchors
    }
    assert dead == set()


def test_no_anchor_stands_twice_on_a_page(parsed: dict[str, Page]) -> None:
    assert {path: page.doubled for path, page in parsed.items() if page.doubled} == {}


def test_every_page_but_the_one_for_errors_is_linked_from_another(parsed: dict[str, Page]) -> None:
    linked = {
        target
        for path, page in parsed.items()
        for _, target, _ in internal(path, page)
        if target != path
    }
    assert set(parsed) - linked - {"404.html"} == set()


def test_no_mark_of_the_sources_is_left_in_a_page(pages: dict[str, str]) -> None:
    assert {
        path for path, text in pages.items() if "@root" in text or "!calculator(" in text
    } == set()
