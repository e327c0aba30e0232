"""The learn path in the browser: answered from the first module to the signed record."""

from __future__ import annotations

import json
import re
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from calculators.quantities import from_si, plain_number
from calculators.quiz import drawn, read_question
from calculators.sheet import evaluate
from site_src.learn import ChoiceQuestion, NumberQuestion, load_modules
from tests.browser.reader import LIVE

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Locator, Page

    from site_src.learn import Module

MODULES = load_modules()
FIRST = MODULES[0]
NUMBERS = [item for item in FIRST.questions if isinstance(item, NumberQuestion)]
CHOICES = [item for item in FIRST.questions if isinstance(item, ChoiceQuestion)]
RECORD = "learn/record/"
STORED = "() => localStorage.getItem('strokebook.learn')"


@pytest.fixture
def page(emptied: BrowserContext) -> Page:
    """Give a page to a learner who has kept nothing."""
    return emptied.new_page()


@pytest.fixture
def module(page: Page, address: str) -> Page:
    """Give the first module with its numbers drawn."""
    open_module(page, address, FIRST)
    return page


@pytest.fixture
def record(page: Page, address: str) -> Page:
    """Give the training record, ready for use."""
    page.goto(address + RECORD)
    expect(page.get_by_role("button", name="Print")).to_be_visible()
    return page


def open_module(page: Page, address: str, module: Module) -> None:
    page.goto(f"{address}learn/{module.name}/")
    numbers = sum(isinstance(item, NumberQuestion) for item in module.questions)
    expect(page.locator("[data-asked]")).to_have_count(numbers, timeout=LIVE)


def box(page: Page, key: str) -> Locator:
    return page.locator(f'[data-question="{key}"]')


def part(inside: Locator, name: str) -> Locator:
    return inside.locator(f'[data-part="{name}"]').first


def truth(question: Locator, unit: str = "") -> str:
    """Return what the core of the tests gives for the numbers that stand in the page."""
    held = part(question, "form").get_attribute("data-specification")
    seed = question.get_attribute("data-asked")
    assert held is not None
    assert seed is not None
    put = read_question(json.loads(held))
    value = evaluate(put.sheet, drawn(put, int(seed))).outputs[put.answer.name]
    assert value is not None
    shown = unit or part(question, "unit").input_value()
    return plain_number(from_si(value, unit=shown, quantity=put.answer.quantity))


def submit(question: Locator, text: str) -> None:
    part(question, "value").fill(text)
    question.get_by_role("button", name="Check").click()


def choose(question: Locator, *, right: bool = True) -> None:
    which = "[data-right]" if right else ":not([data-right])"
    question.locator(f".sb-option{which} input").first.check()
    question.get_by_role("button", name="Check").click()


def answer_all(page: Page, module: Module) -> None:
    for item in module.questions:
        question = box(page, item.key)
        if isinstance(item, NumberQuestion):
            submit(question, truth(question))
        else:
            choose(question)
        expect(part(question, "verdict")).to_contain_text("Right.", timeout=LIVE)


def test_a_module_is_answered_by_keyboard_alone(page: Page, address: str) -> None:
    open_module(page, address, FIRST)
    for item in FIRST.questions:
        question = box(page, item.key)
        if isinstance(item, NumberQuestion):
            part(question, "value").focus()
            page.keyboard.insert_text(truth(question))
            page.keyboard.press("Enter")
        else:
            options = question.locator(".sb-option")
            wanted = options.evaluate_all("all => all.findIndex((one) => 'right' in one.dataset)")
            options.locator("input").first.focus()
            page.keyboard.press("Space")
            for _ in range(wanted):
                page.keyboard.press("ArrowDown")
            question.get_by_role("button", name="Check").focus()
            page.keyboard.press("Enter")
        expect(part(question, "verdict")).to_contain_text("Right.", timeout=LIVE)
    expect(page.locator(".sb-quiz__standing")).to_contain_text("Done on ")


def give(page: Page, text: str, name: str = "record.json") -> None:
    held = {"name": name, "mimeType": "application/json", "buffer": text.encode()}
    page.locator("input[type=file]").set_input_files(held)  # type: ignore[arg-type]  # a plain dict


