"""The quarter car step by step: leapfrog with an implicit damper.

Velocities stand half a step before the places. In each step all forces that follow from
places are computed once; the damper takes the mean of the velocities before and after the
step, so its force F and rod velocity u solve

    u + α F(u) = R,  α = 1/(q K) + β h/2,  R = w* + (4 e₁ − e₂)/(2 h)

with w* the rod-end velocity that the step would reach without the damper, β the rod-end
acceleration for each newton of it, and e the deflection of the bush K by a backward
difference of second order (q = 2h/3); a rigid mounting is 1/K = 0. The left side rises in
straight pieces, so the answer is one look into a table: no iteration, and no limit of the
step from a stiff bush or a steep damper. Springs, tyre, stops and friction are explicit;
their velocities are extrapolated. Second order, and exact in energy but for the kinks.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from calculators.errors import NoSolutionError
from calculators.physics.quarter_car import STANDARD_GRAVITY, static_tyre_load

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.physics.quarter_car import DamperCurve, QuarterCar

__all__ = ["Sample", "State", "advance", "at_rest", "damper_compliance", "implicit_damper"]

_LARGEST_TRAVEL = 10.0  # m, no suspension moves that far: the run has gone wild


class State(NamedTuple):
    """What is carried from step to step; velocities half a step before the places."""

    body: float  # m
    wheel: float  # m
    body_velocity: float  # m/s
    wheel_velocity: float  # m/s
    wheel_acceleration: float  # m/s², of the step before
    travel: float  # m, of the step before
    friction: float  # N
    bush: float  # m, of the step before
    bush_before: float  # m


class Sample(NamedTuple):
    """One instant; all velocities belong to it."""

    body: float
    wheel: float
    body_velocity: float
    wheel_velocity: float
    pressing: float  # the load of the tyre, or below zero how far it is from carrying any
    acceleration: float  # of the body
    rod_velocity: float
    damper: float
    friction: float


def at_rest(*, height: float) -> State:
    """Return the vehicle standing on a road of a height."""
    return State(height, height, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def damper_compliance(car: QuarterCar, step: float) -> float:
    """Return α, rod velocity lost within a step for each newton of the damper."""
    beta = car.motion_ratio**2 * (1.0 / car.sprung_mass + 1.0 / car.unsprung_mass)
    return 1.5 / (step * car.bush_rate) + 0.5 * step * beta


def implicit_damper(
    curve: DamperCurve, compliance: float
) -> tuple[list[float], list[float], list[float]]:
    """Return inner knots in R, and F = a + b R for each piece, of u + α F(u) = R."""
    points = list(zip(curve.velocity, curve.force, strict=True))
    offsets, slopes = [], []
    for (v, f), (w, g) in pairwise(points):
        slope = (g - f) / (w - v)
        slopes.append(slope / (1.0 + compliance * slope))
        offsets.append((f - slope * v) / (1.0 + compliance * slope))
    knots = [v + compliance * f for v, f in points[1:-1]]
    return knots, offsets, slopes


def advance(  # noqa: PLR0915  one step, written out for speed
    car: QuarterCar, state: State, heights: Sequence[float], step: float, start: float = 0.0
) -> tuple[State, list[Sample]]:
    """Drive over road heights at every step; return the last state and all samples.

    The first height lies one step before the first sample and the last height one step
    behind the last sample, so that the road has a velocity at each. `start` is the time of
    the first sample, for the message when the run goes wild.
    """
    m_s, m_u, ratio = car.sprung_mass, car.unsprung_mass, car.motion_ratio
    k_w, k_t, c_t = car.wheel_rate, car.tyre_rate, car.tyre_damping
    limit, k_f = car.friction, car.friction / car.friction_travel
    up, down = car.bump_stop, car.droop_stop
    up_travel = up.travel if up else float("inf")
    down_travel = -down.travel if down else -float("inf")
    up_rate, up_rise = (up.stiffness, 0.5 / up.doubling_depth) if up else (0.0, 0.0)
    down_rate, down_rise = (down.stiffness, 0.5 / down.doubling_depth) if down else (0.0, 0.0)
    g = STANDARD_GRAVITY
    sag = static_tyre_load(car=car) / k_t
    flexibility = 1.0 / car.bush_rate
    alpha = damper_compliance(car, step)
    knots, offsets, slopes = implicit_damper(car.damper, alpha)
    half, per_step = 0.5 * step, 0.5 / step
    body, wheel, v_body, v_wheel, a_wheel, before, friction, bush, bush_before = state
    samples = []
    for i in range(1, len(heights) - 1):
        press = heights[i] - wheel + sag
        pressing = k_t * press
        if press > 0.0:
            road_velocity = (heights[i + 1] - heights[i - 1]) * per_step
            pressing += c_t * (road_velocity - v_wheel - half * a_wheel)
        tyre = max(pressing, 0.0)
        travel = wheel - body
        force = k_w * travel
        if travel > up_travel:
            depth = travel - up_travel
            force += up_rate * depth * (1.0 + up_rise * depth)
        elif travel < down_travel:
            depth = down_travel - travel
            force -= down_rate * depth * (1.0 + down_rise * depth)
        if limit:
            friction = max(-limit, min(limit, friction + k_f * (travel - before)))
            force += friction
            before = travel
        a_body = force / m_s
        a_wheel = (tyre - force - m_s * g) / m_u - g
        right = ratio * (v_wheel - v_body + half * (a_wheel - a_body))
        right += (4.0 * bush - bush_before) * per_step
        j = bisect_right(knots, right)
        damper = offsets[j] + slopes[j] * right
        bush_before, bush = bush, damper * flexibility
        a_body += ratio * damper / m_s
        a_wheel -= ratio * damper / m_u
        samples.append(
            Sample(
                body,
                wheel,
                v_body + half * a_body,
                v_wheel + half * a_wheel,
                pressing,
                a_body,
                right - alpha * damper,
                damper,
                friction,
            )
        )
        v_body += step * a_body
        v_wheel += step * a_wheel
        body += step * v_body
        wheel += step * v_wheel
        if not -_LARGEST_TRAVEL < travel < _LARGEST_TRAVEL:
            message = (
                f"The run went wild: suspension travel {travel:g} m, {start + i * step:.4g} s "
                "after the start. Use a shorter step, or a softer stop."
            )
            raise NoSolutionError(message)
    last = State(body, wheel, v_body, v_wheel, a_wheel, before, friction, bush, bush_before)
    return last, samples
