"""What a reader has when the page's Python cannot come, comes late, or is not wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Route, expect

from calculators.field import Input
from calculators.sheets import names
from calculators.view import Units, restated
from tests.browser.reader import LIVE, NOTHING, Reader

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Browser, Page

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


def hold_back(page: Page, pattern: str) -> Callable[[], None]:
    """Answer no request for these files; return what lets them all come."""
    held: list[Route] = []

    released: list[bool] = []

    def hold(route: Route) -> None:
        if released:
            route.continue_()
        else:
            held.append(route)

    def release() -> None:
        released.append(True)
        for route in held:
            route.continue_()

    page.route(pattern, hold)
    return release


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


# What the worker says of how Python started.
LISTEN = """() => {
  const Worker = window.Worker;
  window.Worker = class extends Worker {
    constructor(...how) {
      super(...how);
      this.addEventListener("message", ({ data }) => {
        if ("restored" in (data.value ?? {})) window.restored = data.value.restored;
      });
    }
  };
}"""
# A snapshot kept on the device, changed in one way or another.
KEEP = """async change => {
  const script = document.querySelector("script[data-worker]").dataset.worker;
  const folder = new URL(script, location).href;
  const worker = await (await fetch(folder)).text();
  const name = worker.match(/snapshot-(\\w+)\\.bin/);
  const address = new URL(`../python/${name[0]}`, folder).href;
  const content = new Uint8Array(await (await fetch(address)).arrayBuffer());
  const middle = content.length >> 1;
  if (change === "spoilt") content.fill(7, middle, middle + 4096);
  const kept = change === "cut off" ? content.slice(0, middle) : content;
  const cache = await caches.open("strokebook");
  await cache.put(`${address}?kept=${name[1]}`, new Response(kept));
}"""


@pytest.mark.parametrize("change", ["", "cut off", "spoilt"])
def test_a_kept_snapshot_starts_python_and_one_that_cannot_is_passed_over(
    newcomer: Reader, change: str
) -> None:
    newcomer.page.add_init_script(f"({LISTEN})()")
    newcomer.open()
    newcomer.page.evaluate(KEEP, change)
    newcomer.page.reload(wait_until="domcontentloaded")
    newcomer.wait_until_live()
    assert newcomer.page.evaluate("window.restored") is not bool(change)
    changed(newcomer)
    newcomer.expect_agreement()


# The worker asks for the snapshot only over a line that has just proved quick: so it was.
QUICK = """performance.getEntriesByName = () => [
  { transferSize: 2, encodedBodySize: 1, requestStart: 0, responseEnd: 0 },
];
"""


def hasten(route: Route) -> None:
    came = route.fetch()
    route.fulfill(response=came, body=QUICK + came.text())


@pytest.mark.parametrize("answer", [None, refuse, break_down, corrupt, spoil])
def test_a_snapshot_that_does_not_come_is_not_missed(
    newcomer: Reader, answer: Callable[[Route], None] | None
) -> None:
    asked: list[str] = []

    def answered(route: Route) -> None:
        asked.append(route.request.url)
        (answer or Route.continue_)(route)

    newcomer.page.add_init_script(f"({LISTEN})()")
    newcomer.page.route("**/js/worker.js", hasten)
    newcomer.page.route("**/snapshot-*.bin", answered)
    newcomer.open()
    newcomer.wait_until_live()
    assert len(asked) == 1
    assert newcomer.page.evaluate("window.restored") is (answer is None)
    newcomer.expect_agreement()


# How Python can break down: its thread dies, or what it does is no longer to be trusted.
BREAKDOWNS = {
    "thread": """() => {
      self.postMessage = () => {};
      self.onmessage = () => { throw new Error("out of memory"); };
    }""",
    "machine": "() => { JSON.parse = () => { throw new RangeError('out of memory'); }; }",
}


@pytest.mark.parametrize("how", BREAKDOWNS)
def test_when_python_breaks_down_what_was_typed_stays_and_a_retry_starts_a_new_one(
    newcomer: Reader, how: str
) -> None:
    newcomer.open()
    newcomer.wait_until_live()
    newcomer.field(newcomer.changed_number()[0]).focus()
    newcomer.page.wait_for_timeout(1500)  # the charts' answers are in, and all is warmed up
    before = newcomer.seen["outputs"]
    workers = [one for one in newcomer.page.workers if one.url.endswith("/js/worker.js")]
    workers[0].evaluate(BREAKDOWNS[how])
    changed(newcomer)
    typed = newcomer.seen["texts"]
    state = newcomer.part("state")
    expect(state).to_have_attribute("data-state", "failed")
    expect(state).to_contain_text("out of memory")
    expect(newcomer.part("stale")).to_be_visible()
    assert newcomer.seen["outputs"] == before
    newcomer.button("retry").click()
    newcomer.wait_until_live()
    assert newcomer.seen["texts"] == typed
    newcomer.expect_agreement()


def test_what_was_typed_stands_there_after_the_page_is_loaded_again(newcomer: Reader) -> None:
    newcomer.open()
    newcomer.wait_until_live()
    newcomer.choose_system("imperial")
    changed(newcomer)
    typed = newcomer.seen
    newcomer.page.reload(wait_until="domcontentloaded")
    newcomer.wait_until_live()
    for key in ("texts", "units", "imperial"):
        assert newcomer.seen[key] == typed[key]
    newcomer.expect_agreement()
    newcomer.open()  # as from a link: the printed example
    newcomer.wait_until_live()
    assert newcomer.seen["texts"] != typed["texts"]


def test_what_is_typed_while_python_loads_is_kept_and_used(newcomer: Reader) -> None:
    release = hold_back(newcomer.page, CORE)
    newcomer.open()
    expect(newcomer.part("state")).to_have_attribute("data-state", "loading")
    printed = newcomer.seen
    changed(newcomer)
    typed = newcomer.seen
    expect(newcomer.part("stale")).to_be_visible()
    release()
    newcomer.wait_until_live()
    assert newcomer.seen["texts"] == typed["texts"]
    assert newcomer.seen["outputs"] != printed["outputs"]
    newcomer.expect_agreement()


def test_a_unit_chosen_while_python_loads_converts_the_value(newcomer: Reader) -> None:
    release = hold_back(newcomer.page, CORE)
    newcomer.open()
    expect(newcomer.part("state")).to_have_attribute("data-state", "loading")
    printed = newcomer.seen
    newcomer.card.locator(".sb-systems [value=imperial]").check()
    release()
    newcomer.wait_until_live()
    item = newcomer.numbers_in_use()[0]
    expect(newcomer.unit(item.name)).not_to_have_value(printed["units"][item.name])
    newcomer.expect_agreement()
    newcomer.choose_system("si")
    newcomer.expect_seen(printed)


def test_what_is_typed_while_units_change_is_converted_too(newcomer: Reader) -> None:
    release = hold_back(newcomer.page, CORE)
    newcomer.open()
    expect(newcomer.part("state")).to_have_attribute("data-state", "loading")
    newcomer.card.locator(".sb-systems [value=imperial]").check()
    name, text = newcomer.changed_number()
    before = newcomer.unit(name).input_value()
    newcomer.field(name).fill(text)
    release()
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
