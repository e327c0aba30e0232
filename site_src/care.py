"""The guided check: questions, answers and outcomes, read from docs/care/check.toml.

The guided check, the static page and the inspection card are made from these records.
What does not hold together is refused, all faults at once.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calculators.quantities import from_si, to_si

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = [
    "CHECK_FILE",
    "FAULTS",
    "VERDICTS",
    "Answer",
    "CareDataError",
    "Check",
    "Outcome",
    "Question",
    "Topic",
    "Verdict",
    "all_paths",
    "load_check",
    "read_check",
]

CHECK_FILE = Path(__file__).parent.parent / "docs" / "care" / "check.toml"
FAULTS = ("leak", "charge", "play", "loose")  # what may never end in "normal"
FORMAT, VERSION = "strokebook-check", 1
FEWEST_ANSWERS = 2
LONGEST_PATH = 12  # answers from a topic's first question; more is a circle or too much to ask

_KEY = re.compile(r"[a-z]+(-[a-z]+)*")


class CareDataError(ValueError):
    """The data of the guided check do not hold together."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """One of the five words that a path may end in."""

    key: str
    word: str
    meaning: str


VERDICTS: Mapping[str, Verdict] = {
    verdict.key: verdict
    for verdict in (
        Verdict("normal", "Normal", "Carry on. Look again at the next service."),
        Verdict("wipe", "Wipe and look again", "Wipe it clean, then look again at the distance."),
        Verdict("check", "Have it checked", "Go gently to someone who can look closer."),
        Verdict("replace", "Replace", "The part is worn out or broken. Fit a new one."),
        Verdict("stop", "Do not drive", "Leave it where it stands until it is put right."),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer, and where it leads: ``question.NAME`` or ``outcome.NAME``."""

    key: str
    say: str
    then: str
    fault: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question; its cautions stand before it."""

    name: str
    ask: str
    answer: tuple[Answer, ...]
    help: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Where a path ends.

    Attributes
    ----------
    verdict : str
        Key in VERDICTS.
    name, why, apart, next, tell
        What it is, why, how to tell look-alikes apart, what to do next, what to
        tell the workshop.
    again_km : int
        For "wipe": after how many kilometres to look again.
    cautions : tuple of str
        Shown before what to do next.
    """

    key: str
    verdict: str
    name: str
    why: str
    apart: str
    next: str
    tell: str
    again_km: int = 0
    cautions: tuple[str, ...] = ()

    @property
    def word(self) -> str:
        """The verdict as the reader sees it, with the distance where there is one."""
        word = VERDICTS[self.verdict].word
        if not self.again_km:
            return word
        distance = to_si(self.again_km, unit="km", quantity="distance")
        miles = round(from_si(distance, unit="mi", quantity="distance"), -1)
        return f"{word} in {self.again_km}\u00a0km ({miles:.0f}\u00a0mi)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """One thing to look at; ``card`` is its line on the inspection card."""

    name: str
    title: str
    say: str
    card: str
    start: str
    figure: str = ""
    caption: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """All of the guided check."""

    ask: str
    hint: str
    cautions: Mapping[str, str]
    topics: tuple[Topic, ...]
    questions: Mapping[str, Question]
    outcomes: Mapping[str, Outcome]

    def questions_of(self, topic: Topic) -> list[Question]:
        """Return the questions that carry the topic's name."""
        return [q for name, q in self.questions.items() if name.startswith(f"{topic.name}-")]

    def outcomes_of(self, topic: Topic) -> list[Outcome]:
        """Return the outcomes that carry the topic's name."""
        return [o for name, o in self.outcomes.items() if name.startswith(f"{topic.name}-")]


def all_paths(check: Check, start: str) -> Iterator[tuple[tuple[Answer, ...], Outcome]]:
    """Walk every path from a question: the answers given, and the outcome reached.

    Raises
    ------
    CareDataError
        If a path is too long, as it is when questions lead in a circle.
    """
    waiting: list[tuple[str, tuple[Answer, ...]]] = [(start, ())]
    while waiting:
        name, given = waiting.pop()
        if len(given) > LONGEST_PATH:
            message = f"A path from question {start} is longer than {LONGEST_PATH} answers: {name}."
            raise CareDataError(message)
        for answer in check.questions[name].answer:
            kind, _, target = answer.then.partition(".")
            if kind == "question":
                waiting.append((target, (*given, answer)))
            else:
                yield (*given, answer), check.outcomes[target]


