"""Both ends of the range of numpy versions that pyproject promises give the same numbers."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from calculators.sheets import load, names
from tests.runtime.parity import expect_the_same, expect_the_same_data

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).resolve().parents[2]
KEPT = ROOT / ".cache" / "numpy"
OTHERS = tuple(sorted(Path(__file__).parent.glob("numpy-*.lock")))
CASES = 10  # sets of random inputs for each sheet
NO_WHEEL = "No matching distribution"  # of pip, where that version came before this Python
# Every kind of the demo's bench files, written, read in pieces and measured.
TRACES = """
from calculators.trace_request import KINDS, OPERATIONS
answer = {}
for kind in KINDS:
    text = OPERATIONS["trace.invent"](number=3, kind=kind)["text"].encode()
    OPERATIONS["trace.begin"](id=kind, piece=text[:50_000])
    OPERATIONS["trace.feed"](id=kind, piece=text[50_000:])
    answer[kind] = OPERATIONS["trace.finish"](id=kind)
"""


@pytest.fixture(scope="module", params=OTHERS, ids=lambda lock: lock.stem)
def run(request: pytest.FixtureRequest) -> Callable[[str], Any]:
    """Give what runs statements beside another numpy and returns the value of `answer`."""
    lock: Path = request.param
    wanted = lock.stem.removeprefix("numpy-")
    folder = KEPT / wanted
    if not folder.exists():
        _install(lock, folder)

    def ran(source: str) -> Any:  # noqa: ANN401  whatever JSON holds
        done = subprocess.run(
            [sys.executable, "-"],
            input=f"{source}\nimport json, numpy\nprint(json.dumps([numpy.__version__, answer]))",
            env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, (folder, ROOT)))},
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        version, answer = json.loads(done.stdout)
        assert version == wanted != np.__version__
        return answer

    return ran


def _install(lock: Path, folder: Path) -> None:
    unfinished = folder.with_suffix(".unfinished")
    shutil.rmtree(unfinished, ignore_errors=True)
    done = subprocess.run(
        [sys.executable, *"-m pip install --disable-pip-version-check --quiet".split(),
         *"--require-hashes --only-binary :all: --target".split(), unfinished, "-r", lock],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if NO_WHEEL in done.stderr:
        pytest.skip(f"{lock.stem} has no wheel for this Python")
    assert done.returncode == 0, done.stderr
    unfinished.rename(folder)


@pytest.mark.parametrize("name", [one for one in names() if "numpy" in load(one).needs])
def test_a_sheet_gives_the_same_numbers_and_refusals(name: str, run: Callable[[str], Any]) -> None:
    expect_the_same(name, run, count=CASES)


def test_bench_files_give_the_same_figures(run: Callable[[str], Any]) -> None:
    scope: dict[str, Any] = {}
    exec(TRACES, scope)  # noqa: S102  the text above
    here = json.loads(json.dumps(scope["answer"]))
    assert all("figures" in answer for answer in here.values()), here
    expect_the_same_data(here, run(TRACES))
