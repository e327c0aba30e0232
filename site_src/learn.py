"""The learn path: its modules and questions, read from docs/learn/*.toml.

A choice question holds its answers, each with the reason why it is right or
wrong. A question with numbers holds no answer: `calculators.quiz` draws the
numbers and a sheet gives it. What does not hold together is refused, all faults
at once.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calculators.errors import FileFormatError
from calculators.quiz import Question, read_question

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = [
    "LEARN_FOLDER",
    "ChoiceQuestion",
    "LearnDataError",
    "Module",
    "NumberQuestion",
    "Option",
    "load_modules",
    "read_module",
]

LEARN_FOLDER = Path(__file__).parent.parent / "docs" / "learn"
FORMAT, VERSION = "strokebook-questions", 1
FEWEST_OPTIONS = 2

_KEY = re.compile(r"[a-z]+(-[a-z]+)*")
_MODULE = {"format", "version", "number", "title", "skill", "question"}
_OF_SPECIFICATION = ("sheet", "answer", "unit", "tolerance", "text", "vary", "fixed")


class LearnDataError(ValueError):
    """The data of the learn path do not hold together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer to choose, and why it is right or wrong."""

    say: str
    why: str
    right: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceQuestion:
    """A question with answers to choose from, one of which is right."""

    key: str
    ask: str
    option: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberQuestion:
    """A question with numbers.

    Attributes
    ----------
    key, hint
        Its name in the module, and what helps without giving the answer.
    specification : mapping
        The question as the page hands it to the core: plain data, no answer.
    question : Question
        The same, read.
    """

    key: str
    hint: str
    specification: Mapping[str, Any]
    question: Question


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """One module: its place on the path, what the learner can then do, its questions."""

    name: str
    number: int
    title: str
    skill: str
    questions: tuple[ChoiceQuestion | NumberQuestion, ...]

    @property
    def outline(self) -> dict[str, Any]:
        """What the page's scripts know of a module: which questions count."""
        return {
            "name": self.name,
            "questions": [
                {"key": item.key, "number": isinstance(item, NumberQuestion)}
                for item in self.questions
            ],
        }


@cache
def load_modules() -> tuple[Module, ...]:
    """Return the modules of this handbook, in the order of the path.

    Raises
    ------
    LearnDataError
        If a module cannot be read, or the numbers do not run from 1.
    """
    files = sorted(LEARN_FOLDER.glob("*.toml"))
    read = [read_module(file.stem, file.read_text(encoding="utf-8")) for file in files]
    modules = tuple(sorted(read, key=lambda module: module.number))
    if [module.number for module in modules] != list(range(1, len(modules) + 1)):
        message = "The modules must be numbered from 1, each number once."
        raise LearnDataError(message)
    return modules


def read_module(name: str, text: str) -> Module:
    """Return the module written in TOML.

    Raises
    ------
    LearnDataError
        With every fault that was found.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = f"{name}: {error}"
        raise LearnDataError(message) from error
    if (data.get("format"), data.get("version")) != (FORMAT, VERSION) or set(data) != _MODULE:
        message = f"{name}: wanted is {FORMAT} {VERSION} with {', '.join(sorted(_MODULE))}."
        raise LearnDataError(message)
    faults: list[str] = []
    questions = [_question(table, faults) for table in data["question"]]
    keys = [question.key for question in questions if question]
    faults += [
        f"{key}: the key is not lower-case words." for key in keys if not _KEY.fullmatch(key)
    ]
    faults += [f"{key}: the key is used twice." for key in {*keys} if keys.count(key) > 1]
    if faults:
        raise LearnDataError("\n".join(f"{name}, {fault}" for fault in faults))
    return Module(
        name=name,
        number=data["number"],
        title=data["title"],
        skill=data["skill"],
        questions=tuple(question for question in questions if question),
    )


def _question(table: dict[str, Any], faults: list[str]) -> ChoiceQuestion | NumberQuestion | None:
    key = str(table.get("key", "a question without key"))
    try:
        if "sheet" in table:
            return _number_question(table)
        option = tuple(Option(**one) for one in table.pop("option"))
        question = ChoiceQuestion(option=option, **table)
    except (FileFormatError, TypeError, KeyError) as error:
        faults.append(f"{key}: {error}")
        return None
    faults += [f"{key}: {fault}" for fault in _choice_faults(question)]
    return question


def _number_question(table: dict[str, Any]) -> NumberQuestion:
    specification = {name: table.pop(name) for name in _OF_SPECIFICATION if name in table}
    question = read_question(specification)
    return NumberQuestion(specification=specification, question=question, **table)


def _choice_faults(question: ChoiceQuestion) -> Iterator[str]:
    if len(question.option) < FEWEST_OPTIONS or sum(one.right for one in question.option) != 1:
        yield "needs two answers or more, exactly one of them right."
    if any(not one.say.strip() or not one.why.strip() for one in question.option):
        yield "every answer needs words and a reason."
