"""Every public docstring of the physics keeps the contract of its brackets.

An argument reads "symbol, words [unit], range". The unit is a coherent SI symbol of
`quantities.py`, or one of the marks below for what no quantity of ours describes.
"""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING

import pytest

import calculators.physics
from calculators.docstring import references, sections
from calculators.quantities import QUANTITIES

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

    Thing = Callable[..., object]

COHERENT = {quantity.units[0].symbol for quantity in QUANTITIES.values()}
MARKS = {
    "-": "a text, a flag or a record, or a coefficient whose unit stands in the words",
    "W/m²": "flow of heat through an area",
    "various units": "a record whose fields name theirs",
}
RANGE = re.compile(
    r"[<>≥≤≠]|\d\S* to \S*\d"
    r"|\b(above|any|at least|below|between|finite|inside|one of|or|to the edge|up to|within)\b"
)
KINDS = (
    "book",
    "common practice",
    "derivation",
    "library",
    "paper",
    "standard",
    "value from memory",
)

MODULES = [
    importlib.import_module(f"calculators.physics.{module.name}")
    for module in pkgutil.iter_modules(calculators.physics.__path__)
    if not module.name.startswith("_")
]
PUBLIC = [
    pytest.param(getattr(module, name), id=f"{module.__name__.rpartition('.')[2]}.{name}")
    for module in MODULES
    for name in module.__all__
    if inspect.isfunction(getattr(module, name)) or inspect.isclass(getattr(module, name))
]


def _entries(thing: Thing, heading: str) -> dict[str, str]:
    """Return the text of each entry below a heading, by name; "a, b : type" is two."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in sections(thing).get(heading, "").splitlines():
        if line and not line.startswith(" "):
            names = [name.strip() for name in line.partition(" : ")[0].split(",")]
            found.update(dict.fromkeys(names, ""))
        else:
            for name in names:
                found[name] = f"{found[name]} {line.strip()}".strip()
    return found


def _documented(thing: Thing) -> dict[str, str]:
    return _entries(thing, "Parameters") | _entries(thing, "Attributes")


def _arguments(thing: Thing) -> dict[str, str]:
    """Return the annotation of each argument of a function or field of a record."""
    if is_dataclass(thing):
        return {field.name: str(field.type) for field in fields(thing)}
    if inspect.isclass(thing):
        return {}
    return {
        parameter.name: str(parameter.annotation)
        for parameter in inspect.signature(thing).parameters.values()
    }


def _is_number(annotation: str) -> bool:
    return bool(re.search(r"\bfloat\b", annotation)) and "Callable" not in annotation


def _units(text: str) -> list[str]:
    return re.findall(r"\[([^\]\d][^\]]*|1|1/\S+)\]", text)


@pytest.mark.parametrize("thing", PUBLIC)
def test_every_argument_is_documented_and_nothing_else(thing: Thing) -> None:
    properties = {name for name in dir(thing) if isinstance(getattr(thing, name), property)}
    assert set(_documented(thing)) - properties == set(_arguments(thing))


@pytest.mark.parametrize("thing", PUBLIC)
def test_every_number_has_a_known_unit(thing: Thing) -> None:
    documented = _documented(thing)
    for name, annotation in _arguments(thing).items():
        units = _units(documented[name])
        assert units or not _is_number(annotation), f"{name} has no unit"
        assert set(units) <= COHERENT | set(MARKS), f"{name} is in {units}"


@pytest.mark.parametrize("thing", PUBLIC)
def test_every_numeric_argument_has_a_range(thing: Thing) -> None:
    if inspect.isclass(thing) and not _entries(thing, "Parameters"):
        return  # a result, which nobody types in
    documented = _documented(thing)
    for name, annotation in _arguments(thing).items():
        if _is_number(annotation):
            assert RANGE.search(documented[name].partition("]")[2]), f"{name} has no range"


@pytest.mark.parametrize("thing", PUBLIC)
def test_what_comes_back_is_documented(thing: Thing) -> None:
    if inspect.isclass(thing):
        return
    text = sections(thing).get("Returns", "")
    assert text
    annotation = str(inspect.signature(thing).return_annotation)
    if annotation in {"float", "tuple[float, ...]"}:
        assert _units(text), "no unit"
        assert RANGE.search(text.partition("]")[2]), "no range"
    assert set(_units(text)) <= COHERENT | set(MARKS)


@pytest.mark.parametrize("thing", PUBLIC)
def test_references_are_there_and_start_with_their_kind(thing: Thing) -> None:
    if inspect.isclass(thing) and not _entries(thing, "Parameters"):
        return  # a result; the function that makes it has the references
    entries = references(thing)
    assert entries
    for entry in entries:
        assert entry.startswith(tuple(f"{kind}: " for kind in KINDS)), entry


@pytest.mark.parametrize("thing", PUBLIC)
def test_functions_of_the_physics_take_keywords_only(thing: Thing) -> None:
    if inspect.isclass(thing):
        return
    kinds = {parameter.kind for parameter in inspect.signature(thing).parameters.values()}
    assert kinds <= {inspect.Parameter.KEYWORD_ONLY}


@pytest.mark.parametrize("module", [pytest.param(module, id=module.__name__) for module in MODULES])
def test_the_examples_of_a_module_give_what_they_print(module: ModuleType) -> None:
    assert doctest.testmod(module).failed == 0
