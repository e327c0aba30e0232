"""Longer reference computations: decay by numpy's fit, modes by scipy's eigenvalues."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.linalg import eigh

if TYPE_CHECKING:
    from collections.abc import Sequence


def fitted(times: Sequence[float], peaks: Sequence[float], reading: float, what: str) -> float:
    """Return decrement, ratio, their uncertainties or frequency, from numpy's polyfit."""
    heights, index = np.array(peaks), np.arange(len(peaks))
    line, covariance = np.polyfit(index, np.log(heights), 1, w=heights, cov="unscaled")
    decrement, spread = -line[0], reading * np.sqrt(covariance[0, 0])
    frequency = 1.0 / np.polyfit(index, np.array(times), 1)[0]

    def ratio(delta: float) -> float:
        return float(delta / np.hypot(2 * np.pi, delta))

    by_decrement = (ratio(decrement + 1e-6) - ratio(decrement - 1e-6)) / 2e-6
    zeta = ratio(decrement)
    results = {
        "decrement": decrement,
        "spread": spread,
        "ratio": zeta,
        "ratio spread": by_decrement * spread,
        "natural": frequency / np.sqrt(1 - zeta**2),
    }
    return float(results[what])


def mode(
    sprung_mass: float,
    pitch_inertia: float,
    supports: Sequence[tuple[float, float]],
    number: int,
    what: str,
) -> float:
    """Return frequency or node of a body on springs, from the generalised eigenvalues."""
    rows = np.array([[1.0, place] for place, _ in supports])
    stiffness = rows.T @ np.diag([rate for _, rate in supports]) @ rows
    squares, shapes = eigh(stiffness, np.diag([sprung_mass, pitch_inertia]))
    if what == "frequency":
        return float(np.sqrt(squares[number]) / (2 * np.pi))
    return float(-shapes[0, number] / shapes[1, number])
