"""The reader's units: values keep their size, texts are converted, choices are remembered."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from calculators.quantities import counterpart, parse
from calculators.view import Units, range_text, restated
from tests.browser.reader import one_sheet

if TYPE_CHECKING:
    from calculators.field import Input
    from calculators.sheet import Output
    from tests.browser.reader import Reader

SETTLED = 150  # ms, after which the answer to a change stands in the page
SHOWN = 6  # digits of a number that nobody typed


def in_unit(item: Input, text: str, unit: str) -> str:
    """Return what stands for a text in another unit, as CPython says."""
    return restated(item, text, before=Units(), after=Units({item.name: unit}))


def test_another_unit_keeps_the_value_and_converts_its_text(reader: Reader) -> None:
    outputs = reader.seen["outputs"]
    for item in reader.convertible():
        text, to = reader.field(item.name).input_value(), reader.other_unit(item.name)
        reader.choose_unit(item.name, to)
        held, shown = reader.held(item.name), reader.field(item.name).input_value()
        assert held == in_unit(item, text, to)
        value = parse(held, quantity=item.quantity, unit=to).value
        assert value == pytest.approx(item.default, rel=1e-11)
        assert float(shown) == pytest.approx(float(held), rel=5e-6)
        assert len(shown.partition("e")[0].replace(".", "").strip("0")) <= SHOWN
        expect(reader.part("range", reader.box(item.name))).to_have_text(range_text(item, to))
    assert reader.seen["outputs"] == outputs


def test_the_largest_value_allowed_survives_a_change_of_units(reader: Reader) -> None:
    for item in reader.convertible():
        reader.field(item.name).fill(reader.text(item.name, item.maximum, item.unit))
        reader.unit(item.name).select_option(reader.other_unit(item.name))
        expect(reader.unit(item.name)).not_to_have_value(item.unit)
        reader.page.wait_for_timeout(SETTLED)
        expect(reader.told(f"{item.label} is ")).to_have_count(0)


def test_a_result_is_shown_in_the_unit_chosen_for_it(reader: Reader) -> None:
    for output in reader.shown_outputs():
        if len(reader.offered(output.name)) > 1:
            reader.choose_unit(output.name, reader.other_unit(output.name))
    reader.expect_agreement()


@one_sheet
def test_the_units_chosen_are_remembered_after_a_reload(reader: Reader) -> None:
    item = reader.convertible()[0]
    outputs = [
        output.name for output in reader.shown_outputs() if len(reader.offered(output.name)) > 1
    ]
    for name in (item.name, *outputs[:1]):
        reader.choose_unit(name, reader.other_unit(name))
    before = reader.seen
    reader.page.reload()
    reader.wait_until_live()
    reader.expect_seen(before)


@one_sheet
def test_imperial_units_are_remembered_after_a_reload(reader: Reader) -> None:
    reader.choose_system("imperial")
    before = reader.seen
    reader.page.reload()
    reader.wait_until_live()
    reader.expect_seen(before)


def test_imperial_units_convert_everything_and_si_brings_it_back(reader: Reader) -> None:
    before = reader.seen
    reader.choose_system("imperial")
    units = reader.seen["units"]
    fields: list[Input | Output] = [*reader.numbers_in_use(), *reader.sheet.outputs]
    for field in fields:
        assert units[field.name] == counterpart(field.unit, quantity=field.quantity)
    reader.expect_agreement()
    reader.choose_system("si")
    reader.expect_seen(before)


def test_a_typed_unit_is_understood_and_moves_into_the_unit_choice(reader: Reader) -> None:
    item = reader.convertible()[0]
    unit = reader.other_unit(item.name)
    text = in_unit(item, reader.field(item.name).input_value(), unit)
    outputs = reader.seen["outputs"]
    reader.type(item.name, f"{text} {unit}")
    expect(reader.unit(item.name)).to_have_value(unit)
    reader.field(item.name).blur()
    expect(reader.field(item.name)).to_have_value(text)
    assert reader.seen["outputs"] == outputs
    reader.expect_agreement()
