"""The quarter car again, as differential equations of their own, by scipy.integrate.solve_ivp.

The core takes fixed leapfrog steps from rest. Here heights count from the unloaded springs,
gravity is a force, the rod is a place of its own between bush and damper, and a method with
step control integrates to a tight tolerance; figures come from fine samples.
"""

from __future__ import annotations

import json
from bisect import bisect
from functools import cache
from math import inf
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicHermiteSpline

from calculators.physics.roughness import random_profile

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    Record = Mapping[str, Any]
    Series = NDArray[np.float64]
    Place = Callable[[Any], Any]

_G = 9.80665  # m/s², NIST SP 811
_SAMPLE = 2e-4  # s
_FAR = 100.0  # m/s, where the outermost lines of a damper curve are sampled


class Run(NamedTuple):
    """Fine samples of the time that counts, and works since its beginning."""

    tyre: Series
    acceleration: Series
    rod: Series
    damper: Series
    travel: Series
    road_work: float


def _road(road: Record) -> tuple[Place, Place]:
    """Return height and slope of a road over the distance."""
    kind = road["class"].rpartition(".")[2]
    if kind == "corrugation":
        a, q = road["amplitude"], 2.0 * np.pi / road["wavelength"]
        return lambda s: a * np.sin(q * s), lambda s: a * q * np.cos(q * s)
    if kind == "bump":
        start, length, top = road["approach"], road["length"], road["height"]

        def inside(s: Any) -> Any:  # noqa: ANN401  float or array
            return np.clip((s - start) / length, 0.0, 1.0)

        return (
            lambda s: 0.5 * top * (1.0 - np.cos(2.0 * np.pi * inside(s))),
            lambda s: np.pi * top / length * np.sin(2.0 * np.pi * inside(s)),
        )
    # A random road is an input: its points are taken over, and joined by scipy.
    data = random_profile(**{name: value for name, value in road.items() if name != "class"})
    spline = CubicHermiteSpline(data.distance, data.height, data.slope)
    return spline, spline.derivative()


def _curve(damper: Record) -> tuple[Series, Series]:
    """Return the points of a damper curve, with the outermost lines made long."""
    v, f = np.array(damper["velocity"]), np.array(damper["force"])
    first, last = (f[1] - f[0]) / (v[1] - v[0]), (f[-1] - f[-2]) / (v[-1] - v[-2])
    return (
        np.concatenate([[-_FAR], v, [_FAR]]),
        np.concatenate([[f[0] + first * (-_FAR - v[0])], f, [f[-1] + last * (_FAR - v[-1])]]),
    )


def _stop_force(stop: Record | None, travel: float) -> float:
    if stop is None or travel <= stop["travel"]:
        return 0.0
    depth = float(travel - stop["travel"])
    return float(stop["stiffness"] * (depth + depth**2 / (2.0 * stop.get("doubling_depth", inf))))


def _line(x: Series, y: Series) -> Callable[[float], float]:
    """Return straight lines between points, for one number at a time."""
    places, slopes = x.tolist(), (np.diff(y) / np.diff(x)).tolist()
    values = y.tolist()

    def value(at: float) -> float:
        i = min(max(bisect(places, at) - 1, 0), len(slopes) - 1)
        return float(values[i] + slopes[i] * (at - places[i]))

    return value


def _integrate(car: Record, road: Record, speed: float, duration: float, settle: float) -> Run:
    m_s, m_u = car["sprung_mass"], car["unsprung_mass"]
    k_w, k_t, c_t = car["wheel_rate"], car["tyre_rate"], car.get("tyre_damping", 0.0)
    ratio, bush = car.get("motion_ratio", 1.0), car.get("bush_rate", inf)
    limit, reach = car.get("friction", 0.0), car.get("friction_travel", 1e-3)
    height, slope = _road(road)
    force_of, velocity_of = _line(*_curve(car["damper"])), _line(*_curve(car["damper"])[::-1])
    squeezed = m_s * _G / k_w  # travel of the spring under the body

    def parts(t: float, state: Sequence[float]) -> tuple[float, ...]:
        """Return tyre force, both accelerations, damper force and rod velocity."""
        body, wheel, v_body, v_wheel, rod, rub = state
        press = float(height(speed * t)) - wheel
        tyre = 0.0
        if press > 0.0:
            tyre = k_t * press
            if c_t:
                tyre = max(tyre + c_t * (speed * float(slope(speed * t)) - v_wheel), 0.0)
        squeeze = wheel - body
        spring = k_w * squeeze + rub
        spring += _stop_force(car.get("bump_stop"), squeeze - squeezed)
        spring -= _stop_force(car.get("droop_stop"), squeezed - squeeze)
        if bush == inf:
            rod_velocity = ratio * (v_wheel - v_body)
            force = force_of(rod_velocity)
        else:
            force = bush * (ratio * (squeeze - squeezed) - rod)
            rod_velocity = velocity_of(force)
        on_body = spring + ratio * force
        return tyre, on_body / m_s - _G, (tyre - on_body) / m_u - _G, force, rod_velocity

    def rates(t: float, state: Series) -> list[float]:
        now = state.tolist()
        _, a_body, a_wheel, _, rod_velocity = parts(t, now)
        rate = now[3] - now[2]
        sliding = abs(now[5]) >= limit and now[5] * rate > 0.0
        rubbing = limit / reach * rate if limit and not sliding else 0.0
        return [now[2], now[3], a_body, a_wheel, rod_velocity, rubbing]

    low = float(height(0.0)) - (m_s + m_u) * _G / k_t
    end = settle + duration
    times = np.arange(round(settle / _SAMPLE), round(end / _SAMPLE) + 1) * _SAMPLE
    solved = solve_ivp(
        rates,
        (0.0, float(times[-1])),
        [low - squeezed, low, 0.0, 0.0, 0.0, 0.0],
        method="RK45",
        rtol=1e-6,
        atol=[1e-8, 1e-8, 1e-6, 1e-6, 1e-8, 1e-2],
        t_eval=times,
        max_step=1e-3,
    )
    found = np.array(
        [parts(t, y) for t, y in zip(times.tolist(), solved.y.T.tolist(), strict=True)]
    )
    tyre, acceleration, _, force, rod_velocity = found.T
    work = float(np.trapezoid(tyre, height(speed * times)))
    travel = solved.y[1] - solved.y[0] - squeezed
    return Run(tyre, acceleration, rod_velocity, force, travel, work)


@cache
def _run(car: str, road: str, speed: float, duration: float, settle: float) -> Run:
    return _integrate(json.loads(car), json.loads(road), speed, duration, settle)


def figure(  # noqa: PLR0911  one line for each figure
    name: str, car: Record, road: Record, speed: float, duration: float, settle: float
) -> float:
    """Return one figure of a drive."""
    run = _run(json.dumps(car), json.dumps(road), speed, duration, settle)
    load = (car["sprung_mass"] + car["unsprung_mass"]) * _G
    match name:
        case "airborne_share":
            return float(np.mean(run.tyre == 0.0))
        case "load_coefficient":
            return float(np.sqrt(np.mean((run.tyre / load - 1.0) ** 2)))
        case "body_acceleration":
            return float(np.sqrt(np.mean(run.acceleration**2)))
        case "damper_velocity":
            return float(np.sqrt(np.mean(run.rod**2)))
        case "damper_power":
            return float(np.mean(run.damper * run.rod))
        case "travel_compression":
            return float(np.max(run.travel))
        case "road_work":
            return run.road_work
    message = f"no figure {name}"
    raise ValueError(message)
