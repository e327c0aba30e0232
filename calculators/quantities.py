"""Kinds of quantity and their units: the only place where units exist.

Values arrive as text or in some unit, are converted once to coherent SI, and go back
the same way. `QUANTITIES` is the table; `parse` and `format_value` are the two edges.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from calculators._numbers import (
    NO_BREAK_SPACE,
    format_number,
    plain_number,
    quoted,
    read_number,
    short_number,
)
from calculators._spelling import find_unit
from calculators._units import COUNTERPARTS, QUANTITIES, Quantity, Unit
from calculators.errors import OutOfRangeError, UnitError, require_finite

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = [
    "QUANTITIES",
    "Quantity",
    "Reading",
    "Unit",
    "all_from_si",
    "counterpart",
    "format_number",
    "format_value",
    "from_si",
    "parse",
    "plain_number",
    "quantity",
    "short_number",
    "to_si",
    "unit",
]

NO_SIMPLE_RATIO = 2**53  # p × q from which any float at all is near some p / q


@dataclass(frozen=True, slots=True)
class Reading:
    """A text that was understood.

    Attributes
    ----------
    value : float
        The value in the coherent SI unit of its quantity.
    unit : str
        Symbol of the unit that applied, typed or assumed.
    """

    value: float
    unit: str


def quantity(name: str) -> Quantity:
    """Return the quantity of this name, or raise UnitError."""
    try:
        return QUANTITIES[name]
    except KeyError:
        message = f"There is no quantity {quoted(name)}; there are: {', '.join(QUANTITIES)}."
        raise UnitError(message) from None


def unit(symbol: str, *, quantity: str) -> Unit:
    """Return the unit that a symbol or another spelling of it means for a quantity.

    Spaces, dots, brackets, raised digits and the degree sign may be spelled any way
    (N·s/m, N.s/m, Ns/m; cm³, cm^3; °C, degC). Upper and lower case differ, as in
    mPa and MPa, except for inch-pound units.

    Raises
    ------
    UnitError
        If the symbol means nothing here, another quantity, or more than one thing.
    """
    return find_unit(symbol, _quantity(quantity))


def to_si(value: float, *, unit: str, quantity: str) -> float:
    """Return a value, given in a unit, in the coherent SI unit of its quantity.

    Raises
    ------
    UnitError
        If the quantity doesn't have this unit.
    OutOfRangeError
        If the result is not a finite number.
    """
    kind = _quantity(quantity)
    return _checked(_to_si(value, find_unit(unit, kind)), kind, kind.units[0])


def from_si(value: float, *, unit: str, quantity: str) -> float:
    """Return a value, given in coherent SI, in another unit of its quantity.

    Of the numbers that stand for the very same SI value the one with fewest digits is
    taken, so that 0.1 °C comes back as 0.1 and not as 0.10000000000002274.

    Raises
    ------
    UnitError
        If the quantity doesn't have this unit.
    OutOfRangeError
        If the result is not a finite number.
    """
    return all_from_si((value,), unit=unit, quantity=quantity)[0]


def all_from_si(values: Iterable[float], *, unit: str, quantity: str) -> list[float]:
    """Return values, given in coherent SI, in another unit of their quantity, as `from_si` does.

    Raises
    ------
    UnitError
        If the quantity doesn't have this unit.
    OutOfRangeError
        If a result is not a finite number.
    """
    kind = _quantity(quantity)
    target = find_unit(unit, kind)
    return [_checked(_from_si(value, target), kind, target) for value in values]


def counterpart(symbol: str, *, quantity: str) -> str:
    """Return the imperial unit that stands in for a unit, or the unit itself if there is none."""
    other = COUNTERPARTS.get(symbol, symbol)
    known = {entry.symbol for entry in _quantity(quantity).units}
    return other if other in known else symbol


def parse(
    text: str,
    *,
    quantity: str,
    unit: str,
    minimum: float | None = None,
    maximum: float | None = None,
) -> Reading:
    """Return what a text typed by a person says, in SI.

    The text is a number, as `_numbers` describes it, and optionally a unit.

    Parameters
    ----------
    text : str
        What was typed, at most 64 characters.
    quantity : str
        Name of the quantity that is wanted.
    unit : str
        The unit that applies if none was typed.
    minimum, maximum : float or None
        The allowed range in SI. It only settles a text like "1,650", which is 1650 or
        1.65: if one of them is allowed, that one is taken; if both are, the text is
        refused; if none is, or no range is given, it is 1650. The range is not enforced.

    Returns
    -------
    Reading
        The value in SI and the unit that applied.

    Raises
    ------
    UnitError
        If the text is not exactly one finite number with a unit of this quantity.
    """
    kind = _quantity(quantity)
    numbers, typed_unit = read_number(text)
    assumed = find_unit(unit, kind)
    applied = find_unit(typed_unit, kind, text=text) if typed_unit else assumed
    number = _settled(numbers, applied, minimum, maximum, text)
    try:
        return Reading(_checked(_to_si(number, applied), kind, kind.units[0]), applied.symbol)
    except OutOfRangeError as error:
        message = f"{quoted(text)} is too large to calculate with."
        raise UnitError(message) from error


def format_value(value_si: float, *, unit: str, quantity: str, digits: int = 4) -> str:
    """Return an SI value for reading, in a unit: "28 000 N/m".

    A no-break space stands before the unit, also before % and °C, but not before the
    degree of an angle. A plain number has no unit.

    Raises
    ------
    UnitError
        If the quantity doesn't have this unit.
    OutOfRangeError
        If the value is not a finite number.
    """
    symbol = find_unit(unit, _quantity(quantity)).symbol
    number = format_number(from_si(value_si, unit=unit, quantity=quantity), digits=digits)
    if symbol == "1":
        return number
    return f"{number}{symbol}" if symbol == "°" else f"{number}{NO_BREAK_SPACE}{symbol}"


_quantity = quantity  # the functions above have an argument of that name


@cache
def _ratio(factor: float) -> tuple[float, float]:
    """Return the simplest p, q with p / q = factor: 127, 5000 for the inch, 5, 18 for km/h.

    value × p / q loses less than value × factor, which itself is rounded: so 14 in are
    0.3556 m and not 0.35559999999999997 m. Found as a continued fraction; a factor that
    is no simple ratio, such as π / 180, stays as it is.
    """
    top, bottom = factor.as_integer_ratio()
    p_before, q_before, p, q = 0, 1, 1, 0
    while p * q < NO_SIMPLE_RATIO:
        if q and p / q == factor:
            return float(p), float(q)
        whole, rest = divmod(top, bottom)
        p_before, q_before, p, q = p, q, whole * p + p_before, whole * q + q_before
        top, bottom = bottom, rest
    return factor, 1.0


def _to_si(value: float, source: Unit) -> float:
    p, q = _ratio(source.factor)
    return value * p / q + source.offset


def _from_si(value: float, target: Unit) -> float:
    if target.factor == 1.0 and not target.offset:
        return value
    p, q = _ratio(target.factor)
    result = (value - target.offset) * q / p
    fewer_digits = round(result, 12) if target.offset else float(f"{result:.15g}")
    return fewer_digits if _to_si(fewer_digits, target) == value else result


def _checked(value: float, kind: Quantity, shown: Unit) -> float:
    require_finite(value, kind.label.capitalize(), shown.symbol)
    return value


def _settled(
    numbers: tuple[float, ...],
    applied: Unit,
    minimum: float | None,
    maximum: float | None,
    text: str,
) -> float:
    """Return the one reading of a number that the allowed range leaves."""
    if len(numbers) == 1 or (minimum is None and maximum is None):
        return numbers[0]
    inside = [
        number
        for number in numbers
        if (minimum is None or _to_si(number, applied) >= minimum)
        and (maximum is None or _to_si(number, applied) <= maximum)
    ]
    if len(inside) > 1:
        both = " or ".join(plain_number(number) for number in inside)
        message = f"{quoted(text)} can be {both}, and both are allowed here. Write {both}."
        raise UnitError(message)
    return inside[0] if inside else numbers[0]
