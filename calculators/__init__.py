"""Calculators for vehicle suspension dampers: physics, sheets and the job file.

The core knows no web, no files and no printing. It runs unchanged in CPython and
in the browser, and importing it loads nothing outside the standard library.
"""

from __future__ import annotations

__all__ = ["__version__"]

__version__ = "0.1.0"
