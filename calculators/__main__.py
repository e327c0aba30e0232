"""The command line: calculators, and through its neighbours jobs, sweeps and the bench."""

from __future__ import annotations

import argparse
import json
import os
import sys
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calculators import _bench_commands, _invent_command, _job_commands
from calculators._terminal import (
    Answer,
    RefusedError,
    aligned,
    grid,
    paragraph,
    speak_any_encoding,
)
from calculators.errors import CalculatorError
from calculators.formula import parse_formula, symbol_text
from calculators.quantities import QUANTITIES, format_value, from_si, short_number
from calculators.sheet import Choice, Measure, Rows, evaluate, in_use
from calculators.sheets import load, names
from calculators.view import Units, present, present_error, range_text, read

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from calculators.sheet import Field, Input, Result, Sheet

__all__ = ["main"]

_DESCRIPTION = "Calculators for vehicle suspension dampers."
_EXAMPLES = """\
examples:
  python -m calculators list
  python -m calculators show gas-force
  python -m calculators run gas-force rod_diameter="22 mm" charge_pressure="150 psi"
  python -m calculators run critical-damping mass_given=corner sprung_mass=350 --working
  python -m calculators run-job trailer.job.json --set lag.amplitude="5 mm"
  python -m calculators spec trailer.job.json --out spec.json
  python -m calculators trace unit-17.csv --spec spec.json

"COMMAND --help" describes each command.

A value is a number, with or without a unit: 120, 120 N/mm, 0,5. Without a unit
it is in the one that "show" prints. What is not given takes its default.
Values with spaces need quotation marks. A table is read from a file, as in
points=@points.csv, one row a line, cells parted by semicolons; a short one may
stand here, its rows parted by " / ". Exit status: 0; 1 if a verdict is no pass;
2 if something given cannot be used: the standard error output says what, one
fault a line. Work that takes long tells there how far it is.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0, 1 for a verdict that is no pass, 2 for what cannot be used."""
    speak_any_encoding(sys.stdout, sys.stderr)
    status = 0
    try:
        answer = _answer(_options(arguments))
        for line in answer.lines:
            sys.stdout.write(f"{line}\n")
        sys.stdout.flush()
        status = answer.status
    except RefusedError as refused:
        sys.stderr.writelines(f"{line}\n" for line in refused.lines)
        return 2
    except BrokenPipeError:  # the reader, such as head, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return status


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m calculators", description=_DESCRIPTION, epilog=_EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False,
    )  # fmt: skip
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    commands.add_parser("list", help="name every calculator and the question it answers")
    show = commands.add_parser("show", help="describe one calculator: inputs, outputs, limits")
    run = commands.add_parser("run", help="calculate", allow_abbrev=False)
    for command in (show, run):
        command.add_argument("name", metavar="NAME", help='a name that "list" prints')
    run.add_argument(
        "given", metavar="KEY=VALUE", nargs="*",
        help="an input, as spring_rate=120 or spring_rate='120 N/mm', or a choice by its key",
    )  # fmt: skip
    run.add_argument(
        "--json", action="store_true", help="one JSON object: SI values, and the text shown"
    )
    run.add_argument(
        "--imperial",
        action="store_true",
        help="results in inch-pound units, and values without a unit read in them",
    )
    run.add_argument("--working", action="store_true", help="also every formula, with its numbers")
    _job_commands.add(commands)
    _bench_commands.add(commands)
    _invent_command.add(commands)
    # argparse takes no further KEY=VALUE once an option stands between them: those are left over.
    options, more = parser.parse_known_args(arguments)
    strange = [word for word in more if word.startswith("-") or options.command != "run"]
    if strange:
        parser.error(f"unknown: {' '.join(strange)}")
    if more:
        options.given += more
    return options


def _answer(options: argparse.Namespace) -> Answer:
    if "act" in options:  # the commands of the modules that know jobs and benches
        act: Callable[[argparse.Namespace], Answer] = options.act
        return act(options)
    if options.command == "list":
        return Answer(_list())
    sheet = _sheet(options.name)
    if options.command == "show":
        return Answer(_show(sheet))
    units = Units(imperial=options.imperial)
    result, units = _result(sheet, options.given, units)
    if options.json:
        return Answer([json.dumps(_plain(result, units, working=options.working), indent=2)])
    return Answer(_report(result, units, working=options.working))


def _sheet(name: str) -> Sheet:
    if name not in names():
        near = _did_you_mean(name, names()) or ' See "python -m calculators list".'
        message = f"There is no calculator called {name}.{near}"
        raise RefusedError(message)
    return load(name)


def _did_you_mean(name: str, known: Sequence[str]) -> str:
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    return f" Did you mean {near[0]}?" if near else ""


