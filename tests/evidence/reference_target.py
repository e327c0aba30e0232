"""Longer reference computations for the rows of target.toml, by general-purpose libraries."""

from __future__ import annotations

import numpy as np
from scipy.integrate import quad


def coefficient(mean: float, split: float, which: int) -> float:
    """Return the compression (0) or rebound (1) coefficient out of a linear system."""
    conditions = np.array([[1.0, 1.0], [-split, 1.0]])
    return float(np.linalg.solve(conditions, np.array([2.0 * mean, 0.0]))[which])


def energy_damping(
    velocities: list[float], compression: list[float], rebound: list[float], amplitude: float
) -> float:
    """Return the coefficient with the energy of a tabled line over one sine cycle."""

    def loss(phase: float) -> float:
        speed = amplitude * np.cos(phase)
        forces = compression if speed >= 0.0 else rebound
        return float(np.interp(abs(speed), velocities, forces) * abs(speed))

    bend = float(np.arccos(min(1.0, velocities[1] / amplitude)))
    points = [bend, np.pi / 2.0, np.pi - bend]
    half = quad(loss, 0.0, np.pi, points=points, epsabs=1e-10)[0]
    return float(2.0 * half / (np.pi * amplitude**2))
