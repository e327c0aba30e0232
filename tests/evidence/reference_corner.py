"""Longer reference computations for the rows of corner.toml, by general-purpose libraries."""

from __future__ import annotations

from typing import cast

import numpy as np
from CoolProp.CoolProp import PropsSI
from scipy.differentiate import derivative
from scipy.integrate import quad
from scipy.linalg import eigh

# A level arm of length 0.5 m; a spring from its point at 0.25 m to a fixed point
# 0.3 m further out and 0.4 m higher.
_ARM, _MOUNT, _OUT, _UP = 0.5, 0.25, 0.3, 0.4


def _compression(height: np.ndarray) -> np.ndarray:
    """Shortening of that spring when the wheel stands higher by this much."""
    angle = np.arcsin(height / _ARM)
    along = _MOUNT + _OUT - _MOUNT * np.cos(angle)
    above = _UP - _MOUNT * np.sin(angle)
    return cast("np.ndarray", np.hypot(_OUT, _UP) - np.hypot(along, above))


def lever_ratio() -> float:
    """Return spring travel over wheel travel of the level arm, differentiated numerically."""
    return float(derivative(_compression, 0.0, initial_step=0.02).df)


def lever_rate(spring_rate: float, spring_force: float) -> float:
    """Return the wheel rate of the level arm: second derivative of the spring's energy."""

    def wheel_force(height: np.ndarray) -> np.ndarray:
        ratio = derivative(_compression, height, initial_step=0.02).df
        force = spring_force + spring_rate * _compression(height)
        return cast("np.ndarray", force * ratio)

    return float(derivative(wheel_force, 0.0, initial_step=0.02).df)


def springs_in_series(wheel_rate: float, tyre_rate: float) -> float:
    """Return load over deflection of the body on suspension and tyre, as a linear system."""
    stiffness = np.array([[wheel_rate, -wheel_rate], [-wheel_rate, wheel_rate + tyre_rate]])
    return float(1.0 / np.linalg.solve(stiffness, np.array([1.0, 0.0]))[0])


def hop_frequency(
    wheel_rate: float, tyre_rate: float, unsprung_mass: float, sprung_mass: float
) -> float:
    """Return the higher natural frequency of body and wheel together."""
    stiffness = np.array([[wheel_rate, -wheel_rate], [-wheel_rate, wheel_rate + tyre_rate]])
    squares = eigh(stiffness, np.diag([sprung_mass, unsprung_mass]), eigvals_only=True)
    return float(np.sqrt(squares[-1]) / (2.0 * np.pi))


def real_air_rate(pressure: float, area: float, volume: float, temperature: float) -> float:
    """Return the rate of a closed real-air column squeezed without heat flow."""
    density = PropsSI("D", "P", pressure, "T", temperature, "Air")
    slope = PropsSI("d(P)/d(D)|S", "P", pressure, "T", temperature, "Air")
    return float(density * slope * area**2 / volume)


def friction_damping_by_energy(force: float, angular_frequency: float, amplitude: float) -> float:
    """Return the viscous coefficient with the energy of dry friction over one cycle."""

    def power(time: float) -> float:
        velocity = amplitude * angular_frequency * np.cos(angular_frequency * time)
        return float(force * abs(velocity))

    quarter = np.pi / (2.0 * angular_frequency)
    energy = 4.0 * quad(power, 0.0, quarter)[0]
    return float(energy / (np.pi * angular_frequency * amplitude**2))
