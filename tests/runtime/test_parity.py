"""The packed Python under Node gives the numbers and refusals of CPython, for every sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from calculators.sheets import load, names
from tests.runtime.parity import expect_the_same

if TYPE_CHECKING:
    from tests.runtime.node import BrowserPython

CASES = 100  # sets of random inputs for each sheet
SLOW_CASES = 20  # the same where one result takes its time


@pytest.mark.parametrize("name", names())
def test_a_sheet_gives_the_same_numbers_and_refusals_as_in_cpython(
    name: str, browser_python: BrowserPython
) -> None:
    count = SLOW_CASES if load(name).on_request else CASES
    expect_the_same(name, browser_python.run, count=count)
