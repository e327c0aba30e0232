"""Suspension linkages in two dimensions: how damper and spring move with the wheel.

A point is (x, y) in metres, y upwards, drawn with the wheel at its static height, in
the plane of the linkage: from the side for a trailing arm, from behind for a beam
axle or a strut. Wheel travel z is upwards from there, compression of the suspension.
"""

from __future__ import annotations

from cmath import phase, rect
from dataclasses import dataclass
from math import asin, atan2, copysign
from typing import TypeAlias

from calculators.errors import ConflictError, NoSolutionError, require_finite

__all__ = [
    "BeamAxle",
    "ElementState",
    "Linkage",
    "Point",
    "Strut",
    "TrailingArm",
    "element_state",
    "travel_table",
]

Point: TypeAlias = tuple[float, float]

_CLOSE = 1e-13  # m, end of the search for the arm's angle
_MOST_STEPS = 60
_LEAST_LEVER = 1e-9  # m, a lever shorter than this is a dead centre


@dataclass(frozen=True, slots=True)
class TrailingArm:
    """An arm that carries the wheel and turns about a pivot on the body.

    Also a swing axle or lower wishbone seen from behind, or a beam axle of which one
    wheel stays down: its pivot is then the other wheel's contact with the road.

    Attributes
    ----------
    pivot : Point
        bush on the body [m], any.
    wheel : Point
        wheel centre [m], any.
    """

    pivot: Point
    wheel: Point


@dataclass(frozen=True, slots=True)
class BeamAxle:
    """A beam that moves straight up and down, both wheels alike."""


@dataclass(frozen=True, slots=True)
class Strut:
    """A damper that also guides the wheel: fixed to the wheel carrier, pivoted on top.

    Its lower end moves with a control arm; carrier and strut turn as one.

    Attributes
    ----------
    pivot : Point
        bush of the control arm on the body [m], any.
    joint : Point
        ball joint between control arm and carrier, lower end of the strut's axis [m],
        any.
    top : Point
        upper mount on the body [m], any.
    wheel : Point
        wheel centre [m], any.
    """

    pivot: Point
    joint: Point
    top: Point
    wheel: Point


Linkage: TypeAlias = TrailingArm | BeamAxle | Strut


@dataclass(frozen=True, slots=True)
class ElementState:
    """Damper or spring at one wheel travel.

    Attributes
    ----------
    travel : float
        wheel travel, up positive [m].
    length : float
        distance of the two mounts [m].
    motion_ratio : float
        shortening over wheel travel, at this point [1].
    motion_ratio_gradient : float
        its change with wheel travel [1/m].
    lean : float
        angle of the axis from upright, positive if the top leans to +x [rad].
    twist_fixed : float
        turn of the axis against the body since static height, which is what a bush
        on the body takes [rad].
    twist_moving : float
        turn of the axis against arm or carrier since static height, which is what
        a bush there takes [rad].
    """

    travel: float
    length: float
    motion_ratio: float
    motion_ratio_gradient: float
    lean: float
    twist_fixed: float
    twist_moving: float


@dataclass(frozen=True, slots=True)
class _Motion:
    """A rigid part at one travel: where a point of it is, and its two derivatives by z."""

    origin: complex  # the part's reference point as drawn
    place: complex  # where that point is now
    turn: float  # angle turned since static height
    place_1: complex
    place_2: complex
    turn_1: float
    turn_2: float

    def point(self, drawn: complex) -> tuple[complex, complex, complex]:
        """Return place, first and second derivative of a point of the part."""
        arm = (drawn - self.origin) * _unit(self.turn)
        first = self.place_1 + 1j * arm * self.turn_1
        second = self.place_2 + arm * (1j * self.turn_2 - self.turn_1**2)
        return self.place + arm, first, second


