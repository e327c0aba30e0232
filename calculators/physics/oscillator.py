"""One mass on one spring and one damper: its frequency, its damping, and how it swings."""

from __future__ import annotations

from math import exp, pi, sqrt

from calculators.errors import (
    require_above,
    require_at_least,
)
from calculators.physics._swing import (
    require_frequency,
    require_ratio,
    require_swinging,
    sine_of_damping,
)

__all__ = [
    "critical_damping",
    "damped_frequency",
    "damping_for_ratio",
    "damping_ratio",
    "logarithmic_decrement",
    "natural_frequency",
    "overshoot",
]


def natural_frequency(*, stiffness: float, mass: float) -> float:
    """Return the frequency of the free motion without damping.

    f_n = √(k / m) / 2π

    With the wheel rate it is the body frequency on a rigid tyre, with the ride
    rate the one on the real tyre: say which.

    Parameters
    ----------
    stiffness : float
        k, spring rate that carries the mass [N/m], > 0.
    mass : float
        m, moving mass [kg], > 0.

    Returns
    -------
    float
        f_n, natural frequency [Hz], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: one mass, straight-line spring.

    References
    ----------
    derivation: m s² + k = 0 gives s = ± i √(k/m).
    book: D. J. Inman, Engineering Vibration, ch. 1 (chapter: value from memory).

    Examples
    --------
    By hand: √(25 000 / 250) = 10 rad/s; 10 / 2π.

    >>> round(natural_frequency(stiffness=25_000.0, mass=250.0), 6)
    1.591549
    """
    require_above(0.0, stiffness, "Spring rate", "N/m", "Wheel rate or ride rate.")
    require_above(0.0, mass, "Mass", "kg", "The mass that this spring carries.")
    return sqrt(stiffness / mass) / (2.0 * pi)


