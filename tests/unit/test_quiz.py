"""Questions with numbers: drawn from a seed, answered by a sheet, marked with a tolerance."""

from __future__ import annotations

import json
from math import isfinite
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import FileFormatError
from calculators.field import Input
from calculators.formula import parse_formula
from calculators.quantities import format_value, from_si, plain_number, quantity
from calculators.quiz import asked, drawn, marked, needed, read_question, solved
from calculators.request import answer
from calculators.sheet import evaluate
from calculators.view import Units
from site_src.learn import NumberQuestion, load_modules

if TYPE_CHECKING:
    from calculators.quiz import Question

NUMBERS = [
    pytest.param(item.question, id=f"{module.name}/{item.key}")
    for module in load_modules()
    for item in module.questions
    if isinstance(item, NumberQuestion)
]
every_question = pytest.mark.parametrize("question", NUMBERS)
SI, IMPERIAL = Units(), Units(imperial=True)
SEEDS = 50
# A question that says this wants the calculator, which holds what the text doesn't tell.
BY_CALCULATOR = "leave everything else as it stands"

BODY: dict[str, Any] = {
    "sheet": "leaf-friction",
    "answer": "damping",
    "tolerance": 0.02,
    "text": "Friction {friction}, amplitude {amplitude}, frequency {frequency}: which damping?",
    "vary": {"friction": {"from": 200, "to": 800, "step": 50, "unit": "N"}},
    "fixed": {"amplitude": "10 mm", "frequency": "1.5 Hz"},
}


def _question(**changed: object) -> Question:
    return read_question({**BODY, **changed})


def _truth(question: Question, seed: int) -> float:
    value = evaluate(question.sheet, drawn(question, seed)).outputs[question.answer.name]
    assert value is not None
    return value


def _mark(question: Question, seed: int, text: str, unit: str = "") -> dict[str, str]:
    return marked(question, seed, SI, text=text, typed_unit=unit or question.unit)


@every_question
def test_every_question_has_a_finite_answer_for_every_seed(question: Question) -> None:
    assert question.tolerance > 0.0
    for seed in range(1, SEEDS + 1):
        truth = _truth(question, seed)
        assert isfinite(truth)
        assert truth != 0.0


@every_question
def test_every_question_draws_within_its_limits_and_the_ranges_of_the_sheet(
    question: Question,
) -> None:
    seen = {item.name: set[float]() for item in question.vary}
    for seed in range(1, SEEDS + 1):
        values = drawn(question, seed)
        for item in question.vary:
            declared = question.sheet.input(item.name)
            value = values[item.name]
            assert isinstance(declared, Input)
            assert isinstance(value, float)
            assert declared.minimum <= value <= declared.maximum
            number = from_si(value, unit=item.unit, quantity=declared.quantity)
            assert item.low - 1e-9 <= number <= item.high + 1e-9
            seen[item.name].add(value)
    assert all(len(values) > 1 for values in seen.values())


@every_question
def test_the_cores_answer_is_marked_right_in_every_unit(question: Question) -> None:
    truth = _truth(question, 3)
    for unit in quantity(question.answer.quantity).units:
        number = from_si(truth, unit=unit.symbol, quantity=question.answer.quantity)
        assert _mark(question, 3, plain_number(number), unit.symbol)["verdict"] == "right"


@every_question
def test_an_answer_beyond_the_tolerance_is_marked_wrong(question: Question) -> None:
    truth = _truth(question, 5)
    for share in (1.0 - 1.5 * question.tolerance, 1.0 + 1.5 * question.tolerance):
        number = from_si(truth * share, unit=question.unit, quantity=question.answer.quantity)
        assert _mark(question, 5, plain_number(number))["verdict"] == "wrong"


