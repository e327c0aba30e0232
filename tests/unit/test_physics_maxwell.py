"""Laws of a spring in series with a dashpot."""

from __future__ import annotations

from math import cos, exp, inf, isclose, pi, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import OutOfRangeError
from calculators.physics.maxwell import (
    effective_damping,
    energy_per_cycle,
    force_phase,
    loss_stiffness,
    lost_force_share,
    lost_stroke,
    oil_spring_stiffness,
    response,
    storage_stiffness,
    time_constant,
)

stiffness = st.floats(1e4, 1e8)
damping = st.floats(10.0, 1e5)
frequency = st.floats(0.01, 200.0)


@given(frequency, stiffness, damping)
def test_the_tangent_of_the_phase_is_damping_over_stiffness(f: float, k: float, c: float) -> None:
    phase = force_phase(frequency=f, stiffness=k, damping=c)
    assert isclose(tan(phase), 2.0 * pi * f * c / k, rel_tol=1e-7)


@given(frequency, stiffness, damping)
def test_the_lost_share_is_one_less_the_cosine_of_the_phase(f: float, k: float, c: float) -> None:
    share = lost_force_share(frequency=f, stiffness=k, damping=c)
    assert isclose(
        share, 1.0 - cos(force_phase(frequency=f, stiffness=k, damping=c)), abs_tol=1e-12
    )


@given(frequency, stiffness, damping)
def test_loss_stiffness_is_frequency_times_effective_damping(f: float, k: float, c: float) -> None:
    loss = loss_stiffness(frequency=f, stiffness=k, damping=c)
    effective = effective_damping(frequency=f, stiffness=k, damping=c)
    assert isclose(loss, 2.0 * pi * f * effective, rel_tol=1e-12)


@given(frequency, stiffness, damping)
def test_loss_is_never_above_half_the_spring(f: float, k: float, c: float) -> None:
    assert loss_stiffness(frequency=f, stiffness=k, damping=c) <= 0.5 * k * (1.0 + 1e-12)


@given(frequency, stiffness, damping)
def test_storage_and_loss_lie_on_a_circle_over_the_spring(f: float, k: float, c: float) -> None:
    storage = storage_stiffness(frequency=f, stiffness=k, damping=c)
    loss = loss_stiffness(frequency=f, stiffness=k, damping=c)
    assert isclose(storage**2 + loss**2, k * storage, rel_tol=1e-9)


@given(frequency, damping)
def test_a_very_stiff_mounting_leaves_the_dashpot_alone(f: float, c: float) -> None:
    assert isclose(effective_damping(frequency=f, stiffness=1e15, damping=c), c, rel_tol=1e-9)
    assert lost_force_share(frequency=f, stiffness=1e15, damping=c) < 1e-9


@given(frequency, stiffness, damping)
def test_a_softer_mounting_takes_more_force_away(f: float, k: float, c: float) -> None:
    softer = lost_force_share(frequency=f, stiffness=0.5 * k, damping=c)
    assert softer > lost_force_share(frequency=f, stiffness=k, damping=c)


@given(frequency, st.floats(1e-4, 0.2), stiffness, damping)
def test_energy_grows_with_the_square_of_the_stroke(f: float, x: float, k: float, c: float) -> None:
    one = energy_per_cycle(frequency=f, amplitude=x, stiffness=k, damping=c)
    two = energy_per_cycle(frequency=f, amplitude=2.0 * x, stiffness=k, damping=c)
    assert isclose(two, 4.0 * one, rel_tol=1e-12)


@given(st.floats(0.01, 3.0), stiffness, damping, st.floats(0.0, 0.99))
def test_the_force_has_arrived_after_the_lost_stroke(
    v: float, k: float, c: float, share: float
) -> None:
    lost = lost_stroke(velocity=v, stiffness=k, damping=c, force_share=share)
    elapsed = lost / v / time_constant(stiffness=k, damping=c)
    assert isclose(1.0 - 2.0 * exp(-elapsed), share, abs_tol=1e-9)


@given(st.floats(0.01, 3.0), stiffness, damping)
def test_a_larger_share_takes_more_travel(v: float, k: float, c: float) -> None:
    early = lost_stroke(velocity=v, stiffness=k, damping=c, force_share=0.5)
    assert early < lost_stroke(velocity=v, stiffness=k, damping=c, force_share=0.9)


def test_a_response_repeats_the_single_functions() -> None:
    result = response(frequencies=(1.0, 10.0), stiffness=1e6, damping=5e3)
    assert result.frequency == (1.0, 10.0)
    assert result.phase[1] == force_phase(frequency=10.0, stiffness=1e6, damping=5e3)
    assert result.effective_damping[1] == effective_damping(
        frequency=10.0, stiffness=1e6, damping=5e3
    )
    assert result.storage_stiffness[1] == storage_stiffness(
        frequency=10.0, stiffness=1e6, damping=5e3
    )
    assert result.loss_stiffness[1] == loss_stiffness(frequency=10.0, stiffness=1e6, damping=5e3)
    assert result.lost_force_share[1] == lost_force_share(
        frequency=10.0, stiffness=1e6, damping=5e3
    )


def test_twice_the_piston_area_is_four_times_the_oil_spring() -> None:
    one = oil_spring_stiffness(bulk_modulus=1.5e9, area=1e-3, volume=2e-4)
    two = oil_spring_stiffness(bulk_modulus=1.5e9, area=2e-3, volume=2e-4)
    assert isclose(two, 4.0 * one, rel_tol=1e-12)


@pytest.mark.parametrize("share", [-0.1, 1.0, float("nan")])
def test_a_share_that_never_arrives_is_refused(share: float) -> None:
    with pytest.raises(OutOfRangeError, match="Share of the steady force"):
        lost_stroke(velocity=0.2, stiffness=1e6, damping=5e3, force_share=share)


@pytest.mark.parametrize("value", [0.0, -1.0, inf])
def test_a_spring_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="Stiffness in series"):
        time_constant(stiffness=value, damping=5e3)