def _texts(sheet: Sheet, given: Sequence[str]) -> tuple[dict[str, str], list[str]]:
    """Return the texts by input, and a line for each word that gives none."""
    known = [item.name for item in sheet.inputs]
    texts: dict[str, str] = {}
    faults = []
    for word in given:
        name, equals, text = word.partition("=")
        if not equals:
            faults.append(f"{word}: write an input as KEY=VALUE, such as {known[-1]}=VALUE.")
        elif name not in known:
            faults.append(f"{sheet.name} has no input called {name}.{_did_you_mean(name, known)}")
        elif name in texts:
            faults.append(f"{name} is given twice.")
        else:
            try:
                texts[name] = _file_text(text) if isinstance(sheet.input(name), Rows) else text
            except (OSError, UnicodeDecodeError) as error:
                faults.append(f"{name}: the file cannot be read ({error}).")
    return texts, faults


def _file_text(text: str) -> str:
    """Return a table: what a file named after @ holds, or the text, its rows parted by a stroke."""
    if text.startswith("@"):
        return Path(text[1:]).read_text(encoding="utf-8-sig")
    return text.replace(" / ", "\n")


def _result(sheet: Sheet, given: Sequence[str], units: Units) -> tuple[Result, Units]:
    """Return the result and the units to show it in, or refuse with all faults."""
    fields = {item.name: item for item in sheet.inputs}
    known, strange = _texts(sheet, given)
    try:
        reading = read(sheet, known, units)
        result = evaluate(sheet, reading.values)
    except CalculatorError as error:
        messages = (fault["message"] for fault in present_error(sheet, error, units))
        raise RefusedError(*strange, *dict.fromkeys(messages)) from error
    idle = [
        f"{fields[name].label} ({name}) is not asked for here; it needs {_condition(fields[name])}."
        for name in known
        if not in_use(fields[name], result.given.choices)
    ]
    if strange or idle:
        raise RefusedError(*strange, *idle)
    return result, reading.units


def _condition(item: Field) -> str:
    return " and ".join(f"{name}={' or '.join(keys)}" for name, keys in item.when)


def _list() -> Iterator[str]:
    for name in names():
        sheet = load(name)
        yield f"{sheet.name}  ({sheet.title})"
        yield paragraph(sheet.question, indent=4)


def _head(sheet: Sheet) -> Iterator[str]:
    yield sheet.title
    yield "=" * len(sheet.title)
    yield paragraph(sheet.question)


def _show(sheet: Sheet) -> Iterator[str]:
    yield from _head(sheet)
    yield from ("", "Inputs")
    group = ""
    for item in sheet.inputs:
        if item.group != group:
            group = item.group
            yield from ("", f"  {group}")
        yield from _show_input(item)
    yield from ("", "Outputs", "")
    for output in sheet.outputs:
        words = f"{output.name}: {output.label}, {symbol_text(output.symbol)} {_unit(output.unit)}"
        yield paragraph(words, indent=6, first=4)
        yield paragraph(output.meaning, indent=6)
    yield from ("", "Limits", "")
    for limit in sheet.limits:
        yield paragraph(f"- {limit}", indent=4, first=2)


def _show_input(item: Field) -> Iterator[str]:
    if isinstance(item, Choice):
        yield paragraph(f"{item.name}: {item.label}", indent=6, first=4)
        yield from aligned([(option.key, option.label) for option in item.options], indent=8)
    elif isinstance(item, Rows):
        yield paragraph(
            f"{item.name}: {item.label}, {item.least} to {item.most} rows of", indent=6, first=4
        )
        columns = [
            (column.label, symbol_text(column.symbol), _unit(column.unit))
            for column in item.columns
        ]
        yield from aligned(columns, indent=8)
    else:
        yield paragraph(f"{item.name}: {item.label}, {symbol_text(item.symbol)}", indent=6, first=4)
        yield paragraph(f"{_default(item)}; allowed: {range_text(item, item.unit)}", indent=6)
    yield paragraph(item.help, indent=6)
    if item.when:
        yield paragraph(f"Asked for with {_condition(item)}.", indent=6)


def _unit(symbol: str) -> str:
    return "" if symbol in {"", "1"} else f"[{symbol}]"


def _default(item: Input) -> str:
    may = ", may be left empty" if item.optional else ""
    if item.default is None:
        return f"no default{may}"
    number = short_number(from_si(item.default, unit=item.unit, quantity=item.quantity))
    unit = "" if item.unit == "1" else item.unit
    return f"default {number}{'' if unit == '°' else ' '}{unit}".rstrip() + may


