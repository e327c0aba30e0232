"""Bench traces and batches in the page: files in, reports out, and nothing sent away."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators.trace_request import OPERATIONS
from tests.browser.reader import LIVE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import BrowserContext, FilePayload, Page

MEASURED = 60_000  # ms that a trace may take on a busy machine


def csv(kind: str) -> bytes:
    """Return an invented bench file."""
    text = OPERATIONS["trace.invent"](number=7, kind=kind)["text"]
    assert isinstance(text, str)
    return text.encode()


def put(page: Page, *files: tuple[str, bytes]) -> None:
    """Choose files as a reader does."""
    payloads: list[FilePayload] = [
        {"name": name, "mimeType": "text/csv", "buffer": data} for name, data in files
    ]
    page.locator('[data-part="choose"]').set_input_files(payloads)


def place(shared: BrowserContext, address: str, path: str) -> Page:
    """Open a page of the bench, and wait until it takes files."""
    page = shared.new_page()
    page.goto(address + path)
    expect(page.locator('[data-part="state"]')).to_have_attribute(
        "data-state", "live", timeout=LIVE
    )
    return page


@pytest.fixture
def trace(shared: BrowserContext, address: str) -> Iterator[Page]:
    """Give the page of one trace."""
    page = place(shared, address, "bench/trace/")
    yield page
    page.evaluate("() => localStorage.clear()")
    page.close()


@pytest.fixture
def batch(shared: BrowserContext, address: str) -> Iterator[Page]:
    """Give the page of a batch."""
    page = place(shared, address, "bench/batch/")
    yield page
    page.close()


def verdict(page: Page) -> str:
    """Wait for a painted report, and return its verdict."""
    page.wait_for_function(
        "() => document.querySelector('[data-bench]').dataset.painted", timeout=MEASURED
    )
    return page.locator('[data-part="verdict"]').get_attribute("data-verdict") or ""


def test_a_dropped_trace_gets_a_verdict_and_sends_nothing(trace: Page) -> None:
    sent: list[str] = []
    trace.on("request", lambda request: sent.append(request.method))
    put(trace, ("<b>unit</b>.csv", csv("bleed")))
    assert verdict(trace) == "fail"
    assert trace.locator('[data-part="title"]').text_content() == "<b>unit</b>.csv"
    assert trace.locator('[data-table="verdict"] tbody tr').count() == 15
    assert set(sent) <= {"GET"}
    trace.locator('[data-action="explain"]').click()
    expect(trace.locator('[data-part="cause-said"]')).to_contain_text(
        "It is the bleed area", timeout=MEASURED
    )


def test_a_unit_that_the_reader_corrects_changes_the_forces(trace: Page) -> None:
    put(trace, ("unit.csv", csv("sound")))
    verdict(trace)
    measured = trace.locator('[data-table="verdict"] tbody tr:last-child td:nth-child(6)')
    before = measured.text_content()
    trace.locator('[data-part="columns"] summary').click()
    trace.locator('[data-role="force"] select').nth(1).select_option("lbf")
    trace.locator('[data-action="correct"]').click()
    expect(measured).not_to_have_text(before or "", timeout=MEASURED)


def test_a_refusal_names_file_line_and_column_and_the_report_stays(trace: Page) -> None:
    lines = csv("sound").decode().splitlines()
    lines[5000] = "5,oops,1,20"
    put(trace, ("broken.csv", "\n".join(lines).encode()))
    expect(trace.locator('[data-part="fault"]')).to_contain_text(
        "broken.csv: line 5001, column 2", timeout=MEASURED
    )
    expect(trace.locator('[data-table="verdict"]')).to_be_visible()


def test_after_a_cancel_the_file_is_still_listed_and_can_be_read(trace: Page) -> None:
    put(trace, ("long.csv", csv("sound")))
    trace.locator('[data-action="stop"]').click()
    expect(trace.locator('[data-part="state"]')).to_contain_text("Cancelled", timeout=LIVE)
    expect(trace.locator(".sb-files li")).to_have_count(1)
    trace.locator('[data-action="resume"]').click()
    assert verdict(trace)


def test_a_specification_file_takes_the_place_of_the_example(trace: Page) -> None:
    demo = OPERATIONS["trace.demo"]()["specification"]
    own = json.dumps({**json.loads(demo), "title": "My own limits"})
    put(trace, ("own.json", own.encode()), ("unit.csv", csv("sound")))
    verdict(trace)
    expect(trace.locator('[data-part="specification"]')).to_have_text("My own limits")
    expect(trace.locator('[data-action="explain"]')).to_be_disabled()


def test_a_batch_lists_every_unit_and_keeps_the_faulty_file(batch: Page) -> None:
    put(batch, ("a.csv", csv("sound")), ("b.csv", b"no numbers here\n"), ("c.csv", csv("charge")))
    assert verdict(batch) == "fail"
    rows = batch.locator('[data-table="units"] tbody tr')
    assert [row.split("\t")[:2] for row in rows.all_inner_texts()] == [
        ["a", "fail"],
        ["b", "not measured"],
        ["c", "fail"],
    ]
    with batch.expect_download() as saved:
        batch.locator('[data-action="csv"]').click()
    assert saved.value.suggested_filename == "batch.csv"
    expect(batch.locator('[data-part="findings"]')).to_contain_text("3 units are few")


def test_without_scripts_a_worked_example_stands_in_the_page(pages: dict[str, str]) -> None:
    for path in ("bench/trace/", "bench/batch/"):
        assert "An invented example is shown" in pages[path]
        assert '<div class="sb-bench__tool" data-part="tool" inert>' in pages[path]
        assert "<svg" in pages[path]