def critical_damping(*, wheel_rate: float, sprung_mass: float) -> float:
    """Return the smallest damping at which the body settles without oscillating.

    c_cr = 2 √(k_w m_s)

    With less, the body swings past its rest position; with more, it only comes
    back later. It is the yardstick of all others: damping ratio ζ = c / c_cr.

    Parameters
    ----------
    wheel_rate : float
        k_w, spring rate measured at the wheel [N/m], > 0.
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.

    Returns
    -------
    float
        c_cr, damping coefficient at the wheel [N·s/m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: one mass, straight-line spring, force proportional to velocity, rigid
    tyre, no bush. For the coefficient at the damper divide by the motion ratio
    squared (damper travel / wheel travel).

    References
    ----------
    derivation: m s² + c s + k = 0 has equal roots when c² = 4 k m.
    book: S. S. Rao, Mechanical Vibrations, ch. 2 (chapter: value from memory).

    Examples
    --------
    By hand: 2 √(25 000 · 360) = 2 · 3 000.

    >>> critical_damping(wheel_rate=25_000.0, sprung_mass=360.0)
    6000.0
    """
    require_above(0.0, wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
    require_above(0.0, sprung_mass, "Sprung mass", "kg", "Leave out wheel, hub and axle.")
    return 2.0 * sqrt(wheel_rate * sprung_mass)


def damping_ratio(*, wheel_damping: float, wheel_rate: float, sprung_mass: float) -> float:
    """Return the damping as a share of critical damping.

    ζ = c_w / (2 √(k_w m_s))

    The same damper gives less when the vehicle is loaded on a coil spring: the
    mass under the root grows, the coefficient does not.

    Parameters
    ----------
    wheel_damping : float
        c_w, damping coefficient at the wheel [N·s/m], ≥ 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.

    Returns
    -------
    float
        ζ, damping ratio [1], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `critical_damping`.

    References
    ----------
    derivation: definition, the coefficient over the critical one.

    Examples
    --------
    By hand: 1 500 / 6 000.

    >>> damping_ratio(wheel_damping=1_500.0, wheel_rate=25_000.0, sprung_mass=360.0)
    0.25
    """
    require_at_least(0.0, wheel_damping, "Damping at the wheel", "N·s/m")
    return wheel_damping / critical_damping(wheel_rate=wheel_rate, sprung_mass=sprung_mass)


def damping_for_ratio(*, damping_ratio: float, wheel_rate: float, sprung_mass: float) -> float:
    """Return the coefficient at the wheel that gives a wanted damping ratio.

    c_w = 2 ζ √(k_w m_s)

    Parameters
    ----------
    damping_ratio : float
        ζ, wanted share of critical damping [1], ≥ 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.

    Returns
    -------
    float
        c_w, damping coefficient at the wheel [N·s/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `critical_damping`.

    References
    ----------
    derivation: the inverse of ζ = c_w / c_cr.

    Examples
    --------
    By hand: 0.25 · 6 000.

    >>> damping_for_ratio(damping_ratio=0.25, wheel_rate=25_000.0, sprung_mass=360.0)
    1500.0
    """
    require_ratio(damping_ratio)
    return damping_ratio * critical_damping(wheel_rate=wheel_rate, sprung_mass=sprung_mass)


def damped_frequency(*, natural_frequency: float, damping_ratio: float) -> float:
    """Return the frequency at which the damped mass really swings.

    f_d = f_n √(1 − ζ²), and 0 from ζ = 1 on

    Parameters
    ----------
    natural_frequency : float
        f_n, frequency without damping [Hz], > 0.
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0.

    Returns
    -------
    float
        f_d, damped frequency [Hz], ≥ 0; zero says that nothing swings.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: force proportional to velocity.

    References
    ----------
    derivation: imaginary part of the roots of s² + 2 ζ ω_n s + ω_n² = 0; both roots
        are real from ζ = 1 on.
    book: D. J. Inman, Engineering Vibration, ch. 1 (chapter: value from memory).

    Examples
    --------
    By hand: √(1 − 0.6²) = 0.8.

    >>> damped_frequency(natural_frequency=2.0, damping_ratio=0.6)
    1.6
    """
    require_frequency(natural_frequency)
    require_ratio(damping_ratio)
    return natural_frequency * sine_of_damping(damping_ratio)


def overshoot(*, damping_ratio: float) -> float:
    """Return how far the mass swings past its rest position, as a share of the step.

    x_max − 1 = exp(−π ζ / √(1 − ζ²)), and 0 from ζ = 1 on

    Parameters
    ----------
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0.

    Returns
    -------
    float
        First overshoot over the height of the step [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If the ratio is negative or not a finite number.

    Notes
    -----
    Limits: release from rest, or a step of the rest position; force proportional
    to velocity.

    References
    ----------
    derivation: the response at its first extreme, t = π / ω_d.
    book: K. Ogata, Modern Control Engineering, second-order systems (section:
        value from memory).

    Examples
    --------
    By hand, ζ = 0.6: exp(−π · 0.75).

    >>> round(overshoot(damping_ratio=0.6), 6)
    0.09478
    """
    require_ratio(damping_ratio)
    swing = sine_of_damping(damping_ratio)
    return exp(-pi * damping_ratio / swing) if swing > 0.0 else 0.0


def logarithmic_decrement(*, damping_ratio: float) -> float:
    """Return the natural logarithm of the ratio of two successive peaks.

    δ = 2 π ζ / √(1 − ζ²)

    Read backwards it gives the damping ratio from a decaying trace.

    Parameters
    ----------
    damping_ratio : float
        ζ, share of critical damping [1], ≥ 0 and < 1.

    Returns
    -------
    float
        δ, logarithmic decrement over one full cycle [1], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the ratio is negative, or 1 or more: then there is no second peak.

    Notes
    -----
    Limits: force proportional to velocity; dry friction makes the peaks fall on
    a straight line instead.

    References
    ----------
    derivation: the envelope exp(−ζ ω_n t) over one period 2π / ω_d.
    book: D. J. Inman, Engineering Vibration, ch. 1 (chapter: value from memory).

    Examples
    --------
    By hand, ζ = 0.6: 2π · 0.75.

    >>> round(logarithmic_decrement(damping_ratio=0.6), 6)
    4.712389
    """
    require_swinging(damping_ratio)
    return 2.0 * pi * damping_ratio / sine_of_damping(damping_ratio)