def _report(result: Result, units: Units, *, working: bool) -> Iterator[str]:
    sheet, shown = result.sheet, present(result, units)
    yield from _head(sheet)
    yield from ("", "Given", "")
    yield from aligned(_given(result, units))
    yield from ("", "Results", "")
    for output in sheet.outputs:
        value = result.outputs[output.name]
        unit = shown["outputs"][output.name]["unit"]
        text = "—" if value is None else format_value(value, unit=unit, quantity=output.quantity)
        yield paragraph(f"{output.label}, {symbol_text(output.symbol)} = {text}", indent=4, first=2)
        yield paragraph(output.meaning, indent=6)
    yield from ("", "Findings", "")
    for finding in shown["findings"]:
        yield paragraph(f"{finding['level']}: {finding['text']}", indent=4, first=2)
    for table, plain in zip(result.tables, shown["tables"], strict=True):
        yield from ("", paragraph(table.title), "")
        heads = [
            (column.label, symbol_text(column.symbol), _unit(head["unit"]))
            for column, head in zip(table.columns, plain["columns"], strict=True)
        ]
        yield from grid(heads, plain["rows"])
    if working:
        yield from ("", "Working, in m, kg, s, N, Pa and K", "")
        for number, (step, plain) in enumerate(
            zip(result.steps, shown["steps"], strict=True), start=1
        ):
            yield paragraph(f"{number}. {step.label}", indent=6, first=2)
            yield from _equation(symbol_text(parse_formula(step.formula).result), plain)


def _given(result: Result, units: Units) -> Iterator[tuple[str, str, str]]:
    for item in result.sheet.inputs:
        if not in_use(item, result.given.choices):
            continue
        if isinstance(item, Choice):
            key = result.given.choice(item.name)
            yield item.label, "", next(option.label for option in item.options if option.key == key)
            continue
        if isinstance(item, Rows):
            for number, row in enumerate(
                present(result, units)["inputs"][item.name]["text"].splitlines()
            ):
                yield item.label if number == 0 else "", "", row
            continue
        value = result.given.optional(item.name)
        unit = units.of(item.quantity, item.unit, item.name)
        text = (
            "not given" if value is None else format_value(value, unit=unit, quantity=item.quantity)
        )
        yield item.label, symbol_text(item.symbol), text


def _equation(symbol: str, step: Mapping[str, Any]) -> Iterator[str]:
    formula, numbers, answer = step["plain"].split(" = ")
    also = f" = {step['also']}" if step["also"] else ""
    yield paragraph(f"{symbol} = {formula}", indent=10, first=6)
    yield paragraph(f"= {numbers}", indent=10, first=8)
    yield paragraph(f"= {answer}{also}", indent=10, first=8)


def _plain(result: Result, units: Units, *, working: bool) -> dict[str, Any]:
    """Return a result as one JSON object: SI values with their unit, and the text shown."""
    sheet, shown = result.sheet, present(result, units)
    inputs: dict[str, Any] = {}
    for item in sheet.inputs:
        if not in_use(item, result.given.choices):
            continue
        if isinstance(item, Choice):
            inputs[item.name] = result.given.choice(item.name)
        elif isinstance(item, Rows):
            inputs[item.name] = result.given.rows(item.name)
        else:
            inputs[item.name] = _number(
                result.given.optional(item.name), item.quantity, shown["inputs"][item.name]
            )
    outputs = {
        output.name: _number(
            result.outputs[output.name], output.quantity, shown["outputs"][output.name]
        )
        for output in sheet.outputs
    }
    tables = [
        {
            "title": table.title,
            "columns": [
                {"label": column.label, "si_unit": _si(column.quantity), "unit": head["unit"]}
                for column, head in zip(table.columns, plain["columns"], strict=True)
            ],
            "values": [
                [cell.value if isinstance(cell, Measure) else cell for cell in row]
                for row in table.rows
            ],
            "texts": plain["rows"],
        }
        for table, plain in zip(result.tables, shown["tables"], strict=True)
    ]
    whole = {
        "calculator": sheet.name,
        "inputs": inputs,
        "outputs": outputs,
        "findings": shown["findings"],
        "tables": tables,
    }
    if working:
        whole["working"] = [
            {
                "label": step.label,
                "formula": step.formula,
                "value": step.answer.value,
                "si_unit": _si(step.answer.quantity),
                "text": plain["plain"],
                "function": plain["function"],
            }
            for step, plain in zip(result.steps, shown["steps"], strict=True)
        ]
    return whole


def _si(quantity: str) -> str:
    return QUANTITIES[quantity].units[0].symbol if quantity else ""


def _number(value: float | None, quantity: str, shown: Mapping[str, Any]) -> dict[str, Any]:
    return {"value": value, "si_unit": _si(quantity), "text": shown["text"], "unit": shown["unit"]}


if __name__ == "__main__":
    sys.exit(main())