def test_the_whole_path_is_completed_printed_and_carried_to_another_device(
    page: Page, browser: Browser, address: str, tmp_path: Path
) -> None:
    for module in MODULES:
        open_module(page, address, module)
        answer_all(page, module)
        expect(page.locator(".sb-quiz__standing")).to_contain_text("Done on ")

    page.goto(address + "learn/")
    expect(page.locator(".sb-modules__item[data-done]")).to_have_count(len(MODULES))

    page.goto(address + RECORD)
    expect(page.locator("[data-part=whole]")).to_contain_text(f"All {len(MODULES)} modules done on")
    for module in MODULES:
        total = len(module.questions)
        row = page.locator(".sb-record__table tbody tr").nth(module.number - 1)
        expect(part(row, "result")).to_have_text(f"{total} of {total}")
        expect(part(row, "tries")).to_have_text(str(total))
        expect(part(row, "date")).to_have_text(re.compile(r"^\d{4}-\d{2}-\d{2}$"))
    page.get_by_label("Name of the trainee").fill("Demo Trainee")

    paper = page.pdf(format="A4")
    assert len(PdfReader(BytesIO(paper)).pages) == 1
    page.emulate_media(media="print")
    expect(page.locator(".sb-record__signatures")).to_be_visible()
    expect(page.get_by_role("heading", name="Limits")).to_be_hidden()
    page.emulate_media(media="screen")

    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").click()
    file = tmp_path / "record.json"
    download.value.save_as(file)
    with browser.new_context(service_workers="block") as other:
        there = other.new_page()
        there.goto(address + RECORD)
        expect(there.get_by_role("button", name="Print")).to_be_visible()
        there.locator("input[type=file]").set_input_files(file)
        expect(there.locator("[data-part=said]")).to_have_text("The file was taken in.")
        expect(there.locator("[data-part=whole]")).to_contain_text("modules done on")
        expect(there.get_by_label("Name of the trainee")).to_have_value("Demo Trainee")


def test_a_choice_shows_a_reason_for_every_answer_and_can_be_answered_again(module: Page) -> None:
    question = box(module, CHOICES[0].key)
    expect(question.locator(".sb-option__why p:visible")).to_have_count(0)
    question.get_by_role("button", name="Check").click()
    expect(part(question, "verdict")).to_have_text("Choose an answer first.")
    choose(question, right=False)
    expect(part(question, "verdict")).to_contain_text("Not yet.")
    expect(question.locator(".sb-option__why p:visible")).to_have_count(len(CHOICES[0].option))
    question.get_by_role("button", name="Answer again").click()
    expect(question.locator(".sb-option__why p:visible")).to_have_count(0)
    choose(question)
    expect(part(question, "verdict")).to_have_text("Right.")
    stored = json.loads(module.evaluate(STORED))["answers"][f"{FIRST.name}/{CHOICES[0].key}"]
    assert stored["tries"] == 2
    assert stored["right"]


def test_a_wrong_number_is_told_so_and_another_unit_is_understood(module: Page) -> None:
    question = box(module, NUMBERS[1].key)
    expected = truth(question)
    submit(question, plain_number(float(expected) * 2.0))
    expect(part(question, "verdict")).to_have_text("Not yet. That is too large.")
    submit(question, "about five")
    expect(part(question, "verdict")).to_contain_text("does not start with a number")
    part(question, "unit").select_option("N·s/mm")
    submit(question, truth(question, "N·s/mm"))
    expect(part(question, "verdict")).to_contain_text("Right. The core gives ")
    stored = json.loads(module.evaluate(STORED))["answers"][f"{FIRST.name}/{NUMBERS[1].key}"]
    assert stored["tries"] == 2  # what could not be read is no try


def test_the_working_is_shown_on_request_and_then_takes_new_numbers_to_count(module: Page) -> None:
    question = box(module, NUMBERS[0].key)
    before = part(question, "text").inner_text()
    question.get_by_role("button", name="Show the working").click()
    expect(question.locator(".sb-step")).to_have_count(2)
    expect(question.locator(".sb-step math").first).to_be_visible()
    expect(question.get_by_role("button", name="Check")).to_be_disabled()
    question.get_by_role("button", name="New numbers").click()
    expect(part(question, "text")).not_to_have_text(before)
    expect(part(question, "solution")).to_be_hidden()
    submit(question, truth(question))
    expect(part(question, "verdict")).to_contain_text("Right.")


