"""The reference of all formulas, made from the docstrings of the core."""

from __future__ import annotations

import re
from importlib import import_module
from inspect import getmembers, isclass, isfunction
from pkgutil import iter_modules
from typing import TYPE_CHECKING, Any

import calculators.physics
from calculators.docstring import qualified_name, references, sections
from calculators.sheet import evaluate
from calculators.sheets import load, names
from site_src.evidence import all_rows
from site_src.render.html import environment

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

__all__ = ["formulas_html"]

_PARAMETER = re.compile(r"^(\w+(?:, \w+)*)(?: : (.*))?$")


def _entries(text: str) -> list[dict[str, str]]:
    """Return the parameters of a numpydoc section: name and description."""
    entries: list[dict[str, str]] = []
    for line in text.splitlines():
        name = _PARAMETER.match(line)
        if name:
            entries.append({"name": name[1], "words": ""})
        elif entries and line.strip():
            entries[-1]["words"] = f"{entries[-1]['words']} {line.strip()}".strip()
    return entries


def _sheets_by_function() -> dict[str, list[str]]:
    used: dict[str, list[str]] = {}
    for name in names():
        for function in dict.fromkeys(
            qualified_name(step.source) for step in evaluate(load(name)).steps
        ):
            used.setdefault(function, []).append(name)
    return used


def _described(
    thing: Callable[..., object], checks: dict[str, int], used: dict[str, list[str]]
) -> dict[str, Any]:
    parts = sections(thing)
    summary, _, rest = parts["Summary"].partition("\n\n")
    name = qualified_name(thing)
    return {
        "name": name,
        "summary": " ".join(summary.split()),
        "text": [
            " ".join(paragraph.split()) for paragraph in rest.split("\n\n") if paragraph.strip()
        ],
        "parameters": _entries(parts.get("Parameters", "") or parts.get("Attributes", "")),
        "returns": [entry["words"] for entry in _entries(parts.get("Returns", ""))],
        "notes": [
            " ".join(paragraph.split())
            for paragraph in parts.get("Notes", "").split("\n\n")
            if paragraph
        ],
        "references": references(thing),
        "checks": checks.get(name, 0),
        "sheets": [load(sheet) for sheet in used.get(name, [])],
    }


def _public(module: ModuleType) -> list[Any]:
    members = getmembers(module, lambda thing: isfunction(thing) or isclass(thing))
    own = [
        thing
        for name, thing in members
        if name in module.__all__ and thing.__module__ == module.__name__
    ]
    return sorted(own, key=lambda thing: (isclass(thing), thing.__name__))


def formulas_html() -> str:
    """Return the reference: every public function of the physics, module by module."""
    checks: dict[str, int] = {}
    for row in all_rows():
        checks[row.function] = checks.get(row.function, 0) + 1
    used = _sheets_by_function()
    modules = []
    for info in (
        one for one in iter_modules(calculators.physics.__path__) if not one.name.startswith("_")
    ):
        module = import_module(f"calculators.physics.{info.name}")
        summary = " ".join((module.__doc__ or "").split("\n\n")[0].split())
        items = [_described(thing, checks, used) for thing in _public(module)]
        if items:
            modules.append({"name": info.name, "summary": summary, "entries": items})
    return environment().get_template("formulas.html").render(modules=modules)
