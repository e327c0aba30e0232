"""The care pages in the browser: the guided check, the card on paper, the log on the device."""

from __future__ import annotations

import csv
import json
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from site_src.care import all_paths, load_check

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from site_src.care import Outcome

CHECK = load_check()
CARE = "care/guided-check/"
LOG = "care/inspection-log/"
CARD = "care/inspection-card/"
PHONE = {"width": 390, "height": 844}
STEPS = "[data-step]:visible"
FULL = "() => { Storage.prototype.setItem = () => { throw new Error('full'); }; }"
# Every path in one page: what stands in the address afterwards, and the one step that is shown.
WALK_ALL = """async paths => {
  const seen = [];
  for (const path of paths) {
    location.hash = `check=${path}`;
    await new Promise(done => window.addEventListener("hashchange", done, { once: true }));
    const steps = [...document.querySelectorAll("[data-step]")];
    seen.push(steps.filter(one => one.checkVisibility()).map(one => one.id).join(" "));
  }
  return seen;
}"""


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """Give a page on a phone, in a profile of its own."""
    with browser.new_context(
        service_workers="block",
        viewport=PHONE,  # type: ignore[arg-type]  # a plain dict
        accept_downloads=True,
    ) as context:
        yield context.new_page()


def open_check(page: Page, address: str, fragment: str = "") -> Page:
    """Open the guided check and wait until its script has taken over."""
    page.goto(address + CARE + fragment)
    expect(page.locator("[data-care=check][data-live]")).to_be_visible()
    return page


@pytest.fixture
def check(page: Page, address: str) -> Page:
    """Give the guided check at its start."""
    return open_check(page, address)


@pytest.fixture
def log(page: Page, address: str) -> Page:
    """Give the inspection log, ready to write into."""
    page.goto(address + LOG)
    expect(page.get_by_label("Finding")).to_be_enabled()
    return page


def answer(page: Page, *words: str) -> None:
    for word in words:
        page.locator(STEPS).get_by_role("link", name=word).click()


def outcome(page: Page, wanted: Outcome) -> None:
    expect(page.locator(STEPS)).to_have_attribute("id", f"outcome-{wanted.key}")
    expect(page.locator(STEPS).locator("[data-text=verdict]")).to_have_text(wanted.word)


def write(page: Page, finding: str, note: str = "") -> None:
    page.get_by_label("Finding").fill(finding)
    page.get_by_label("Note").fill(note)
    page.get_by_role("button", name="Write it down").click()


def test_an_oily_damper_is_judged_with_a_few_taps(check: Page) -> None:
    answer(check, "There is oil on a damper", "One thin trail", "The damper is new")
    outcome(check, CHECK.outcomes["oil-first-use"])
    expect(check.locator(STEPS).locator("figure")).to_be_visible()
    expect(check.locator("[data-part=summary]")).to_contain_text("One thin trail")


def test_every_path_of_the_data_can_be_walked_in_the_page(check: Page) -> None:
    wanted = {
        "/".join([topic.name, *(given.key for given in answers)]): f"outcome-{end.key}"
        for topic in CHECK.topics
        for answers, end in all_paths(CHECK, topic.start)
    }
    assert dict(zip(wanted, check.evaluate(WALK_ALL, list(wanted)), strict=True)) == wanted


def test_back_goes_one_answer_back_and_restart_to_the_start(check: Page) -> None:
    answer(check, "I hear a noise", "A squeak")
    check.get_by_role("button", name="Back", exact=True).click()
    expect(check.locator(STEPS)).to_have_attribute("id", "question-noise-kind")
    check.go_back()
    expect(check.locator(STEPS)).to_have_attribute("id", "question-start")
    check.go_forward()
    expect(check.locator(STEPS)).to_have_attribute("id", "question-noise-kind")
    check.get_by_role("button", name="Restart").click()
    expect(check.locator(STEPS)).to_have_attribute("id", "question-start")
    expect(check.get_by_role("button", name="Back", exact=True)).to_be_disabled()


def test_a_shared_address_opens_at_the_same_outcome_and_back_still_works(
    page: Page, address: str
) -> None:
    open_check(page, address, "#check=oil/wet/seal/no")
    outcome(page, CHECK.outcomes["oil-leak"])
    page.get_by_role("button", name="Back", exact=True).click()
    expect(page.locator(STEPS)).to_have_attribute("id", "question-oil-reach")


@pytest.mark.parametrize("fragment", ["check=oil/nonsense", "question-oil-look"])
def test_an_address_is_followed_as_far_as_it_is_known(
    page: Page, address: str, fragment: str
) -> None:
    open_check(page, address, f"#{fragment}")
    expect(page.locator(STEPS)).to_have_attribute("id", "question-oil-look")


def test_the_question_gets_the_focus_and_is_told(check: Page) -> None:
    answer(check, "I look at the rod")
    expect(check.get_by_role("heading", name=CHECK.questions["rod-look"].ask)).to_be_focused()
    expect(check.locator("[data-part=spoken]")).to_have_text("Question 2.")
    check.keyboard.press("Tab")
    check.keyboard.press("Enter")
    expect(check.locator(STEPS)).to_have_attribute("id", "question-rod-straight")


