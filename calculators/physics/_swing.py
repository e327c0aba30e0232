"""What the formulas of one swinging mass share: its motion, and checks of its arguments."""

from __future__ import annotations

from math import cos, exp, sin, sqrt

from calculators.errors import (
    OutOfRangeError,
    require_above,
    require_at_least,
)

__all__ = [
    "RATIO",
    "release",
    "require_frequency",
    "require_ratio",
    "require_swinging",
    "sine_of_damping",
]

RATIO = "Damping ratio"
_SERIES_BELOW = 1e-2  # |1 − ζ²| τ² under which power series replace cos and cosh


def sine_of_damping(ratio: float) -> float:
    """Return √(1 − ζ²), zero from ζ = 1 on; the product keeps its digits near 1."""
    return sqrt((1.0 - ratio) * (1.0 + ratio)) if ratio < 1.0 else 0.0


def release(tau: float, ratio: float) -> float:
    """Return x at τ = ω_n t for a release from 1 at rest."""
    square = (1.0 - ratio) * (1.0 + ratio)
    q = square * tau * tau
    if abs(q) < _SERIES_BELOW:
        cosine = 1.0 - q / 2.0 * (1.0 - q / 12.0 * (1.0 - q / 30.0 * (1.0 - q / 56.0)))
        sine = 1.0 - q / 6.0 * (1.0 - q / 20.0 * (1.0 - q / 42.0 * (1.0 - q / 72.0)))
        return exp(-ratio * tau) * (cosine + ratio * tau * sine)
    if square > 0.0:
        s = sqrt(square)
        return exp(-ratio * tau) * (cos(s * tau) + ratio / s * sin(s * tau))
    s = sqrt(-square)
    fast = ratio + s
    slow = 1.0 / fast  # ζ − s without losing digits
    return (fast * exp(-slow * tau) - slow * exp(-fast * tau)) / (2.0 * s)


def require_frequency(frequency: float) -> None:
    require_above(0.0, frequency, "Natural frequency", "Hz", "From spring rate and mass.")


def require_ratio(ratio: float) -> None:
    require_at_least(0.0, ratio, RATIO, "", "The share of critical damping.")


def require_swinging(ratio: float) -> None:
    require_ratio(ratio)
    if ratio >= 1.0:
        advice = "It must be below 1: from there on nothing swings."
        raise OutOfRangeError(RATIO, ratio, "", minimum=0.0, maximum=1.0, advice=advice)
