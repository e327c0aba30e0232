"""The viscosity index of ASTM D2270, forwards and backwards."""

from __future__ import annotations

from bisect import bisect_right
from math import log10

from calculators.errors import (
    ConflictError,
    NoSolutionError,
    require_above,
    require_at_least,
    require_between,
)
from calculators.physics._viscosity_index import AT_100, INDEX_0_AT_40, INDEX_100_AT_40
from calculators.physics.oil import MM2

__all__ = ["viscosity_at_100", "viscosity_index"]

LEAST_INDEXED = 2.0  # mm²/s at 100 °C, below it ASTM D2270 gives no index


def viscosity_index(*, viscosity_40: float, viscosity_100: float) -> float:
    """Return the viscosity index of an oil, not rounded.

    up to 100: VI = 100 (L - U) / (L - H);   above: VI = 100 + (10^N - 1) / 0.007 15,
    N = (log H - log U) / log Y

    U and Y are the oil's kinematic viscosities at 40 and 100 °C; L and H those at 40 °C
    of two reference oils that agree with it at 100 °C. A high index thins less.

    Parameters
    ----------
    viscosity_40 : float
        U, at 40 °C [m²/s], > viscosity_100.
    viscosity_100 : float
        Y, at 100 °C [m²/s], ≥ 2e-6.

    Returns
    -------
    float
        VI; the standard rounds it to a whole number [1], finite.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the oil is not thinner at 100 °C than at 40 °C.

    Notes
    -----
    Limits: no index below 2 mm²/s at 100 °C. L and H are interpolated in the table up to
    70 mm²/s; above, L = 0.835 3 Y² + 14.67 Y - 216 and H = 0.168 4 Y² + 11.85 Y - 97.

    References
    ----------
    standard: ASTM D2270-10, Calculating Viscosity Index from Kinematic Viscosity at 40 and
        100 °C, procedures A and B (ISO 2909 is the same).

    Examples
    --------
    The standard's own example: 73.30 and 8.86 mm²/s, 92.43, rounded 92.

    >>> round(viscosity_index(viscosity_40=73.30e-6, viscosity_100=8.86e-6))
    92
    """
    require_at_least(
        LEAST_INDEXED / MM2,
        viscosity_100,
        "Kinematic viscosity at 100 °C",
        "m²/s",
        "Thinner oils have no viscosity index.",
    )
    require_above(
        0.0, viscosity_40, "Kinematic viscosity at 40 °C", "m²/s", "1 mm²/s is 1e-6 m²/s."
    )
    if viscosity_40 <= viscosity_100:
        message = (
            f"{viscosity_40 * MM2:g} mm²/s at 40 °C is not above {viscosity_100 * MM2:g} mm²/s "
            "at 100 °C. Have the two been exchanged?"
        )
        raise ConflictError(message, inputs=("viscosity_40", "viscosity_100"))
    return _index(viscosity_40 * MM2, viscosity_100 * MM2)


def viscosity_at_100(*, viscosity_40: float, viscosity_index: float) -> float:
    """Return the kinematic viscosity at 100 °C of an oil known by its index.

    the Y at which the viscosity index of U and Y is the one given

    Data sheets often state a class and an index only; with this second point the
    viscosity is known at all temperatures.

    Parameters
    ----------
    viscosity_40 : float
        U, kinematic viscosity at 40 °C [m²/s], > 2e-6.
    viscosity_index : float
        VI [1], 0 to 400.

    Returns
    -------
    float
        Y, kinematic viscosity at 100 °C [m²/s], ≥ 2e-6.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    NoSolutionError
        If the oil would be thinner than 2 mm²/s at 100 °C, where no index is defined.

    Notes
    -----
    Limits: those of `viscosity_index`; an index rounded to a whole number leaves about
    0.1 to 0.2 % of Y open.

    References
    ----------
    standard: ASTM D2270-10, read backwards.

    Examples
    --------
    The standard's example backwards: 73.30 mm²/s and 92.43 belong to 8.86 mm²/s.

    >>> round(1e6 * viscosity_at_100(viscosity_40=73.30e-6, viscosity_index=92.43), 2)
    8.86
    """
    require_above(
        LEAST_INDEXED / MM2,
        viscosity_40,
        "Kinematic viscosity at 40 °C",
        "m²/s",
        "Thinner oils have no viscosity index.",
    )
    require_between(0.0, 400.0, viscosity_index, "Viscosity index", "", "Mineral oils: 90 to 110.")
    thick = viscosity_40 * MM2
    low, high = LEAST_INDEXED, thick
    if _index(thick, low) > viscosity_index:
        message = (
            f"{thick:g} mm²/s at 40 °C with an index of {viscosity_index:g} is below 2 mm²/s at "
            "100 °C, where no index is defined. Give a second measured viscosity instead."
        )
        raise NoSolutionError(message)
    while (middle := 0.5 * (low + high)) not in (low, high):
        if _index(thick, middle) < viscosity_index:
            low = middle
        else:
            high = middle
    return high / MM2


def _index(at_40: float, at_100: float) -> float:
    """Return the index for viscosities in mm²/s."""
    worse, better = _reference_oils(at_100)
    if at_40 >= better:
        return 100.0 * (worse - at_40) / (worse - better)
    antilog: float = 10.0 ** (log10(better / at_40) / log10(at_100))
    return 100.0 + (antilog - 1.0) / 0.00715


def _reference_oils(at_100: float) -> tuple[float, float]:
    """Return L and H in mm²/s."""
    if at_100 > AT_100[-1]:
        return (
            (0.8353 * at_100 + 14.67) * at_100 - 216.0,
            (0.1684 * at_100 + 11.85) * at_100 - 97.0,
        )
    right = min(bisect_right(AT_100, at_100), len(AT_100) - 1)
    left = right - 1
    part = (at_100 - AT_100[left]) / (AT_100[right] - AT_100[left])
    return (
        INDEX_0_AT_40[left] + part * (INDEX_0_AT_40[right] - INDEX_0_AT_40[left]),
        INDEX_100_AT_40[left] + part * (INDEX_100_AT_40[right] - INDEX_100_AT_40[left]),
    )
