"""Questions with numbers: fresh ones for each seed, answered by a sheet.

A question names a sheet, the inputs that vary and within which limits, the fixed
ones, and the output that is asked for. Nobody writes its answer down: the sheet
gives it, with the working. `asked` puts the question, `marked` judges a typed
answer, `solved` gives the answer and the steps that lead to it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, log10
from random import Random
from string import Formatter
from typing import TYPE_CHECKING, Any

from calculators.errors import CalculatorError, FileFormatError, UnitError
from calculators.field import Choice, Input, Rows, in_use
from calculators.formula import parse_formula
from calculators.quantities import format_value, from_si, parse, quantity, to_si, unit
from calculators.sheet import evaluate
from calculators.sheets import load
from calculators.view import Units, present

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from calculators.field import Value
    from calculators.sheet import Output, Result, Sheet, Step

__all__ = ["Question", "Varied", "asked", "drawn", "marked", "needed", "read_question", "solved"]

SEEDS = range(1, 1_000_000_000)
MOST_TOLERANCE = 0.2  # 1, share of the answer; more would let a wrong formula pass
_PLACES = 1000  # values that one input may take, at most
_LONGEST = 2000  # characters of a question
_DIGITS = 4
_TEN = 0.02  # 1, decades by which an answer may miss a power of ten and still be told so
_FIELDS = {"sheet", "answer", "tolerance", "text", "vary", "fixed", "unit"}
_LIMITS = {"from", "to", "step", "unit"}


@dataclass(frozen=True, slots=True)
class Varied:
    """An input that is drawn afresh: low, low + step, … up to high, in a reader's unit."""

    name: str
    low: float
    high: float
    step: float
    unit: str

    @property
    def places(self) -> int:
        """How many steps there are from low to high."""
        return round((self.high - self.low) / self.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question with numbers.

    Attributes
    ----------
    sheet : Sheet
        What gives the answer.
    answer : Output
        Which of its outputs is asked for.
    unit : str
        The unit in which the answer is first asked for.
    tolerance : float
        How far off a right answer may be, as a share of it.
    text : str
        The question; ``{name}`` stands for an input with its unit.
    vary : tuple of Varied
        What is drawn.
    fixed : mapping
        SI values and choices that stay; everything else keeps its default.
    units : mapping
        The unit in which each input is told, where it is not the sheet's.
    """

    sheet: Sheet
    answer: Output
    unit: str
    tolerance: float
    text: str
    vary: tuple[Varied, ...]
    fixed: Mapping[str, Value]
    units: Mapping[str, str]

    @property
    def told(self) -> tuple[str, ...]:
        """The inputs that the text names."""
        return tuple(name for _, name, _, _ in Formatter().parse(self.text) if name)


def read_question(data: object) -> Question:
    """Return the question that plain data describe.

    Raises
    ------
    FileFormatError
        With every fault that was found.
    """
    if not isinstance(data, dict) or not _FIELDS - {"unit", "fixed"} <= set(data) <= _FIELDS:
        message = f"A question with numbers has {', '.join(sorted(_FIELDS))} and nothing else."
        raise FileFormatError(message)
    try:
        sheet = load(str(data["sheet"]))
        answer = sheet.output(str(data["answer"]))
    except KeyError as error:
        message = f"The question asks for what no calculator gives: {error}."
        raise FileFormatError(message) from error
    texts = data.get("fixed", {})
    if not isinstance(data["vary"], dict) or not isinstance(texts, dict):
        message = "vary and fixed hold one entry for each input."
        raise FileFormatError(message)
    faults: list[str] = []
    units: dict[str, str] = {}
    vary = tuple(_varied(sheet, str(name), item, faults) for name, item in data["vary"].items())
    fixed = {str(n): _fixed(sheet, str(n), text, units, faults) for n, text in texts.items()}
    units |= {item.name: item.unit for item in vary}
    question = Question(
        sheet=sheet,
        answer=answer,
        unit=str(data.get("unit", answer.unit)),
        tolerance=_number(data["tolerance"]),
        text=str(data["text"])[:_LONGEST],
        vary=vary,
        fixed=fixed,
        units=units,
    )
    faults += _faults(question)
    if faults:
        raise FileFormatError(" ".join(faults))
    return question


def _number(value: object) -> float:
    """Return a number, or one that no check lets pass."""
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if plain else float("nan")  # type: ignore[arg-type]  # plain says so


def _varied(sheet: Sheet, name: str, limits: object, faults: list[str]) -> Varied:
    given = limits if isinstance(limits, dict) and set(limits) == _LIMITS else {}
    low, high, step = (_number(given.get(key)) for key in ("from", "to", "step"))
    varied = Varied(name, low, high, step, str(given.get("unit", "")))
    item = next((one for one in sheet.inputs if one.name == name), None)
    if not given or not isinstance(item, Input):
        faults.append(f"vary.{name}: needs a number of the sheet with from, to, step and unit.")
    elif not (low < high and step > 0.0 and 1 <= (high - low) / step <= _PLACES):
        faults.append(f"vary.{name}: from, to and step give no values to draw from.")
    else:
        try:
            ends = [to_si(end, unit=varied.unit, quantity=item.quantity) for end in (low, high)]
        except CalculatorError as error:
            faults.append(f"vary.{name}: {error}")
        else:
            if not item.minimum <= min(ends) <= max(ends) <= item.maximum:
                faults.append(f"vary.{name}: leaves the range of the sheet.")
    return varied


def _fixed(
    sheet: Sheet, name: str, text: object, units: dict[str, str], faults: list[str]
) -> Value:
    item = next((one for one in sheet.inputs if one.name == name), None)
    if item is None or isinstance(item, Rows) or not isinstance(text, str):
        faults.append(f"fixed.{name}: needs a number or choice of the sheet, written as text.")
        return None
    if isinstance(item, Choice):
        return text
    if not text:
        return None
    try:
        seen = parse(text, quantity=item.quantity, unit=item.unit)
    except UnitError as error:
        faults.append(f"fixed.{name}: {error}")
        return None
    units[name] = seen.unit
    return seen.value


def _faults(question: Question) -> Iterator[str]:
    kind = quantity(question.answer.quantity)
    try:
        unit(question.unit, quantity=kind.name)
    except UnitError as error:
        yield str(error)
    if any(one.offset for one in kind.units):
        yield "A temperature has no share to be off by: ask for a difference."
    if not 0.0 < question.tolerance <= MOST_TOLERANCE:
        yield f"tolerance is a share above 0 and up to {MOST_TOLERANCE}."
    try:
        told = question.told
    except ValueError as error:
        yield f"The text has a stray bracket: {error}."
        return
    numbers = {item.name for item in question.sheet.inputs if isinstance(item, Input)}
    if not set(told) <= numbers:
        yield f"The text names what is no number of the sheet: {sorted(set(told) - numbers)}."
    if not {item.name for item in question.vary} <= set(told):
        yield "The text must name every input that varies."


def drawn(question: Question, seed: int) -> dict[str, Value]:
    """Return the SI values of the inputs for a seed: the same seed, the same values."""
    if seed not in SEEDS:
        message = f"a seed is a whole number from {SEEDS[0]} to {SEEDS[-1]}"
        raise ValueError(message)
    chance = Random(seed)  # noqa: S311  numbers of a question, no secret
    values = dict(question.fixed)
    for item in question.vary:
        place = int(chance.random() * (item.places + 1))
        number = float(f"{item.low + place * item.step:.12g}")
        kind = question.sheet.input(item.name)
        assert isinstance(kind, Input)
        values[item.name] = to_si(number, unit=item.unit, quantity=kind.quantity)
    return values


def _truth(question: Question, seed: int) -> tuple[Result, float]:
    result = evaluate(question.sheet, drawn(question, seed))
    truth = result.outputs[question.answer.name]
    if truth is None or not isfinite(truth) or truth == 0.0:
        message = f"{question.answer.label} does not arise for these numbers"
        raise ValueError(message)
    return result, truth


def _told(question: Question, result: Result, name: str, units: Units) -> str:
    item = question.sheet.input(name)
    assert isinstance(item, Input)
    value = result.given[name] if in_use(item, result.given.choices) else item.default
    assert value is not None
    shown = units.of(item.quantity, question.units.get(name, item.unit))
    return format_value(value, unit=shown, quantity=item.quantity, digits=_DIGITS)


def asked(question: Question, seed: int, units: Units) -> dict[str, str]:
    """Return the question with its numbers, and the unit in which it is to be answered."""
    result, _ = _truth(question, seed)
    words = {name: _told(question, result, name, units) for name in question.told}
    symbol = units.of(question.answer.quantity, question.unit)
    return {
        "text": question.text.format_map(words),
        "unit": unit(symbol, quantity=question.answer.quantity).symbol,
        "tolerance": format_value(question.tolerance, unit="%", quantity="percent"),
    }


def needed(result: Result, output: Output) -> tuple[int, ...]:
    """Return which steps of the working lead to an output.

    Raises
    ------
    ValueError
        If no step of the working ends in it.
    """
    wanted = result.outputs[output.name]
    last = [
        place
        for place, step in enumerate(result.steps)
        if parse_formula(step.formula).result == output.symbol and step.answer.value == wanted
    ]
    if not last:
        message = f"no step of {result.sheet.name} ends in {output.name}"
        raise ValueError(message)
    return tuple(sorted(_behind(result.steps, last[-1])))


def _behind(steps: tuple[Step, ...], last: int) -> set[int]:
    """Return a step and all earlier ones that gave it a value."""
    found, waiting = set[int](), [last]
    while waiting:
        place = waiting.pop()
        if place in found:
            continue
        found.add(place)
        for name, measure in steps[place].values.items():
            waiting += [
                earlier
                for earlier, step in enumerate(steps[:place])
                if parse_formula(step.formula).result == name and step.answer.value == measure.value
            ][-1:]
    return found


def solved(question: Question, seed: int, units: Units) -> dict[str, Any]:
    """Return the answer and the steps that lead to it, as a card shows them."""
    result, truth = _truth(question, seed)
    steps = present(result, units)["steps"]
    symbol = units.of(question.answer.quantity, question.unit)
    return {
        "answer": format_value(truth, unit=symbol, quantity=question.answer.quantity),
        "steps": [steps[place] for place in needed(result, question.answer)],
    }


def marked(
    question: Question, seed: int, units: Units, *, text: str, typed_unit: str
) -> dict[str, str]:
    """Judge a typed answer.

    Returns
    -------
    dict
        ``verdict``: right, wrong or unreadable; ``words``: what to tell the learner,
        which gives the answer away only if it was right.
    """
    _, truth = _truth(question, seed)
    kind = question.answer.quantity
    allowed = question.tolerance * abs(truth)
    try:
        seen = parse(
            text, quantity=kind, unit=typed_unit, minimum=truth - allowed, maximum=truth + allowed
        )
    except UnitError as error:
        return {"verdict": "unreadable", "words": str(error)}
    if abs(seen.value - truth) <= allowed:
        symbol = units.of(kind, question.unit)
        exact = format_value(truth, unit=symbol, quantity=kind)
        return {"verdict": "right", "words": f"The core gives {exact}."}
    number = from_si(seen.value, unit=seen.unit, quantity=kind)
    return {"verdict": "wrong", "words": _why_wrong(number, seen.unit, kind, truth, allowed)}


def _why_wrong(number: float, symbol: str, kind: str, truth: float, allowed: float) -> str:
    """Return what may have gone wrong, without giving the answer away."""
    value = to_si(number, unit=symbol, quantity=kind)
    if abs(value + truth) <= allowed:
        return "The size is right, the sign is not."
    for other in quantity(kind).units:
        if abs(to_si(number, unit=other.symbol, quantity=kind) - truth) <= allowed:
            return f"The number fits another unit: {_unit_name(other.symbol)}."
    if value * truth > 0.0:
        decades = log10(value / truth)
        if round(decades) and abs(decades - round(decades)) < _TEN:
            return "The digits are right, the power of ten is not: look at the units you put in."
    return "That is too large." if value > truth else "That is too small."


def _unit_name(symbol: str) -> str:
    return "no unit" if symbol == "1" else symbol
