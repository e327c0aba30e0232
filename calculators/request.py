"""What a page may ask the core: plain data in, plain data out.

One function, `answer`, takes the name of an operation and its arguments and
never raises: a refusal is an answer too, and so is a fault of our own.
"""

from __future__ import annotations

import json
from importlib import import_module
from typing import TYPE_CHECKING, Any

from calculators.errors import CalculatorError
from calculators.quantities import unit
from calculators.quiz import asked, marked, read_question, solved
from calculators.sheet import Choice, Rows, evaluate
from calculators.sheets import load
from calculators.view import Units, present, present_error, read, restated
from calculators.visual import present_charts, present_pictures

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.field import Value
    from calculators.sheet import Result, Sheet

__all__ = ["answer"]

_LONGEST_TEXT = 100_000  # characters of one input; a table may be long
_WIDTHS = range(100, 4001)  # px, of a chart


def answer(
    operation: str,
    arguments: str,
    progress: Callable[[float], object] | None = None,
    piece: bytes | memoryview | None = None,
) -> str:
    """Return the JSON answer to a JSON request.

    Parameters
    ----------
    operation : str
        ``evaluate``, ``draw``, ``again``, ``restate``, ``ask``, ``mark`` or one of `job_request`
        or `trace_request`.
    arguments : str
        A JSON object; see the function of the same name in this module.
    progress : callable, optional
        Called with the share of the work done, 0 to 1, while a long calculation runs.
    piece : bytes or memoryview, optional
        A piece of a file, for the operations that read files.
    """
    try:
        function, long = _operation(operation)
        told: dict[str, Any] = {"progress": progress} if long else {}
        if piece is not None:
            told["piece"] = bytes(piece)
        value = function(**json.loads(arguments), **told)
        return json.dumps({"ok": True, "value": value}, allow_nan=False)
    except Exception as error:  # noqa: BLE001  whatever it was, the page is told
        return json.dumps({"ok": False, "error": f"{type(error).__name__}: {error}"})


def _operation(name: str) -> tuple[Callable[..., Any], bool]:
    """Return an operation and whether it may take long; `_MODULES` are loaded when asked for."""
    if name in _OPERATIONS:
        return _OPERATIONS[name], name in _LONG
    module = import_module(f"calculators.{_MODULES[name.partition('.')[0]]}")
    return module.OPERATIONS[name], name in module.LONG


def _units(units: Mapping[str, str], imperial: bool) -> Units:  # noqa: FBT001  part of a JSON request
    return Units({str(name): str(unit) for name, unit in units.items()}, imperial=bool(imperial))


def _evaluated(
    sheet: Sheet, values: Mapping[str, Value], progress: Callable[[float], object] | None
) -> Result:
    """Return the result for these values, from memory where they are those of the last time.

    The charts, and the same result in other units, need no second calculation.
    """
    last = _LAST.get(sheet.name)
    if last is None or last[0] != values:
        last = values, evaluate(sheet, values, progress=progress)
        _LAST[sheet.name] = last
    return last[1]


def _calculate(
    sheet: str, texts: Mapping[str, str], units: Mapping[str, str], imperial: bool,  # noqa: FBT001
    present_result: Callable[[Any, Units], Any],
    progress: Callable[[float], object] | None,
) -> dict[str, Any]:  # fmt: skip
    declaration = load(sheet)
    chosen = _units(units, imperial)
    try:
        reading = read(
            declaration, {name: str(text)[:_LONGEST_TEXT] for name, text in texts.items()}, chosen
        )
        result = _evaluated(declaration, reading.values, progress)
    except CalculatorError as error:
        return {"errors": present_error(declaration, error, chosen)}
    return {"errors": [], "result": present_result(result, reading.units)}


def evaluate_texts(
    sheet: str, texts: Mapping[str, str], units: Mapping[str, str],
    imperial: bool = False, working: bool = True,  # noqa: FBT001, FBT002
    progress: Callable[[float], object] | None = None,
) -> dict[str, Any]:  # fmt: skip
    """Return a sheet's result for typed texts, or the faults beside their inputs."""

    def shown(result: Result, reader: Units) -> dict[str, Any]:
        return present(result, reader, working=bool(working))

    return _calculate(sheet, texts, units, imperial, shown, progress)


