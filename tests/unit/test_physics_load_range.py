"""Laws of the empty and the loaded vehicle, and of bounce and pitch."""

from __future__ import annotations

from math import hypot, inf, isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError
from calculators.physics.load_range import air_load_range, coil_load_range, leaf_load_range
from calculators.physics.oscillator import natural_frequency
from calculators.physics.trailer import coupled_frequency, pitch_bounce, wheelbase_filter

FEW = settings(max_examples=40)
MASSES = st.floats(150.0, 900.0)
HEAVIER = st.floats(1.1, 3.0)


@FEW
@given(mass=MASSES, factor=HEAVIER)
def test_load_on_a_coil_slows_and_undamps_alike(mass: float, factor: float) -> None:
    light, heavy = coil_load_range(
        sprung_masses=(mass, factor * mass), wheel_rate=28e3, wheel_damping=1_800.0
    )
    assert isclose(light.frequency / heavy.frequency, factor**0.5, rel_tol=1e-12)
    assert isclose(light.damping_ratio / heavy.damping_ratio, factor**0.5, rel_tol=1e-12)


@FEW
@given(mass=MASSES, factor=HEAVIER)
def test_an_air_spring_changes_less_than_a_coil(mass: float, factor: float) -> None:
    masses = (mass, factor * mass)
    light, heavy = air_load_range(
        sprung_masses=masses, effective_area=0.02, volume=0.006, damper_damping=1_800.0
    )
    assert 1.0 <= light.frequency / heavy.frequency < factor**0.5
    assert 1.0 <= light.damping_ratio / heavy.damping_ratio < factor
    assert light.pressure is not None
    assert heavy.pressure is not None
    assert heavy.pressure > light.pressure


@FEW
@given(mass=MASSES, factor=HEAVIER)
def test_in_a_vacuum_an_air_spring_keeps_its_frequency(mass: float, factor: float) -> None:
    light, heavy = air_load_range(
        sprung_masses=(mass, factor * mass),
        effective_area=0.02,
        volume=0.006,
        damper_damping=1_800.0,
        pressure_ambient=1e-9,
    )
    assert isclose(light.frequency, heavy.frequency, rel_tol=1e-9)


@FEW
@given(mass=MASSES, friction=st.floats(0.01, 0.05))
def test_friction_damps_small_motion_more_than_large(mass: float, friction: float) -> None:
    def ratio(amplitude: float) -> float:
        (state,) = leaf_load_range(
            sprung_masses=(mass,),
            wheel_rate=40e3,
            wheel_damping=1_000.0,
            friction_share=friction,
            amplitude=amplitude,
        )
        return state.damping_ratio

    (coil,) = coil_load_range(sprung_masses=(mass,), wheel_rate=40e3, wheel_damping=1_000.0)
    assert ratio(0.02) > ratio(0.05) > coil.damping_ratio


def test_leaves_that_stick_are_told() -> None:
    with pytest.raises(ConflictError, match="stick"):
        leaf_load_range(
            sprung_masses=(800.0,),
            wheel_rate=40e3,
            wheel_damping=1_000.0,
            friction_share=0.1,
            amplitude=0.01,
        )
    with pytest.raises(ConflictError, match="No mass"):
        coil_load_range(sprung_masses=(), wheel_rate=40e3, wheel_damping=1_000.0)


SUPPORTS = st.lists(
    st.tuples(st.floats(-3.0, 3.0), st.floats(1e4, 1e5)), min_size=2, max_size=4
).filter(lambda s: max(x for x, _ in s) - min(x for x, _ in s) > 0.2)


@FEW
@given(supports=SUPPORTS, mass=st.floats(500.0, 3e3), inertia=st.floats(300.0, 8e3))
def test_the_nodes_of_both_modes_are_conjugate(
    supports: list[tuple[float, float]], mass: float, inertia: float
) -> None:
    modes = pitch_bounce(sprung_mass=mass, pitch_inertia=inertia, supports=tuple(supports))
    assert modes.slow.frequency <= modes.fast.frequency
    assert abs(modes.coupling) < 1.0
    # derivation: orthogonal modes have x₁ x₂ = −J/m
    if abs(modes.fast.node) > 1e-6 and abs(modes.slow.node) < 1e6:
        assert isclose(modes.slow.node * modes.fast.node, -inertia / mass, rel_tol=1e-6)


def test_a_symmetric_body_bounces_and_pitches_apart() -> None:
    modes = pitch_bounce(
        sprung_mass=1_000.0, pitch_inertia=500.0, supports=((1.0, 2e4), (-1.0, 2e4))
    )
    assert modes.coupling == 0.0
    assert modes.slow.node == inf
    assert modes.fast.node == 0.0
    same = natural_frequency(stiffness=4e4, mass=1_000.0)
    assert isclose(modes.slow.frequency, same, rel_tol=1e-12)


def test_a_hard_coupling_leaves_the_mode_about_it() -> None:
    modes = pitch_bounce(
        sprung_mass=1_450.0, pitch_inertia=2_600.0, supports=((2.1, 1e11), (-0.2, 56e3))
    )
    about = coupled_frequency(
        sprung_mass=1_450.0, pitch_inertia=2_600.0, coupling_distance=2.1, axles=((2.3, 56e3),)
    )
    assert isclose(modes.slow.frequency, about, rel_tol=1e-4)
    assert isclose(modes.slow.node, 2.1, rel_tol=1e-4)


def test_one_spring_does_not_hold_a_body_up() -> None:
    with pytest.raises(ConflictError, match="hold the body up"):
        pitch_bounce(sprung_mass=1_000.0, pitch_inertia=1_000.0, supports=((0.4, 5e4),))
    with pytest.raises(ConflictError, match="No axle"):
        coupled_frequency(
            sprung_mass=1_000.0, pitch_inertia=1_000.0, coupling_distance=2.0, axles=()
        )


@FEW
@given(wheelbase=st.floats(0.0, 3.0), wavelength=st.floats(0.3, 30.0))
def test_bounce_and_pitch_share_the_road_between_them(wheelbase: float, wavelength: float) -> None:
    share = wheelbase_filter(wheelbase=wheelbase, wavelength=wavelength)
    assert isclose(hypot(share.bounce, share.pitch), 1.0, rel_tol=1e-12)