@every_question
def test_the_numbers_as_they_are_told_lead_to_a_right_answer_in_both_systems(
    question: Question,
) -> None:
    """The digits shown are enough: rounding them moves the answer by less than the tolerance."""
    for units in (SI, IMPERIAL):
        put = asked(question, 11, units)
        digits = solved(question, 11, units)["answer"].replace("\u2009", "")
        told = marked(question, 11, units, text=digits, typed_unit=put["unit"])
        assert told["verdict"] == "right"


@every_question
def test_the_working_ends_in_the_answer_and_needs_only_what_the_text_tells(
    question: Question,
) -> None:
    result = evaluate(question.sheet, drawn(question, 7))
    steps = [result.steps[place] for place in needed(result, question.answer)]
    assert steps[-1].answer.value == result.outputs[question.answer.name]
    made = {parse_formula(step.formula).result for step in steps}
    symbols = {
        item.symbol: item.name
        for item in question.sheet.inputs
        if isinstance(item, Input) and item.name in result.given.numbers
    }
    used = {name for step in steps for name in step.values} - made
    hidden = {symbols[name] for name in used & set(symbols)} - set(question.told)
    # a default that changes nothing: a ratio of 1, nothing at all, sea level
    neutral = {name for name in hidden if result.given.numbers[name] in (0.0, 1.0)}
    assert BY_CALCULATOR in question.text or hidden <= neutral | _CANCELLED


# Inputs that cancel out of the answer for the values that stand there.
_CANCELLED = {
    "charge_temperature", "oil_volume", "expansion_coefficient", "gas_column",
    "chamber_diameter", "polytropic_exponent", "eccentricity",
}  # fmt: skip


@every_question
def test_no_text_of_a_question_is_left_with_a_bracket(question: Question) -> None:
    for units in (SI, IMPERIAL):
        text = asked(question, 2, units)["text"]
        assert "{" not in text
        assert text.rstrip().endswith(("?", ".", ")"))


def test_the_same_seed_draws_the_same_numbers_and_others_draw_others() -> None:
    question = _question()
    assert drawn(question, 4) == drawn(question, 4)
    assert len({drawn(question, seed)["friction"] for seed in range(1, 60)}) == 13


@pytest.mark.parametrize("seed", [0, -1, 10**12])
def test_a_seed_outside_the_range_is_refused(seed: int) -> None:
    with pytest.raises(ValueError, match="seed"):
        drawn(_question(), seed)


def test_a_wrong_answer_is_told_what_may_be_wrong_without_the_answer() -> None:
    question = _question()
    truth = _truth(question, 1)
    shown = format_value(truth, unit="N·s/m", quantity="damping")
    for text, words in (
        (plain_number(-truth), "sign"),
        (plain_number(truth / 1000.0), "another unit: N·s/mm"),
        (plain_number(truth * 10.0), "power of ten"),
        (plain_number(truth * 1.3), "too large"),
        (plain_number(truth * 0.7), "too small"),
    ):
        verdict = _mark(question, 1, text)
        assert verdict["verdict"] == "wrong"
        assert words in verdict["words"]
        assert shown not in verdict["words"]


def test_a_unit_may_be_typed_behind_the_number() -> None:
    question = _question()
    text = f"{plain_number(_truth(question, 1) / 1000.0)} N·s/mm"
    assert _mark(question, 1, text)["verdict"] == "right"


@pytest.mark.parametrize("text", ["", "about 5", "1 2/3", "5 kg", "nan", "1e999"])
def test_what_cannot_be_read_is_said_and_is_no_answer(text: str) -> None:
    verdict = _mark(_question(), 1, text)
    assert verdict["verdict"] == "unreadable"
    assert verdict["words"]


