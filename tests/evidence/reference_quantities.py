"""Conversions by the general-purpose library pint, for the evidence on units."""

from __future__ import annotations

from functools import cache

import pint

__all__ = ["pint_si"]


@cache
def _registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


def pint_si(value: float, unit: str) -> float:
    """Return a value in pint's base units: metre, kilogram, second, kelvin, radian.

    Parameters
    ----------
    value : float
        The number in front of the unit [1], finite.
    unit : str
        The unit in pint's spelling.

    Returns
    -------
    float
        The number in front of the base units [1], finite.
    """
    return float(_registry().Quantity(value, unit).to_base_units().magnitude)