def draw(
    sheet: str, texts: Mapping[str, str], units: Mapping[str, str],
    imperial: bool = False, width: int = 640,  # noqa: FBT001, FBT002
    progress: Callable[[float], object] | None = None,
) -> dict[str, Any]:  # fmt: skip
    """Return a sheet's charts and drawings for typed texts."""
    if width not in _WIDTHS:
        message = f"a chart is {_WIDTHS[0]} to {_WIDTHS[-1]} px wide, not {width!r}"
        raise ValueError(message)

    def visual(result: Result, reader: Units) -> dict[str, Any]:
        return {
            "charts": present_charts(result, reader, width=width),
            "pictures": present_pictures(result, reader),
        }

    return _calculate(sheet, texts, units, imperial, visual, progress)


def again(
    sheet: str, texts: Mapping[str, str], units: Mapping[str, str],
    imperial: bool = False, width: int = 640,  # noqa: FBT001, FBT002
) -> dict[str, Any]:  # fmt: skip
    """Calculate, present and draw without a look at what is remembered: see `draw`.

    A browser compiles for speed what has run some times. A page can do this ahead.
    """
    _LAST.pop(sheet, None)
    evaluate_texts(sheet, texts, units, imperial, working=False)
    return draw(sheet, texts, units, imperial, width)


def restate(
    sheet: str, texts: Mapping[str, str], units: Mapping[str, str], imperial: bool,  # noqa: FBT001
    to_units: Mapping[str, str], to_imperial: bool,  # noqa: FBT001
) -> dict[str, dict[str, str]]:  # fmt: skip
    """Return what a form shows after a change of units: texts of the inputs, units of everything.

    A text that cannot be read is left as it is, so nothing typed is lost.
    """
    declaration = load(sheet)
    before, after = _units(units, imperial), _units(to_units, to_imperial)
    new_texts, new_units = {}, {}
    for item in declaration.inputs:
        if not isinstance(item, Choice) and item.name in texts:
            new_texts[item.name] = restated(
                item, str(texts[item.name])[:_LONGEST_TEXT], before=before, after=after
            )
    for entry in (*declaration.inputs, *declaration.outputs):
        if not isinstance(entry, Choice | Rows):
            wanted = after.of(entry.quantity, entry.unit, entry.name)
            new_units[entry.name] = unit(wanted, quantity=entry.quantity).symbol
    return {"texts": new_texts, "units": new_units}


def ask(
    question: Mapping[str, Any], seed: int, imperial: bool, solution: bool = False,  # noqa: FBT001, FBT002
) -> dict[str, Any]:  # fmt: skip
    """Return a question of the learn path with the numbers of a seed; its solution if wanted."""
    put, units = read_question(question), Units(imperial=bool(imperial))
    answered = solved(put, seed, units) if solution else {}
    return {**asked(put, seed, units), **answered}


def mark(
    question: Mapping[str, Any], seed: int, imperial: bool, text: str, unit: str,  # noqa: FBT001
) -> dict[str, str]:  # fmt: skip
    """Return what is to be said of a typed answer to that question."""
    units = Units(imperial=bool(imperial))
    return marked(read_question(question), seed, units, text=str(text), typed_unit=str(unit))


_LAST: dict[str, tuple[Mapping[str, Value], Result]] = {}  # of each sheet, what was asked last
_LONG = frozenset({"evaluate", "draw"})  # operations that may take long
_OPERATIONS: dict[str, Callable[..., Any]] = {
    "evaluate": evaluate_texts,
    "draw": draw,
    "again": again,
    "restate": restate,
    "ask": ask,
    "mark": mark,
}
# Whose operations few pages ask for: "job.open" is in the first.
_MODULES = {"job": "job_request", "trace": "trace_request", "batch": "trace_request"}
