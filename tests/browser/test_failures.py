"""What a reader has when the page's Python cannot come, comes late, or is not wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators.field import Input
from calculators.sheets import names
from calculators.view import Units, restated
from tests.browser.reader import LIVE, NOTHING, Reader

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Browser, Page, Route

PYTHON = "**/app/python/**"
CORE = "**/calculators.zip"


def refuse(route: Route) -> None:
    route.abort()


def break_down(route: Route) -> None:
    route.fulfill(status=500, body="out of order")


def corrupt(route: Route) -> None:
    route.fulfill(status=200, content_type="application/zip", body="no archive at all")


def spoil(route: Route) -> None:
    """Answer with the right kind of file, a piece of it turned over."""
    content = bytearray(route.fetch().body())
    middle = len(content) // 2
    content[middle : middle + 4096] = bytes(255 - byte for byte in content[middle : middle + 4096])
    route.fulfill(response=route.fetch(), body=bytes(content))


def hold_back(page: Page, pattern: str) -> list[Route]:
    """Answer no request for these files; return the list in which they gather."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route(pattern, hold)
    return held


def changed(reader: Reader) -> None:
    """Type another number, without waiting for anything."""
    name, text = reader.changed_number()
    reader.field(name).fill(text)


@pytest.mark.parametrize(
    ("pattern", "answer", "told"),
    [
        (PYTHON, refuse, "Failed to fetch"),
        ("**/worker.js", refuse, "could not be loaded"),
        (CORE, break_down, "calculators.zip: the server answered 500"),
        (CORE, corrupt, "calculators.zip is damaged"),
        ("**/python_stdlib.zip", corrupt, "The worked example stays"),
        ("**/pyodide.asm.wasm", break_down, "pyodide.asm.wasm did not come whole"),
        ("**/pyodide.asm.wasm", refuse, "pyodide.asm.wasm did not come whole"),
        ("**/pyodide.asm.wasm", spoil, "The worked example stays"),
        ("**/pyodide.asm.mjs", corrupt, "The worked example stays"),
        ("**/pyodide.mjs", corrupt, "The worked example stays"),
        ("**/pyodide-lock.json", corrupt, "The worked example stays"),
        ("**/worker.js", corrupt, "The worked example stays"),
        (CORE, spoil, "The worked example stays"),
    ],
    ids=[
        "no-python",
        "no-worker",
        "core-500",
        "core-corrupt",
        "library-corrupt",
        "wasm-500",
        "no-wasm",
        "wasm-spoilt",
        "machine-corrupt",
        "loader-corrupt",
        "lock-corrupt",
        "worker-corrupt",
        "core-spoilt",
    ],
)
def test_without_python_the_example_stays_and_a_retry_goes_live_with_what_was_typed(
    newcomer: Reader, pattern: str, answer: Callable[[Route], None], told: str
) -> None:
    newcomer.page.route(pattern, answer)
    newcomer.open()
    printed = newcomer.seen
    state = newcomer.part("state")
    expect(state).to_have_attribute("data-state", "failed", timeout=LIVE)
    expect(state).to_contain_text(told)
    expect(newcomer.part("stale")).to_be_hidden()
    changed(newcomer)
    typed = newcomer.seen
    assert typed["outputs"] == printed["outputs"]
    expect(newcomer.part("stale")).to_be_visible()
    newcomer.page.unroute(pattern)
    newcomer.button("retry").click()
    newcomer.wait_until_live()
    expect(newcomer.button("retry")).to_be_hidden()
    expect(newcomer.part("stale")).to_be_hidden()
    assert newcomer.seen["texts"] == typed["texts"]
    newcomer.expect_agreement()


def test_what_is_typed_while_python_loads_is_kept_and_used(newcomer: Reader) -> None:
    held = hold_back(newcomer.page, CORE)
    newcomer.open()
    expect(newcomer.part("state")).to_have_attribute("data-state", "loading")
    printed = newcomer.seen
    changed(newcomer)
    typed = newcomer.seen
    expect(newcomer.part("stale")).to_be_visible()
    for route in held:
        route.continue_()
    newcomer.wait_until_live()
    assert newcomer.seen["texts"] == typed["texts"]
    assert newcomer.seen["outputs"] != printed["outputs"]
    newcomer.expect_agreement()


def test_a_unit_chosen_while_python_loads_converts_the_value(newcomer: Reader) -> None:
    held = hold_back(newcomer.page, CORE)
    newcomer.open()
    expect(newcomer.part("state")).to_have_attribute("data-state", "loading")
    printed = newcomer.seen
    newcomer.card.locator(".sb-systems [value=imperial]").check()
    for route in held:
        route.continue_()
    newcomer.wait_until_live()
    item = newcomer.numbers_in_use()[0]
    expect(newcomer.unit(item.name)).not_to_have_value(printed["units"][item.name])
    newcomer.expect_agreement()
    newcomer.choose_system("si")
    newcomer.expect_seen(printed)


def test_what_is_typed_while_units_change_is_converted_too(newcomer: Reader) -> None:
    held = hold_back(newcomer.page, CORE)
    newcomer.open()
    expect(newcomer.part("state")).to_have_attribute("data-state", "loading")
    newcomer.card.locator(".sb-systems [value=imperial]").check()
    name, text = newcomer.changed_number()
    before = newcomer.unit(name).input_value()
    newcomer.field(name).fill(text)
    for route in held:
        route.continue_()
    newcomer.wait_until_live()
    expect(newcomer.unit(name)).not_to_have_value(before)
    after = newcomer.unit(name).input_value()
    item = newcomer.sheet.input(name)
    assert isinstance(item, Input)
    typed = restated(item, text, before=Units(), after=Units({name: after}))
    assert newcomer.held(name) == typed
    newcomer.expect_agreement()


def test_without_the_chart_library_the_numbers_stay_live(newcomer: Reader) -> None:
    newcomer.page.route("**/app/vega/**", refuse)
    newcomer.open()
    newcomer.wait_until_live()
    for factor in (1.1, 1.2):
        newcomer.type(*newcomer.changed_number(factor))
        newcomer.expect_agreement()
        expect(newcomer.part("state")).to_contain_text("charts still show earlier inputs")
        expect(newcomer.part("state")).to_have_attribute("data-state", "live")
    newcomer.page.unroute("**/app/vega/**")
    with newcomer.redrawn():
        changed(newcomer)
    expect(newcomer.part("state")).not_to_contain_text("earlier inputs")


def test_without_javascript_the_worked_example_is_there_and_says_so(
    browser: Browser, reader_of: Callable[[Page, str], Reader]
) -> None:
    with browser.new_context(service_workers="block", java_script_enabled=False) as context:
        reader = reader_of(context.new_page(), names()[0])
        reader.open()
        expect(reader.part("state")).to_contain_text("switch on JavaScript")
        for name, text in reader.expected_at_defaults().items():
            shown = reader.card.locator(f'[data-output="{name}"] output')
            expect(shown).to_have_text(text)
            expect(shown).to_be_visible(visible=text != NOTHING)
        for item in reader.numbers_in_use():
            expect(reader.field(item.name)).to_be_visible()
            assert reader.field(item.name).get_attribute("readonly") is not None
        reader.part("working").locator("summary").click()
        expect(reader.slots("numbers").first).to_be_visible()
        for chart in reader.sheet.charts:
            expect(reader.card.locator(f'[data-chart="{chart.name}"] svg:visible')).to_have_count(1)
