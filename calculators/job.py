"""One design carried across the calculators: a value typed once is never typed again.

A job holds, for each calculator in use, the SI value of every input with where it came
from ("typed", "default", or the value that it follows, as in
``critical-damping.wheel_rate``), and what was last calculated from them. `links` says
what follows from what. Typing a value puts everything behind it out of date;
`recalculate` brings it up to date, in order.

`job_file` reads and writes jobs as text.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from calculators.errors import CalculatorError, ConflictError, InputError
from calculators.field import (
    Choice,
    Rows,
    checked_choice,
    checked_number,
    checked_rows,
    in_use,
)
from calculators.handed import HANDED
from calculators.links import sources
from calculators.sheet import evaluate
from calculators.sheets import load as _load
from calculators.sheets import names

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from calculators.field import Field, Value
    from calculators.links import Source
    from calculators.sheet import Result, Sheet

__all__ = ["DEFAULT", "TYPED", "Conflict", "Done", "Entry", "Held", "Job", "Status", "merge",
           "order", "upstream"]  # fmt: skip

TYPED, DEFAULT = "typed", "default"

load = cache(_load)  # a job asks for the same declarations hundreds of times


class Held(NamedTuple):
    """A value and where it came from: typed, default, or what it follows."""

    value: Value
    origin: str

    @property
    def followed(self) -> bool:
        """Whether it came from another calculator."""
        return self.origin not in {TYPED, DEFAULT}


@dataclass(slots=True)
class Entry:
    """What a job knows of one calculator.

    Attributes
    ----------
    inputs : dict of Held
        The inputs of the last calculation, and all that was typed since.
    outputs, handed : dict
        What the last calculation gave, in SI: outputs, and what it hands on beyond them.
    current : bool
        Whether the outputs are those of the inputs.
    """

    inputs: dict[str, Held] = field(default_factory=dict)
    outputs: dict[str, float | None] = field(default_factory=dict)
    handed: dict[str, Value] = field(default_factory=dict)
    current: bool = False


class Status(NamedTuple):
    """Why a calculator is out of date; all empty if it is not.

    `changed` names inputs whose value is another one than at the last calculation,
    `waits_for` calculators that have to come first. `never` says that it was not
    calculated with what was typed last.
    """

    changed: tuple[str, ...]
    waits_for: tuple[str, ...]
    never: bool

    @property
    def up_to_date(self) -> bool:
        """Whether nothing has changed since the last calculation."""
        return not (self.changed or self.waits_for or self.never)


class Done(NamedTuple):
    """One calculator of a run through a job: its result, or why there is none."""

    sheet: str
    result: Result | None
    error: CalculatorError | None


class Conflict(NamedTuple):
    """A value that was typed differently in two jobs."""

    sheet: str
    name: str
    mine: Value
    theirs: Value


@dataclass(slots=True)
class Job:
    """A design: title, notes, and what each calculator was given and gave."""

    title: str = ""
    notes: str = ""
    sheets: dict[str, Entry] = field(default_factory=dict)

    def add(self, sheet: str) -> Entry:
        """Take a calculator into the job and return its entry; one that is there stays."""
        load(sheet)
        return self.sheets.setdefault(sheet, Entry())

    def remove(self, sheet: str) -> None:
        """Leave a calculator out of the job; what followed it goes back to its defaults."""
        self.sheets.pop(sheet, None)

    def enter(self, sheet: str, name: str, value: Value) -> None:
        """Type a value, in SI.

        Raises
        ------
        InputError
            If there is no such input, or the value is not allowed; nothing is changed.
        """
        item = _input(sheet, name)
        checked = _checked(item, value)
        entry = self.add(sheet)
        entry.inputs[name] = Held(checked, TYPED)
        entry.current = False

    def follow(self, sheet: str, name: str) -> None:
        """Take back what was typed: the input follows its source again, or its default."""
        _input(sheet, name)
        entry = self.sheets.get(sheet)
        if entry is not None and name in entry.inputs and entry.inputs[name].origin == TYPED:
            del entry.inputs[name]
            entry.current = False

    def resolve(self, sheet: str) -> dict[str, Held]:
        """Return every input of a calculator as it stands now, and where it comes from."""
        return _Resolver(self).all_of(sheet)

    def calculate(self, sheet: str) -> Result:
        """Calculate with the inputs as they stand now, keep them and the outputs.

        Raises
        ------
        InputError, NoSolutionError
            As the calculator raises them; the job keeps its last outputs, out of date.
        """
        entry = self.add(sheet)
        held = self.resolve(sheet)
        declaration = load(sheet)
        used = _in_use(declaration, held)
        entry.current = False
        result = evaluate(declaration, {name: held[name].value for name in used})
        typed = {name: one for name, one in entry.inputs.items() if one.origin == TYPED}
        entry.inputs = {**typed, **{name: held[name] for name in used}}
        entry.outputs = dict(result.outputs)
        entry.handed = {name: handed.read(result) for name, handed in HANDED.get(sheet, {}).items()}
        entry.current = True
        return result

    def status(self) -> dict[str, Status]:
        """Return for every calculator of the job whether it is up to date, and if not, why."""
        resolver = _Resolver(self)
        found: dict[str, Status] = {}
        for sheet in order(self.sheets):
            entry, held = self.sheets[sheet], resolver.all_of(sheet)
            used = _in_use(load(sheet), held)
            changed = [
                name
                for name in used
                if name not in entry.inputs or entry.inputs[name].value != held[name].value
            ]
            waits = {
                origin
                for name in used
                for origin in resolver.calculated_in(sheet, name)
                if origin in found and not found[origin].up_to_date
            }
            never = not entry.current
            found[sheet] = Status(tuple(changed), tuple(sorted(waits)), never)
        return found

    def recalculate(self, only: Iterable[str] | None = None) -> Iterator[Done]:
        """Calculate what is out of date, in order, and yield each calculator as it is done.

        A calculator that waits for one that failed is left as it was.

        Parameters
        ----------
        only : iterable of str, optional
            Calculators that may be calculated; without it, all of the job.
        """
        allowed = set(self.sheets) if only is None else set(only)
        failed: set[str] = set()
        for sheet in order(self.sheets):
            status = self.status()[sheet]
            if status.up_to_date or sheet not in allowed:
                continue
            behind = sorted(failed & set(status.waits_for))
            if behind:
                failed.add(sheet)
                message = f"{load(sheet).title} waits for {', '.join(behind)}."
                yield Done(sheet, None, ConflictError(message))
                continue
            try:
                yield Done(sheet, self.calculate(sheet), None)
            except CalculatorError as error:
                failed.add(sheet)
                yield Done(sheet, None, error)


class _Resolver:
    """The inputs of a job as they stand at one moment, each looked up once."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._known: dict[tuple[str, str], Held] = {}

    def all_of(self, sheet: str) -> dict[str, Held]:
        return {item.name: self.held(sheet, item) for item in load(sheet).inputs}

    def held(self, sheet: str, item: Field) -> Held:
        key = (sheet, item.name)
        if key not in self._known:
            self._known[key] = self._look_up(sheet, item)
        return self._known[key]

    def _look_up(self, sheet: str, item: Field) -> Held:
        entry = self._job.sheets.get(sheet)
        typed = entry.inputs.get(item.name) if entry is not None else None
        if typed is not None and typed.origin == TYPED:
            return typed
        for source in sources(sheet, item.name):
            if source.when is not None and not self._answered(sheet, *source.when):
                continue
            offered = self._offered(source)
            if offered is not None and _fits(item, offered):
                return Held(offered, source.key)
        return Held(item.keys[0] if isinstance(item, Choice) else item.default, DEFAULT)

    def _answered(self, sheet: str, name: str, answer: str) -> bool:
        value = self.held(sheet, _fields(sheet)[name]).value
        return value == (answer if isinstance(value, str) else float(answer))

    def _offered(self, source: Source) -> Value:
        """Return what a source has to give, None if it has nothing."""
        entry = self._job.sheets.get(source.sheet)
        item = _fields(source.sheet).get(source.name)
        if item is None:
            given = {**entry.outputs, **entry.handed} if entry is not None else {}
            return given.get(source.name)
        held = self.held(source.sheet, item)
        if entry is None and held.origin == DEFAULT:
            return None
        return held.value if self._asked(source.sheet, item) else None

    def _asked(self, sheet: str, item: Field) -> bool:
        """Return whether an input is in use, with the choices as they stand."""
        choices: dict[str, str] = {}
        for other in load(sheet).inputs:
            if other is item:
                break
            if isinstance(other, Choice) and in_use(other, choices):
                choices[other.name] = str(self.held(sheet, other).value)
        return in_use(item, choices)

    def calculated_in(self, sheet: str, name: str) -> set[str]:
        """Return the calculator whose outputs an input comes from in the end, if there is one."""
        origin = self.held(sheet, _fields(sheet)[name]).origin
        if origin in {TYPED, DEFAULT}:
            return set()
        above, _, value = origin.partition(".")
        if _is_input(above, value):
            return self.calculated_in(above, value)
        return {above}


