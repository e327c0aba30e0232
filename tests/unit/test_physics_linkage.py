"""Laws of linkages: arms, beams, struts, and whether the damper fits."""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, isclose, pi, sin

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, NoSolutionError, OutOfRangeError
from calculators.physics.corner import motion_ratio
from calculators.physics.installation import bush_use, damper_installation
from calculators.physics.linkage import (
    BeamAxle,
    ElementState,
    Linkage,
    Point,
    Strut,
    TrailingArm,
    element_state,
    travel_table,
)

FEW = settings(max_examples=40)
ARM = TrailingArm(pivot=(0.0, 0.0), wheel=(-0.55, -0.12))
STRUT = Strut(pivot=(0.0, 0.0), joint=(0.36, -0.04), top=(0.27, 0.55), wheel=(0.46, 0.02))
CASES: dict[str, tuple[Linkage, Point, Point]] = {
    "arm": (ARM, (-0.38, -0.05), (-0.22, 0.36)),
    "beam": (BeamAxle(), (0.5, 0.0), (0.2, 0.4)),
    "strut": (STRUT, (0.36, -0.04), (0.27, 0.55)),
    "spring beside a strut": (STRUT, (0.32, 0.15), (0.26, 0.5)),
}
NAMES = st.sampled_from(sorted(CASES))
TRAVELS = st.floats(-0.08, 0.08)


def _state(name: str, travel: float) -> ElementState:
    linkage, moving, fixed = CASES[name]
    return element_state(linkage=linkage, moving=moving, fixed=fixed, travel=travel)


@FEW
@given(name=NAMES, travel=TRAVELS)
def test_the_ratio_is_the_slope_of_the_length(name: str, travel: float) -> None:
    step = 1e-5
    low, here, high = (_state(name, travel + i * step) for i in (-1, 0, 1))
    assert isclose(here.motion_ratio, (low.length - high.length) / (2 * step), abs_tol=1e-7)
    slope = (high.motion_ratio - low.motion_ratio) / (2 * step)
    assert isclose(here.motion_ratio_gradient, slope, abs_tol=1e-5)


@pytest.mark.parametrize("name", sorted(CASES))
def test_at_static_height_all_is_as_drawn(name: str) -> None:
    _, moving, fixed = CASES[name]
    state = _state(name, 0.0)
    assert isclose(state.length, hypot(fixed[0] - moving[0], fixed[1] - moving[1]))
    assert state.twist_fixed == 0.0
    assert isclose(state.twist_moving, 0.0, abs_tol=1e-15)


@FEW
@given(travel=st.floats(-0.2, 0.2), scale=st.floats(0.1, 0.9))
def test_a_parallel_linkage_has_a_constant_ratio(travel: float, scale: float) -> None:
    """A damper that always stands upright above its mount moves in proportion."""
    upright = element_state(linkage=BeamAxle(), moving=(0.4, 0.0), fixed=(0.4, 0.6), travel=travel)
    assert upright.motion_ratio == 1.0
    assert upright.motion_ratio_gradient == 0.0
    arm = TrailingArm(pivot=(0.0, 0.0), wheel=(1.0, 0.0))
    far = element_state(linkage=arm, moving=(scale, 0.0), fixed=(scale, 1e7), travel=travel)
    assert isclose(far.motion_ratio, scale, rel_tol=1e-6)
    assert isclose(far.motion_ratio_gradient, 0.0, abs_tol=1e-6)


@FEW
@given(mount=st.floats(0.1, 0.9), angle=st.floats(-1.0, 1.0))
def test_near_static_height_a_level_arm_has_the_lever_ratio(mount: float, angle: float) -> None:
    arm = TrailingArm(pivot=(0.0, 0.0), wheel=(1.0, 0.0))
    top = (mount + 0.4 * sin(angle), 0.4 * cos(angle))
    state = element_state(linkage=arm, moving=(mount, 0.0), fixed=top, travel=0.0)
    lever = motion_ratio(mount_arm=mount, wheel_arm=1.0, angle=angle)
    assert isclose(state.motion_ratio, lever, rel_tol=1e-12)
    assert isclose(state.lean, angle, abs_tol=1e-12)


@FEW
@given(name=NAMES, travel=TRAVELS, shift=st.floats(-5.0, 5.0))
def test_moving_the_whole_drawing_or_mirroring_it_changes_no_ratio(
    name: str, travel: float, shift: float
) -> None:
    linkage, moving, fixed = CASES[name]

    def changed(point: Point) -> Point:
        return shift - point[0], point[1] + shift

    match linkage:
        case TrailingArm(pivot, wheel):
            other: Linkage = TrailingArm(changed(pivot), changed(wheel))
        case Strut(pivot, joint, top, wheel):
            other = Strut(changed(pivot), changed(joint), changed(top), changed(wheel))
        case _:
            other = linkage
    state = element_state(
        linkage=other, moving=changed(moving), fixed=changed(fixed), travel=travel
    )
    usual = _state(name, travel)
    assert isclose(state.motion_ratio, usual.motion_ratio, rel_tol=1e-9)
    assert isclose(state.lean, -usual.lean, abs_tol=1e-9)
    assert isclose(state.twist_moving, -usual.twist_moving, abs_tol=1e-9)


