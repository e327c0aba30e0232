"""The zero of a continuous function between two points of opposite sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["find_root"]

_ROUNDING = 4e-16
_HALF = 0.5


def find_root(
    function: Callable[[float], float], low: float, high: float, tolerance: float
) -> float:
    """Return where a function that changes its sign between low and high is zero.

    Inverse quadratic interpolation where it is safe, halving elsewhere (T. R.
    Chandrupatla, Advances in Engineering Software 28, 1997, 145-149). The caller makes
    sure that the signs at both ends differ.
    """
    x_1, x_2 = high, low
    f_1, f_2 = function(x_1), function(x_2)
    if f_2 == 0.0:
        return x_2
    share = _HALF if f_1 != 0.0 else 0.0
    while True:
        x = x_1 + share * (x_2 - x_1)
        f = function(x)
        if (f > 0.0) == (f_1 > 0.0):
            x_3, f_3 = x_1, f_1
        else:
            x_3, f_3, x_2, f_2 = x_2, f_2, x_1, f_1
        x_1, f_1 = x, f
        best, f_best = (x_1, f_1) if abs(f_1) < abs(f_2) else (x_2, f_2)
        least = (tolerance + _ROUNDING * abs(best)) / max(abs(x_2 - x_1), 1e-300)
        if f_best == 0.0 or least > _HALF:
            return best
        share = _HALF
        xi, phi = (x_1 - x_2) / (x_3 - x_2), (f_1 - f_2) / (f_3 - f_2)
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            share = f_1 / (f_2 - f_1) * f_3 / (f_2 - f_3)
            share += (x_3 - x_1) / (x_2 - x_1) * f_1 / (f_3 - f_1) * f_2 / (f_3 - f_2)
        share = min(max(share, least), 1.0 - least)
