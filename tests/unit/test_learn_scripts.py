"""The training record's plain functions, run by Node: read, write, join, when a module is done."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.unit.scripts import run as run_module

DAY, LATER = "2026-11-25", "2026-12-01"
ANSWERS: dict[str, Any] = {"purpose/critical": {"right": DAY, "tries": 2}}
RECORD: dict[str, Any] = {
    "format": "strokebook-training",
    "version": 1,
    "name": "Demo Trainee",
    "answers": ANSWERS,
}
OUTLINE = {
    "name": "demo",
    "questions": [{"key": key, "number": key in "de"} for key in "abcde"],
}


def run(code: str, **given: object) -> Any:  # noqa: ANN401  whatever JSON holds
    """Run code with the record's module as `it` and values as `given`."""
    return run_module("learn-record.js", code, **given)


def read(text: str) -> dict[str, Any]:
    found: dict[str, Any] = run("it.readTraining(given.text)", text=text)
    return found


def standing(answers: dict[str, Any]) -> dict[str, Any]:
    training = {"name": "", "answers": {f"demo/{key}": value for key, value in answers.items()}}
    found: dict[str, Any] = run("it.standing(given.outline, given.training)",
                                outline=OUTLINE, training=training)  # fmt: skip
    return found


def right(keys: str, day: str = DAY, tries: int = 1) -> dict[str, Any]:
    return {key: {"right": day, "tries": tries} for key in keys}


def test_a_record_that_is_written_is_read_again() -> None:
    written = run("it.writeTraining(given.training)", training={"name": "É", "answers": ANSWERS})
    assert read(written) == {"training": {"name": "É", "answers": ANSWERS}, "reason": ""}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"format": "strokebook-log"}, "no training record"),
        ({"version": 2}, "version"),
        ({"version": "1"}, "version"),
        ({"name": 5}, "name"),
        ({"name": "x" * 81}, "name"),
        ({"answers": []}, "answers"),
        ({"answers": None}, "answers"),
        ({"answers": {"__proto__": {"right": DAY, "tries": 1}}}, "Answer 1"),
        ({"answers": {"<b>/x": {"right": DAY, "tries": 1}}}, "Answer 1"),
        ({"answers": {"a/b": {"right": "2026-02-30", "tries": 1}}}, "Answer 1"),
        ({"answers": {"a/b": {"right": True, "tries": 1}}}, "Answer 1"),
        ({"answers": {"a/b": {"right": DAY, "tries": 0}}}, "Answer 1"),
        ({"answers": {"a/b": {"right": DAY, "tries": 1.5}}}, "Answer 1"),
        ({"answers": {"a/b": {"right": DAY, "tries": 1e9}}}, "Answer 1"),
        ({"answers": {"a/b": {"right": DAY}}}, "Answer 1"),
        ({"answers": {"a/b": [DAY, 1]}}, "Answer 1"),
        ({"answers": {"a/b": None}}, "Answer 1"),
    ],
)
def test_a_hostile_or_damaged_record_is_refused_with_a_sentence(
    change: dict[str, Any], words: str
) -> None:
    found = read(json.dumps(RECORD | change))
    assert found["training"] is None
    assert words in found["reason"]


@pytest.mark.parametrize("text", ["", "nonsense", "[]", "null", "5", '"x"', "[" * 100_000])
def test_what_is_no_record_is_refused(text: str) -> None:
    assert read(text)["training"] is None


def test_a_file_that_is_too_large_is_refused_before_it_is_read() -> None:
    code = "it.readTraining(' '.repeat(200001))"
    assert "200 kB" in run(code)["reason"]


def test_more_answers_than_any_path_has_are_refused() -> None:
    letters = "abcdefghijklmnopqrstuvwxyz"
    keys = [f"{a}/{b}{c}" for a in letters[:2] for b in letters for c in letters]
    answers = {key: {"right": "", "tries": 1} for key in keys[:1001]}
    assert "more than 1000" in read(json.dumps(RECORD | {"answers": answers}))["reason"]


def test_what_else_a_file_holds_does_not_come_in() -> None:
    extra = RECORD | {"evil": "<script>"} | {"answers": {"a/b": {"right": "", "tries": 1, "x": 1}}}
    assert read(json.dumps(extra))["training"] == {
        "name": "Demo Trainee",
        "answers": {"a/b": {"right": "", "tries": 1}},
    }


def test_two_records_become_one_with_the_earlier_day_and_the_more_tries() -> None:
    here = {"name": "", "answers": {"a/b": {"right": LATER, "tries": 1}}}
    added = {
        "name": "N",
        "answers": {"a/b": {"right": DAY, "tries": 3}, "a/c": {"right": "", "tries": 2}},
    }
    assert run("it.merged(given.here, given.added)", here=here, added=added) == {
        "name": "N",
        "answers": {"a/b": {"right": DAY, "tries": 3}, "a/c": {"right": "", "tries": 2}},
    }


def test_an_answer_once_right_stays_right_and_keeps_its_first_day() -> None:
    code = """[[false, 'x'], [true, given.day], [false, given.later], [true, given.later]]
        .reduce((all, [ok, day]) => it.answered(all, 'a/b', ok, day), it.nothing()).answers"""
    assert run(code, day=DAY, later=LATER) == {"a/b": {"right": DAY, "tries": 4}}


def test_a_module_is_done_with_eight_of_ten_right_and_all_questions_with_numbers() -> None:
    assert standing({})["done"] == ""
    assert standing(right("abc"))["done"] == ""  # 3 of 5
    assert standing(right("abcd"))["done"] == ""  # 4 of 5, but a number is missing
    assert standing(right("abde"))["done"] == DAY
    assert standing(right("abde"))["right"] == 4
    assert standing(right("abde"))["wanted"] == 4


def test_the_day_of_a_module_is_the_day_on_which_it_was_first_done() -> None:
    answers = right("abd") | right("e", LATER) | right("c", "2027-01-01")
    assert standing(answers)["done"] == LATER
    assert standing(answers)["tries"] == 5


def test_answers_to_other_modules_do_not_count() -> None:
    training = {
        "name": "",
        "answers": {f"other/{key}": {"right": DAY, "tries": 1} for key in "abcde"},
    }
    found = run("it.standing(given.outline, given.training)", outline=OUTLINE, training=training)
    assert (found["right"], found["tries"], found["done"]) == (0, 0, "")
