"""Laws of rods, bolts and clevises."""

from __future__ import annotations

from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.bolt import (
    bolt_strength,
    slip_force,
    stress_area,
    torque_for_preload,
    torque_preload,
)
from calculators.physics.clevis import clevis_stress
from calculators.physics.column import column_load, rod_stress

FEW = settings(max_examples=40)
DIAMETERS = st.floats(0.008, 0.04)
LENGTHS = st.floats(0.05, 1.5)


@FEW
@given(diameter=DIAMETERS, length=LENGTHS, more=st.floats(0.001, 0.3))
def test_a_longer_rod_carries_less_and_never_more_than_its_yield(
    diameter: float, length: float, more: float
) -> None:
    short = column_load(diameter=diameter, length=length, yield_strength=400e6)
    long = column_load(diameter=diameter, length=length + more, yield_strength=400e6)
    assert long.critical_force < short.critical_force
    assert short.critical_stress < 400e6


@FEW
@given(strength=st.floats(2e8, 1.2e9), diameter=DIAMETERS)
def test_euler_and_johnson_meet_at_half_the_yield_strength(
    strength: float, diameter: float
) -> None:
    probe = column_load(diameter=diameter, length=1.0, yield_strength=strength)
    length = probe.slenderness_transition * diameter / 4.0
    for factor, regime in ((1.0 + 1e-9, "euler"), (1.0 - 1e-9, "johnson")):
        load = column_load(diameter=diameter, length=factor * length, yield_strength=strength)
        assert load.regime == regime
        assert isclose(load.critical_stress, 0.5 * strength, rel_tol=1e-8)


def test_a_fixed_end_helps_as_a_shorter_rod_would() -> None:
    fixed = column_load(diameter=0.02, length=1.0, yield_strength=400e6, end_factor=0.7)
    short = column_load(diameter=0.02, length=0.7, yield_strength=400e6)
    assert isclose(fixed.critical_force, short.critical_force)
    assert isclose(fixed.safety(fixed.critical_force / 3.0), 3.0)


def test_a_hollow_rod_is_stiffer_for_its_section() -> None:
    solid = column_load(diameter=0.02, length=1.0, yield_strength=400e6)
    hollow = column_load(diameter=0.02, length=1.0, yield_strength=400e6, bore_diameter=0.014)
    assert hollow.critical_stress > solid.critical_stress
    assert hollow.critical_force < solid.critical_force
    with pytest.raises(ConflictError, match="leaves nothing"):
        column_load(diameter=0.02, length=1.0, yield_strength=400e6, bore_diameter=0.02)
    with pytest.raises(OutOfRangeError, match="End factor"):
        column_load(diameter=0.02, length=1.0, yield_strength=400e6, end_factor=0.2)


@FEW
@given(force=st.floats(-5e4, 5e4), moment=st.floats(-200.0, 200.0))
def test_bending_adds_on_the_worse_side(force: float, moment: float) -> None:
    stress = rod_stress(
        diameter=0.02, axial_force=force, bending_moment=moment, yield_strength=400e6
    )
    turned = rod_stress(
        diameter=0.02, axial_force=-force, bending_moment=-moment, yield_strength=400e6
    )
    assert stress.largest == turned.largest == abs(stress.axial) + stress.bending
    assert isclose(stress.use, stress.largest / 400e6)


@FEW
@given(preload=st.floats(1e3, 2e5), diameter=DIAMETERS, factor=st.floats(0.1, 0.3))
def test_the_preload_comes_back_from_its_torque(
    preload: float, diameter: float, factor: float
) -> None:
    torque = torque_for_preload(preload=preload, diameter=diameter, nut_factor=factor)
    back = torque_preload(torque=torque, diameter=diameter, nut_factor=factor)
    assert isclose(back.mean, preload, rel_tol=1e-12)
    assert back.least < back.mean < back.most
    exact = torque_preload(torque=torque, diameter=diameter, nut_factor=factor, scatter=0.0)
    assert exact.least == exact.mean == exact.most


@FEW
@given(diameter=st.floats(0.006, 0.03), part=st.floats(0.05, 0.2))
def test_a_finer_thread_leaves_more_section_but_never_all(diameter: float, part: float) -> None:
    coarse = stress_area(diameter=diameter, pitch=part * diameter)
    fine = stress_area(diameter=diameter, pitch=0.8 * part * diameter)
    assert coarse < fine < 0.7854 * diameter**2


def test_a_higher_class_bears_more() -> None:
    loads = [
        bolt_strength(diameter=0.012, pitch=0.00175, property_class=name).proof_load
        for name in ("8.8", "10.9", "12.9")
    ]
    assert loads == sorted(loads)


def test_unknown_classes_and_threads_without_a_core_are_refused() -> None:
    with pytest.raises(ConflictError, match="not known"):
        bolt_strength(diameter=0.012, pitch=0.00175, property_class="9.9")  # type: ignore[arg-type]  # on purpose
    with pytest.raises(ConflictError, match="no core"):
        stress_area(diameter=0.005, pitch=0.006)
    with pytest.raises(OutOfRangeError, match="Bolt diameter"):
        bolt_strength(diameter=0.5, pitch=0.002, property_class="8.8")


def test_more_faces_hold_more() -> None:
    one = slip_force(preload=3e4, friction=0.15, faces=1)
    assert isclose(slip_force(preload=3e4, friction=0.15), 2.0 * one)


@FEW
@given(force=st.floats(-5e4, 5e4), factor=st.floats(1.1, 3.0))
def test_stresses_of_a_clevis_follow_force_and_size(force: float, factor: float) -> None:
    def stress(force: float, scale: float) -> tuple[float, ...]:
        found = clevis_stress(
            force=force,
            bolt_diameter=0.012 * scale,
            eye_width=0.032 * scale,
            cheek_thickness=0.005 * scale,
        )
        return found.shear, found.bearing_eye, found.bearing_fork, found.bending

    usual = stress(force, 1.0)
    assert stress(-force, 1.0) == usual
    for more, larger, one in zip(
        stress(factor * force, 1.0), stress(force, factor), usual, strict=True
    ):
        assert isclose(more, factor * one, rel_tol=1e-9, abs_tol=1e-9)
        assert isclose(larger, one / factor**2, rel_tol=1e-9, abs_tol=1e-9)
