"""Longer reference computations: a rod that buckles, by finite differences."""

from __future__ import annotations

from math import pi

from scipy.linalg import eigvalsh_tridiagonal


def pinned_buckling_load(diameter: float, length: float, youngs_modulus: float) -> float:
    """Return the smallest P of E I w'' + P w = 0 with both ends pinned, 2 000 intervals."""
    count = 2_000
    step = length / count
    stiffness = youngs_modulus * pi * diameter**4 / 64 / step**2
    main = [2.0 * stiffness] * (count - 1)
    beside = [-stiffness] * (count - 2)
    return float(eigvalsh_tridiagonal(main, beside, select="i", select_range=(0, 0))[0])
