"""The browser's Python gives the numbers and refusals of CPython, for every sheet."""

from __future__ import annotations

import json
from math import isclose
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from calculators.sheets import load, names
from tests.runtime import outcomes as shared
from tests.sheet_inputs import random_values

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.runtime.node import BrowserPython

CASES = 50  # sets of random inputs for each sheet
SEED = 20_261_125
RELATIVE = 1e-12  # of the number; in a curve or row, of its largest number
SOLVED = 1e-9  # the same where a solver, a fit or an integration carries the last digit further
ITERATED = frozenset(
    "bounce-test force-velocity heat-and-fade mount-geometry oil-viscosity ride-run shim-stack "
    "speed-map valve-sizing virtual-bench".split()
)
COMPUTED = 4  # fewer sets with a result than this prove nothing


@pytest.mark.parametrize("name", names())
def test_a_sheet_gives_the_same_numbers_and_refusals_as_in_cpython(
    name: str, browser_python: BrowserPython
) -> None:
    rng, sheet = Random(SEED), load(name)  # noqa: S311  test inputs, no secret
    sets = [sheet.defaults, *(random_values(sheet, rng) for _ in range(CASES))]
    cases = json.loads(json.dumps(sets))  # as the other side gets them
    here = json.loads(json.dumps(shared.outcomes(name, cases)))
    there = browser_python.run(
        f"{Path(shared.__file__).read_text(encoding='utf-8')}\n"
        f"import json\nanswer = outcomes({name!r}, json.loads({json.dumps(cases)!r}))"
    )
    assert "refusal" not in here[0], "the defaults are refused"
    assert sum("refusal" not in outcome for outcome in here) >= COMPUTED
    tolerance = SOLVED if name in ITERATED else RELATIVE
    differences = [
        f"case {index}, {cases[index]}: {difference}"
        for index, pair in enumerate(zip(here, there, strict=True))
        for difference in _differences(*pair, tolerance)
    ]
    assert differences == []


def _differences(here: Any, there: Any, tolerance: float, where: str = "") -> Iterator[str]:  # noqa: ANN401  plain data
    """Give each place where two answers differ, numbers by more than the tolerance."""
    if isinstance(here, float) and isinstance(there, float):
        if not isclose(here, there, rel_tol=tolerance):
            yield f"{where}: {here!r} in CPython, {there!r} in the browser"
    elif isinstance(here, dict) and isinstance(there, dict) and here.keys() == there.keys():
        for key, value in here.items():
            yield from _differences(value, there[key], tolerance, f"{where}/{key}")
    elif isinstance(here, list) and isinstance(there, list) and len(here) == len(there):
        residue = tolerance * max((abs(one) for one in here if isinstance(one, float)), default=0.0)
        for index, (one, other) in enumerate(zip(here, there, strict=True)):
            if isinstance(one, float) and isinstance(other, float) and abs(one - other) <= residue:
                continue
            yield from _differences(one, other, tolerance, f"{where}/{index}")
    elif here != there:
        yield f"{where}: {here!r} in CPython, {there!r} in the browser"