@FEW
@given(travel=TRAVELS)
def test_a_mount_at_the_wheel_rises_with_the_wheel(travel: float) -> None:
    for linkage in (ARM, STRUT):
        high = (linkage.wheel[0], linkage.wheel[1] + 1e6)
        state = element_state(linkage=linkage, moving=linkage.wheel, fixed=high, travel=travel)
        assert isclose(state.motion_ratio, 1.0, rel_tol=1e-5)


def test_a_strut_does_not_turn_against_its_carrier() -> None:
    for travel in (-0.06, 0.07):
        state = _state("strut", travel)
        assert isclose(state.twist_moving, 0.0, abs_tol=1e-12)
        assert state.twist_fixed != 0.0


def test_the_bush_on_the_arm_takes_the_turn_of_arm_and_damper() -> None:
    arm = TrailingArm(pivot=(0.0, 0.0), wheel=(0.6, 0.0))
    state = element_state(linkage=arm, moving=(0.3, 0.0), fixed=(0.3, 1e6), travel=0.3)
    assert isclose(state.twist_fixed, 0.0, abs_tol=1e-6)
    assert isclose(state.twist_moving, -pi / 6.0, abs_tol=1e-6)  # derivation: sin 30° = 0.3/0.6


def test_a_travel_beyond_reach_has_no_answer() -> None:
    with pytest.raises(NoSolutionError, match="can't reach"):
        element_state(linkage=ARM, moving=(-0.3, 0.0), fixed=(-0.3, 0.4), travel=0.9)
    with pytest.raises(NoSolutionError, match="can't reach"):
        element_state(linkage=STRUT, moving=STRUT.joint, fixed=STRUT.top, travel=1.5)


def test_points_that_must_differ_are_told() -> None:
    with pytest.raises(ConflictError, match="same point"):
        element_state(linkage=BeamAxle(), moving=(0.1, 0.1), fixed=(0.1, 0.1), travel=0.0)
    with pytest.raises(ConflictError, match="pivot"):
        element_state(
            linkage=TrailingArm((0.0, 0.0), (0.0, 0.4)), moving=(0.0, 0.2), fixed=(0.2, 0.4),
            travel=0.0,
        )  # fmt: skip
    with pytest.raises(ConflictError, match="different points"):
        element_state(
            linkage=replace(STRUT, joint=STRUT.pivot), moving=(0.2, 0.1), fixed=(0.2, 0.4),
            travel=0.0,
        )  # fmt: skip
    with pytest.raises(ConflictError, match="at least one"):
        travel_table(linkage=BeamAxle(), moving=(0.0, 0.0), fixed=(0.0, 0.4), travels=())
    with pytest.raises(OutOfRangeError, match="Coordinate"):
        element_state(linkage=BeamAxle(), moving=(0.0, float("nan")), fixed=(0.0, 1.0), travel=0.0)


@FEW
@given(closed=st.floats(0.25, 0.4), stroke=st.floats(0.1, 0.3))
def test_margins_and_needs_of_an_installed_damper_add_up(closed: float, stroke: float) -> None:
    linkage, moving, fixed = CASES["arm"]
    fit = damper_installation(
        linkage=linkage,
        moving=moving,
        fixed=fixed,
        bump_travel=0.1,
        droop_travel=0.1,
        closed_length=closed,
        extended_length=closed + stroke,
    )
    assert isclose(fit.stroke_needed + fit.margin_closed + fit.margin_extended, stroke)
    assert isclose(fit.dead_length + fit.stroke, closed)
    assert fit.stop_ends_travel == (fit.margin_closed >= 0.005)
    assert fit.reaches_droop == (fit.margin_extended >= 0.005)
    assert fit.one_way
    assume(abs(fit.margin_closed) > 1e-9)
    if fit.margin_closed >= 0.0 and fit.margin_extended >= 0.0:
        assert fit.dead_length <= fit.dead_length_allowed + 1e-12


def test_a_damper_past_its_dead_centre_is_told() -> None:
    fit = damper_installation(
        linkage=BeamAxle(),
        moving=(0.4, 0.0),
        fixed=(0.1, 0.05),
        bump_travel=0.1,
        droop_travel=0.1,
        closed_length=0.2,
        extended_length=0.4,
    )
    assert not fit.one_way


def test_exchanged_lengths_are_told() -> None:
    linkage, moving, fixed = CASES["beam"]
    with pytest.raises(ConflictError, match="exchanged"):
        damper_installation(
            linkage=linkage,
            moving=moving,
            fixed=fixed,
            bump_travel=0.1,
            droop_travel=0.1,
            closed_length=0.6,
            extended_length=0.4,
        )


@FEW
@given(angles=st.lists(st.floats(-0.5, 0.5), min_size=1, max_size=6).map(tuple))
def test_the_best_preset_of_a_bush_is_never_worse(angles: tuple[float, ...]) -> None:
    plain = bush_use(angles=angles, limit=0.26)
    best = bush_use(angles=angles, limit=0.26, preset=plain.best_preset)
    assert best.largest <= plain.largest + 1e-12
    assert plain.within == (plain.largest <= 0.26)
    with pytest.raises(ConflictError, match="at least one"):
        bush_use(angles=(), limit=0.26)
