"""A job in the page: it carries values on, keeps what is typed, and leaves as file and link."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators import demo
from calculators.__main__ import main
from calculators.job import Job
from calculators.job_file import dumps, loads
from tests.browser.reader import LIVE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Locator, Page

BORE, CORNER = "calculate/bore-choice/", "calculate/critical-damping/"
OPEN_TEXT = """() => localStorage.getItem(
  "strokebook.job." + JSON.parse(localStorage.getItem("strokebook.jobs")).open)"""
HARD = "() => { Storage.prototype.setItem = () => { throw new DOMException('', 'Quota'); }; }"


class Desk:
    """A reader with a job before one page."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address

    def go(self, path: str) -> None:
        self.page.goto(self.address + path)
        expect(self.page.locator("[data-sheet] [data-part=state]").first).to_have_attribute(
            "data-state", "live", timeout=LIVE
        )

    def act(self, action: str, name: str = "") -> None:
        chosen = f'[data-name="{name}"]' if name else ""
        button = self.page.locator(f".sb-job [data-action={action}]{chosen}")
        if not button.is_visible():
            self.page.locator(".sb-job__more > summary").click()
        button.click()

    def start(self, name: str = "trailer", path: str = BORE) -> None:
        self.go(path)
        self.act("demo", name)
        expect(self.title).not_to_have_value("")
        expect(self.state).to_have_text("22 up to date")

    @property
    def title(self) -> Locator:
        return self.page.locator(".sb-job [data-part=title]")

    @property
    def state(self) -> Locator:
        return self.page.locator(".sb-job__state")

    @property
    def said(self) -> Locator:
        return self.page.locator(".sb-job__said")

    def field(self, name: str) -> Locator:
        return self.page.locator(f'[data-input="{name}"] [data-part=value]')

    def source(self, name: str) -> Locator:
        return self.page.locator(f'[data-input="{name}"] [data-part=from]')

    @property
    def text(self) -> str:
        return str(self.page.evaluate(OPEN_TEXT))

    def expect_typed(self, sheet: str, name: str, value: float) -> None:
        """Wait until the job that the browser keeps has a typed value."""
        self.page.wait_for_function(
            """([sheet, name, value]) => {
              const { open } = JSON.parse(localStorage.getItem("strokebook.jobs"));
              const job = JSON.parse(localStorage.getItem("strokebook.job." + open));
              const held = job.sheets[sheet]?.inputs[name];
              return held?.from === "typed" && Math.abs(held.value - value) < 1e-9;
            }""",
            arg=[sheet, name, value],
        )

    def exported(self) -> str:
        with self.page.expect_download() as told:
            self.act("export")
        return told.value.path().read_text(encoding="utf-8")


@pytest.fixture
def reader(emptied: BrowserContext, address: str) -> Desk:
    return Desk(emptied.new_page(), address)


@pytest.fixture
def reopened(address: str) -> Callable[[BrowserContext], Desk]:
    return lambda context: Desk(context.new_page(), address)


def test_without_a_job_a_card_says_nothing_of_jobs(reader: Desk) -> None:
    reader.go(BORE)
    expect(reader.page.locator(".sb-job__none")).to_be_visible()
    expect(reader.page.locator("[data-part=from]:visible")).to_have_count(0)
    expect(reader.page.get_by_role("button", name="Save to job")).to_have_count(0)


def test_a_demo_fills_the_card_with_one_click_and_says_where_from(reader: Desk) -> None:
    reader.start()
    expect(reader.title).to_have_value("Invented example: water-testing laboratory trailer")
    expect(reader.source("force_rebound")).to_contain_text("from Critical damping")
    link = reader.source("force_rebound").locator("a")
    assert str(link.evaluate("one => one.href")).endswith(CORNER)
    assert reader.text == dumps(demo.read("trailer"))


