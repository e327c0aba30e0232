"""What must hold for every calculator, over all that it lets a reader enter."""

from __future__ import annotations

import ast
import json
import re
from math import isclose, isfinite
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.chart import chart_data
from calculators.docstring import qualified_name, references
from calculators.errors import CalculatorError, InputErrors
from calculators.formula import parse_formula, symbol_node
from calculators.quantities import QUANTITIES, unit
from calculators.sheet import Choice, Input, Output, Rows, Sheet, evaluate, in_use
from calculators.view import Units, present
from calculators.visual import present_charts, present_pictures
from site_src.evidence import all_rows
from tests.unit.strategies import SHEETS, Values, choices_of, values_near_defaults, values_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.sheet import Result, Step

DOCS = Path(__file__).parents[2] / "docs"
EVERY_SHEET = pytest.mark.parametrize("sheet", SHEETS, ids=[sheet.name for sheet in SHEETS])

# Outputs that no line of the working gives, and why none is needed.
PLAIN = {
    ("critical-damping", "overshoot"): "zero from critical damping on",
    ("critical-damping", "settling_time"): "found by searching the swing, not by one formula",
}


def _evaluated(sheet: Sheet, values: Values) -> Result | None:
    """Return a result, or None where the sheet refuses the inputs in words."""
    try:
        return evaluate(sheet, values)
    except CalculatorError as error:
        if not str(error).strip():
            raise
        return None


def _usual_results(sheet: Sheet) -> list[Result]:
    """Return the result of the defaults for each combination of choices that has one."""
    if sheet.name not in _USUAL:
        results = [_evaluated(sheet, {**choices}) for choices in choices_of(sheet)]
        _USUAL[sheet.name] = [result for result in results if result is not None]
    return _USUAL[sheet.name]


_USUAL: dict[str, list[Result]] = {}


def _numbers(step: Step) -> dict[str, float]:
    return {name: measure.value for name, measure in step.values.items()}


class _Moved(ast.NodeTransformer):
    """Multiplies one part of a formula by a number near 1."""

    def __init__(self, part: ast.expr, by: float) -> None:
        self.part = part
        self.by = by

    def visit(self, node: ast.AST) -> ast.AST:
        seen = self.generic_visit(node)
        if node is not self.part:
            return seen
        return ast.BinOp(self.part, ast.Mult(), ast.Constant(self.by))


def _left_open(step: Step) -> float:
    """Return what symbols known to nine digits, and rounding on the way, leave open."""
    right = step.formula.partition("=")[2].strip()
    count = len(_parts(ast.parse(right, mode="eval")))
    answer = parse_formula(step.formula).value(_numbers(step))
    total = 1e-9 * abs(answer)
    for index in range(count):
        tree = ast.parse(right, mode="eval")
        part = _parts(tree)[index]
        by = 1.0 + (1e-9 if isinstance(part, ast.Name) else 1e-15)
        moved = parse_formula(f"y = {ast.unparse(_Moved(part, by).visit(tree))}")
        total += abs(moved.value(_numbers(step)) - answer)
    return total