def test_the_page_never_holds_the_answer_before_it_is_asked_for(module: Page) -> None:
    for item in NUMBERS:
        digits = truth(box(module, item.key))[:5]
        assert digits not in (box(module, item.key).inner_html().partition("<template")[0])


def test_a_reader_of_imperial_units_is_asked_in_them(page: Page, address: str) -> None:
    page.goto(address + RECORD)
    page.evaluate("localStorage.setItem('strokebook.imperial', 'true')")
    open_module(page, address, FIRST)
    question = box(page, "critical")
    expect(part(question, "text")).to_contain_text("lbf/in")
    expect(part(question, "unit")).to_have_value("lbf·s/in")
    submit(question, truth(question))
    expect(part(question, "verdict")).to_contain_text("Right.")


def test_the_card_and_the_questions_of_a_page_share_one_python(page: Page, address: str) -> None:
    open_module(page, address, FIRST)
    expect(page.locator("[data-part=state]")).to_have_attribute("data-state", "live", timeout=LIVE)
    assert sum(worker.url.endswith("/app/js/worker.js") for worker in page.workers) == 1


def test_without_a_script_the_answers_fold_out_and_numbers_say_what_they_need(
    browser: Browser, address: str
) -> None:
    with browser.new_context(service_workers="block", java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(f"{address}learn/{FIRST.name}/")
        expect(page.get_by_text("Fresh numbers and marking need JavaScript").first).to_be_visible()
        expect(page.locator(".sb-question :is(input, button):visible")).to_have_count(0)
        first = page.locator(".sb-option").first
        expect(first.locator("p")).to_be_hidden()
        first.locator("summary").click()
        expect(first.locator("p")).to_be_visible()
        page.goto(address + RECORD)
        expect(page.locator(".sb-record__signatures")).to_be_visible()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("<script>alert(1)</script>", "not JSON"),
        ('{"format": "other"}', "no training record"),
        ("x" * 200_001, "200 kB"),
        (
            '{"format": "strokebook-training", "version": 1, "name": {}, "answers": {}}',
            "name must be a text",
        ),
    ],
)
def test_a_hostile_file_is_refused_and_changes_nothing(
    record: Page, content: str, words: str
) -> None:
    record.get_by_label("Name of the trainee").fill("Demo Trainee")
    before = record.evaluate(STORED)
    give(record, content)
    expect(record.locator("[data-part=said]")).to_contain_text(words)
    expect(record.locator("[data-part=said]")).to_contain_text("Nothing was changed.")
    assert record.evaluate(STORED) == before


def test_a_name_from_a_file_is_text_and_nothing_else(record: Page) -> None:
    name = "<img src=x onerror=alert(1)>"
    give(record, json.dumps(_held(name)))
    expect(record.get_by_label("Name of the trainee")).to_have_value(name)
    assert record.locator("img[src=x]").count() == 0


def _held(name: str) -> dict[str, Any]:
    return {"format": "strokebook-training", "version": 1, "name": name, "answers": {}}


def test_a_damaged_record_stays_as_it_is_until_it_is_deleted(record: Page) -> None:
    record.evaluate("localStorage.setItem('strokebook.learn', '{\"format\": \"newer\"}')")
    record.reload()
    expect(record.locator("[data-part=said]")).to_contain_text("cannot be read")
    record.get_by_label("Name of the trainee").fill("Demo Trainee")
    assert record.evaluate(STORED) == '{"format": "newer"}'
    record.on("dialog", lambda dialog: dialog.accept())
    record.get_by_role("button", name="Delete all").click()
    expect(record.locator("[data-part=said]")).to_have_text("The record is empty.")


def test_a_second_tab_follows_the_first(module: Page, address: str) -> None:
    other = module.context.new_page()
    other.goto(address + RECORD)
    expect(other.locator("[data-part=whole]")).to_contain_text("0 of")
    choose(box(module, CHOICES[0].key))
    row = other.locator(".sb-record__table tbody tr").first
    expect(part(row, "result")).to_have_text(f"1 of {len(FIRST.questions)}")


def test_where_nothing_is_kept_the_learner_is_told(page: Page, address: str) -> None:
    page.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); };")
    open_module(page, address, FIRST)
    choose(box(page, CHOICES[0].key))
    expect(page.locator(".sb-quiz__standing")).to_contain_text("keeps nothing")