def test_page_file_command_line_and_page_give_the_same_bytes(
    reader: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    reader.start(path=CORNER)
    reader.field("spring_rate").fill("130")
    reader.expect_typed("critical-damping", "spring_rate", 130_000.0)
    expect(reader.state).to_contain_text("out of date")
    reader.act("bring")
    expect(reader.said).to_have_text("Everything is up to date.", timeout=120_000)
    expect(reader.state).to_have_text("22 up to date")
    first, second = tmp_path / "page.job.json", tmp_path / "line.job.json"
    first.write_text(reader.exported(), encoding="utf-8")
    assert main(["run-job", str(first), "--save", str(second)]) == 0
    capsys.readouterr()
    assert second.read_bytes() == first.read_bytes()
    reader.page.locator(".sb-job [data-part=file]").set_input_files(second)
    expect(reader.said).to_have_text("The file is taken in as a job of its own.")
    assert reader.text.encode() == second.read_bytes()


def test_an_own_value_is_told_and_follows_again_on_request(reader: Desk) -> None:
    reader.start()
    before = reader.field("force_rebound").input_value()
    reader.field("force_rebound").fill("3500")
    reader.expect_typed("bore-choice", "force_rebound", 3500.0)
    expect(reader.source("force_rebound")).to_contain_text("own value")
    reader.source("force_rebound").locator("button").click()
    expect(reader.field("force_rebound")).to_have_value(before)
    expect(reader.source("force_rebound")).not_to_contain_text("own value")


def test_undo_and_redo_work_from_page_to_page(reader: Desk) -> None:
    reader.start()
    reader.field("bore_diameter").fill("50")
    reader.expect_typed("bore-choice", "bore_diameter", 0.05)
    reader.go(CORNER)
    reader.go(BORE)
    expect(reader.field("bore_diameter")).to_have_value("50")
    reader.act("back")
    expect(reader.field("bore_diameter")).to_have_value("46")
    reader.act("on")
    expect(reader.field("bore_diameter")).to_have_value("50")


def test_what_cannot_be_used_is_not_lost_when_the_page_is_left(reader: Desk) -> None:
    reader.start()
    reader.field("bore_diameter").fill("9000")
    reader.go(CORNER)
    reader.go(BORE)
    expect(reader.field("bore_diameter")).to_have_value("9000")
    assert reader.text == dumps(demo.read("trailer"))


def test_a_file_is_added_to_the_open_job_and_what_differs_is_told(reader: Desk) -> None:
    reader.start()
    theirs = Job(title="Of a colleague")
    theirs.enter("critical-damping", "spring_rate", 130_000.0)
    theirs.enter("lag", "speed", 20.0)
    with reader.page.expect_file_chooser() as chooser:
        reader.act("add")
    file = {"name": "x.json", "mimeType": "application/json", "buffer": dumps(theirs).encode()}
    chooser.value.set_files(file)  # type: ignore[arg-type]
    expect(reader.said).to_contain_text("spring rate: 120\u00a0N/mm kept, 130\u00a0N/mm left out")
    expect(reader.title).to_have_value("Invented example: water-testing laboratory trailer")
    reader.expect_typed("lag", "speed", 20.0)
    reader.expect_typed("critical-damping", "spring_rate", 120_000.0)


def test_a_value_from_the_job_is_shown_with_six_digits_and_kept_with_all(reader: Desk) -> None:
    reader.start()
    shown = reader.field("force_rebound").input_value()
    held = loads(reader.text).resolve("bore-choice")["force_rebound"].value
    assert float(shown) == pytest.approx(held, rel=5e-6)
    assert len(shown.replace(".", "")) <= 6
    exact = reader.field("force_rebound").get_attribute("title") or ""
    assert float(exact) == pytest.approx(held, rel=1e-11)
    reader.page.wait_for_timeout(600)  # what the card would take into the job by itself
    assert reader.text == dumps(demo.read("trailer"))


def test_a_damaged_file_is_refused_and_changes_nothing(reader: Desk) -> None:
    reader.start()
    file = {"name": "x.json", "mimeType": "application/json", "buffer": b'{"format": "other"}'}
    reader.page.locator(".sb-job [data-part=file]").set_input_files(file)  # type: ignore[arg-type]
    expect(reader.said).to_contain_text("This is no job file")
    expect(reader.said).to_contain_text("Nothing was changed.")
    assert reader.text == dumps(demo.read("trailer"))


def test_a_link_carries_all_that_was_typed_to_another_browser(
    reader: Desk, browser: Browser, reopened: Callable[[BrowserContext], Desk]
) -> None:
    reader.start()
    reader.act("link")
    expect(reader.said).to_contain_text("Link copied.")
    link = str(reader.page.evaluate("() => navigator.clipboard.readText()"))
    assert len(link) < 6_100
    with browser.new_context(service_workers="block") as elsewhere:
        other = reopened(elsewhere)
        other.address = ""
        other.go(link)
        expect(other.said).to_contain_text("came with a link")
        mine, theirs = (loads(one.text) for one in (reader, other))
    typed = {
        (sheet, name): held
        for sheet, entry in mine.sheets.items()
        for name, held in entry.inputs.items()
        if held.origin == "typed"
    }
    assert typed == {
        (sheet, name): held
        for sheet, entry in theirs.sheets.items()
        for name, held in entry.inputs.items()
    }


def test_a_damaged_link_is_refused(reader: Desk) -> None:
    reader.go(f"{BORE}#job=AAAA")
    expect(reader.said).to_contain_text("The link is damaged")
    expect(reader.page.locator(".sb-job__none")).to_be_visible()


def test_two_tabs_on_one_job_keep_what_both_type(
    reader: Desk, emptied: BrowserContext, reopened: Callable[[BrowserContext], Desk]
) -> None:
    reader.start()
    other = reopened(emptied)
    other.go(BORE)
    expect(other.state).to_have_text("22 up to date")
    reader.field("bore_diameter").fill("50")
    other.field("rod_diameter").fill("22")
    reader.expect_typed("bore-choice", "bore_diameter", 0.05)
    reader.expect_typed("bore-choice", "rod_diameter", 0.022)
    expect(reader.field("rod_diameter")).to_have_value("22")
    expect(other.field("bore_diameter")).to_have_value("50")
    expect(reader.said).to_contain_text("another tab")
    expect(other.said).to_contain_text("another tab")


def test_a_full_storage_is_said_and_nothing_typed_is_lost(reader: Desk) -> None:
    reader.start()
    reader.page.evaluate(HARD)
    reader.field("bore_diameter").fill("50")
    expect(reader.said).to_contain_text("storage is full")
    expect(reader.field("bore_diameter")).to_have_value("50")
    assert loads(reader.exported()).sheets["bore-choice"].inputs["bore_diameter"].value == 0.05


def test_a_title_is_shown_as_text(reader: Desk) -> None:
    reader.start()
    reader.title.fill("<img src=x onerror=alert(1)>")
    reader.title.press("Enter")
    reader.page.locator(".sb-job__more > summary").click()
    expect(reader.page.locator(".sb-job__open")).to_have_text("<img src=x onerror=alert(1)>")
    assert json.loads(reader.text)["title"] == "<img src=x onerror=alert(1)>"
    expect(reader.page.locator(".sb-job img")).to_have_count(0)


def test_the_guided_path_the_candidates_and_the_specification_show_the_job(reader: Desk) -> None:
    reader.start()
    reader.page.goto(f"{reader.address}design/")
    done = reader.page.locator('.sb-path [data-state="up to date"]')
    expect(done).to_have_count(22, timeout=LIVE)
    reader.page.get_by_role("button", name="Compare").click()
    rows = reader.page.locator(".sb-candidates__table--found tbody tr")
    expect(rows).to_have_count(8, timeout=60_000)
    reader.page.goto(f"{reader.address}design/specification/")
    paper = reader.page.locator(".sb-spec__paper")
    expect(paper.locator("h2")).to_have_text(demo.read("trailer").title, timeout=LIVE)
    expect(paper.locator("tbody tr")).to_have_count(7)
    with reader.page.expect_download() as told:
        reader.page.get_by_role("button", name="Save as JSON").click()
    found = json.loads(told.value.path().read_text(encoding="utf-8"))
    assert found["format"] == "strokebook-specification"
