"""Laws of the corner and of round areas."""

from __future__ import annotations

from math import isclose, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.air_spring import air_spring_rate
from calculators.physics.area import annulus_area, circle_area
from calculators.physics.corner import (
    damper_damping,
    friction_damping,
    motion_ratio,
    ride_rate,
    sprung_mass,
    wheel_damping,
    wheel_hop_frequency,
    wheel_mass,
    wheel_rate,
)

RATES = st.floats(1e3, 1e6)
RATIOS = st.floats(0.2, 2.0)
DIAMETERS = st.floats(1e-3, 0.2)


@given(outer=DIAMETERS, share=st.floats(0.0, 0.999))
def test_a_ring_and_its_hole_make_the_full_circle(outer: float, share: float) -> None:
    inner = share * outer
    ring = annulus_area(outer_diameter=outer, inner_diameter=inner)
    assert isclose(ring + circle_area(diameter=inner), circle_area(diameter=outer), rel_tol=1e-12)


@given(diameter=DIAMETERS, factor=st.floats(0.1, 10.0))
def test_an_area_grows_with_the_square_of_the_diameter(diameter: float, factor: float) -> None:
    scaled = circle_area(diameter=factor * diameter)
    assert isclose(scaled, factor**2 * circle_area(diameter=diameter), rel_tol=1e-12)


def test_a_ring_without_width_is_a_conflict() -> None:
    with pytest.raises(ConflictError, match="no ring is left"):
        annulus_area(outer_diameter=0.03, inner_diameter=0.03)


@given(mass=st.floats(10.0, 5e3), share=st.floats(0.01, 0.99))
def test_the_wheels_of_an_axle_carry_all_of_it(mass: float, share: float) -> None:
    left = wheel_mass(axle_mass=mass, share=share)
    right = wheel_mass(axle_mass=mass, share=1.0 - share)
    assert isclose(left + right, mass, rel_tol=1e-12)


@pytest.mark.parametrize("share", [0.0, -0.1, 1.1, float("nan")])
def test_a_share_outside_zero_to_one_is_refused(share: float) -> None:
    with pytest.raises(OutOfRangeError, match="Share of the axle mass"):
        wheel_mass(axle_mass=1_000.0, share=share)


def test_an_unsprung_mass_that_leaves_no_body_is_a_conflict() -> None:
    with pytest.raises(ConflictError, match="Count only the parts"):
        sprung_mass(wheel_mass=60.0, unsprung_mass=60.0)


@given(angle=st.floats(0.0, 1.5), arm=st.floats(0.05, 1.0))
def test_a_leaning_damper_moves_less_whichever_way_it_leans(angle: float, arm: float) -> None:
    upright = motion_ratio(mount_arm=arm, wheel_arm=0.5)
    leaning = motion_ratio(mount_arm=arm, wheel_arm=0.5, angle=angle)
    assert leaning <= upright
    assert leaning == motion_ratio(mount_arm=arm, wheel_arm=0.5, angle=-angle)


def test_a_damper_square_to_its_path_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="does not move"):
        motion_ratio(mount_arm=0.3, wheel_arm=0.5, angle=pi / 2.0)


@given(rate=RATES, ratio=RATIOS)
def test_a_spring_at_the_wheel_keeps_its_rate(rate: float, ratio: float) -> None:
    assert wheel_rate(spring_rate=rate, motion_ratio=1.0) == rate
    seen = wheel_rate(spring_rate=rate, motion_ratio=ratio)
    assert isclose(seen / rate, ratio**2, rel_tol=1e-12)


@given(force=st.floats(0.0, 2e4), gradient=st.floats(0.0, 5.0))
def test_a_ratio_that_grows_with_travel_stiffens_the_wheel(force: float, gradient: float) -> None:
    plain = wheel_rate(spring_rate=3e4, motion_ratio=0.7)
    growing = wheel_rate(
        spring_rate=3e4, motion_ratio=0.7, spring_force=force, motion_ratio_gradient=gradient
    )
    assert growing >= plain


@given(damping=st.floats(0.0, 2e4), ratio=RATIOS)
def test_damping_goes_to_the_wheel_and_back_unchanged(damping: float, ratio: float) -> None:
    there = wheel_damping(damper_damping=damping, motion_ratio=ratio)
    back = damper_damping(wheel_damping=there, motion_ratio=ratio)
    assert isclose(back, damping, rel_tol=1e-12)


@given(first=RATES, second=RATES)
def test_two_springs_in_series_are_softer_than_either(first: float, second: float) -> None:
    together = ride_rate(wheel_rate=first, tyre_rate=second)
    assert together < min(first, second)
    assert isclose(together, ride_rate(wheel_rate=second, tyre_rate=first), rel_tol=1e-12)


def test_a_rigid_tyre_leaves_the_wheel_rate() -> None:
    assert isclose(ride_rate(wheel_rate=28_000.0, tyre_rate=1e18), 28_000.0, rel_tol=1e-12)


@given(rate=RATES, tyre=RATES, mass=st.floats(5.0, 200.0))
def test_four_times_the_unsprung_mass_halves_the_wheel_hop(
    rate: float, tyre: float, mass: float
) -> None:
    light = wheel_hop_frequency(wheel_rate=rate, tyre_rate=tyre, unsprung_mass=mass)
    heavy = wheel_hop_frequency(wheel_rate=rate, tyre_rate=tyre, unsprung_mass=4.0 * mass)
    assert isclose(heavy, light / 2.0, rel_tol=1e-12)


@given(pressure=st.floats(2e5, 1e6), factor=st.floats(1.01, 3.0))
def test_an_air_spring_stiffens_with_its_load(pressure: float, factor: float) -> None:
    soft = air_spring_rate(pressure=pressure, effective_area=0.02, volume=0.01)
    stiff = air_spring_rate(pressure=factor * pressure, effective_area=0.02, volume=0.01)
    assert isclose(stiff, factor * soft, rel_tol=1e-12)


@given(amplitude=st.floats(1e-3, 0.1), factor=st.floats(1.1, 10.0))
def test_friction_damps_small_motion_most(amplitude: float, factor: float) -> None:
    small = friction_damping(friction_force=400.0, angular_frequency=9.0, amplitude=amplitude)
    large = friction_damping(
        friction_force=400.0, angular_frequency=9.0, amplitude=factor * amplitude
    )
    assert isclose(small, factor * large, rel_tol=1e-12)
