"""The calculators: one file each, found by name.

A file ``gas_force.py`` with a constant ``SHEET`` is the calculator ``gas-force``.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from calculators.sheet import Sheet

__all__ = ["load", "names"]


@cache
def names() -> tuple[str, ...]:
    """Return the names of all sheets, in alphabetical order."""
    modules = (module.name for module in iter_modules(__path__))
    return tuple(sorted(name.replace("_", "-") for name in modules if not name.startswith("_")))


def load(name: str) -> Sheet:
    """Return the sheet of that name.

    Raises
    ------
    KeyError
        If there is no such sheet.
    """
    if name not in names():
        message = f"there is no calculator called {name!r}; there are: {', '.join(names())}"
        raise KeyError(message)
    return cast("Sheet", import_module(f"{__name__}.{name.replace('-', '_')}").SHEET)
