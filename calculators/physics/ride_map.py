"""Many drives at once: corners side by side over many speeds. This module needs numpy.

The steps are those of `ride`, taken for all cases together. That pays from about ten cases
on; a single drive is faster in plain Python.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from calculators.errors import (
    ConflictError,
    InputError,
    NoSolutionError,
    require_above,
    require_at_least,
)
from calculators.physics._ride_solver import damper_compliance, implicit_damper
from calculators.physics.quarter_car import static_tyre_load
from calculators.physics.ride import drive_step

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from calculators.physics.quarter_car import QuarterCar
    from calculators.physics.road import Profile

    Array = NDArray[np.float64]

__all__ = ["RideMap", "ride_map"]

_CHUNK = 512  # steps between two reports
_LARGEST_TRAVEL = 10.0  # m, no suspension moves that far: the run has gone wild


@dataclass(frozen=True, slots=True, kw_only=True)
class RideMap:
    """Figures of every corner at every speed: `airborne_share[corner][speed]`.

    Attributes
    ----------
    speeds : tuple of float
        Driving speeds [m/s], > 0.
    airborne_share : tuple of tuple of float
        Share of the time in which the tyre carries nothing [1], 0 to 1.
    load_coefficient : tuple of tuple of float
        Rms of the tyre load about its static value, over that value [1], ≥ 0.
    body_acceleration : tuple of tuple of float
        Rms [m/s²], ≥ 0.
    damper_velocity : tuple of tuple of float
        Rms of the rod velocity [m/s], ≥ 0.
    peak_velocity : tuple of tuple of float
        Largest rod velocity, in or out [m/s], ≥ 0.
    damper_power : tuple of tuple of float
        Mean heat flow into the damper [W], ≥ 0.
    step : float
        Time step of the run [s], > 0.
    """

    speeds: tuple[float, ...]
    airborne_share: tuple[tuple[float, ...], ...]
    load_coefficient: tuple[tuple[float, ...], ...]
    body_acceleration: tuple[tuple[float, ...], ...]
    damper_velocity: tuple[tuple[float, ...], ...]
    peak_velocity: tuple[tuple[float, ...], ...]
    damper_power: tuple[tuple[float, ...], ...]
    step: float


def ride_map(
    *,
    cars: Sequence[QuarterCar],
    profile: Profile,
    speeds: Sequence[float],
    duration: float = 5.0,
    settle: float = 1.0,
    step: float | None = None,
    report: Callable[[float], object] | None = None,
) -> RideMap:
    """Drive several corners over one road at several speeds.

    The equations and the steps are those of `ride.drive`.

    Parameters
    ----------
    cars : sequence of QuarterCar
        The corners: loads, dampers, constructions; at least one.
    profile : Profile
        The road.
    speeds : sequence of float
        V, driving speeds [m/s], each > 0; at least one.
    duration : float
        Time that counts, after settling [s], > 0.
    settle : float
        Time driven before anything counts [s], ≥ 0.
    step : float or None
        h, time step of all cases [s], > 0; None for that of
        `drive_step` at the fastest speed.
    report : callable or None
        Called after every 512 steps with the share of the work that is done, 1 of 1; what it
        raises ends the work. None for no reports.

    Returns
    -------
    RideMap
        The figures.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    InputError
        If there is no speed.
    ConflictError
        If the run is shorter than two steps.
    NoSolutionError
        If a case goes wild; the message says which and when.

    Notes
    -----
    Limits: those of `ride.drive`.

    References
    ----------
    derivation: leapfrog steps, damper and bush implicit, see `_ride_solver`.

    Examples
    --------
    >>> from calculators.physics.quarter_car import QuarterCar, linear_curve
    >>> from calculators.physics.road import corrugation
    >>> car = QuarterCar(
    ...     sprung_mass=400.0, unsprung_mass=45.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damper=linear_curve(damping=1_500.0))
    >>> level = corrugation(wavelength=1.0, amplitude=0.0)
    >>> found = ride_map(cars=[car], profile=level, speeds=[5.0, 10.0], duration=0.2, settle=0.0)
    >>> found.airborne_share
    ((0.0, 0.0),)
    """
    if not speeds:
        message = "The map needs a speed."
        raise InputError(message, inputs=("speeds",))
    for speed in speeds:
        require_above(0.0, speed, "Speed", "m/s")
    require_above(0.0, duration, "Duration", "s")
    require_at_least(0.0, settle, "Time to settle", "s")
    h = drive_step(cars=cars, profile=profile, speed=max(speeds)) if step is None else step
    require_above(0.0, h, "Time step", "s")
    before, count = round(settle / h), round(duration / h)
    if count < 2:  # noqa: PLR2004
        message = f"The duration ({duration:g} s) is shorter than two steps of {h:g} s."
        raise ConflictError(message, inputs=("duration", "step"))
    fleet = _Fleet(cars, speeds, profile, h)
    airborne, peak, sums = np.zeros(fleet.size), np.zeros(fleet.size), np.zeros((4, fleet.size))
    total, end = before + count, 0
    while end < total:
        begin, end = end, min(end + _CHUNK, before if end < before else total)
        record = fleet.advance(begin, end)
        if begin >= before:
            airborne += fleet.airborne(record)
            sums += fleet.sums(record)
            peak = np.maximum(peak, np.max(np.abs(record.rod), axis=0))
        if report:
            report(end / total)
    figures = [airborne / (count - 1), *np.sqrt(sums[:3] / count), peak, sums[3] / count]
    return _figures(figures, fleet, speeds)


class _Record(NamedTuple):
    """Steps of a chunk (rows) of all cases (columns)."""

    pressing: Array
    acceleration: Array
    rod: Array
    damper: Array


class _Fleet:
    """All cases side by side, and where they are; see `_ride_solver` for the equations."""

    def __init__(
        self, cars: Sequence[QuarterCar], speeds: Sequence[float], profile: Profile, step: float
    ) -> None:
        cases = [car for car in cars for _ in speeds]
        self.size = len(cases)
        self.speeds, self.repeats, self.step = np.asarray(speeds), len(cars), step
        self.road = _Road(profile)

        def row(values: list[float]) -> Array:
            return np.array(values, dtype=np.float64)

        self.body_mass = row([car.sprung_mass for car in cases])
        self.wheel_mass = row([car.unsprung_mass for car in cases])
        self.ratio = row([car.motion_ratio for car in cases])
        self.wheel_rate = row([car.wheel_rate for car in cases])
        self.tyre_rate = row([car.tyre_rate for car in cases])
        self.tyre_damping = row([car.tyre_damping for car in cases])
        self.load = row([static_tyre_load(car=car) for car in cases])
        self.flexibility = row([1.0 / car.bush_rate for car in cases])
        self.friction_limit = row([car.friction for car in cases])
        self.friction_rate = row([car.friction / car.friction_travel for car in cases])
        self.stops = [
            (
                sign,
                row([stop.travel if stop else inf for stop in stops]),
                row([sign * stop.stiffness if stop else 0.0 for stop in stops]),
                row([0.5 / stop.doubling_depth if stop else 0.0 for stop in stops]),
            )
            for sign, stops in (
                (1.0, [car.bump_stop for car in cases]),
                (-1.0, [car.droop_stop for car in cases]),
            )
            if any(stops)
        ]
        self.alpha = row([damper_compliance(car, step) for car in cases])
        tables = [
            implicit_damper(car.damper, alpha)
            for car, alpha in zip(cases, self.alpha.tolist(), strict=True)
        ]
        most = max(len(slopes) for _, _, slopes in tables)
        self.knots = _padded([knots for knots, _, _ in tables], most - 1, inf)
        self.offsets = _padded([offsets for _, offsets, _ in tables], most, 0.0).ravel()
        self.slopes = _padded([slopes for _, _, slopes in tables], most, 0.0).ravel()
        self.first_piece = np.arange(self.size) * most

        start = np.full(self.size, profile.heights(places=[0.0])[0])
        still = np.zeros(self.size)
        self.places = start, start
        self.velocities = still, still
        self.wheel_acceleration = still
        self.travel, self.friction = still, still
        self.bushes = still, still
        self.last_pressing = np.empty((0, self.size))

    def heights(self, begin: int, end: int) -> Array:
        """Return road heights from one step before to one step behind a range of steps."""
        steps = np.maximum(np.arange(begin - 1, end + 1), 0)
        heights = self.road.heights(np.outer(steps * self.step, self.speeds))
        return np.tile(heights, (1, self.repeats))

    def advance(self, begin: int, end: int) -> _Record:
        """Take the steps of a range and return what happened in them."""
        heights, h = self.heights(begin, end), self.step
        half, per_step = 0.5 * h, 0.5 / h
        weight = self.load / self.wheel_mass  # (m_s + m_u) g / m_u
        body_share, wheel_share = self.ratio / self.body_mass, self.ratio / self.wheel_mass
        sag, any_friction = self.load / self.tyre_rate, bool(np.any(self.friction_limit))
        record = _Record(*np.empty((4, end - begin, self.size)))
        body, wheel = self.places
        v_body, v_wheel = self.velocities
        a_wheel, travel, friction = self.wheel_acceleration, self.travel, self.friction
        bush, bush_before = self.bushes
        for i in range(1, end - begin + 1):
            press = heights[i] - wheel + sag
            road_velocity = (heights[i + 1] - heights[i - 1]) * per_step
            damping = self.tyre_damping * (road_velocity - v_wheel - half * a_wheel)
            pressing = self.tyre_rate * press + np.where(press > 0.0, damping, 0.0)
            tyre = np.maximum(pressing, 0.0)
            travel_before, travel = travel, wheel - body
            force = self.wheel_rate * travel
            for sign, reach, rate, rise in self.stops:
                depth = np.maximum(sign * travel - reach, 0.0)
                force += rate * depth * (1.0 + rise * depth)
            if any_friction:
                friction = friction + self.friction_rate * (travel - travel_before)
                friction = np.clip(friction, -self.friction_limit, self.friction_limit)
                force += friction
            a_body = force / self.body_mass
            a_wheel = (tyre - force) / self.wheel_mass - weight
            right = self.ratio * (v_wheel - v_body + half * (a_wheel - a_body))
            right += (4.0 * bush - bush_before) * per_step
            piece = self.first_piece + (right[:, None] >= self.knots).sum(axis=1)
            damper = self.offsets[piece] + self.slopes[piece] * right
            bush_before, bush = bush, damper * self.flexibility
            a_body += body_share * damper
            a_wheel -= wheel_share * damper
            record.pressing[i - 1] = pressing
            record.acceleration[i - 1] = a_body
            record.rod[i - 1] = right - self.alpha * damper
            record.damper[i - 1] = damper
            v_body = v_body + h * a_body
            v_wheel = v_wheel + h * a_wheel
            body = body + h * v_body
            wheel = wheel + h * v_wheel
        wild = ~(np.abs(travel) < _LARGEST_TRAVEL)
        if np.any(wild):
            case = int(np.argmax(wild))
            corner, speed = divmod(case, len(self.speeds))
            message = (
                f"The run of corner {corner + 1} at {self.speeds[speed]:g} m/s went wild before "
                f"{end * h:g} s. Use a shorter step, or a softer stop."
            )
            raise NoSolutionError(message)
        self.places, self.velocities = (body, wheel), (v_body, v_wheel)
        self.wheel_acceleration, self.travel, self.friction = a_wheel, travel, friction
        self.bushes = bush, bush_before
        return record

    def sums(self, record: _Record) -> Array:
        """Return the sums over the steps that the figures are made of."""
        pressing, acceleration, rod, damper = record
        load = np.maximum(pressing, 0.0) / self.load - 1.0
        return np.array(
            [
                np.sum(load**2, axis=0),
                np.sum(acceleration**2, axis=0),
                np.sum(rod**2, axis=0),
                np.sum(damper * rod, axis=0),
            ]
        )

    def airborne(self, record: _Record) -> Array:
        """Return the number of steps below zero load, on straight lines from sample to sample."""
        pressing = np.vstack([self.last_pressing, record.pressing])
        self.last_pressing = record.pressing[-1:]
        below, above = np.maximum(-pressing, 0.0), np.maximum(pressing, 0.0)
        down, up = below[1:] + below[:-1], above[1:] + above[:-1]
        share = np.divide(down, down + up, out=np.zeros_like(down), where=down > 0.0)
        return np.asarray(np.sum(share, axis=0))


class _Road:
    """A profile for arrays of places."""

    def __init__(self, profile: Profile) -> None:
        self.distance = np.asarray(profile.distance)
        self.height = np.asarray(profile.height)
        self.slope = np.asarray(profile.slope)
        self.periodic = profile.periodic

    def heights(self, places: Array) -> Array:
        first, last = self.distance[0], self.distance[-1]
        if self.periodic:
            s = np.where(places < last, places, first + np.mod(places - first, last - first))
        else:
            s = np.minimum(places, last)
        s = np.maximum(s, first)
        i = np.clip(np.searchsorted(self.distance, s), 1, len(self.distance) - 1)
        step = self.distance[i] - self.distance[i - 1]
        u = (s - self.distance[i - 1]) / step
        low = self.height[i - 1]
        rise = self.height[i] - low
        if not self.slope.size:
            return np.asarray(low + u * rise)
        p, q = self.slope[i - 1] * step, self.slope[i] * step
        return np.asarray(low + u * (p + u * (3.0 * rise - 2.0 * p - q + u * (p + q - 2.0 * rise))))


def _padded(rows: list[list[float]], width: int, value: float) -> Array:
    return np.array([row + [value] * (width - len(row)) for row in rows]).reshape(len(rows), width)


def _figures(figures: list[Array], fleet: _Fleet, speeds: Sequence[float]) -> RideMap:
    shares, load, acceleration, velocity, peak, power = (
        tuple(tuple(row) for row in figure.reshape(fleet.repeats, -1).tolist())
        for figure in figures
    )
    return RideMap(
        speeds=tuple(speeds),
        airborne_share=shares,
        load_coefficient=load,
        body_acceleration=acceleration,
        damper_velocity=velocity,
        peak_velocity=peak,
        damper_power=power,
        step=fleet.step,
    )