def test_every_question_can_be_shown_at_once(check: Page) -> None:
    check.get_by_role("button", name="Show every question").click()
    expect(check.locator(STEPS)).to_have_count(1 + len(CHECK.questions) + len(CHECK.outcomes))
    check.get_by_role("button", name="One question at a time").click()
    expect(check.locator(STEPS)).to_have_count(1)


def test_without_javascript_the_whole_check_is_there_and_leads_on(
    browser: Browser, address: str
) -> None:
    with browser.new_context(service_workers="block", java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(address + CARE)
        expect(page.locator(STEPS)).to_have_count(1 + len(CHECK.questions) + len(CHECK.outcomes))
        page.get_by_role("link", name=CHECK.topics[0].say).click()
        assert page.url.endswith("#question-oil-look")


def test_an_outcome_goes_into_the_log(check: Page) -> None:
    answer(check, "There is oil on a damper", "A dull, thin film")
    check.get_by_role("link", name="Write it into the log").click()
    expect(check.get_by_label("Finding")).to_have_value("Normal: Oil mist")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("axles", ["1", "2"])
def test_the_card_fits_one_page(page: Page, address: str, paper: str, axles: str) -> None:
    page.goto(address + CARD)
    page.locator(f'input[value="{axles}"]').check()
    assert len(PdfReader(BytesIO(page.pdf(format=paper))).pages) == 1


def test_a_card_for_one_axle_has_no_rear_columns(page: Page, address: str) -> None:
    page.goto(address + CARD)
    page.get_by_label("one axle").check()
    expect(page.locator(".sb-inspection__box:visible")).to_have_count(len(CHECK.topics) * 4)


def test_an_entry_stays_and_is_text(log: Page) -> None:
    write(log, "<b>oil</b> mist", "=1+1")
    log.reload()
    row = log.locator("[data-part=rows] tr")
    expect(row).to_have_count(1)
    expect(row.locator("[data-cell=finding]")).to_have_text("<b>oil</b> mist")
    log.once("dialog", lambda dialog: dialog.accept())
    row.get_by_role("button", name="Delete").click()
    expect(row).to_have_count(0)


def test_an_entry_without_a_finding_is_refused_with_the_reason(log: Page) -> None:
    write(log, "", "typed")
    expect(log.locator("[data-part=said]")).to_contain_text("The finding is empty")
    expect(log.get_by_label("Note")).to_have_value("typed")


def test_a_full_storage_is_said_and_the_typed_text_stays(log: Page) -> None:
    log.evaluate(FULL)
    write(log, "Oil mist", "long note")
    expect(log.locator("[data-part=said]")).to_contain_text("storage is full")
    expect(log.get_by_label("Finding")).to_have_value("Oil mist")
    expect(log.get_by_label("Note")).to_have_value("long note")
    log.get_by_role("button", name="Write it down").click()
    expect(log.locator("[data-part=rows] tr")).to_have_count(1)


def test_a_damaged_log_is_left_alone_until_the_reader_deletes_it(log: Page) -> None:
    log.evaluate("() => localStorage.setItem('strokebook-log', '{damaged')")
    log.reload()
    expect(log.locator("[data-part=said]")).to_contain_text("damaged and stays as it is")
    write(log, "Oil mist")
    expect(log.locator("[data-part=said]")).to_contain_text("in the way")
    assert log.evaluate("() => localStorage.getItem('strokebook-log')") == "{damaged"
    log.once("dialog", lambda dialog: dialog.accept())
    log.get_by_role("button", name="Delete all").click()
    log.get_by_role("button", name="Write it down").click()
    expect(log.locator("[data-part=rows] tr")).to_have_count(1)


def test_the_log_is_saved_as_csv_and_json_and_taken_in_again(log: Page) -> None:
    write(log, "Oil mist", "=1+1")
    with log.expect_download() as table:
        log.get_by_role("button", name="Save as CSV").click()
    with table.value.path().open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["finding"], row["note"]) == ("Oil mist", "'=1+1")
    with log.expect_download() as saved:
        log.get_by_role("button", name="Save as JSON").click()
    kept = saved.value.path().read_bytes()
    assert json.loads(kept)["format"] == "strokebook-log"
    log.evaluate("() => localStorage.clear()")
    log.reload()
    file_input = log.locator("[data-part=file]")
    file_input.set_input_files({"name": "x.json", "mimeType": "application/json", "buffer": b"{"})
    expect(log.locator("[data-part=said]")).to_contain_text("Nothing was changed")
    for words in ("1 new entries", "0 new entries"):
        file_input.set_input_files(
            {"name": "log.json", "mimeType": "application/json", "buffer": kept}
        )
        expect(log.locator("[data-part=said]")).to_contain_text(words)


def test_a_reminder_is_a_calendar_file(log: Page) -> None:
    log.get_by_role("button", name="Make a calendar file").click()
    expect(log.locator("[data-part=reminded]")).to_have_text("Choose the day of the reminder.")
    log.get_by_label("Day").fill("2026-12-24")
    with log.expect_download() as made:
        log.get_by_role("button", name="Make a calendar file").click()
    assert made.value.suggested_filename == "damper-reminder-2026-12-24.ics"
    assert b"DTSTART;VALUE=DATE:20261224\r\n" in made.value.path().read_bytes()