def _parts(tree: ast.Expression) -> list[ast.expr]:
    called = {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    parts = [node for node in ast.walk(tree) if isinstance(node, ast.expr)]
    return [node for node in parts if id(node) not in called]


def _for_all(
    inputs: st.SearchStrategy[Values], check: Callable[[Values], None], *, examples: int
) -> None:
    """Try a check on many inputs of a sheet."""
    settings(max_examples=examples)(given(inputs)(check))()


def _examples(sheet: Sheet) -> int:
    """Return how often to try: seldom where one result takes its time."""
    return 5 if sheet.on_request else 40


@EVERY_SHEET
def test_all_allowed_inputs_give_finite_results_or_a_reason(sheet: Sheet) -> None:
    def check(values: Values) -> None:
        result = _evaluated(sheet, values)
        if result is not None:
            assert all(value is None or isfinite(value) for value in result.outputs.values())
            assert all(isfinite(step.answer.value) for step in result.steps)

    _for_all(values_of(sheet) | values_near_defaults(sheet), check, examples=2 * _examples(sheet))


@EVERY_SHEET
def test_the_formula_shown_is_the_formula_computed(sheet: Sheet) -> None:
    def check(values: Values) -> None:
        result = _evaluated(sheet, values)
        for step in result.steps if result else ():
            shown = parse_formula(step.formula).value(_numbers(step))
            if not isclose(shown, step.answer.value, rel_tol=1e-9):
                assert abs(shown - step.answer.value) <= _left_open(step), step.formula

    _for_all(values_near_defaults(sheet) | values_of(sheet), check, examples=_examples(sheet))


@EVERY_SHEET
def test_the_same_inputs_give_the_same_result(sheet: Sheet) -> None:
    def check(values: Values) -> None:
        first, second = _evaluated(sheet, values), _evaluated(sheet, values)
        if first is None or second is None:
            assert first is second
            return
        assert first.outputs == second.outputs
        assert first.steps == second.steps
        assert first.findings == second.findings
        assert first.tables == second.tables

    _for_all(values_near_defaults(sheet), check, examples=_examples(sheet) // 4)


@EVERY_SHEET
@pytest.mark.parametrize("imperial", [False, True], ids=["si", "imperial"])
def test_everything_that_a_result_holds_can_be_shown(sheet: Sheet, imperial: bool) -> None:  # noqa: FBT001
    def check(values: Values) -> None:
        result = _evaluated(sheet, values)
        if result is None:
            return
        units = Units(imperial=imperial)
        shown = present(result, units)
        assert all(finding["text"] and "{" not in finding["text"] for finding in shown["findings"])
        for chart in present_charts(result, units, width=640):
            rows = [*chart["data"]["curves"], *chart["data"]["points"]]
            assert all(isfinite(row["x"]) and isfinite(row["y"]) for row in rows), chart["name"]
        json.dumps(present_pictures(result, units), allow_nan=False)

    _for_all(values_near_defaults(sheet) | values_of(sheet), check, examples=_examples(sheet) // 4)


@EVERY_SHEET
def test_the_defaults_have_a_result_with_a_judgement(sheet: Sheet) -> None:
    result = evaluate(sheet)
    assert result.findings
    assert any(value is not None for value in result.outputs.values())


@EVERY_SHEET
def test_every_combination_of_choices_has_a_result_or_a_reason(sheet: Sheet) -> None:
    assert _usual_results(sheet)


@EVERY_SHEET
def test_every_output_has_its_line_in_the_working(sheet: Sheet) -> None:
    for result in _usual_results(sheet):
        answers = [step.answer.value for step in result.steps] + [
            value for value in result.given.numbers.values() if value is not None
        ]
        for name, value in result.outputs.items():
            if value is not None and (sheet.name, name) not in PLAIN:
                assert any(isclose(value, answer, rel_tol=1e-12) for answer in answers), name


@EVERY_SHEET
def test_an_answer_stands_beside_the_symbol_of_its_output(sheet: Sheet) -> None:
    for result in _usual_results(sheet):
        answers = {parse_formula(step.formula).result: step.answer.value for step in result.steps}
        for output in sheet.outputs:
            value = result.outputs[output.name]
            if value is not None and output.symbol in answers:
                assert isclose(value, answers[output.symbol], rel_tol=1e-12), output.name


@EVERY_SHEET
def test_every_default_is_within_its_range(sheet: Sheet) -> None:
    for item in sheet.inputs:
        if isinstance(item, Input):
            assert item.minimum < item.maximum, item.name
            assert item.default is not None or item.optional, item.name
            assert item.default is None or item.minimum <= item.default <= item.maximum, item.name


@EVERY_SHEET
def test_symbols_are_unique_among_the_inputs_in_use(sheet: Sheet) -> None:
    for choices in choices_of(sheet):
        used = [
            item.symbol
            for item in sheet.inputs
            if isinstance(item, Input) and in_use(item, choices)
        ]
        assert len(used) == len(set(used)), choices


@EVERY_SHEET
def test_symbols_of_outputs_are_unique(sheet: Sheet) -> None:
    symbols = [output.symbol for output in sheet.outputs]
    assert len(symbols) == len(set(symbols))


@EVERY_SHEET
def test_names_are_unique_and_in_snake_case(sheet: Sheet) -> None:
    # An input and an output of one name would share one unit and one place in a finding.
    names = [item.name for item in (*sheet.inputs, *sheet.outputs)]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", name) for name in names)
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", sheet.name)


@EVERY_SHEET
def test_units_belong_to_their_quantities(sheet: Sheet) -> None:
    for item in (*sheet.inputs, *sheet.outputs):
        if isinstance(item, Input | Output):
            assert unit(item.unit, quantity=item.quantity).symbol == item.unit, item.name
            assert symbol_node(item.symbol)


@EVERY_SHEET
def test_a_condition_names_an_earlier_choice_and_its_keys(sheet: Sheet) -> None:
    known: Mapping[str, tuple[str, ...]] = {}
    for item in sheet.inputs:
        for name, keys in item.when:
            assert set(keys) <= set(known[name]), item.name
        if isinstance(item, Choice):
            known = {**known, item.name: item.keys}


@EVERY_SHEET
def test_words_are_whole_sentences(sheet: Sheet) -> None:
    sentences = [item.help for item in sheet.inputs]
    sentences += [
        cell.reason for item in sheet.inputs if isinstance(item, Rows) for cell in item.columns
    ]
    sentences += [item.reason for item in sheet.inputs if isinstance(item, Input)]
    sentences += [output.meaning for output in sheet.outputs]
    sentences += [chart.statement for chart in sheet.charts]
    sentences += list(sheet.limits)
    assert sheet.question.endswith("?")
    for sentence in sentences:
        assert not sentence or sentence.endswith("."), sentence


@EVERY_SHEET
def test_groups_stand_together_in_the_form(sheet: Sheet) -> None:
    groups = [item.group for item in sheet.inputs]
    starts = [
        group for index, group in enumerate(groups) if index == 0 or groups[index - 1] != group
    ]
    assert len(starts) == len(set(starts)), starts


@EVERY_SHEET
def test_its_page_exists_and_holds_the_calculator(sheet: Sheet) -> None:
    assert f"!calculator({sheet.name})" in (DOCS / sheet.page).read_text(encoding="utf-8")


@EVERY_SHEET
def test_every_step_has_a_source_with_references(sheet: Sheet) -> None:
    for result in _usual_results(sheet):
        for step in result.steps:
            assert references(step.source), qualified_name(step.source)


@EVERY_SHEET
def test_every_function_of_the_working_has_an_outside_check(sheet: Sheet) -> None:
    checked = {row.function for row in all_rows()}
    cited = {
        qualified_name(step.source) for result in _usual_results(sheet) for step in result.steps
    }
    assert cited <= checked


@EVERY_SHEET
def test_an_axis_is_in_the_unit_of_what_it_is_like(sheet: Sheet) -> None:
    fields = {item.name: item for item in (*sheet.inputs, *sheet.outputs)}
    for chart in sheet.charts:
        for axis in (chart.x, chart.y):
            if axis.like:
                like = fields[axis.like]
                assert isinstance(like, Input | Output)
                assert like.quantity == axis.quantity
        drawing = chart.draw(evaluate(sheet))
        coherent = {axis: QUANTITIES[axis.quantity].units[0].symbol for axis in (chart.x, chart.y)}
        assert chart_data(chart, drawing, x_unit=coherent[chart.x], y_unit=coherent[chart.y])[
            "curves"
        ]


@EVERY_SHEET
def test_an_input_beyond_its_range_is_refused_by_name(sheet: Sheet) -> None:
    for item in sheet.inputs:
        if isinstance(item, Input):
            for value in (
                item.maximum * 1.01 + 1.0,
                item.minimum - 1.0,
                float("nan"),
                float("inf"),
            ):
                choices = {name: keys[0] for name, keys in item.when}
                with pytest.raises(InputErrors) as caught:
                    evaluate(sheet, {**choices, item.name: value})
                assert caught.value.inputs == (item.name,)
