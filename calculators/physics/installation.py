"""Whether a damper fits between bump and droop, and whether its bushes follow."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_finite,
)
from calculators.physics.linkage import Linkage, Point, travel_table

__all__ = ["BushUse", "Installation", "bush_use", "damper_installation"]

STEPS = 40  # positions looked at between droop and bump


@dataclass(frozen=True, slots=True)
class Installation:
    """A damper of known closed and extended length in its linkage.

    Attributes
    ----------
    shortest : float
        least distance of the mounts over the travel [m].
    longest : float
        largest distance of the mounts over the travel [m].
    stroke_needed : float
        their difference [m].
    stroke : float
        of the damper: extended less closed length [m].
    dead_length : float
        closed length less stroke: eyes, piston, guide, gas [m].
    dead_length_allowed : float
        most that a damper with exactly the stroke needed may have [m].
    margin_closed : float
        stroke left when the bump stop ends the travel [m].
    margin_extended : float
        stroke left at full droop [m].
    motion_ratio_least : float
        smallest motion ratio over the travel [1].
    motion_ratio_largest : float
        largest motion ratio over the travel [1].
    stop_ends_travel : bool
        Whether the bump stop, not the damper, ends the travel, with the reserve.
    reaches_droop : bool
        Whether the damper still has the reserve at full droop; if not, it is what
        the axle hangs on.
    one_way : bool
        Whether the damper shortens all the way from droop to bump.
    """

    shortest: float
    longest: float
    stroke_needed: float
    stroke: float
    dead_length: float
    dead_length_allowed: float
    margin_closed: float
    margin_extended: float
    motion_ratio_least: float
    motion_ratio_largest: float
    stop_ends_travel: bool
    reaches_droop: bool
    one_way: bool


@dataclass(frozen=True, slots=True)
class BushUse:
    """How far a bush turns over the travel, against what it may.

    Attributes
    ----------
    largest : float
        largest turn from its free position, either way [rad].
    share : float
        of the limit [1].
    best_preset : float
        turn at static height that would share the travel evenly [rad].
    within : bool
        Whether the limit is kept.
    """

    largest: float
    share: float
    best_preset: float
    within: bool


def damper_installation(
    *,
    linkage: Linkage,
    moving: Point,
    fixed: Point,
    bump_travel: float,
    droop_travel: float,
    closed_length: float,
    extended_length: float,
    reserve: float = 0.005,
) -> Installation:
    """Return whether a damper has room from full droop to the compressed bump stop.

    margin_closed = L_min − L_closed,   margin_extended = L_extended − L_max,
    dead length = L_closed − (L_extended − L_closed)

    A damper that closes before the stop is squeezed is hit like a hammer: rod,
    valves and mounts break. The stop must end the travel.

    Parameters
    ----------
    linkage : Linkage
        Trailing arm, beam axle or strut.
    moving : Point
        mount on arm, axle or carrier, at static height [m], any.
    fixed : Point
        mount on the body [m], any.
    bump_travel : float
        upward wheel travel until the stop is squeezed solid [m], > 0.
    droop_travel : float
        downward wheel travel until strap, spring or stop holds the wheel [m], ≥ 0.
    closed_length : float
        of the damper between its mounts, metal to metal [m], > 0.
    extended_length : float
        of the damper, pulled out [m], > closed_length.
    reserve : float
        stroke that shall be left at both ends, 5 mm or more (common practice) [m], ≥ 0.

    Returns
    -------
    Installation
        Lengths, margins and verdicts.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the damper's lengths are exchanged, or two points coincide.
    NoSolutionError
        If the linkage can't reach the travel.

    Notes
    -----
    Limits: rigid bushes; give the travel with the stop squeezed as far as the worst
    load squeezes it. The travel is looked at in forty steps.

    References
    ----------
    derivation: lengths of `element_state`.
    common practice: the reserve.

    Examples
    --------
    An upright damper on a beam axle, 0.5 m between the mounts, wheel 80 mm up.

    >>> from calculators.physics.linkage import BeamAxle
    >>> fit = damper_installation(
    ...     linkage=BeamAxle(), moving=(0.4, 0.0), fixed=(0.4, 0.5), bump_travel=0.08,
    ...     droop_travel=0.1, closed_length=0.4, extended_length=0.62)
    >>> round(fit.margin_closed, 6), round(fit.margin_extended, 6), fit.stop_ends_travel
    (0.02, 0.02, True)
    """
    require_above(0.0, bump_travel, "Bump travel", "m", "To the squeezed stop.")
    require_at_least(0.0, droop_travel, "Droop travel", "m", "Downwards, as a positive number.")
    require_above(0.0, closed_length, "Closed length", "m")
    require_finite(extended_length, "Extended length", "m")
    require_at_least(0.0, reserve, "Reserve", "m", "5 mm or more.")
    if extended_length <= closed_length:
        message = (
            f"The extended length ({extended_length:g} m) must be above the closed length "
            f"({closed_length:g} m). Have the two been exchanged?"
        )
        raise ConflictError(message, inputs=("closed_length", "extended_length"))
    range_of_travel = bump_travel + droop_travel
    travels = tuple(range_of_travel * i / STEPS - droop_travel for i in range(STEPS + 1))
    states = travel_table(linkage=linkage, moving=moving, fixed=fixed, travels=travels)
    shortest = min(state.length for state in states)
    longest = max(state.length for state in states)
    ratios = [state.motion_ratio for state in states]
    stroke = extended_length - closed_length
    return Installation(
        shortest=shortest,
        longest=longest,
        stroke_needed=longest - shortest,
        stroke=stroke,
        dead_length=closed_length - stroke,
        dead_length_allowed=2.0 * shortest - longest,
        margin_closed=shortest - closed_length,
        margin_extended=extended_length - longest,
        motion_ratio_least=min(ratios),
        motion_ratio_largest=max(ratios),
        stop_ends_travel=shortest - closed_length >= reserve,
        reaches_droop=extended_length - longest >= reserve,
        one_way=min(ratios) > 0.0,
    )


def bush_use(*, angles: tuple[float, ...], limit: float, preset: float = 0.0) -> BushUse:
    """Return how much of its permitted angle a bush uses over the travel.

    share = max |angle − preset| / limit

    Rubber that is bonded to both sleeves twists instead of sliding. It is clamped
    at static height, not on the stand with the wheel hanging, or it starts twisted.

    Parameters
    ----------
    angles : tuple of float
        turns since static height, `twist_fixed` or `twist_moving` of the travel table
        [rad], any, at least one.
    limit : float
        permitted angle: twist if the bolt lies across the plane of the linkage, cone
        if it lies in the plane [rad], > 0.
    preset : float
        turn at which the bush is free [rad], any finite value; zero: clamped at static
        height.

    Returns
    -------
    BushUse
        Largest turn, share of the limit, best preset.

    Raises
    ------
    OutOfRangeError
        If a number is not finite or the limit not above zero.
    ConflictError
        If no angle is given.

    Notes
    -----
    Limits: one angle alone; twist, cone and radial load together wear more. The
    maker of the bush says what it permits; ±15° of twist and ±5° of cone are usual
    for bonded rubber eyes (common practice).

    References
    ----------
    derivation: largest distance from the free position.
    common practice: the permitted angles.

    Examples
    --------
    By hand: 0.2 of 0.25.

    >>> bush_use(angles=(-0.1, 0.0, 0.2), limit=0.25).share
    0.8
    """
    if not angles:
        message = "No angle was given; give at least one."
        raise ConflictError(message, inputs=("angles",))
    for angle in angles:
        require_finite(angle, "Angle of the bush", "rad")
    require_above(0.0, limit, "Permitted angle", "rad", "The maker of the bush says it.")
    require_finite(preset, "Free position", "rad")
    largest = max(abs(angle - preset) for angle in angles)
    return BushUse(
        largest=largest,
        share=largest / limit,
        best_preset=0.5 * (min(angles) + max(angles)),
        within=largest <= limit,
    )