def element_state(*, linkage: Linkage, moving: Point, fixed: Point, travel: float) -> ElementState:
    """Return length, motion ratio and angles of a damper or spring at a wheel travel.

    MR = −dL/dz,   dMR/dz = −d²L/dz²   (exact derivatives)

    The motion ratio changes as the wheel moves; `corner.wheel_rate` takes both values.
    A ratio that falls towards full bump makes the suspension soft where it should be
    hard.

    Parameters
    ----------
    linkage : Linkage
        Trailing arm, beam axle or strut.
    moving : Point
        mount on arm, axle or carrier, at static height [m], any.
    fixed : Point
        mount on the body [m], any.
    travel : float
        z, wheel travel, up positive [m], within reach of the arm.

    Returns
    -------
    ElementState
        Length, ratio, its gradient, lean and twist of the bushes.

    Raises
    ------
    OutOfRangeError
        If a number is not finite.
    ConflictError
        If two points coincide that must not.
    NoSolutionError
        If the arm can't reach that travel.

    Notes
    -----
    Limits: rigid parts and points, one plane; a damper that also leans out of the
    plane has a ratio smaller by the cosine of that lean. Ask about the damper of a
    strut with moving = joint and fixed = top.

    References
    ----------
    derivation: position of a turning rigid part and its first two derivatives.

    Examples
    --------
    An upright damper half-way along a level arm: MR = 0.3/0.6.

    >>> arm = TrailingArm(pivot=(0.0, 0.0), wheel=(0.6, 0.0))
    >>> state = element_state(linkage=arm, moving=(0.3, 0.0), fixed=(0.3, 0.4), travel=0.0)
    >>> state.motion_ratio
    0.5
    """
    for point in (moving, fixed):
        _require_point(point)
    require_finite(travel, "Wheel travel", "m")
    part = _motion(linkage, travel)
    place, place_1, place_2 = part.point(complex(*moving))
    axis = complex(*fixed) - place
    length = abs(axis)
    if length < _LEAST_LEVER:
        message = "Both mounts are at the same point. Check their coordinates."
        raise ConflictError(message, inputs=("moving", "fixed"))
    along = axis / length
    inward, across = _parts(place_1, along)
    shortening_2 = _parts(place_2, along)[0] - across**2 / length
    turned = phase(axis / (complex(*fixed) - complex(*moving)))
    return ElementState(
        travel=travel,
        length=length,
        motion_ratio=inward,
        motion_ratio_gradient=shortening_2,
        lean=atan2(axis.real, axis.imag),
        twist_fixed=turned,
        twist_moving=phase(_unit(turned - part.turn)),
    )


def travel_table(
    *, linkage: Linkage, moving: Point, fixed: Point, travels: tuple[float, ...]
) -> tuple[ElementState, ...]:
    """Return the states of a damper or spring over a list of wheel travels.

    element_state at each travel

    Parameters
    ----------
    linkage : Linkage
        Trailing arm, beam axle or strut.
    moving : Point
        mount on arm, axle or carrier, at static height [m], any.
    fixed : Point
        mount on the body [m], any.
    travels : tuple of float
        wheel travels, up positive [m], within reach of the arm.

    Returns
    -------
    tuple of ElementState
        In the order of the travels.

    Raises
    ------
    OutOfRangeError
        If a number is not finite.
    ConflictError
        If no travel is given, or two points coincide that must not.
    NoSolutionError
        If the arm can't reach a travel.

    Notes
    -----
    Limits: those of `element_state`.

    References
    ----------
    derivation: as in `element_state`.

    Examples
    --------
    An upright damper on a beam axle follows the wheel.

    >>> table = travel_table(
    ...     linkage=BeamAxle(), moving=(0.4, 0.0), fixed=(0.4, 0.5), travels=(-0.1, 0.0, 0.1))
    >>> [round(state.length, 6) for state in table]
    [0.6, 0.5, 0.4]
    """
    if not travels:
        message = "No wheel travel was given; give at least one."
        raise ConflictError(message, inputs=("travels",))
    return tuple(
        element_state(linkage=linkage, moving=moving, fixed=fixed, travel=travel)
        for travel in travels
    )


