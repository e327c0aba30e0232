"""Which unit a spelling means for a quantity, and why it means none.

Free choices of spelling don't count: spaces, dots, brackets, raised digits, the degree
sign. Upper and lower case count, as in mPa and MPa, except for inch-pound units. What
can mean two things, or another quantity, is refused with what to write instead.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from calculators._numbers import MAX_LENGTH, quoted
from calculators._units import QUANTITIES, Quantity, Unit
from calculators.errors import UnitError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

__all__ = ["find_unit"]

# Spelling that carries no meaning in a unit: spaces, signs of multiplication, brackets.
_SPELLING: Mapping[int, str | None] = str.maketrans(
    dict.fromkeys(" \t\u00a0\u2007\u2009\u202f·⋅∙•*×.^()")
    | dict.fromkeys("°º˚", "deg")
    | dict.fromkeys("″”“", '"')
    | {"℃": "degC", "℉": "degF", "µ": "u", "μ": "u", "−": "-"}
    | dict(zip("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789", strict=True)),
)
_HYPHEN = re.compile("-(?=[A-Za-z])")  # "N-m", "ft-lb"; the one in "s-1" stays

_POUND = "pound can be a mass or a force: write lbf for the force"
_TON = "ton can be metric (1000 kg), short (907 kg) or long (1016 kg): write t or kg"
_GALLON = "a gallon can be US (3.785 L) or imperial (4.546 L): write US gal/min, or use litres"
_AMBIGUOUS: Mapping[str, Mapping[str, str]] = {
    "lb": {"force": _POUND},
    "lbs": {"force": _POUND},
    "pound": {"force": _POUND},
    "pounds": {"force": _POUND},
    "ton": {"": _TON},
    "tons": {"": _TON},
    "gal": {"": _GALLON},
    "gal/min": {"": _GALLON},
    "gpm": {"": _GALLON},
}
# What an ending of a pressure unit says, and which quantity says the same.
_PRESSURE_ENDINGS = {
    "gauge": ("gauge", "gage", "g"),
    "absolute": ("absolute", "abs", "a"),
    "difference": ("difference", "diff", "d"),
}


@lru_cache(maxsize=1024)
def _key(spelling: str) -> str:
    """Return what is left of a unit's spelling once its free choices are taken away."""
    return _HYPHEN.sub("", spelling.translate(_SPELLING))


@cache
def _spellings(name: str) -> dict[str, Unit]:
    """Return the units of a quantity by every key they are known under."""
    return {
        _key(spelling): entry
        for entry in QUANTITIES[name].units
        for spelling in (entry.symbol, *entry.aliases)
    }


@cache
def _spellings_in_any_case(name: str) -> dict[str, Unit]:
    """Return the inch-pound units of a quantity by lower-case keys."""
    return {key.casefold(): entry for key, entry in _spellings(name).items() if entry.imperial}


def _lookup(key: str, name: str) -> Unit | None:
    return _spellings(name).get(key) or _spellings_in_any_case(name).get(key.casefold())


def find_unit(spelling: str, kind: Quantity, *, text: str = "") -> Unit:
    """Return the unit of a quantity, or raise UnitError with what was meant instead."""
    key = _key(spelling[:MAX_LENGTH])
    found = _lookup(key, kind.name) or _pressure_unit(key, kind)
    if found is not None:
        return found
    seen = quoted(text or spelling)
    known = ", ".join(entry.symbol for entry in kind.units if entry.symbol != "1")
    message = (
        f"{seen} cannot be read as {kind.label}: {_why_not(key, spelling, kind)}. "
        f"Units understood here: {known or 'none, a plain number'}."
    )
    raise UnitError(message)


def _pressure_unit(key: str, kind: Quantity) -> Unit | None:
    """Return the unit of a spelling like "barg" if its ending says what the field wants."""
    wanted = kind.name.removeprefix("pressure_")
    for found, said in _with_pressure_ending(key):
        if said == wanted:
            return found
    return None


def _with_pressure_ending(key: str) -> Iterable[tuple[Unit, str]]:
    for said, endings in _PRESSURE_ENDINGS.items():
        for ending in endings:
            stem = key[: -len(ending)]
            found = _lookup(stem, f"pressure_{said}") if key.casefold().endswith(ending) else None
            if found is not None:
                yield found, said


def _why_not(key: str, spelling: str, kind: Quantity) -> str:
    ambiguous = _AMBIGUOUS.get(key.casefold(), {})
    reason = ambiguous.get(kind.name) or ambiguous.get("")
    if reason:
        return reason
    if kind.name.startswith("pressure_"):
        for found, said in _with_pressure_ending(key):
            return f"it says {said}, but this field wants {kind.label}, in {found.symbol}"
    shown = quoted(spelling.strip())[1:-1]
    owners = [other.label for other in QUANTITIES.values() if _lookup(key, other.name)]
    if owners:
        return f"{shown} is a unit of {' or '.join(owners[:3])}"
    for other_key, entry in _spellings(kind.name).items():
        if other_key.casefold() == key.casefold():
            return f"{shown} is unknown; did you mean {entry.symbol}? Upper and lower case differ"
    return f"the unit {shown} is unknown"
