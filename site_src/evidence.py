"""The outside checks: read from tests/evidence, computed afresh.

The tests run these rows, and the evidence page shows them: one reader for both.
"""

from __future__ import annotations

import dataclasses
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from math import inf
from operator import attrgetter
from pathlib import Path
from typing import Any, cast

__all__ = ["KINDS", "ROWS_FOLDER", "Row", "all_rows", "compute", "read_rows"]

ROWS_FOLDER = Path(__file__).parent.parent / "tests" / "evidence"

KINDS = {
    "source": "a published source, named",
    "library": "a general-purpose library, called again by the tests",
    "derivation": "shown by hand",
    "common practice": "used in the trade, no source known",
    "value from memory": "recalled, not read",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One outside check.

    Attributes
    ----------
    function, inputs, field
        What of ours is checked: a dotted path below ``calculators``, its
        arguments in SI, and the part of its result if that is a record.
    expected, unit, tolerance, relative_tolerance
        The outside value, its unit, and how far ours may be from it.
    kind, source, note
        Where the value comes from.
    reference, reference_args, reference_kwargs
        For a library: ``module:callable`` and its arguments.
    topic : str
        Name of the file that holds the row.
    """

    function: str
    expected: float
    unit: str
    kind: str
    source: str
    topic: str
    inputs: dict[str, Any] = dataclasses.field(default_factory=dict)
    field: str = ""
    tolerance: float = inf
    relative_tolerance: float = inf
    reference: str = ""
    reference_args: list[Any] = dataclasses.field(default_factory=list)
    reference_kwargs: dict[str, Any] = dataclasses.field(default_factory=dict)
    note: str = ""

    @property
    def allowed(self) -> float:
        """How far our value may be from the expected one, in the row's unit."""
        return min(self.tolerance, self.relative_tolerance * abs(self.expected))

    @property
    def name(self) -> str:
        """A short name for a list of tests."""
        return f"{self.topic}: {self.function}{'.' if self.field else ''}{self.field}"


def read_rows(path: Path) -> tuple[Row, ...]:
    """Return the rows of one file."""
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    return tuple(Row(topic=path.stem, **row) for row in data["row"])


@cache
def all_rows() -> tuple[Row, ...]:
    """Return the rows of all files, in the order of their names."""
    return tuple(row for path in sorted(ROWS_FOLDER.glob("*.toml")) for row in read_rows(path))


def _named(path: str) -> Any:  # noqa: ANN401  whatever the row names
    """Return the function or class at a dotted path below ``calculators``."""
    module, _, name = path.rpartition(".")
    return getattr(import_module(f"calculators.{module}"), name)


def _made(value: Any) -> Any:  # noqa: ANN401  whatever a row holds
    """Return an input as the function takes it.

    Lists as tuples, ``class = …`` as that record, ``polynomial = [a, b, …]`` as a + b x + ….
    """
    if isinstance(value, list):
        return tuple(_made(item) for item in value)
    if isinstance(value, dict) and "polynomial" in value:
        return lambda x: sum(a * x**power for power, a in enumerate(value["polynomial"]))
    if isinstance(value, dict):
        fields = {name: _made(item) for name, item in value.items() if name != "class"}
        return _named(value["class"])(**fields) if "class" in value else fields
    return value


def compute(row: Row) -> float:
    """Return our value for a row."""
    result = _named(row.function)(**_made(row.inputs))
    for part in filter(None, row.field.replace("[", ".[").split(".")):
        result = result[int(part[1:-1])] if part.startswith("[") else attrgetter(part)(result)
    return float(cast("float", result))
