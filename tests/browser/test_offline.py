"""The handbook on a device: kept, used without a server, renewed and removed."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from site_src.offline import edition
from site_src.serve import serving
from tests.browser.reader import Reader

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Locator, Page

KEPT = 90_000  # ms that keeping everything may take on a busy machine
HERE = "care/without-signal/"
COUNT = "async () => (await (await caches.open('strokebook')).keys()).length"


@pytest.fixture
def site(folder: Path, tmp_path: Path) -> Path:
    """Give a copy of the site, below a folder: the test changes it."""
    return shutil.copytree(folder, tmp_path / "www" / "handbook")


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """Give a page in a profile that has never seen the site, and may keep it."""
    with browser.new_context() as context:
        yield context.new_page()


def state(page: Page) -> Locator:
    return page.locator("[data-offline] [data-part=state]")


def keep_everything(page: Page, address: str) -> None:
    """Press the button and wait until everything is kept."""
    page.goto(address + HERE)
    page.get_by_role("button", name="Keep everything").click()
    expect(state(page)).to_contain_text("Everything is kept", timeout=KEPT)


def renew(site: Path) -> None:
    """Publish another edition, as the build does."""
    noises = site / "care" / "noises" / "index.html"
    noises.write_text(noises.read_text().replace("<h1", "<h1 data-new"), encoding="utf-8")
    worker = site / "sw.js"
    rest = worker.read_text(encoding="utf-8").partition("\n")[2]
    listed = json.dumps(edition(site))
    worker.write_text(f"self.EDITION = {listed};\n{rest}", encoding="utf-8")


def test_what_is_kept_works_without_a_server_and_below_a_folder(page: Page, site: Path) -> None:
    with serving(site.parent) as served:
        address = f"{served}handbook/"
        keep_everything(page, address)
    site.rename(site.with_name("gone"))  # a connection that is still open finds nothing either
    page.context.set_offline(offline=True)
    page.goto(f"{address}understand/lag/")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Why a damper is late")
    reader = Reader(page, "virtual-bench", f"{address}calculate/virtual-bench/")
    reader.open()
    reader.wait_until_live()
    reader.type(*reader.changed_number())
    reader.expect_agreement()
    page.goto(f"{address}care/noises")
    assert page.url == f"{address}care/noises/"
    page.goto(f"{address}no/such/page/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Not on this device")


def test_a_new_edition_waits_for_the_reader(page: Page, site: Path) -> None:
    with serving(site) as address:
        keep_everything(page, address)
        before = page.evaluate(COUNT)
        renew(site)
        page.goto(f"{address}care/noises/")
        line = page.locator(".sb-edition")
        expect(line).to_contain_text("A new edition of this handbook is ready.", timeout=KEPT)
        expect(page.locator("h1[data-new]")).to_have_count(0)
        line.get_by_role("button", name="Reload").click()
        expect(page.locator("h1[data-new]")).to_have_count(1)
        expect(line).to_have_count(0)
        page.wait_for_function(f"async () => await ({COUNT})() === {before}")


def test_what_cannot_be_kept_is_told_and_the_page_works_on(page: Page, site: Path) -> None:
    (site / "app" / "python" / "numpy.zip").unlink()
    with serving(site) as address:
        page.goto(address + HERE)
        page.get_by_role("button", name="Keep everything").click()
        expect(state(page)).to_contain_text("numpy.zip: the server answered 404", timeout=KEPT)
        page.goto(f"{address}care/noises/")
        expect(page.get_by_role("heading", level=1)).to_contain_text("Noises")


def test_a_full_device_is_told(page: Page, address: str) -> None:
    page.goto(address + HERE)
    quota = {"origin": address.rstrip("/"), "quotaSize": 1_000_000}
    page.context.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", quota)
    page.get_by_role("button", name="Keep everything").click()
    expect(state(page)).to_contain_text("there is no room", timeout=KEPT)


def test_on_the_serving_machine_nothing_is_kept_unasked(page: Page, address: str) -> None:
    page.goto(address + HERE)
    expect(state(page)).to_contain_text("nothing is kept before you ask")


def test_a_visit_is_enough_and_what_is_kept_can_be_removed(page: Page, address: str) -> None:
    page.goto(address.replace("127.0.0.1", "handbook.localhost") + HERE)
    expect(state(page)).to_contain_text("work without a signal", timeout=KEPT)
    assert page.evaluate(COUNT) > 100
    page.get_by_role("button", name="Remove").click()
    expect(state(page)).to_contain_text("Removed")
    assert page.evaluate("async () => (await caches.keys()).length") == 0
    assert (
        page.evaluate("async () => (await navigator.serviceWorker.getRegistrations()).length") == 0
    )
