"""Whatever a link or a field carries is text: it runs nothing, breaks nothing, and is told."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING
from urllib.parse import quote

import pytest
from playwright.sync_api import expect

from calculators.errors import CalculatorError
from tests.browser.reader import Reader, one_sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Dialog, Page

TEXTS = (
    "<script>window.ran = 1</script>",
    "<img src=x onerror=window.ran=1>",
    "<svg onload=window.ran=1>",
    "\"><iframe srcdoc='<script>parent.ran=1</script>'></iframe>",
    "' onfocus='window.ran=1' autofocus='",
    "javascript:window.ran=1",
    "{{7*7}} ${7*7} #{7*7}",
    "__import__('os').system('true')",
    "=HYPERLINK(1)",
    "constructor",
    "__proto__",
    "toString",
    "\x00\x01\x7f",
    "\u202e12\u202c",
    "１２３",  # noqa: RUF001  digits of another width, on purpose
    "½ ¾ ²",
    "1e999",
    "-1e-999",
    "9" * 400,
    "0x10",
    "1_000",
    "1,2,3.4,5",
    "nan",
    "inf",
    "−−1",
    "1 kg kg",
    "1 kg/0",
    "🛞" * 200,
    "e\u0301" * 300,
    " " * 1000,
    "1\n2\n3",
    "%00%0a",
    "</textarea></form></section>",
)
PIECES = (
    *"&=#%+;\\\"'<>/?:@![]{}()|^~`,.0123456789abcxyz",
    *("calculator=", "rod_diameter=", ".unit=", "units=imperial", "%F0%9F", "%zz", "<b>", "\u2028"),
)
STRANGE = (
    "() => document.querySelectorAll('[data-sheet] :is(script:not([type]), iframe, img)').length"
)


def hostile(sheet: str, number: int) -> str:
    """Return a fragment made of pieces of links, marks and digits."""
    rng = Random(number)  # noqa: S311  test inputs, no secret
    made = "".join(rng.choice(PIECES) for _ in range(rng.randrange(1, 120)))
    return made if number % 3 else f"calculator={sheet}&{made}"


@pytest.fixture
def attacked(reader: Reader) -> Iterator[Reader]:
    """Give a live card, and hold it to its dignity: nothing ran, nothing asked, all still lives."""
    dialogs: list[Dialog] = []

    def note(dialog: Dialog) -> None:
        dialogs.append(dialog)
        dialog.dismiss()

    reader.page.on("dialog", note)
    yield reader
    reader.page.remove_listener("dialog", note)
    assert dialogs == []
    assert reader.page.evaluate("() => window.ran ?? null") is None
    assert reader.page.evaluate(STRANGE) == 0
    reader.button("reset").click()
    reader.expect_seen(reader.live)


def follow(page: Page, fragment: str) -> None:
    """Go to another fragment of the same page, as a link does."""
    page.evaluate("(fragment) => { location.hash = fragment; }", fragment)


def expect_answer(reader: Reader, name: str) -> None:
    """Wait until the card takes or refuses what stands in a field, as CPython does."""
    try:
        reader.expected()
    except CalculatorError:
        expect(reader.part("error", reader.box(name))).to_be_visible()
    else:
        expect(reader.error).to_have_count(0)
        reader.expect_agreement()


@one_sheet
def test_a_text_in_a_field_is_told_as_it_was_typed(attacked: Reader) -> None:
    name = attacked.numbers_in_use()[0].name
    for text in TEXTS:
        attacked.field(name).fill(text)
        typed = attacked.field(name).input_value()  # without what no field takes, as line ends
        expect_answer(attacked, name)
        assert attacked.field(name).input_value() == typed


@one_sheet
def test_a_text_in_a_link_is_told_or_passed_over(attacked: Reader) -> None:
    item = attacked.numbers_in_use()[0]
    for text in TEXTS:
        link = f"calculator={attacked.sheet.name}&{item.name}={quote(text)}&{quote(text)}=1"
        follow(attacked.page, link)
        expect_answer(attacked, item.name)


@one_sheet
def test_a_fragment_of_any_letters_breaks_nothing(attacked: Reader) -> None:
    for number in range(200):
        follow(attacked.page, hostile(attacked.sheet.name, number))
    expect(attacked.part("state")).to_have_attribute("data-state", "live")


def test_the_name_of_a_file_is_text(newcomer: Reader, address: str) -> None:
    page = newcomer.page
    page.goto(address + "bench/trace/")
    expect(page.locator('[data-part="state"]').first).to_have_attribute(
        "data-state", "live", timeout=30_000
    )
    page.locator('[data-part="choose"]').set_input_files(
        {"name": TEXTS[1] + ".csv", "mimeType": "text/csv", "buffer": b"\x00\xff;<b>\n1;2\n"}
    )
    expect(page.get_by_text("<img src=x").first).to_be_visible()
    assert page.evaluate("() => window.ran ?? null") is None
