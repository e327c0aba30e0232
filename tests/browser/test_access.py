"""A calculator without a mouse, without eyes, and on paper."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators.sheet import evaluate
from calculators.view import Units
from calculators.visual import present_charts
from tests.browser.reader import NOTHING, Reader, every_sheet, one_sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import BrowserContext

# Everything in the card that can be reached by keyboard, in the order of the page; a
# group of radio buttons is one stop.
STOPS = """card => [...card.querySelectorAll(
    "input, select, button, summary, a[href], [tabindex='0']")]
  .filter(one => one.checkVisibility() && !one.disabled && (one.type !== "radio" || one.checked))
  .map((one, index) => { one.dataset.stop = index; return index; })"""
STOP = "() => document.activeElement?.dataset.stop ?? null"
TOUCHED = ["textbox", "combobox", "radio", "button", "checkbox"]


def test_every_field_and_button_has_a_name_for_a_screen_reader(reader: Reader) -> None:
    session = reader.page.context.new_cdp_session(reader.page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    session.detach()
    touched = [node for node in nodes if node.get("role", {}).get("value") in TOUCHED]
    assert len(touched) > len(reader.sheet.inputs)
    assert [node for node in touched if not node.get("name", {}).get("value", "").strip()] == []


@one_sheet
def test_the_label_of_an_input_names_it(reader: Reader) -> None:
    for item in reader.sheet.inputs:
        field = reader.field(item.name)
        if field.is_visible():
            expect(field).to_have_accessible_name(re.compile(rf"^{re.escape(item.label)}"))


@every_sheet
def test_the_tab_key_reaches_everything_in_the_order_of_the_page(reader: Reader) -> None:
    stops = reader.card.evaluate(STOPS)
    reader.card.locator("[data-stop='0']").focus()
    seen: list[int] = []
    presses = 0
    while len(seen) < len(stops) and presses < 2 * len(stops):
        stop = reader.page.evaluate(STOP)
        if stop is not None:  # else one of the boxes that the browser lets one scroll
            seen.append(int(stop))
        reader.page.keyboard.press("Tab")
        presses += 1
    assert seen == stops


@one_sheet
def test_a_calculation_is_changed_and_reset_by_keyboard_alone(reader: Reader) -> None:
    before = reader.seen
    keyboard = reader.page.keyboard
    name, text = reader.changed_number()
    reader.field(name).focus()
    keyboard.press("Control+A")
    with reader.repainted():
        keyboard.insert_text(text)
    keyboard.press("Enter")
    assert reader.seen["outputs"] != before["outputs"]
    reader.expect_agreement()
    reader.button("reset").focus()
    with reader.repainted():
        keyboard.press("Space")
    reader.expect_seen(before)
    reader.part("working").locator("summary").focus()
    keyboard.press("Enter")
    expect(reader.slots("label").first).to_be_visible()
    keyboard.press("Enter")
    expect(reader.slots("label").first).to_be_hidden()


def test_new_results_are_told_to_a_screen_reader_after_a_pause(reader: Reader) -> None:
    spoken = reader.part("spoken")
    expect(spoken).to_have_attribute("aria-live", "polite")
    reader.type(*reader.changed_number(1.07))
    expected = reader.expected()["outputs"]
    for output in reader.sheet.outputs:
        if output.headline:
            value = expected[output.name]
            unit = "" if value["unit"] == "1" else f" {value['unit']}"
            expect(spoken).to_have_text(
                re.compile(re.escape(f"{output.label}: {value['text']}{unit}") + "[;.]")
            )


@one_sheet
def test_the_data_of_a_chart_can_be_read_as_a_table(reader: Reader) -> None:
    with reader.redrawn():
        reader.type(*reader.changed_number(1.03))
    figure = reader.card.locator("[data-chart]").first
    figure.locator("summary").press("Enter")
    drawn = present_charts(evaluate(reader.sheet, reader.values()), Units(), width=640)[0]
    expect(figure.locator("th")).to_have_text(["Curve or point", *drawn["columns"]])
    places = [*drawn["data"]["curves"], *drawn["data"]["points"]]
    expect(figure.locator("tbody tr")).to_have_count(len(places))
    for row, place in zip(figure.locator("tbody tr").all()[:5], places, strict=False):
        label, x, y = row.locator("td").all_inner_texts()
        assert label == place["label"]
        assert (float(x), float(y)) == pytest.approx((place["x"], place["y"]), rel=1e-4)


def test_a_drawing_stands_still_for_who_asked_for_less_motion(
    emptied: BrowserContext, address: str
) -> None:
    page = emptied.new_page()
    page.emulate_media(reduced_motion="reduce")
    still = Reader(page, "mount-geometry", f"{address}calculate/mount-geometry/")
    still.open()
    still.wait_until_live()
    player = still.part("player")
    expect(still.part("still", player)).to_be_visible()
    expect(still.part("play", player)).to_be_hidden()
    drawn = still.card.locator("[data-picture] svg").first
    before = drawn.evaluate("one => one.outerHTML")
    page.wait_for_timeout(300)
    assert drawn.evaluate("one => one.outerHTML") == before
    still.part("place", player).press("ArrowRight")
    assert drawn.evaluate("one => one.outerHTML") != before
    page.close()


@pytest.fixture
def on_paper(reader: Reader) -> Iterator[Reader]:
    reader.page.emulate_media(media="print")
    yield reader
    reader.page.emulate_media(media="screen")


@one_sheet
def test_a_print_has_values_and_results_and_no_buttons(on_paper: Reader) -> None:
    expect(on_paper.card.locator("button:visible")).to_have_count(0)
    for item in on_paper.numbers_in_use():
        expect(on_paper.field(item.name)).to_be_visible()
    for name, text in on_paper.expected_at_defaults().items():
        shown = on_paper.card.locator(f'[data-output="{name}"] output')
        expect(shown).to_be_visible(visible=text != NOTHING)
