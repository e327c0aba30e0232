"""A link carries a card's inputs to another page, and nothing it carries can break one."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from calculators.field import Input
from calculators.sheet import evaluate
from tests.browser.reader import Reader, one_sheet

FORGET = "() => localStorage.clear()"


def in_use(reader: Reader, seen: dict[str, Any]) -> dict[str, Any]:
    """Return of a form what it asks for just now, and its results."""
    names = [item.name for item in reader.sheet.inputs if reader.box(item.name).is_visible()]
    outputs = [output.name for output in reader.sheet.outputs]
    return {
        "texts": {name: seen["texts"][name] for name in names},
        "units": {name: seen["units"].get(name) for name in (*names, *outputs)},
        "outputs": seen["outputs"],
    }


def shown_number(reader: Reader) -> Input:
    """Return the first number that the form asks for just now."""
    return next(
        item
        for item in reader.sheet.inputs
        if isinstance(item, Input) and reader.unit(item.name).is_visible()
    )


def copied(reader: Reader) -> str:
    """Copy the link and return it."""
    reader.button("link").click()
    expect(reader.part("said")).to_have_text("Link copied.")
    return str(reader.page.evaluate("() => navigator.clipboard.readText()"))


def opened_elsewhere(reader: Reader, link: str) -> Reader:
    """Open a link in a new page that remembers nothing, and wait until it is live."""
    other = Reader(reader.page.context.new_page(), reader.sheet.name, link)
    reader.page.evaluate(FORGET)
    other.open()
    other.wait_until_live()
    return other


def test_a_link_opens_with_the_same_inputs_units_and_results(reader: Reader) -> None:
    reader.fill(reader.accepted(7))
    for field in (shown_number(reader), reader.shown_outputs()[0]):
        symbol = reader.offered(field.name)[-1]
        if reader.unit(field.name).input_value() != symbol:
            reader.choose_unit(field.name, symbol)
    reader.expect_agreement()
    before = in_use(reader, reader.seen)
    other = opened_elsewhere(reader, copied(reader))
    after = in_use(other, other.seen)
    other.page.close()
    assert after == before


@pytest.mark.parametrize("sheet", ["ride-run"], indirect=True, scope="session")
def test_a_link_keeps_the_units_of_tables(reader: Reader) -> None:
    reader.choose_system("imperial")
    before = in_use(reader, reader.seen)
    other = opened_elsewhere(reader, copied(reader))
    columns = other.card.locator("[data-column]").all_text_contents()
    assert columns == reader.card.locator("[data-column]").all_text_contents()
    after = in_use(other, other.seen)
    other.page.close()
    assert after == before


@one_sheet
def test_a_link_of_texts_that_cannot_be_used_shows_the_messages(reader: Reader) -> None:
    item = reader.numbers_in_use()[0]
    reader.page.goto(f"{reader.address}#calculator={reader.sheet.name}&{item.name}=<b>nonsense</b>")
    expect(reader.part("error", reader.box(item.name))).to_contain_text("<b>nonsense</b>")
    assert reader.field(item.name).input_value() == "<b>nonsense</b>"


def test_unknown_names_units_and_choices_in_a_link_are_passed_over(newcomer: Reader) -> None:
    newcomer.open(f"#calculator={newcomer.sheet.name}&nothing=1&wheel_rate.unit=parsec&__proto__=2")
    newcomer.wait_until_live()
    assert newcomer.seen["outputs"] == {
        name: output["text"] for name, output in newcomer.expected()["outputs"].items()
    }
    assert newcomer.error.count() == 0


def test_a_link_for_another_calculator_or_too_long_changes_nothing(newcomer: Reader) -> None:
    newcomer.open(f"#calculator=other&{newcomer.sheet.inputs[0].name}=1")
    printed = newcomer.seen
    newcomer.wait_until_live()
    name = next(iter(evaluate(newcomer.sheet).given.numbers))
    newcomer.page.evaluate(
        "hash => { location.hash = hash; }", f"calculator={newcomer.sheet.name}&{name}={'1' * 5000}"
    )
    newcomer.page.wait_for_timeout(300)
    newcomer.expect_seen(printed)


def test_a_new_link_in_the_same_page_takes_over(newcomer: Reader) -> None:
    newcomer.open()
    newcomer.wait_until_live()
    name, text = newcomer.changed_number()
    unit = newcomer.unit(name).input_value()
    with newcomer.repainted():
        newcomer.page.evaluate(
            "hash => { location.hash = hash; }",
            f"calculator={newcomer.sheet.name}&{name}={text} {unit}",
        )
    assert newcomer.field(name).input_value() == text
    newcomer.expect_agreement()