@cache
def _fields(sheet: str) -> Mapping[str, Field]:
    return {item.name: item for item in load(sheet).inputs}


def _is_input(sheet: str, name: str) -> bool:
    return name in _fields(sheet)


def _input(sheet: str, name: str) -> Field:
    if sheet not in names():
        message = f"There is no calculator called {sheet}."
        raise InputError(message)
    if not _is_input(sheet, name):
        message = f"{sheet} has no input called {name}."
        raise InputError(message, inputs=(name,))
    return _fields(sheet)[name]


def _checked(item: Field, value: Value) -> Value:
    if isinstance(item, Choice):
        return checked_choice(item, value)
    return checked_rows(item, value) if isinstance(item, Rows) else checked_number(item, value)


def _fits(item: Field, value: Value) -> bool:
    """Return whether a value is of the kind that an input takes; its range is not looked at."""
    if isinstance(item, Choice):
        return value in item.keys
    if isinstance(item, Rows):
        return isinstance(value, tuple) and all(len(row) == len(item.columns) for row in value)
    return isinstance(value, float)


def _in_use(sheet: Sheet, held: Mapping[str, Held]) -> tuple[str, ...]:
    choices: dict[str, str] = {}
    used = []
    for item in sheet.inputs:
        if not in_use(item, choices):
            continue
        used.append(item.name)
        if isinstance(item, Choice):
            choices[item.name] = str(held[item.name].value)
    return tuple(used)


