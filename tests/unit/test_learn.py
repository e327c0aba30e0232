"""The learn path: what does not hold together is refused, and every module is whole."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from markdown import Markdown

from calculators.quiz import drawn
from calculators.sheet import evaluate
from calculators.sheets import names
from site_src.learn import (
    LEARN_FOLDER,
    ChoiceQuestion,
    LearnDataError,
    Module,
    NumberQuestion,
    load_modules,
    read_module,
)
from site_src.render.card import card_html
from site_src.render.learn import EXAMPLE, module_html, modules_html, record_html

MODULES = load_modules()
every_module = pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
FEWEST, MOST = 5, 9  # questions of a module
ID = re.compile(r'\bid="([^"]*)"')
FOR = re.compile(r'\b(?:for|aria-labelledby|aria-describedby)="([^"]*)"')

HEAD = 'format = "strokebook-questions"\nversion = 1\nnumber = 1\ntitle = "T"\nskill = "S"\n'
CHOICE = """
[[question]]
key = "one"
ask = "Which?"
option = [{ say = "A", why = "Because.", right = true }, { say = "B", why = "No." }]
"""


def _page(name: str) -> str:
    text = (LEARN_FOLDER / f"{name}.md").read_text(encoding="utf-8").partition("\n---\n")[2]
    extensions = ["tables", "attr_list", "admonition", "site_src.extension"]
    return Markdown(extensions=extensions).convert(text)


def _numbers(module: Module) -> list[NumberQuestion]:
    return [item for item in module.questions if isinstance(item, NumberQuestion)]


def test_there_are_eight_modules_with_at_least_twenty_questions_with_numbers() -> None:
    assert len(MODULES) == 8
    assert sum(len(_numbers(module)) for module in MODULES) >= 20


def test_the_questions_with_numbers_use_most_of_the_sheets_that_answer_at_once() -> None:
    used = {item.question.sheet.name for module in MODULES for item in _numbers(module)}
    assert used <= set(names())
    assert len(used) >= 15


@every_module
def test_every_module_has_both_kinds_of_questions_and_not_too_many(module: Module) -> None:
    assert FEWEST <= len(module.questions) <= MOST
    assert len(_numbers(module)) >= 3
    assert len(module.questions) - len(_numbers(module)) >= 3


@every_module
def test_every_module_has_a_page_with_objectives_reading_a_figure_and_its_questions(
    module: Module,
) -> None:
    text = (LEARN_FOLDER / f"{module.name}.md").read_text(encoding="utf-8")
    assert f"# {module.number} {module.title}\n" in text
    for heading in (
        "What you can do afterwards", "Reading", "A figure to play with", "Questions", "Limits",
        "Sources",
    ):  # fmt: skip
        assert f"\n## {heading}\n" in text
    assert f"\n!module({module.name})\n" in text
    assert re.search(r"^!(calculator|experiment)\(", text, re.MULTILINE)
    assert "](../understand/" in text or "](../care/" in text


@every_module
def test_no_two_things_on_a_module_page_have_one_id_and_no_label_points_nowhere(
    module: Module,
) -> None:
    made = _page(module.name)
    ids = ID.findall(made)
    assert len(ids) == len(set(ids))
    assert {name for names in FOR.findall(made) for name in names.split()} <= set(ids)


def test_a_card_may_stand_on_two_pages_and_two_cards_on_one() -> None:
    first, second = card_html("lag"), card_html("leaf-friction")
    assert card_html("lag") == first
    assert not set(ID.findall(first)) & set(ID.findall(second))


@every_module
def test_the_page_holds_no_answer_to_a_question_with_numbers(module: Module) -> None:
    made = module_html(module.name)
    for item in _numbers(module):
        held = re.search(
            rf'id="question-{item.key}".*?data-specification="([^"]*)"', made, re.DOTALL
        )
        assert held is not None
        specification = json.loads(unescape(held[1]))
        assert specification == item.specification
        assert "answer" in specification  # the name of the output, no number
        assert specification["answer"] == item.question.answer.name
        truth = evaluate(item.question.sheet, drawn(item.question, EXAMPLE)).outputs
        value = truth[item.question.answer.name]
        assert value is not None
        assert f"{value:.6g}" not in made


@every_module
def test_without_a_script_every_choice_folds_out_its_reason(module: Module) -> None:
    made = module_html(module.name)
    for item in module.questions:
        if isinstance(item, ChoiceQuestion):
            for option in item.option:
                assert f"<strong>{'Right.' if option.right else 'Not this one.'}</strong>" in made
                assert option.why in unescape(made)
    assert made.count("<details") >= sum(
        len(item.option) for item in module.questions if isinstance(item, ChoiceQuestion)
    )
    assert made.count("need JavaScript") == len(_numbers(module))


def test_a_module_outlines_its_questions_for_the_record() -> None:
    for made in (modules_html(), record_html()):
        held = [json.loads(unescape(text)) for text in re.findall(r'data-module="([^"]*)"', made)]
        assert held == [module.outline for module in MODULES]


def test_the_record_has_lines_for_both_signatures() -> None:
    made = record_html()
    assert "Trainee: date and signature" in made
    assert "Trainer: date and signature" in made


def test_choosing_the_longest_answer_does_not_pass() -> None:
    choices = [q for m in MODULES for q in m.questions if isinstance(q, ChoiceQuestion)]
    longest = [max(item.option, key=lambda option: len(option.say)).right for item in choices]
    assert sum(longest) <= len(choices) / 2


def test_a_sound_module_is_read() -> None:
    module = read_module("demo", HEAD + CHOICE)
    assert (module.number, module.title, len(module.questions)) == (1, "T", 1)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("not toml [", "demo"),
        (HEAD.replace("version = 1", "version = 9") + CHOICE, "strokebook-questions 1"),
        (HEAD.replace('title = "T"\n', "") + CHOICE, "title"),
        (HEAD + 'more = "x"\n' + CHOICE, "wanted"),
        (HEAD + CHOICE + CHOICE, "used twice"),
        (HEAD + CHOICE.replace('"one"', '"One!"'), "lower-case"),
        (HEAD + CHOICE.replace(", right = true", ""), "exactly one"),
        (HEAD + CHOICE.replace('why = "No."', 'why = "No.", right = true'), "exactly one"),
        (HEAD + CHOICE.replace('"Because."', '" "'), "a reason"),
        (HEAD + CHOICE.replace('why = "No."', "because = 1"), "because"),
        (HEAD + CHOICE.replace("ask =", "asks ="), "asks"),
        (
            HEAD + '[[question]]\nkey = "n"\nhint = "h"\nsheet = "nothing"\n',
            "question with numbers",
        ),
    ],
)
def test_a_module_that_does_not_hold_together_is_refused(text: str, words: str) -> None:
    with pytest.raises(LearnDataError, match=words):
        read_module("demo", text)


def test_all_faults_of_a_module_are_told_together() -> None:
    bad = CHOICE.replace(", right = true", "")
    with pytest.raises(LearnDataError) as caught:
        read_module("demo", HEAD + bad + bad.replace('"one"', '"Two!"'))
    assert str(caught.value).count("exactly one") == 2
    assert "lower-case" in str(caught.value)


@pytest.mark.parametrize("mark", ["!module(nothing)", "!module()"])
def test_a_mark_for_a_module_that_is_not_there_stops_the_build(mark: str) -> None:
    with pytest.raises(KeyError):
        Markdown(extensions=["site_src.extension"]).convert(mark)
