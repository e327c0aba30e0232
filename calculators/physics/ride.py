"""A drive over a road: is the wheel on the ground, what does the body feel, what heats the damper.

`drive` runs a non-linear quarter car over a profile at constant speed; standard library only.
The step is chosen for an error below 0.2 % of rms values and power, and 0.2 percentage points
of the time off the ground, against a fine integration.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise
from operator import mul
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_finite,
)
from calculators.physics._ride_solver import advance, at_rest
from calculators.physics.comfort import LONGEST_INTERVAL, rms, weighted_rms
from calculators.physics.quarter_car import static_tyre_load, time_step

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from calculators.physics._ride_solver import Sample
    from calculators.physics.quarter_car import QuarterCar, Stop
    from calculators.physics.road import Profile

__all__ = ["VELOCITY_BINS", "EnergyAccount", "Ride", "Traces", "drive", "drive_step"]

# m/s, edges of the histogram; the customary bench speeds and their likes, common practice
VELOCITY_BINS = (-2.0, -1.0, -0.52, -0.26, -0.13, -0.05, 0.05, 0.13, 0.26, 0.52, 1.0, 2.0)
_COMFORT_INTERVAL = 1e-3  # s, samples for the weighting
_MOST_STEPS = 1_000_000  # 1, a drive of several minutes; more would fill a page's memory


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyAccount:
    """Where the work of the road went; road = damper + tyre + friction + stored.

    Attributes
    ----------
    road : float
        Work done by the road on the tyre [J].
    damper : float
        Heat in the damper [J], ≥ 0.
    tyre : float
        Heat in the tyre [J].
    friction : float
        Heat in the leaf friction [J], ≥ 0.
    stored : float
        More energy in masses, springs, stops and bush at the end than at the start [J].
    error : float
        What the account does not explain [J].
    """

    road: float
    damper: float
    tyre: float
    friction: float
    stored: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Traces:
    """The ride over time; all tuples have one entry for each instant.

    Attributes
    ----------
    time : tuple of float
        Since the start of the drive [s].
    road, body, wheel : tuple of float
        Heights, body and wheel from their places at rest on level ground [m].
    travel : tuple of float
        Suspension travel, compression positive [m].
    tyre_force : tuple of float
        Load of the tyre on the road [N], ≥ 0.
    body_acceleration : tuple of float
        Upwards [m/s²].
    damper_velocity : tuple of float
        Of the rod, moving in positive, behind the bush [m/s].
    damper_force : tuple of float
        Against compression positive [N].
    """

    time: tuple[float, ...]
    road: tuple[float, ...]
    body: tuple[float, ...]
    wheel: tuple[float, ...]
    travel: tuple[float, ...]
    tyre_force: tuple[float, ...]
    body_acceleration: tuple[float, ...]
    damper_velocity: tuple[float, ...]
    damper_force: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """What a drive came to, over its time after settling.

    Attributes
    ----------
    airborne_share : float
        Share of the time in which the tyre carries nothing [1], 0 to 1.
    load_coefficient : float
        Rms of the tyre load about its static value, over that value [1], ≥ 0.
    static_load : float
        Tyre load at rest [N], > 0.
    body_acceleration : float
        Rms [m/s²], ≥ 0.
    weighted_acceleration : float
        Rms weighted by W_k of ISO 2631-1 [m/s²], ≥ 0.
    travel_compression, travel_rebound : float
        Largest wheel travel from rest in either direction [m], ≥ 0.
    bump_contacts, droop_contacts : int
        How often each stop was touched.
    both_stops_time : float or None
        When the second of the two stops was first touched [s]; None if it never was.
    damper_velocity : float
        Rms of the rod velocity [m/s], ≥ 0.
    peak_compression_velocity, peak_rebound_velocity : float
        Largest rod speed in either direction [m/s], ≥ 0.
    velocity_bins : tuple of float
        Edges of the histogram of the rod velocity [m/s].
    velocity_shares : tuple of float
        Share of the time below the first edge, between each two, and above the last [1],
        0 to 1.
    damper_power : float
        Mean heat flow into the damper [W], ≥ 0.
    energy : EnergyAccount
        The work of the road and where it went.
    traces : Traces
        The ride over time, thinned out.
    step : float
        Time step of the run [s], > 0.
    """

    airborne_share: float
    load_coefficient: float
    static_load: float
    body_acceleration: float
    weighted_acceleration: float
    travel_compression: float
    travel_rebound: float
    bump_contacts: int
    droop_contacts: int
    both_stops_time: float | None
    damper_velocity: float
    peak_compression_velocity: float
    peak_rebound_velocity: float
    velocity_bins: tuple[float, ...]
    velocity_shares: tuple[float, ...]
    damper_power: float
    energy: EnergyAccount
    traces: Traces
    step: float


def drive(
    *,
    car: QuarterCar,
    profile: Profile,
    speed: float,
    duration: float = 10.0,
    settle: float = 2.0,
    step: float | None = None,
    trace_interval: float = 5e-3,
    velocity_bins: Sequence[float] = VELOCITY_BINS,
) -> Ride:
    """Drive a quarter car over a road and say what it did.

    m_s z̈_s = F_spring + F_damper MR, m_u z̈_u = F_tyre − F_spring − F_damper MR − (m_s + m_u) g

    F_tyre = max(0, k_t δ + c_t δ̇) where δ > 0 is the deflection: a tyre pushes and never
    pulls, so a wheel that is thrown up leaves the ground and falls back on it. The vehicle
    starts at rest on the road's first height; figures count from `settle` on.

    Parameters
    ----------
    car : QuarterCar
        The corner.
    profile : Profile
        The road.
    speed : float
        V, driving speed [m/s], > 0.
    duration : float
        Time that counts, after settling [s], > 0.
    settle : float
        Time driven before anything counts [s], ≥ 0.
    step : float or None
        h, time step [s], > 0 to 0.004; None for that of `drive_step`.
    trace_interval : float
        Time between two entries of the traces [s], > 0.
    velocity_bins : sequence of float
        Edges of the histogram of the rod velocity [m/s], any finite value, rising.

    Returns
    -------
    Ride
        The figures.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the run is shorter than two steps or takes more than a million, or the edges do not
        rise.
    NoSolutionError
        If the motion goes wild; the message says when.

    Notes
    -----
    Limits: one wheel, vertical motion, constant speed, tyre touching in a point, no
    hysteresis in the damper but for its bush. In the time off the ground and the peaks,
    the step counts: halve it and compare.

    References
    ----------
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, quarter-car model
        (chapter: value from memory).
    book: D. Cebon, Handbook of Vehicle-Road Interaction, dynamic load coefficient (value
        from memory).
    derivation: leapfrog steps, damper and bush implicit, see `_ride_solver`.

    Examples
    --------
    On a level road nothing moves.

    >>> from calculators.physics.quarter_car import QuarterCar, linear_curve
    >>> from calculators.physics.road import corrugation
    >>> car = QuarterCar(
    ...     sprung_mass=400.0, unsprung_mass=45.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damper=linear_curve(damping=1_500.0))
    >>> level = corrugation(wavelength=1.0, amplitude=0.0)
    >>> ride = drive(car=car, profile=level, speed=10.0, duration=0.5, settle=0.0)
    >>> ride.airborne_share, round(ride.load_coefficient, 12), round(ride.damper_power, 9)
    (0.0, 0.0, 0.0)
    """
    require_above(0.0, speed, "Speed", "m/s")
    require_above(0.0, duration, "Duration", "s")
    require_at_least(0.0, settle, "Time to settle", "s")
    require_above(0.0, trace_interval, "Interval of the traces", "s")
    bins = _checked_bins(velocity_bins)
    h = _checked_step(step, car, profile, speed)
    before, count = round(settle / h), round(duration / h)
    if count < 2:  # noqa: PLR2004
        message = f"The duration ({duration:g} s) is shorter than two steps of {h:g} s."
        raise ConflictError(message, inputs=("duration", "step"))
    if before + count > _MOST_STEPS:
        message = (
            f"The drive takes {before + count} steps of {h:g} s; at most {_MOST_STEPS}. "
            "Shorten it: most figures settle within seconds."
        )
        raise ConflictError(message, inputs=("duration", "settle", "step"))
    heights = profile.heights(places=[speed * h * i for i in range(before + count + 1)])
    heights.insert(0, heights[0])
    state = at_rest(height=heights[0])
    state, _ = advance(car, state, heights[: before + 2], h)
    _, samples = advance(car, state, heights[before:], h, before * h)
    road = heights[before + 1 : -1]
    return _summed_up(car, road, samples, step=h, start=before * h, every=trace_interval, bins=bins)


def drive_step(*, cars: Sequence[QuarterCar], profile: Profile, speed: float) -> float:
    """Return the step that a drive takes by itself.

    It is that of `time_step`, with the waves of a road that repeats.

    Parameters
    ----------
    cars : sequence of QuarterCar
        One corner, or several that are driven together; at least one.
    profile : Profile
        The road.
    speed : float
        V, driving speed, of several the fastest [m/s], > 0.

    Returns
    -------
    float
        h, time step [s], > 0 to 0.001.

    Raises
    ------
    OutOfRangeError
        If there is no corner, or the speed is not above zero.

    References
    ----------
    derivation: leapfrog, bush and damper err by about (2 π f h)², which is 0.01 here, in power by
        less than that.

    Examples
    --------
    By hand: 20 m/s on waves of 0.5 m is 40 Hz; 0.1/(2 π · 40).

    >>> from calculators.physics.quarter_car import QuarterCar, linear_curve
    >>> from calculators.physics.road import corrugation
    >>> car = QuarterCar(
    ...     sprung_mass=400.0, unsprung_mass=45.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damper=linear_curve(damping=1_500.0))
    >>> waves = corrugation(wavelength=0.5, amplitude=0.01)
    >>> round(drive_step(cars=[car], profile=waves, speed=20.0) * 1e3, 6)
    0.397887
    """
    require_above(0.0, speed, "Speed", "m/s")
    length = profile.distance[-1] - profile.distance[0]
    return time_step(cars=cars, waves=speed / length if profile.periodic else 0.0)


def _checked_step(step: float | None, car: QuarterCar, profile: Profile, speed: float) -> float:
    if step is None:
        return drive_step(cars=[car], profile=profile, speed=speed)
    require_above(0.0, step, "Time step", "s")
    if step > LONGEST_INTERVAL:
        message = f"A time step of {step:g} s is too long: at most {LONGEST_INTERVAL:g} s."
        raise ConflictError(message, inputs=("step",))
    return step


def _checked_bins(velocity_bins: Sequence[float]) -> tuple[float, ...]:
    bins = tuple(velocity_bins)
    for edge in bins:
        require_finite(edge, "Edge of the histogram", "m/s")
    if any(b <= a for a, b in pairwise(bins)):
        message = "The edges of the histogram must rise."
        raise ConflictError(message, inputs=("velocity_bins",))
    return bins


def _summed_up(
    car: QuarterCar,
    road: list[float],
    samples: list[Sample],
    *,
    step: float,
    start: float,
    every: float,
    bins: tuple[float, ...],
) -> Ride:
    body, wheel, _, _, pressing, acceleration, rod, damper, _ = zip(*samples, strict=True)
    tyre = [max(force, 0.0) for force in pressing]
    travel = [low - high for low, high in zip(wheel, body, strict=True)]
    load, count = static_tyre_load(car=car), len(tyre)
    bump = _contacts(travel, car.bump_stop)
    droop = _contacts([-x for x in travel], car.droop_stop)
    both = max(bump[0], droop[0]) if bump and droop else None
    fine = max(1, int(_COMFORT_INTERVAL / step))
    thin = max(1, round(every / step))
    return Ride(
        airborne_share=_share_below_zero(pressing),
        load_coefficient=rms(values=[force - load for force in tyre]) / load,
        static_load=load,
        body_acceleration=rms(values=acceleration),
        weighted_acceleration=weighted_rms(acceleration=acceleration[::fine], interval=fine * step),
        travel_compression=max(0.0, *travel),
        travel_rebound=max(0.0, -min(travel)),
        bump_contacts=len(bump),
        droop_contacts=len(droop),
        both_stops_time=None if both is None else start + both * step,
        damper_velocity=rms(values=rod),
        peak_compression_velocity=max(0.0, *rod),
        peak_rebound_velocity=max(0.0, -min(rod)),
        velocity_bins=bins,
        velocity_shares=_shares(rod[::fine], bins),
        damper_power=sum(map(mul, damper, rod)) / count,
        energy=_account(car, road, tyre, samples, step=step),
        traces=Traces(
            time=tuple(start + step * i for i in range(0, count, thin)),
            road=tuple(road[::thin]),
            body=body[::thin],
            wheel=wheel[::thin],
            travel=tuple(travel[::thin]),
            tyre_force=tuple(tyre[::thin]),
            body_acceleration=acceleration[::thin],
            damper_velocity=rod[::thin],
            damper_force=damper[::thin],
        ),
        step=step,
    )


def _share_below_zero(values: Sequence[float]) -> float:
    """Return the share of the way below zero on straight lines between values."""
    if min(values) >= 0.0:
        return 0.0
    below = 0.0
    for a, b in pairwise(values):
        if a < 0.0 or b < 0.0:
            below += max(-a, 0.0, -b) / (abs(a) + abs(b)) if a * b < 0.0 else 1.0
    return below / (len(values) - 1)


def _contacts(travel: Sequence[float], stop: Stop | None) -> list[int]:
    """Return the samples at which a stop begins to be touched."""
    if stop is None or max(travel) <= stop.travel:
        return []
    touched = [False, *(x > stop.travel for x in travel)]
    return [i for i, (before, now) in enumerate(pairwise(touched)) if now and not before]


def _shares(velocities: Iterable[float], bins: tuple[float, ...]) -> tuple[float, ...]:
    counts = [0] * (len(bins) + 1)
    for velocity in velocities:
        counts[bisect_right(bins, velocity)] += 1
    total = sum(counts)
    return tuple(count / total for count in counts)


def _account(
    car: QuarterCar, road: list[float], tyre: list[float], samples: list[Sample], *, step: float
) -> EnergyAccount:
    """Return the works of all forces between first and last sample, by trapezia."""
    sag = static_tyre_load(car=car) / car.tyre_rate
    press = [h - sample.wheel + sag for h, sample in zip(road, samples, strict=True)]
    loss = [f - car.tyre_rate * max(d, 0.0) for f, d in zip(tyre, press, strict=True)]
    powers = [sample.damper * sample.rod_velocity for sample in samples]
    by_road = _work(tyre, road)
    by_damper = step * (sum(powers) - 0.5 * (powers[0] + powers[-1]))
    by_tyre = _work(loss, press)
    by_friction = 0.0
    if car.friction:
        rate = car.friction / car.friction_travel
        friction = [sample.friction for sample in samples]
        travel = [sample.wheel - sample.body for sample in samples]
        by_friction = _work(friction, travel)
        by_friction -= 0.5 * (friction[-1] ** 2 - friction[0] ** 2) / rate
    stored = _energy(car, samples[-1], press[-1]) - _energy(car, samples[0], press[0])
    return EnergyAccount(
        road=by_road,
        damper=by_damper,
        tyre=by_tyre,
        friction=by_friction,
        stored=stored,
        error=by_road - by_damper - by_tyre - by_friction - stored,
    )


def _work(force: list[float], place: list[float]) -> float:
    return sum(
        0.5 * (f + g) * (b - a)
        for (f, g), (a, b) in zip(pairwise(force), pairwise(place), strict=True)
    )


def _energy(car: QuarterCar, sample: Sample, press: float) -> float:
    """Return the energy of masses, springs, stops, friction spring and bush."""
    travel = sample.wheel - sample.body
    energy = 0.5 * car.sprung_mass * sample.body_velocity**2
    energy += 0.5 * car.unsprung_mass * sample.wheel_velocity**2
    # The preload of the spring takes the weight of the body over from the body to the wheel.
    energy += static_tyre_load(car=car) * sample.wheel
    energy += 0.5 * car.wheel_rate * travel**2 + 0.5 * car.tyre_rate * max(press, 0.0) ** 2
    energy += 0.5 * sample.damper**2 / car.bush_rate
    if car.friction:
        energy += 0.5 * sample.friction**2 * car.friction_travel / car.friction
    for stop, x in ((car.bump_stop, travel), (car.droop_stop, -travel)):
        if stop and x > stop.travel:
            depth = x - stop.travel
            energy += stop.stiffness * depth**2 * (0.5 + depth / (6.0 * stop.doubling_depth))
    return energy
