"""Another Python gives the numbers and refusals of this one: what such tests compare.

How many sets of random inputs are tried is told by `SAME_CASES` in the environment.
"""

from __future__ import annotations

import json
import os
from math import inf, isclose, nextafter
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

from calculators.field import Input
from calculators.sheets import load
from tests.runtime import outcomes as shared
from tests.sheet_inputs import random_values

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

__all__ = ["expect_the_same", "expect_the_same_data"]

SEED = 20_261_125
RELATIVE = 1e-12  # of the number; in a curve or row, of its largest number
SOLVED = 1e-9  # the same where a solver, a fit or an integration carries the last digit further
ITERATED = frozenset(
    "bounce-test force-velocity heat-and-fade mount-geometry oil-viscosity ride-run shim-stack "
    "speed-map valve-sizing virtual-bench".split()
)
COMPUTED = 4  # fewer sets with a result than this prove nothing


def expect_the_same(name: str, run: Callable[[str], Any], *, count: int) -> None:
    """Compare a sheet's answers with those of another Python, at random inputs and its defaults.

    `run` executes statements there and returns the value of `answer`.
    """
    rng, sheet = Random(SEED), load(name)  # noqa: S311  test inputs, no secret
    count = int(os.environ.get("SAME_CASES", count))
    sets = [sheet.defaults, *(random_values(sheet, rng) for _ in range(count))]
    cases = json.loads(json.dumps(sets))  # as the other side gets them
    here = json.loads(json.dumps(shared.outcomes(name, cases)))
    there = run(
        f"{Path(shared.__file__).read_text(encoding='utf-8')}\n"
        f"import json\nanswer = outcomes({name!r}, json.loads({json.dumps(cases)!r}))"
    )
    assert "refusal" not in here[0], "the defaults are refused"
    assert sum("refusal" not in outcome for outcome in here) >= min(COMPUTED, 1 + count // 4)
    tolerance = SOLVED if name in ITERATED else RELATIVE
    differences = [
        f"case {index}, {cases[index]}: {difference}"
        for index, pair in enumerate(zip(here, there, strict=True))
        for difference in _differences(*pair, tolerance)
        if name not in ITERATED or [*_differences(*pair, _carried(name, cases[index], pair[0]))]
    ]
    assert not differences, "\n".join(differences[:5])


def expect_the_same_data(here: Any, there: Any) -> None:  # noqa: ANN401  plain data
    """Compare two answers of any shape, number by number."""
    differences = [*_differences(here, there, RELATIVE)]
    assert not differences, "\n".join(differences[:5])


def _carried(name: str, case: dict[str, Any], here: dict[str, Any]) -> float:
    """Return ten times what a last digit of the inputs becomes in the answers, as a power of ten.

    A wheel that leaves the ground carries that digit on and on, and a flat minimum may lie
    anywhere. What answers to it by a tenth and more can't be compared at all.
    """
    numbers = {
        item.name
        for item in load(name).inputs
        if isinstance(item, Input) and item.quantity != "count"
    }
    nudged = {
        key: nextafter(value, 0.0) if key in numbers and value else value
        for key, value in case.items()
    }
    moved = json.loads(json.dumps(shared.outcomes(name, [nudged])))[0]
    powers = (10.0**exponent for exponent in range(-9, 0))
    settled = (power for power in powers if not [*_differences(here, moved, power)])
    return 10.0 * next(settled, inf)


def _differences(here: Any, there: Any, tolerance: float, where: str = "") -> Iterator[str]:  # noqa: ANN401  plain data
    """Give each place where two answers differ, numbers by more than the tolerance."""
    if isinstance(here, float) and isinstance(there, float):
        if not isclose(here, there, rel_tol=tolerance):
            yield f"{where}: {here!r} here, {there!r} there"
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
        yield f"{where}: {here!r} here, {there!r} there"