@cache
def load_check() -> Check:
    """Return the check of this handbook."""
    return read_check(CHECK_FILE.read_text(encoding="utf-8"))


def read_check(text: str) -> Check:
    """Return the check written in TOML.

    Raises
    ------
    CareDataError
        With every fault that was found.
    """
    try:
        check = _made(tomllib.loads(text))
    except (tomllib.TOMLDecodeError, TypeError, KeyError, AttributeError) as error:
        message = f"The data of the guided check cannot be read: {error}."
        raise CareDataError(message) from error
    faults = [*_local_faults(check), *_reference_faults(check)] or [*_path_faults(check)]
    if faults:
        raise CareDataError("\n".join(faults))
    return check


def _made(data: dict[str, Any]) -> Check:
    form = (data.pop("format"), data.pop("version"))
    if form != (FORMAT, VERSION):
        message = f"This is {form[0]} {form[1]}; wanted: {FORMAT} {VERSION}."
        raise CareDataError(message)
    return Check(
        topics=tuple(Topic(**table) for table in data.pop("topic")),
        questions={n: _question(n, table) for n, table in data.pop("question").items()},
        outcomes={n: Outcome(key=n, **_tuples(t)) for n, t in data.pop("outcome").items()},
        **data,
    )


def _tuples(table: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(v) if isinstance(v, list) else v for key, v in table.items()}


def _question(name: str, table: dict[str, Any]) -> Question:
    answers = tuple(Answer(**answer) for answer in table.pop("answer"))
    return Question(name=name, answer=answers, **_tuples(table))


def _local_faults(check: Check) -> Iterator[str]:
    """Yield what is wrong inside one record."""
    for question in check.questions.values():
        yield from _question_faults(question)
    for outcome in check.outcomes.values():
        if outcome.verdict not in VERDICTS:
            yield f"Outcome {outcome.key}: unknown verdict {outcome.verdict!r}."
        if (outcome.verdict == "wipe") != (outcome.again_km > 0):
            yield f"Outcome {outcome.key}: again_km belongs to the verdict wipe, and only there."
    records: tuple[tuple[str, Question | Outcome], ...] = (
        *check.questions.items(),
        *check.outcomes.items(),
    )
    for name, record in records:
        for caution in set(record.cautions) - set(check.cautions):
            yield f"{name}: unknown caution {caution!r}."
        if sum(name.startswith(f"{topic.name}-") for topic in check.topics) != 1:
            yield f"{name} must begin with the name of one topic."


def _question_faults(question: Question) -> Iterator[str]:
    keys = [answer.key for answer in question.answer]
    if len(keys) < FEWEST_ANSWERS or len(set(keys)) < len(keys):
        yield f"Question {question.name} needs two answers or more, each with its own key."
    for answer in question.answer:
        if not _KEY.fullmatch(answer.key):
            yield f"Question {question.name}: the key {answer.key!r} is not lower-case words."
        if answer.fault not in ("", *FAULTS):
            yield f"Question {question.name}: unknown fault {answer.fault!r}."


def _reference_faults(check: Check) -> Iterator[str]:
    """Yield where a name leads nowhere."""
    known = {f"question.{name}" for name in check.questions}
    known |= {f"outcome.{name}" for name in check.outcomes}
    for question in check.questions.values():
        for answer in question.answer:
            if answer.then not in known:
                yield f"Question {question.name}: {answer.then} does not exist."
    for topic in check.topics:
        if f"question.{topic.start}" not in known:
            yield f"Topic {topic.name}: the first question {topic.start} does not exist."


def _path_faults(check: Check) -> Iterator[str]:
    """Yield paths that end in the wrong word, and what no path reaches."""
    reached = {f"question.{topic.start}" for topic in check.topics}
    for topic in check.topics:
        for given, outcome in all_paths(check, topic.start):
            reached |= {answer.then for answer in given}
            bad = [answer.fault for answer in given if answer.fault]
            if bad and outcome.verdict == "normal":
                keys = "/".join([topic.name, *(answer.key for answer in given)])
                yield f"{keys} reports {', '.join(bad)} and ends in normal ({outcome.key})."
    for name in (f"question.{name}" for name in check.questions):
        if name not in reached:
            yield f"No path reaches {name}."
    for name in (f"outcome.{name}" for name in check.outcomes):
        if name not in reached:
            yield f"No path reaches {name}."
