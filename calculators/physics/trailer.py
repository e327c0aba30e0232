"""A trailer's body on its axles and its coupling: bounce and pitch."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, pi, sin, sqrt

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_finite,
)

__all__ = [
    "Mode",
    "PitchBounce",
    "WheelbaseFilter",
    "coupled_frequency",
    "pitch_bounce",
    "wheelbase_filter",
]


@dataclass(frozen=True, slots=True)
class Mode:
    """One of the two ways in which the body swings.

    Attributes
    ----------
    frequency : float
        of the swing [Hz].
    node : float
        place that stays at rest, forward of the centre of mass [m]; infinite if the
        body only bounces.
    """

    frequency: float
    node: float


@dataclass(frozen=True, slots=True)
class PitchBounce:
    """Both modes of a body on its springs.

    Attributes
    ----------
    slow : Mode
        the lower frequency.
    fast : Mode
        the higher frequency.
    coupling : float
        Σ k x over √(Σ k Σ k x²); zero: pure bounce and pure pitch [1].
    """

    slow: Mode
    fast: Mode
    coupling: float


@dataclass(frozen=True, slots=True)
class WheelbaseFilter:
    """How much of a wavy road two axles pass on to bounce and pitch.

    Attributes
    ----------
    bounce : float
        share of the waves' amplitude that lifts the body [1].
    pitch : float
        share that turns it [1].
    """

    bounce: float
    pitch: float


def pitch_bounce(
    *, sprung_mass: float, pitch_inertia: float, supports: tuple[tuple[float, float], ...]
) -> PitchBounce:
    """Return the two frequencies and nodes of a body on springs.

    (K − ω² M) = 0 with K = [[Σk, Σk x], [Σk x, Σk x²]], M = diag(m, J)

    One axle: give the axle and the coupling, with the rate of the towing vehicle
    behind it. Two axles with separate springs: give both, and the coupling. The node
    tells where in the trailer a mode is felt least.

    Parameters
    ----------
    sprung_mass : float
        m, whole body [kg], > 0.
    pitch_inertia : float
        J, about the centre of mass [kg·m²], > 0.
    supports : tuple of (float, float)
        for each spring: place forward of the centre of mass [m] and rate, both sides
        together [N/m], any and ≥ 0, at least two places.

    Returns
    -------
    PitchBounce
        Slow and fast mode with their nodes.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the springs don't hold the body up.

    Notes
    -----
    Limits: small motion without damping, rigid body, tyres in series with the springs
    if they matter (`corner.ride_rate`). Two axles on one rocker or equaliser share
    their load and act as one spring half-way between.

    References
    ----------
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, bounce and pitch
        (chapter: value from memory).
    derivation: eigenvalues of two equations in closed form.

    Examples
    --------
    Symmetric: bounce √(2k/m)/2π and pitch √(2k a²/J)/2π.

    >>> modes = pitch_bounce(
    ...     sprung_mass=1_000.0, pitch_inertia=1_000.0,
    ...     supports=((1.5, 20_000.0), (-1.5, 20_000.0)))
    >>> round(modes.slow.frequency, 4), round(modes.fast.frequency, 4), modes.fast.node
    (1.0066, 1.5099, 0.0)
    """
    require_above(0.0, sprung_mass, "Sprung mass", "kg", "The whole body.")
    require_above(0.0, pitch_inertia, "Pitch inertia", "kg·m²", "About m · length²/12.")
    for place, rate in supports:
        require_finite(place, "Place of a spring", "m")
        require_at_least(0.0, rate, "Rate of a spring", "N/m", "Both sides together.")
    lift = sum(rate for _, rate in supports)
    cross = sum(rate * place for place, rate in supports)
    turn = sum(rate * place * place for place, rate in supports)
    if lift * turn <= cross * cross * (1.0 + 1e-12):
        message = "The springs don't hold the body up: give at least two places with a rate."
        raise ConflictError(message, inputs=("supports",))
    a, b, c = lift / sprung_mass, turn / pitch_inertia, cross / sqrt(sprung_mass * pitch_inertia)
    root = sqrt(0.25 * (a - b) ** 2 + c * c)
    fast = 0.5 * (a + b) + root
    slow = (a * b - c * c) / fast

    def mode(square: float) -> Mode:
        # m-weighted: (a − ω²) u + c w = 0, displacement at x is u/√m + x w/√J
        off = a - square
        if abs(off) >= abs(b - square):
            u, w = -c, off
        else:
            u, w = b - square, -c
        if u == 0.0 and w == 0.0:
            u = 1.0  # both modes alike: call this one bounce
        node = -u / w * sqrt(pitch_inertia / sprung_mass) if w != 0.0 else inf
        return Mode(frequency=sqrt(square) / (2.0 * pi), node=node + 0.0)

    return PitchBounce(slow=mode(slow), fast=mode(fast), coupling=cross / sqrt(lift * turn))


def coupled_frequency(
    *,
    sprung_mass: float,
    pitch_inertia: float,
    coupling_distance: float,
    axles: tuple[tuple[float, float], ...],
) -> float:
    """Return the frequency of a trailer that turns about a coupling held still.

    f = √(Σ k l²/(J + m h²))/2π

    A heavy towing vehicle holds the coupling; the trailer then has a single mode.

    Parameters
    ----------
    sprung_mass : float
        m, whole body [kg], > 0.
    pitch_inertia : float
        J, about the centre of mass [kg·m²], > 0.
    coupling_distance : float
        h, from the coupling back to the centre of mass [m], > 0.
    axles : tuple of (float, float)
        for each axle: distance behind the coupling [m] and rate, both sides together
        [N/m], > 0, at least one.

    Returns
    -------
    float
        f [Hz], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If no axle is given.

    Notes
    -----
    Limits: small motion, no damping, rigid body, coupling at rest.

    References
    ----------
    derivation: moments about the coupling; Steiner's rule.

    Examples
    --------
    All mass above the axle: the plain corner, √(40 000/1 000)/2π.

    >>> round(coupled_frequency(
    ...     sprung_mass=1_000.0, pitch_inertia=1e-9, coupling_distance=3.0,
    ...     axles=((3.0, 40_000.0),)), 4)
    1.0066
    """
    require_above(0.0, sprung_mass, "Sprung mass", "kg", "The whole body.")
    require_above(0.0, pitch_inertia, "Pitch inertia", "kg·m²", "About m · length²/12.")
    require_above(0.0, coupling_distance, "Coupling to centre of mass", "m")
    if not axles:
        message = "No axle was given; give at least one."
        raise ConflictError(message, inputs=("axles",))
    for distance, rate in axles:
        require_above(0.0, distance, "Coupling to axle", "m")
        require_above(0.0, rate, "Rate of an axle", "N/m", "Both sides together.")
    stiffness = sum(rate * distance**2 for distance, rate in axles)
    inertia = pitch_inertia + sprung_mass * coupling_distance**2
    return sqrt(stiffness / inertia) / (2.0 * pi)


def wheelbase_filter(*, wheelbase: float, wavelength: float) -> WheelbaseFilter:
    """Return which part of a wavy road two axles turn into bounce and into pitch.

    bounce = |cos(π L/λ)|,   pitch = |sin(π L/λ)|

    Waves as long as the axle spacing lift both axles at once: all bounce, no pitch.
    Waves of twice that lift one and drop the other: all pitch, no bounce (an
    anti-resonance: the body stays level in height). Change the speed, and the
    frequency changes, but not this share.

    Parameters
    ----------
    wheelbase : float
        L, distance of the axles [m], ≥ 0.
    wavelength : float
        λ, of the road [m], > 0.

    Returns
    -------
    WheelbaseFilter
        Shares of bounce and pitch.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: two axles alike, at equal distances from the centre of mass.

    References
    ----------
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, wheelbase filtering
        (chapter: value from memory).
    derivation: half the sum, and half the difference, of two waves shifted by L.

    Examples
    --------
    Axles 0.75 m apart on corrugations of 0.75 m: all bounce.

    >>> wheelbase_filter(wheelbase=0.75, wavelength=0.75).bounce
    1.0
    """
    require_at_least(0.0, wheelbase, "Distance of the axles", "m")
    require_above(0.0, wavelength, "Wavelength", "m")
    phase = pi * wheelbase / wavelength
    return WheelbaseFilter(bounce=abs(cos(phase)), pitch=abs(sin(phase)))