def _motion(linkage: Linkage, travel: float) -> _Motion:
    match linkage:
        case BeamAxle():
            return _Motion(0j, 1j * travel, 0.0, 1j, 0j, 0.0, 0.0)
        case TrailingArm():
            return _arm_motion(linkage, travel)
        case Strut():
            return _strut_motion(linkage, travel)


def _arm_motion(linkage: TrailingArm, travel: float) -> _Motion:
    _require_point(linkage.pivot)
    _require_point(linkage.wheel)
    pivot = complex(*linkage.pivot)
    arm = complex(*linkage.wheel) - pivot
    if abs(arm.real) < _LEAST_LEVER:
        message = "The wheel must not stand right above or below the pivot of its arm."
        raise ConflictError(message, inputs=("pivot", "wheel"))
    height = (arm.imag + travel) / abs(arm)
    if abs(height) >= 1.0:
        message = (
            f"The arm ({abs(arm):.4g} m) can't reach a wheel travel of {travel:g} m. "
            "Check the travel and the coordinates."
        )
        raise NoSolutionError(message)
    side = copysign(1.0, arm.real)
    turn = side * (asin(height) - asin(arm.imag / abs(arm)))
    now = arm * _unit(turn)
    turn_1 = 1.0 / now.real
    return _Motion(pivot, pivot, turn, 0j, 0j, turn_1, now.imag * turn_1**3)


def _strut_motion(linkage: Strut, travel: float) -> _Motion:
    for point in (linkage.pivot, linkage.joint, linkage.top, linkage.wheel):
        _require_point(point)
    pivot, joint, top = (complex(*p) for p in (linkage.pivot, linkage.joint, linkage.top))
    arm, axis, wheel = joint - pivot, top - joint, complex(*linkage.wheel) - joint
    if min(abs(arm), abs(axis)) < _LEAST_LEVER:
        message = "The ends of control arm and strut must be different points."
        raise ConflictError(message, inputs=("pivot", "joint", "top"))
    angle = 0.0
    for _ in range(_MOST_STEPS):
        arm_now = arm * _unit(angle)
        axis_now = top - pivot - arm_now
        # derivatives by the angle of the control arm
        joint_1, joint_2 = 1j * arm_now, -arm_now
        rate = -joint_1 / axis_now
        turn, turn_1 = phase(axis_now / axis), rate.imag
        turn_2 = (-joint_2 / axis_now - rate * rate).imag
        wheel_now = wheel * _unit(turn)
        rise = (arm_now - arm + wheel_now - wheel).imag
        rise_1 = (joint_1 + 1j * wheel_now * turn_1).imag
        rise_2 = (joint_2 + wheel_now * (1j * turn_2 - turn_1**2)).imag
        if abs(rise_1) < _LEAST_LEVER:
            break
        step = (travel - rise) / rise_1
        if abs(step) * abs(arm) <= _CLOSE:
            by_z, by_z_2 = 1.0 / rise_1, -rise_2 / rise_1**3
            return _Motion(
                origin=joint,
                place=pivot + arm_now,
                turn=turn,
                place_1=joint_1 * by_z,
                place_2=joint_2 * by_z**2 + joint_1 * by_z_2,
                turn_1=turn_1 * by_z,
                turn_2=turn_2 * by_z**2 + turn_1 * by_z_2,
            )
        angle += max(-0.3, min(0.3, step))
    message = (
        f"The strut can't reach a wheel travel of {travel:g} m. "
        "Check the travel and the coordinates."
    )
    raise NoSolutionError(message)


def _unit(angle: float) -> complex:
    """Return the unit vector at an angle from the x axis."""
    return rect(1.0, angle)


def _parts(vector: complex, along: complex) -> tuple[float, float]:
    """Return the parts of a vector along a unit vector and across it."""
    turned = vector * along.conjugate()
    return turned.real, turned.imag


def _require_point(point: Point) -> None:
    for value in point:
        require_finite(value, "Coordinate", "m")