@cache
def upstream(sheet: str) -> frozenset[str]:
    """Return the calculators whose results a calculator can take, directly or handed through."""
    found: set[str] = set()
    seen: set[tuple[str, str]] = set()

    def walk(taker: str, name: str) -> None:
        for source in sources(taker, name):
            if (source.sheet, source.name) in seen:
                continue
            seen.add((source.sheet, source.name))
            if _is_input(source.sheet, source.name):
                walk(source.sheet, source.name)
            else:
                found.add(source.sheet)

    for item in load(sheet).inputs:
        walk(sheet, item.name)
    return frozenset(found)


def order(sheets: Iterable[str]) -> tuple[str, ...]:
    """Return calculators so that each comes after those whose results it takes."""
    wanted = sorted(sheets)
    placed: list[str] = []

    def place(sheet: str) -> None:
        if sheet in placed:
            return
        for above in sorted(upstream(sheet)):
            place(above)
        placed.append(sheet)

    for sheet in wanted:
        place(sheet)
    return tuple(sheet for sheet in placed if sheet in wanted)


def merge(
    mine: Job, theirs: Job, *, prefer_theirs: bool = False
) -> tuple[Job, tuple[Conflict, ...]]:
    """Return one job with all that was typed in two, and what was typed differently.

    Title and notes are those of the preferred job. Both jobs stay as they are; what was
    calculated is out of date in the new one until it is calculated again.
    """
    first, second = (theirs, mine) if prefer_theirs else (mine, theirs)
    whole = Job(title=first.title or second.title, notes=first.notes or second.notes)
    conflicts = []
    for name in sorted({*mine.sheets, *theirs.sheets}):
        entry = whole.add(name)
        for job in (second, first):
            there = job.sheets.get(name, Entry())
            entry.outputs = {**entry.outputs, **there.outputs}
            entry.handed = {**entry.handed, **there.handed}
            for key, held in there.inputs.items():
                if held.origin == TYPED:
                    entry.inputs[key] = held
        conflicts += _conflicts(name, mine.sheets.get(name), theirs.sheets.get(name))
    return whole, tuple(conflicts)


def _conflicts(sheet: str, mine: Entry | None, theirs: Entry | None) -> list[Conflict]:
    if mine is None or theirs is None:
        return []
    return [
        Conflict(sheet, name, held.value, theirs.inputs[name].value)
        for name, held in sorted(mine.inputs.items())
        if held.origin == TYPED
        and name in theirs.inputs
        and theirs.inputs[name].origin == TYPED
        and theirs.inputs[name].value != held.value
    ]
