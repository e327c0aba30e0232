"""What a reader typed and what the reader sees: units, refusals, digits, words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import ConflictError, InputErrors, NoSolutionError
from calculators.quantities import QUANTITIES, counterpart, from_si, parse, unit
from calculators.sheet import Choice, Finding, Input, Level, Measure, Output, Sheet, evaluate
from calculators.sheets import load
from calculators.view import Units, present, present_error, range_text, read, restated
from tests.unit.strategies import SHEETS

CORNER = load("critical-damping")
GAS = load("gas-force")
ROD = next(item for item in GAS.inputs if isinstance(item, Input))
SI = Units()
IMPERIAL = Units(imperial=True)
NUMBERS = [
    pytest.param(item, entry.symbol, id=f"{sheet.name}-{item.name}-{entry.symbol}")
    for sheet in SHEETS
    for item in sheet.inputs
    if isinstance(item, Input)
    for entry in QUANTITIES[item.quantity].units
]


def _messages(texts: dict[str, str], units: Units = SI) -> dict[tuple[str, ...], str]:
    """Return the faults of a form of the gas force by the inputs that they stand beside."""
    with pytest.raises(InputErrors) as caught:
        evaluate(GAS, read(GAS, texts, units).values)
    return {
        tuple(fault["inputs"]): fault["message"]
        for fault in present_error(GAS, caught.value, units)
    }


@pytest.mark.parametrize(
    ("text", "expected"),
    [("120", 120_000.0), ("120 N/mm", 120_000.0), ("120000 N/m", 120_000.0), ("12,5", 12_500.0)],
)
def test_a_text_is_read_in_its_own_unit_or_in_that_of_the_field(text: str, expected: float) -> None:
    assert read(CORNER, {"spring_rate": text}, SI).values == {"spring_rate": expected}


def test_a_unit_that_was_typed_becomes_the_unit_shown() -> None:
    reading = read(CORNER, {"spring_rate": "120000 N/m"}, SI)
    assert present(evaluate(CORNER, reading.values), reading.units)["inputs"]["spring_rate"] == {
        "value": 120_000.0,
        "unit": "N/m",
        "text": "120000",
        "range": "1\u2009000 to 2\u2009000\u2009000\u00a0N/m",
    }


def test_a_number_without_a_unit_is_in_the_imperial_unit_when_that_is_chosen() -> None:
    assert read(GAS, {"rod_diameter": "1"}, IMPERIAL).values == {"rod_diameter": 0.0254}


def test_a_chosen_unit_wins_over_the_system() -> None:
    units = Units({"rod_diameter": "cm"}, imperial=True)
    assert read(GAS, {"rod_diameter": "2"}, units).values == {"rod_diameter": 0.02}


def test_an_empty_text_leaves_an_optional_input_out() -> None:
    assert read(CORNER, {"tyre_rate": " "}, SI).values == {"tyre_rate": None}


def test_an_empty_text_of_a_needed_input_is_refused_with_its_help() -> None:
    fault = _messages({"stroke": ""})
    assert fault == {("stroke",): "Stroke is missing. The whole travel of the rod."}


def test_an_input_that_the_choices_do_not_ask_for_is_not_read() -> None:
    assert read(GAS, {"volume_given": "chamber", "gas_volume": "nonsense"}, SI).values == {
        "volume_given": "chamber"
    }


def test_a_choice_inside_an_idle_choice_does_not_wake_its_inputs() -> None:
    outer, inner, number = GAS.inputs[0], CORNER.inputs[0], CORNER.inputs[1]
    assert isinstance(inner, Choice)
    assert isinstance(number, Input)
    asked = replace(inner, name="outer")
    idle = replace(inner, name="inner", when=(("outer", ("corner",)),))
    below = replace(number, name="below", when=(("inner", ("axle",)),))
    sheet = replace(GAS, inputs=(outer, asked, idle, below))
    assert read(sheet, {"outer": "axle", "inner": "axle", "below": "?"}, SI).values == {
        "outer": "axle"
    }


def test_every_fault_is_told_beside_its_input_all_at_once() -> None:
    faults = _messages(
        {
            "rod_diameter": "500",
            "stroke": "abc",
            "charge_pressure": "1 kg",
            "volume_given": "barrel",
            "wings": "2",
        }
    )
    assert set(faults) == {
        ("rod_diameter",),
        ("stroke",),
        ("charge_pressure",),
        ("volume_given",),
        ("wings",),
    }
    assert all(message.strip() for message in faults.values())


def test_a_range_is_told_in_the_unit_of_the_reader() -> None:
    assert _messages({"rod_diameter": "4 in"}, Units({"rod_diameter": "in"})) == {
        ("rod_diameter",): "Rod diameter is 4\u00a0in; allowed: 0.1575 to 3.149\u00a0in. "
        "Measure the chromed rod; trailer and off-road dampers have 10 to 30 mm."
    }


def test_a_value_barely_outside_is_told_with_the_digits_that_put_it_there() -> None:
    message = _messages({"stroke": "1000.04"})[("stroke",)]
    assert message.startswith("Stroke is 1\u2009000.04\u00a0mm; allowed: 10 to 1\u2009000\u00a0mm.")


@pytest.mark.parametrize(("item", "symbol"), NUMBERS)
def test_the_bounds_that_are_told_are_allowed(item: Input, symbol: str) -> None:
    low, _, high = range_text(item, symbol).partition(" to ")
    for text in (low, high):
        value = parse(text, quantity=item.quantity, unit=symbol).value
        least, most = (bound - 1e-12 * abs(bound) for bound in (item.minimum, -item.maximum))
        assert least <= value <= -most


def test_faults_without_an_input_of_their_own_keep_their_words() -> None:
    for error in (ConflictError("Not both."), NoSolutionError("It stopped at 5 mm.")):
        assert present_error(GAS, error, SI) == [{"inputs": [], "message": str(error)}]


@given(number=st.floats(0.001, 1e6), data=st.data())
def test_a_text_restated_there_and_back_means_the_same(number: float, data: st.DataObject) -> None:
    quantity = data.draw(
        st.sampled_from(["length", "stiffness", "pressure_gauge", "temperature", "angle"])
    )
    symbols = st.sampled_from([entry.symbol for entry in QUANTITIES[quantity].units])
    start, other = data.draw(symbols), data.draw(symbols)
    item = replace(ROD, quantity=quantity)
    text, before, after = repr(number), Units({item.name: start}), Units({item.name: other})
    back = restated(
        item, restated(item, text, before=before, after=after), before=after, after=before
    )
    first, last = (parse(one, quantity=quantity, unit=start).value for one in (text, back))
    assert last == pytest.approx(first, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("sheet", SHEETS, ids=[sheet.name for sheet in SHEETS])
def test_a_form_in_imperial_units_and_back_is_the_form_it_was(sheet: Sheet) -> None:
    for item in sheet.inputs:
        if not isinstance(item, Choice):
            text = present(evaluate(sheet), SI)["inputs"][item.name]["text"]
            there = restated(item, text, before=SI, after=IMPERIAL)
            assert restated(item, there, before=IMPERIAL, after=SI) == text


@pytest.mark.parametrize("text", ["", "abc", "5 kg", "1/2"])
def test_a_text_that_cannot_be_read_is_restated_as_it_is(text: str) -> None:
    assert restated(ROD, text, before=SI, after=IMPERIAL) == text


def test_a_text_stays_as_typed_while_its_unit_stays() -> None:
    assert restated(ROD, "0,5", before=SI, after=SI) == "0,5"


@pytest.mark.parametrize("units", [SI, IMPERIAL], ids=["si", "imperial"])
@pytest.mark.parametrize("sheet", SHEETS, ids=[sheet.name for sheet in SHEETS])
def test_results_are_in_the_units_of_the_reader(sheet: Sheet, units: Units) -> None:
    result = evaluate(sheet)
    shown = present(result, units)["outputs"]
    for output in result.sheet.outputs:
        wanted = (
            counterpart(output.unit, quantity=output.quantity) if units.imperial else output.unit
        )
        assert shown[output.name]["unit"] == wanted
        value = result.outputs[output.name]
        if value is not None:
            seen = parse(shown[output.name]["text"], quantity=output.quantity, unit=wanted).value
            there = from_si(value, unit=wanted, quantity=output.quantity)
            back = from_si(seen, unit=wanted, quantity=output.quantity)
            assert back == pytest.approx(there, rel=5e-4)


def test_a_chosen_unit_of_a_result_is_used_in_findings_too() -> None:
    shown = present(evaluate(GAS), Units({"pressure_hot": "psi"}))
    assert shown["outputs"]["pressure_hot"]["unit"] == "psi"
    assert "psi" in shown["findings"][0]["text"]


def test_a_result_that_does_not_arise_is_a_dash() -> None:
    shown = present(evaluate(CORNER, {"tyre_rate": None}), SI)
    assert shown["outputs"]["wheel_hop_frequency"] == {"value": None, "unit": "Hz", "text": "—"}


def test_words_of_a_finding_stay_text() -> None:
    words = "<b>{rod}</b> & {rod_diameter}"
    finding = Finding(Level.FINE, words, {"rod": Measure(0.02, "length", "mm")})
    result = replace(evaluate(GAS), findings=(finding,))
    assert present(result, SI)["findings"] == [
        {"level": "fine", "text": "<b>20\u00a0mm</b> & 20\u00a0mm"}
    ]


def test_a_step_is_shown_with_symbols_with_numbers_and_in_the_unit_of_the_reader() -> None:
    step = next(
        one for one in present(evaluate(CORNER), SI)["steps"] if one["label"] == "Wheel rate"
    )
    assert step["plain"] == "k_s · MR_s^2 = 120\u2009000 N/m · 0.75^2 = 67\u2009500 N/m"
    assert step["also"] == "67.5\u00a0N/mm"
    assert step["function"] == "physics.corner.wheel_rate"
    assert step["references"]


def test_a_plain_number_in_the_working_has_no_unit() -> None:
    step = next(
        one
        for one in present(evaluate(CORNER), SI)["steps"]
        if one["label"] == "Damping ratio, loaded"
    )
    assert step["plain"].endswith("= 0.3")


def test_a_table_is_headed_by_units_and_filled_with_text() -> None:
    table = present(evaluate(CORNER), IMPERIAL)["tables"][0]
    assert [column["unit"] for column in table["columns"]] == [
        "in/s",
        "lbf",
        "lbf",
        "in/s",
        "lbf",
        "lbf",
    ]
    assert all(isinstance(cell, str) for row in table["rows"] for cell in row)


def test_every_imperial_unit_shown_is_one_of_the_quantity() -> None:
    for sheet in SHEETS:
        for item in (*sheet.inputs, *sheet.outputs):
            if isinstance(item, Input | Output):
                symbol = IMPERIAL.of(item.quantity, item.unit)
                assert unit(symbol, quantity=item.quantity).symbol == symbol


def test_the_end_of_a_range_is_allowed_in_every_unit() -> None:
    sheet = load("gas-force")
    most = sheet.input("oil_volume")
    assert isinstance(most, Input)
    shown = range_text(most, "in³")
    reading = read(sheet, {"oil_volume": "610.23744095 in³"}, SI)
    assert reading.values["oil_volume"] == most.maximum, shown
