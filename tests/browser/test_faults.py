"""Inputs that cannot be used: said beside the field, nothing lost, the last good result kept."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators.errors import CalculatorError, ConflictError
from calculators.quantities import parse
from calculators.sheet import evaluate
from calculators.view import range_text
from tests.browser.reader import one_sheet
from tests.sheet_inputs import random_values

if TYPE_CHECKING:
    from calculators.field import Input, Value
    from tests.browser.reader import Reader

TOO_MUCH = 1.5


def too_large(reader: Reader, item: Input) -> str:
    """Return a text for more than an input may be."""
    return reader.text(item.name, item.maximum * TOO_MUCH, item.unit)


def test_a_value_out_of_range_is_told_with_quantity_value_range_and_reason(reader: Reader) -> None:
    for item in reader.numbers_in_use()[:3]:
        reader.type_wrong(item.name, too_large(reader, item))
        message = reader.part("error", reader.box(item.name)).inner_text()
        words, allowed = (
            f"{item.label} is ",
            f"; allowed: {range_text(item, item.unit)}. {item.reason}",
        )
        assert message.startswith(words)
        assert message.endswith(allowed)
        told = parse(
            message.removeprefix(words).removesuffix(allowed),
            quantity=item.quantity,
            unit=item.unit,
        )
        assert told.value == pytest.approx(item.maximum * TOO_MUCH, rel=1e-3)
        field = reader.field(item.name)
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(field).to_have_attribute(
            "aria-describedby", f"{reader.sheet.name}.{item.name}.error"
        )


@one_sheet
def test_a_range_is_told_in_the_unit_that_the_reader_chose(reader: Reader) -> None:
    item = reader.numbers_in_use()[0]
    reader.choose_system("imperial")
    unit = reader.unit(item.name).input_value()
    reader.type_wrong(item.name, reader.text(item.name, item.maximum * TOO_MUCH, unit))
    expect(reader.part("error", reader.box(item.name))).to_contain_text(range_text(item, unit))


def test_the_last_good_results_stay_and_are_marked_until_the_input_is_mended(
    reader: Reader,
) -> None:
    item = reader.numbers_in_use()[0]
    before, wrong = reader.seen, too_large(reader, item)
    reader.type_wrong(item.name, wrong)
    assert reader.seen["outputs"] == before["outputs"]
    expect(reader.card).to_have_attribute("data-stale", "")
    expect(reader.part("stale")).to_be_visible()
    assert reader.field(item.name).input_value() == wrong
    reader.type(item.name, before["texts"][item.name])
    expect(reader.error).to_have_count(0)
    expect(reader.card).not_to_have_attribute("data-stale", "")
    expect(reader.part("stale")).to_be_hidden()
    expect(reader.field(item.name)).not_to_have_attribute("aria-invalid", "true")
    reader.expect_seen(before)


@one_sheet
@pytest.mark.parametrize("text", ["", "abc", "1/2", "nan", "5 parsec", "<i>7</i>"])
def test_a_text_that_is_no_value_is_told_and_kept(reader: Reader, text: str) -> None:
    item = next(item for item in reader.numbers_in_use() if not item.optional)
    reader.type_wrong(item.name, text)
    expect(reader.part("error", reader.box(item.name))).to_contain_text(item.label)
    reader.field(item.name).blur()
    assert reader.field(item.name).input_value() == text


@one_sheet
def test_several_faults_are_all_told_at_once(reader: Reader) -> None:
    first, second, third = reader.numbers_in_use()[:3]
    reader.field(first.name).fill(too_large(reader, first))
    reader.field(second.name).fill("abc")
    reader.field(third.name).fill(too_large(reader, third))
    reader.ask()
    for item in (first, second, third):
        expect(reader.part("error", reader.box(item.name))).to_be_visible()
    expect(reader.error).to_have_count(3)


@one_sheet
def test_a_change_of_units_loses_nothing_that_cannot_be_read(reader: Reader) -> None:
    first, second = reader.numbers_in_use()[:2]
    reader.type_wrong(first.name, "about ten")
    reader.card.locator(".sb-systems [value=imperial]").check()
    expect(reader.unit(second.name)).not_to_have_value(second.unit)
    assert reader.field(first.name).input_value() == "about ten"
    expect(reader.part("error", reader.box(first.name))).to_be_visible()


def conflicts(reader: Reader) -> dict[tuple[str, ...], tuple[dict[str, Value], str]]:
    """Return for each set of inputs that can conflict one set of values, and the message."""
    rng = Random(11)  # noqa: S311  test inputs, no secret
    found: dict[tuple[str, ...], tuple[dict[str, Value], str]] = {}
    for _ in range(60):
        values = random_values(reader.sheet, rng)
        try:
            evaluate(reader.sheet, values)
        except ConflictError as error:
            found.setdefault(error.inputs, (values, str(error)))
        except CalculatorError:
            continue
    return found


def test_inputs_that_conflict_are_told_where_the_reader_can_see_it(reader: Reader) -> None:
    for values, message in conflicts(reader).values():
        with reader.repainted():
            reader.button("reset").click()
        reader.fill(values, accepted=False)
        expect(reader.told(message[:20]).first).to_be_visible()
        expect(reader.card).to_have_attribute("data-stale", "")
