"""The packed Python starts, and the core and numpy work in it."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import pytest

from tests.runtime.node import BrowserPython, BrowserPythonError

if TYPE_CHECKING:
    from pathlib import Path

IMPORT_THE_CORE = """
import importlib, pkgutil, calculators
found = pkgutil.walk_packages(calculators.__path__, "calculators.")
answer = [importlib.import_module(module.name).__name__ for module in found]
"""

USE_NUMPY = """
import pickle
import numpy as np
import numpy.fft, numpy.linalg, numpy.ma, numpy.polynomial, numpy.random
matrix = np.array([[2.0, 1.0], [1.0, 3.0]])
answer = [
    np.linalg.solve(matrix, [3.0, 4.0]).tolist(),
    np.abs(np.fft.fft([1.0, 0.0, 0.0, 0.0])).tolist(),
    float(np.polynomial.Polynomial([1.0, 2.0])(3.0)),
    int(np.ma.masked_less([1, 2, 3], 2).count()),
    bool(np.random.default_rng(1).random() < 1.0),
    pickle.loads(pickle.dumps(matrix)).tolist(),
    repr(np.array([0.5])),
]
"""


def test_every_module_of_the_core_can_be_imported(browser_python: BrowserPython) -> None:
    assert "calculators.physics.oscillator" in browser_python.run(IMPORT_THE_CORE)


def test_numpy_computes(browser_python: BrowserPython) -> None:
    assert browser_python.run(USE_NUMPY) == [  # by hand
        [1.0, 1.0],
        [1.0, 1.0, 1.0, 1.0],
        7.0,
        2,
        True,
        [[2.0, 1.0], [1.0, 3.0]],
        "array([0.5])",
    ]


def test_plain_calculators_start_without_numpy(packed: Path) -> None:
    with BrowserPython(packed, numpy=False) as python:
        result = python.call(
            "calculators.physics.oscillator.critical_damping",
            {"wheel_rate": 25_000.0, "sprung_mass": 360.0},
        )
        assert result == pytest.approx(2.0 * sqrt(25_000.0 * 360.0))
        with pytest.raises(BrowserPythonError, match="No module named 'numpy'"):
            python.run("import numpy")


def test_docstrings_and_assertions_survive_the_compiling(browser_python: BrowserPython) -> None:
    source = "import calculators.errors as e; answer = [bool(e.__doc__), __debug__]"
    assert browser_python.run(source) == [True, True]
    with pytest.raises(BrowserPythonError, match="AssertionError"):
        browser_python.run("assert False")


def test_an_error_in_the_core_comes_back_with_its_message(browser_python: BrowserPython) -> None:
    with pytest.raises(BrowserPythonError, match="OutOfRangeError"):
        browser_python.call(
            "calculators.physics.oscillator.critical_damping",
            {"wheel_rate": -1.0, "sprung_mass": 360.0},
        )


def test_a_file_of_the_core_is_named_in_its_traceback(browser_python: BrowserPython) -> None:
    with pytest.raises(BrowserPythonError, match=r"calculators/errors\.py"):
        browser_python.call(
            "calculators.errors.require_finite", {"value": "x", "label": "Mass", "unit": "kg"}
        )
