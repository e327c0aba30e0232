"""What a quarter of a vehicle is made of: two masses, spring, stops, leaf friction, damper, tyre.

Travel counts from rest, compression positive. Everything but the damper and its bush is
measured at the wheel.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf, isnan, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    InputError,
    OutOfRangeError,
    require_above,
    require_at_least,
    require_finite,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "STANDARD_GRAVITY",
    "DamperCurve",
    "QuarterCar",
    "Stop",
    "linear_curve",
    "static_tyre_load",
    "time_step",
]

STANDARD_GRAVITY = 9.80665  # m/s², standard acceleration of free fall, NIST SP 811, exact
_STEP_ANGLE = 0.1  # rad, the highest natural frequency turns by this in one step
_LONGEST_STEP = 1e-3  # s


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperCurve:
    """A force-velocity curve through points, joined by straight lines.

    Below the first and above the last point the outermost line goes on. A smooth curve is
    one with many points.

    Parameters
    ----------
    velocity : tuple of float
        v, rod velocity, positive moving in, rising [m/s], any finite value.
    force : tuple of float
        F, positive against compression, never falling, 0 at rest [N], any finite value.

    Raises
    ------
    InputError
        If there are fewer than two points or the numbers of values differ.
    ConflictError
        If velocities do not rise, forces fall, or the line misses zero force at rest.

    Notes
    -----
    Limits: no hysteresis. The gas force is no part of it: it lifts the vehicle and belongs
    to the spring.

    References
    ----------
    derivation: linear interpolation.

    Examples
    --------
    By hand: halfway between 0 and 300 N, and beyond the end.

    >>> curve = DamperCurve(velocity=(-0.1, 0.0, 0.1), force=(-500.0, 0.0, 300.0))
    >>> [round(curve.at(velocity=v), 6) for v in (0.05, 0.2, -0.2)]
    [150.0, 600.0, -1000.0]
    """

    velocity: tuple[float, ...]
    force: tuple[float, ...]

    def __post_init__(self) -> None:
        """Refuse what is no damper."""
        if len(self.velocity) < 2 or len(self.velocity) != len(self.force):  # noqa: PLR2004
            message = "A damper curve needs two points or more, each with velocity and force."
            raise InputError(message, inputs=("velocity", "force"))
        for v, f in zip(self.velocity, self.force, strict=True):
            require_finite(v, "Velocity of the damper curve", "m/s")
            require_finite(f, "Force of the damper curve", "N")
        points = list(zip(self.velocity, self.force, strict=True))
        for row, ((v, f), (w, g)) in enumerate(pairwise(points), 2):
            if w <= v or g < f:
                what = f"velocity {w:g} m/s" if w <= v else f"force {g:g} N"
                message = (
                    f"Point {row} of the damper curve: {what} does not follow from "
                    f"{v:g} m/s and {f:g} N. Sort by velocity; forces must not fall."
                )
                raise ConflictError(message, inputs=("velocity", "force"))
        at_rest = self.at(velocity=0.0)
        if abs(at_rest) > 1e-9 * max(map(abs, self.force)):
            message = (
                f"The damper curve gives {at_rest:g} N at rest, not 0 N. Take the gas force off "
                "and add the point 0 m/s, 0 N."
            )
            raise ConflictError(message, inputs=("velocity", "force"))

    def at(self, *, velocity: float) -> float:
        """Return the force [N] at a velocity [m/s]."""
        v, f = self.velocity, self.force
        i = 1
        while i < len(v) - 1 and v[i] < velocity:
            i += 1
        return f[i - 1] + (velocity - v[i - 1]) * (f[i] - f[i - 1]) / (v[i] - v[i - 1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A bump or droop stop that stiffens as it is pressed.

    F = k d (1 + d / 2 d₂); its rate k (1 + d/d₂) has doubled at d₂

    Parameters
    ----------
    travel : float
        Wheel travel from rest until it touches [m], ≥ 0.
    stiffness : float
        k, rate at the wheel when it begins to touch [N/m], > 0.
    doubling_depth : float
        d₂, press at which the rate has doubled [m], > 0; inf for a straight spring.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: gives back all energy; rubber keeps some.

    References
    ----------
    common practice: a rate that rises with depth; no source.

    Examples
    --------
    >>> Stop(travel=0.08, stiffness=2e5, doubling_depth=0.01).doubling_depth
    0.01
    """

    travel: float
    stiffness: float
    doubling_depth: float = inf

    def __post_init__(self) -> None:
        """Refuse what is no stop."""
        require_at_least(0.0, self.travel, "Travel to the stop", "m", "From the rest position.")
        require_above(0.0, self.stiffness, "Stiffness of the stop", "N/m")
        _require_above_or_infinite(self.doubling_depth, "Depth of twice the rate", "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarterCar:
    """One corner of a vehicle on its wheel.

    Parameters
    ----------
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.
    unsprung_mass : float
        m_u, mass that moves with the wheel [kg], > 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.
    tyre_rate : float
        k_t, vertical rate of the tyre [N/m], > 0.
    damper : DamperCurve
        Force-velocity curve of the damper at its own rod.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.
    tyre_damping : float
        c_t, of the tyre [N·s/m], ≥ 0.
    bush_rate : float
        K_b, of both bushes of the damper in series with it, along the damper [N/m], > 0;
        inf is a rigid mounting.
    friction : float
        F_f, dry friction of a leaf spring at the wheel, half of its loop's height [N], ≥ 0.
    friction_travel : float
        Wheel travel over which the friction builds up from none [m], > 0.
    bump_stop, droop_stop : Stop or None
        Stops in compression and in rebound; None where there is none.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: one track, vertical motion alone, constant motion ratio, straight-line spring and
    tyre. The spring carries the body at rest, so travel counts from there.

    References
    ----------
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, quarter-car model
        (chapter: value from memory).

    Examples
    --------
    >>> car = QuarterCar(
    ...     sprung_mass=400.0, unsprung_mass=45.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damper=linear_curve(damping=1_500.0))
    >>> round(static_tyre_load(car=car), 3)
    4363.959
    """

    sprung_mass: float
    unsprung_mass: float
    wheel_rate: float
    tyre_rate: float
    damper: DamperCurve
    motion_ratio: float = 1.0
    tyre_damping: float = 0.0
    bush_rate: float = inf
    friction: float = 0.0
    friction_travel: float = 1e-3
    bump_stop: Stop | None = None
    droop_stop: Stop | None = None

    def __post_init__(self) -> None:
        """Refuse what is no vehicle."""
        require_above(0.0, self.sprung_mass, "Sprung mass", "kg", "Leave out wheel, hub and axle.")
        require_above(0.0, self.unsprung_mass, "Unsprung mass", "kg", "Wheel, hub and brake.")
        require_above(0.0, self.wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
        require_above(0.0, self.tyre_rate, "Tyre rate", "N/m", "Load over deflection of the tyre.")
        require_above(0.0, self.motion_ratio, "Motion ratio", "", "Damper over wheel travel.")
        require_at_least(0.0, self.tyre_damping, "Damping of the tyre", "N·s/m")
        _require_above_or_infinite(self.bush_rate, "Stiffness of the bushes", "N/m")
        require_at_least(0.0, self.friction, "Friction force", "N", "Half the height of the loop.")
        require_above(0.0, self.friction_travel, "Travel of the friction", "m")


def linear_curve(*, damping: float) -> DamperCurve:
    """Return the straight curve of a coefficient.

    F = c v

    Parameters
    ----------
    damping : float
        c, at the damper [N·s/m], ≥ 0.

    Returns
    -------
    DamperCurve
        The line through rest.

    Raises
    ------
    OutOfRangeError
        If the coefficient is negative or not a finite number.

    Notes
    -----
    Limits: no real damper is straight; it is the yardstick of those that are not.

    References
    ----------
    derivation: definition of a coefficient.

    Examples
    --------
    >>> linear_curve(damping=1_500.0).at(velocity=2.0)
    3000.0
    """
    require_at_least(0.0, damping, "Damping at the damper", "N·s/m")
    return DamperCurve(velocity=(-1.0, 0.0, 1.0), force=(-damping, 0.0, damping))


def static_tyre_load(*, car: QuarterCar) -> float:
    """Return the load on the tyre at rest.

    F₀ = (m_s + m_u) g

    Parameters
    ----------
    car : QuarterCar
        The corner.

    Returns
    -------
    float
        F₀ [N], > 0.

    Notes
    -----
    Limits: level ground, no load transfer.

    References
    ----------
    derivation: weight of both masses with g = 9.80665 m/s².

    Examples
    --------
    By hand: 500 kg.

    >>> car = QuarterCar(
    ...     sprung_mass=460.0, unsprung_mass=40.0, wheel_rate=3e4, tyre_rate=2e5,
    ...     damper=linear_curve(damping=1_500.0))
    >>> round(static_tyre_load(car=car), 3)
    4903.325
    """
    return (car.sprung_mass + car.unsprung_mass) * STANDARD_GRAVITY


def time_step(*, cars: Sequence[QuarterCar], waves: float = 0.0) -> float:
    """Return the step with which these corners are driven.

    h = min(0.1 rad / ω_max, 1 ms), ω_max = max(√((k_w + k_t + k_stop + F_f/s_f) / m_u), 2 π f)

    The root is the wheel's frequency with everything that can press on it at once.

    Parameters
    ----------
    cars : sequence of QuarterCar
        One corner, or several that are driven together; at least one.
    waves : float
        f, waves of a corrugation that are met in a second [Hz], ≥ 0; 0 for another road.

    Returns
    -------
    float
        h, time step [s], > 0 to 0.001.

    Raises
    ------
    OutOfRangeError
        If there is no corner, or `waves` is below zero.

    Notes
    -----
    Limits: a stop counts with its rate at first touch and may then have stiffened to about
    two hundred times that before the step is too long to be stable.

    References
    ----------
    derivation: leapfrog shifts a frequency by (ω h)²/24 of itself, which is 4e-4 here.

    Examples
    --------
    By hand: √((50 000 + 387 500)/28) = 125 rad/s; 0.1/125.

    >>> car = QuarterCar(
    ...     sprung_mass=400.0, unsprung_mass=28.0, wheel_rate=50_000.0, tyre_rate=387_500.0,
    ...     damper=linear_curve(damping=1_500.0))
    >>> round(time_step(cars=[car]) * 1e3, 9)
    0.8
    """
    require_at_least(1, len(cars), "Number of corners", "")
    require_at_least(0.0, waves, "Waves in a second", "Hz")
    highest = max(2.0 * pi * waves, *map(_highest_frequency, cars))
    return min(_LONGEST_STEP, _STEP_ANGLE / highest)


def _highest_frequency(car: QuarterCar) -> float:
    rate = car.wheel_rate + car.tyre_rate + car.friction / car.friction_travel
    stops = [stop.stiffness for stop in (car.bump_stop, car.droop_stop) if stop]
    return sqrt((rate + max(stops, default=0.0)) / car.unsprung_mass)


def _require_above_or_infinite(value: float, label: str, unit: str) -> None:
    if isnan(value) or value <= 0.0:
        raise OutOfRangeError(label, value, unit, minimum=0.0, minimum_allowed=False)
