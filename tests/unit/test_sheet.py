"""The machinery below all sheets: checking inputs, recording the working, naming faults."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from calculators.errors import ConflictError, InputError, InputErrors, OutOfRangeError
from calculators.physics.area import circle_area
from calculators.sheet import (
    Choice,
    Column,
    Input,
    Level,
    Measure,
    Option,
    Output,
    Sheet,
    Working,
    evaluate,
    in_use,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given

SHAPE = Choice(
    name="shape",
    label="Shape",
    options=(Option("round", "round"), Option("free", "any")),
    help="Of the section.",
    group="Section",
)
DIAMETER = Input(
    name="diameter",
    label="Diameter",
    symbol="d",
    quantity="length",
    unit="mm",
    default=0.02,
    minimum=0.001,
    maximum=0.1,
    reason="Of the rod.",
    help="Measure it.",
    group="Section",
    when=(("shape", ("round",)),),
)
AREA = Input(
    name="area",
    label="Area",
    symbol="A_f",
    quantity="area",
    unit="mm²",
    default=None,
    minimum=0.0,
    maximum=1.0,
    reason="Of the section.",
    help="From the drawing.",
    group="Section",
    optional=True,
    when=(("shape", ("free",)),),
)
SECTION = Output(
    name="section", label="Section", symbol="A", quantity="area", unit="mm²", meaning="Of the rod."
)


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    if given.choice("shape") == "free":
        return {"section": given.optional("area")}
    section = work.step(
        "Section",
        "A = pi*d**2/4",
        circle_area(diameter=given["diameter"]),
        quantity="area",
        source=circle_area,
    )
    work.finding(Level.FINE, "It has {section}.")
    work.table("sections", "Sections", (Column("d", quantity="length"),), ((given["diameter"],),))
    return {"section": section}


SHEET = Sheet(
    name="section",
    title="Section",
    question="How large?",
    page="section.md",
    inputs=(SHAPE, DIAMETER, AREA),
    outputs=(SECTION,),
    calculate=_calculate,
)


def _faults(values: dict[str, float | str | None]) -> tuple[InputError, ...]:
    with pytest.raises(InputErrors) as caught:
        evaluate(SHEET, values)
    return caught.value.errors


def test_what_is_not_given_takes_its_default() -> None:
    # π · 20² / 4 = 314.159 265 mm², by hand
    assert evaluate(SHEET).outputs["section"] == pytest.approx(314.159265e-6, rel=1e-9)


def test_a_step_keeps_the_values_of_its_symbols() -> None:
    step = evaluate(SHEET, {"diameter": 0.01}).steps[0]
    assert step.values == {"d": Measure(0.01, "length", "mm")}
    assert step.answer.unit == "m²"


def test_findings_and_tables_are_kept() -> None:
    result = evaluate(SHEET)
    assert [finding.level for finding in result.findings] == [Level.FINE]
    assert result.tables[0].rows == ((0.02,),)


def test_only_inputs_in_use_are_given() -> None:
    result = evaluate(SHEET, {"shape": "free", "diameter": 99.0})
    assert dict(result.given.numbers) == {"area": None}
    assert dict(result.given.choices) == {"shape": "free"}
    assert not in_use(DIAMETER, {"shape": "free"})


def test_an_optional_number_that_is_empty_cannot_be_taken_as_given() -> None:
    result = evaluate(SHEET, {"shape": "free"})
    assert result.given.optional("area") is None
    with pytest.raises(KeyError, match="optional"):
        result.given["area"]


def test_all_faults_are_reported_together() -> None:
    faults = _faults({"shape": "square", "diameter": 5.0, "wings": 2.0})
    assert [fault.inputs for fault in faults] == [("wings",), ("shape",)]
    faults = _faults({"diameter": 5.0, "wings": 2.0})
    assert [fault.inputs for fault in faults] == [("wings",), ("diameter",)]


@pytest.mark.parametrize("value", [0.0, 0.2, float("nan"), float("inf"), -float("inf")])
def test_a_number_outside_its_range_is_refused_with_the_range(value: float) -> None:
    (fault,) = _faults({"diameter": value})
    assert isinstance(fault, OutOfRangeError)
    assert (fault.minimum, fault.maximum, fault.advice) == (0.001, 0.1, "Of the rod.")


def test_a_missing_number_is_refused_with_its_help() -> None:
    (fault,) = _faults({"diameter": None})
    assert str(fault) == "Diameter is missing. Measure it."


def test_a_text_in_the_place_of_a_number_is_refused() -> None:
    (fault,) = _faults({"diameter": "0.02"})
    assert "SI numbers" in str(fault)


def test_a_number_in_the_place_of_a_choice_is_refused() -> None:
    (fault,) = _faults({"shape": 1.0})
    assert fault.inputs == ("shape",)


@pytest.mark.parametrize("outputs", [{}, {"section": 1.0, "more": 1.0}])
def test_outputs_that_were_not_declared_are_a_fault_of_the_sheet(outputs: dict[str, float]) -> None:
    with pytest.raises(TypeError, match="outputs differ"):
        evaluate(replace(SHEET, calculate=lambda _, __: outputs))


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_an_output_that_is_not_finite_never_reaches_the_reader(value: float) -> None:
    with pytest.raises(ConflictError, match="Section has no finite value"):
        evaluate(replace(SHEET, calculate=lambda _, __: {"section": value}))


def test_a_formula_may_only_use_symbols_that_are_known() -> None:
    with pytest.raises(KeyError, match="q"):
        Working({}).step("Nothing", "y = 2*q", 1.0, quantity="ratio", source=circle_area)


def test_a_symbol_can_be_given_a_value_without_a_step() -> None:
    work = Working({})
    assert work.let("q", 2.0, quantity="ratio") == 2.0
    work.step("Twice", "y = 2*q", 4.0, quantity="ratio", source=circle_area)
    assert work.steps[0].values == {"q": Measure(2.0, "ratio", "1")}


def test_inputs_and_outputs_are_found_by_name() -> None:
    assert SHEET.input("diameter") is DIAMETER
    assert SHEET.output("section") is SECTION
    for find in (SHEET.input, SHEET.output):
        with pytest.raises(KeyError, match="wings"):
            find("wings")
