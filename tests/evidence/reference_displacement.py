"""Longer reference computations for the rows of displacement.toml.

Each one fills the real space with the real volume and solves for the level or the
place of the dividing piston; none uses the closed formulas.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq


def _chord(outer: float, inner: float, across: float) -> float:
    """Width of a ring, cut at a distance from its middle."""
    ring = np.sqrt(max((outer / 2.0) ** 2 - across**2, 0.0))
    hole = np.sqrt(max((inner / 2.0) ** 2 - across**2, 0.0))
    return float(2.0 * (ring - hole))


def leaning_level(
    outer: float, inner: float, oil_in_reserve: float, angle: float, side: float
) -> float:
    """Return the oil height at the high (side = −1) or low (+1) wall of a leaning annulus."""

    def volume(middle: float) -> float:
        def slice_volume(across: float) -> float:
            height = max(middle + across * np.tan(angle), 0.0)
            return float(_chord(outer, inner, across) * height)

        edges = [-inner / 2.0, inner / 2.0]
        half = outer / 2.0
        return float(quad(slice_volume, -half, half, points=edges, epsabs=1e-14, limit=400)[0])

    middle = brentq(lambda height: volume(height) - oil_in_reserve, 0.0, 1.0, xtol=1e-12)
    return float(middle + side * outer / 2.0 * np.tan(angle))


def piston_place(
    chamber: float,
    rod: float,
    gas_column: float,
    compression: float,
    oil_mass: float,
    density: float,
    density_hot: float,
) -> float:
    """Return the gap at the gas end once rod and oil have their room, by bisection."""
    section = np.pi / 4.0 * chamber**2
    total = oil_mass / density + section * gas_column  # oil and gas fill this space

    def surplus(gap: float) -> float:
        rod_room = np.pi / 4.0 * rod**2 * compression
        return float(oil_mass / density_hot + rod_room + section * gap - total)

    return float(brentq(surplus, -1.0, 1.0, xtol=1e-14))
