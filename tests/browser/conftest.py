"""What the browser tests share: the built site, one Chromium, calculators that are live."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from site_src.chromium import chromium, profile
from site_src.places import SITE
from site_src.serve import serving
from tests.browser.reader import THOROUGH, Reader

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Page

expect.set_options(timeout=10_000)  # ms; the machine may be busy


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the built site, so that a build meanwhile disturbs no test."""
    if not (SITE / "app" / "python" / "manifest.json").is_file():
        pytest.fail(
            "There is no built site: run `make browser`, or `python -m site_src build` first."
        )
    copy = tmp_path_factory.mktemp("site")
    return shutil.copytree(SITE, copy, dirs_exist_ok=True)


@pytest.fixture(scope="session")
def address(folder: Path) -> Iterator[str]:
    """Serve the site and give its address."""
    with serving(folder) as served:
        yield served


@pytest.fixture(scope="session")
def pages(folder: Path) -> dict[str, str]:
    """Return the path of each page below the site, and its text."""
    return {
        file.relative_to(folder).as_posix().removesuffix("index.html"): file.read_text(
            encoding="utf-8"
        )
        for file in sorted(folder.rglob("*.html"))
    }


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Give one Chromium for all tests."""
    with chromium() as started:
        yield started


@pytest.fixture(scope="session")
def shared(browser: Browser, address: str) -> Iterator[BrowserContext]:
    """Give a browser's profile that is kept from test to test, its caches too."""
    with profile(browser) as context:
        context.grant_permissions(["clipboard-read", "clipboard-write"], origin=address.rstrip("/"))
        yield context


@pytest.fixture(scope="session", params=THOROUGH)
def sheet(request: pytest.FixtureRequest) -> str:
    """Return the name of each sheet in turn; all tests of one sheet run together."""
    return str(request.param)


@pytest.fixture(scope="session")
def reader_of(pages: dict[str, str], address: str) -> Callable[[Page, str], Reader]:
    """Return a function that puts a reader before a sheet's page, not opened yet."""

    def place(page: Page, sheet: str) -> Reader:
        path = next((path for path, text in pages.items() if f'data-sheet="{sheet}"' in text), None)
        assert path is not None, f"no page of the site has the calculator {sheet}: build it anew"
        return Reader(page, sheet, address + path)

    return place


@pytest.fixture(scope="session")
def card(
    sheet: str, shared: BrowserContext, reader_of: Callable[[Page, str], Reader]
) -> Iterator[Reader]:
    """Give a reader before the card of a sheet that has gone live."""
    opened = reader_of(shared.new_page(), sheet)
    faults: list[str] = []
    opened.page.on("pageerror", lambda error: faults.append(str(error)))
    opened.page.on(
        "console", lambda said: faults.append(said.text) if said.type == "error" else None
    )
    opened.open()
    opened.printed = opened.seen
    opened.wait_until_live()
    opened.live = opened.seen
    yield opened
    opened.page.evaluate("() => localStorage.clear()")
    opened.page.close()
    assert faults == []


@pytest.fixture
def reader(card: Reader) -> Reader:
    """Return a reader before a live card that shows its defaults."""
    with card.repainted():
        card.button("reset").click()
    card.expect_seen(card.live)
    return card


@pytest.fixture(scope="session")
def used(browser: Browser, address: str) -> Iterator[BrowserContext]:
    """Give a second profile, of a browser that has seen the site."""
    with profile(browser) as context:
        context.grant_permissions(["clipboard-read", "clipboard-write"], origin=address.rstrip("/"))
        yield context


@pytest.fixture
def emptied(used: BrowserContext, address: str) -> Iterator[BrowserContext]:
    """Give that profile with an empty storage: faster than a new one, as machine code is kept."""
    blank, *others = used.pages or [used.new_page()]
    assert others == []
    storage = {"origin": address.rstrip("/"), "storageTypes": "local_storage,cache_storage"}
    used.new_cdp_session(blank).send("Storage.clearDataForOrigin", storage)
    yield used
    for page in used.pages[1:]:
        page.close()


@pytest.fixture
def newcomer(emptied: BrowserContext, reader_of: Callable[[Page, str], Reader]) -> Reader:
    """Return a reader who has kept nothing and has not opened the page yet."""
    return reader_of(emptied.new_page(), THOROUGH[0])


@pytest.fixture
def stranger(browser: Browser) -> Iterator[Page]:
    """Give a page in a profile that has never seen the site."""
    with browser.new_context(service_workers="block") as context:
        yield context.new_page()