def test_a_question_is_told_in_the_units_of_its_author_or_in_imperial() -> None:
    question = _question()
    assert "10\u00a0mm" in asked(question, 1, SI)["text"]
    assert "0.3937\u00a0in" in asked(question, 1, IMPERIAL)["text"]
    assert asked(question, 1, IMPERIAL)["unit"] == "lbf·s/in"
    assert asked(question, 1, SI)["tolerance"] == "2\u00a0%"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"sheet": "nothing"}, "no calculator"),
        ({"answer": "nothing"}, "no calculator"),
        ({"tolerance": 0}, "tolerance"),
        ({"tolerance": 0.5}, "tolerance"),
        ({"tolerance": "2"}, "tolerance"),
        ({"tolerance": True}, "tolerance"),
        ({"unit": "kg"}, "kg"),
        ({"text": "Which damping?"}, "must name"),
        ({"text": "{friction} {nothing}"}, "no number"),
        ({"text": "{friction} {"}, "bracket"),
        ({"vary": []}, "one entry"),
        ({"vary": {"nothing": {"from": 1, "to": 2, "step": 1, "unit": "N"}}}, "vary.nothing"),
        ({"vary": {"friction": {"from": 1, "to": 2}}}, "from, to, step"),
        ({"vary": {"friction": {"from": 9, "to": 2, "step": 1, "unit": "N"}}}, "no values"),
        ({"vary": {"friction": {"from": 1, "to": 2, "step": 0, "unit": "N"}}}, "no values"),
        ({"vary": {"friction": {"from": 1, "to": 2, "step": 1e-9, "unit": "N"}}}, "no values"),
        ({"vary": {"friction": {"from": 1, "to": 2, "step": 1, "unit": "kg"}}}, "kg"),
        ({"vary": {"friction": {"from": 1, "to": 99, "step": 1, "unit": "kN"}}}, "range"),
        ({"fixed": {"amplitude": "much"}}, "fixed.amplitude"),
        ({"fixed": {"nothing": "1"}}, "fixed.nothing"),
        ({"fixed": {"amplitude": 5}}, "fixed.amplitude"),
        ({"expected": 42}, "nothing else"),
    ],
)
def test_a_question_that_does_not_hold_together_is_refused(
    changed: dict[str, Any], words: str
) -> None:
    with pytest.raises(FileFormatError, match=words):
        _question(**changed)


def test_all_faults_of_a_question_are_told_together() -> None:
    with pytest.raises(FileFormatError) as caught:
        _question(tolerance=0, unit="kg", fixed={"nothing": "1"})
    assert all(word in str(caught.value) for word in ("tolerance", "kg", "fixed.nothing"))


def test_a_temperature_is_not_asked_for_because_it_has_no_share_to_be_off_by() -> None:
    with pytest.raises(FileFormatError, match="temperature"):
        read_question(
            {
                "sheet": "heat-and-fade",
                "answer": "oil_temperature",
                "tolerance": 0.02,
                "text": "{air_speed}",
                "vary": {"air_speed": {"from": 1, "to": 5, "step": 1, "unit": "m/s"}},
            }
        )


def _request(operation: str, **arguments: object) -> dict[str, Any]:
    given_ = {"question": BODY, "seed": 9, "imperial": False, **arguments}
    reply: dict[str, Any] = json.loads(answer(operation, json.dumps(given_)))
    return reply


def test_a_page_that_asks_gets_no_answer_before_it_asks_for_the_solution() -> None:
    put = _request("ask")["value"]
    assert set(put) == {"text", "unit", "tolerance"}
    with_solution = _request("ask", solution=True)["value"]
    assert with_solution["answer"].endswith("N·s/m")
    assert [step["label"] for step in with_solution["steps"]] == [
        "Equivalent damping, with ω = 2πf"
    ]


def test_a_page_has_an_answer_marked() -> None:
    truth = plain_number(_truth(_question(), 9))
    assert _request("mark", text=truth, unit="N·s/m")["value"]["verdict"] == "right"
    assert _request("mark", text="1", unit="N·s/m")["value"]["verdict"] == "wrong"
    assert not _request("mark", text="1", unit="N·s/m", question={"sheet": 5})["ok"]


@given(st.text(max_size=80))
def test_whatever_is_typed_gets_a_verdict(text: str) -> None:
    assert _mark(_question(), 1, text)["verdict"] in {"right", "wrong", "unreadable"}
