"""The site's own Python in Chromium gives the numbers and refusals of CPython, for every sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from calculators.sheets import names
from tests.runtime import answers
from tests.runtime.parity import expect_the_same

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser

CASES = 4  # sets of random inputs for each sheet
START = """async ([base, answers]) => {
  const fetched = async (name) => (await fetch(base + name)).arrayBuffer();
  const { loadPyodide } = await import(base + "pyodide.mjs");
  const { info } = await (await fetch(base + "pyodide-lock.json")).json();
  const python = await loadPyodide({
    indexURL: base, stdLibURL: base + "python_stdlib.zip", lockFileContents: { info, packages: {} },
  });
  for (const name of ["calculators.zip", "numpy.zip"]) {
    python.unpackArchive(await fetched(name), "zip", { extractDir: "/core" });
  }
  python.runPython("import sys; sys.path.insert(0, '/core')");
  python.runPython(answers);
  globalThis.answer = python.globals.get("answer_json");
}"""


@pytest.fixture(scope="module")
def run(browser: Browser, address: str) -> Iterator[Callable[[str], Any]]:
    """Give what runs statements in the browser and returns the value of `answer`."""
    base = f"{address}app/python/"
    with browser.new_context(service_workers="block") as context:
        page = context.new_page()
        page.goto(base + "manifest.json")
        page.evaluate(START, [base, Path(answers.__file__).read_text(encoding="utf-8")])

        def ran(source: str) -> Any:  # noqa: ANN401  whatever JSON holds
            question = json.dumps({"op": "run", "source": source})
            reply = json.loads(page.evaluate("question => answer(question)", question))
            assert "error" not in reply, reply["error"]
            return reply["value"]

        yield ran


@pytest.mark.parametrize("name", names())
def test_a_sheet_gives_the_same_numbers_and_refusals_as_in_cpython(
    name: str, run: Callable[[str], Any]
) -> None:
    expect_the_same(name, run, count=CASES)
