"""Laws of one mass on a spring and a damper."""

from __future__ import annotations

from math import cos, exp, isclose, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import OutOfRangeError
from calculators.physics.oscillator import (
    critical_damping,
    damped_frequency,
    damping_for_ratio,
    damping_ratio,
    logarithmic_decrement,
    natural_frequency,
    overshoot,
)
from calculators.physics.settling import (
    release_response,
    settling_time,
    settling_time_envelope,
    step_response,
)

RATES = st.floats(1e3, 1e6)
MASSES = st.floats(10.0, 5e3)
SWINGING = st.floats(0.01, 0.99)
ANY_RATIO = st.floats(0.0, 20.0)


@given(rate=RATES, mass=MASSES, factor=st.floats(0.1, 10.0))
def test_stiffness_and_mass_together_scale_the_critical_damping(
    rate: float, mass: float, factor: float
) -> None:
    one = critical_damping(wheel_rate=rate, sprung_mass=mass)
    more = critical_damping(wheel_rate=factor * rate, sprung_mass=factor * mass)
    assert isclose(more, factor * one, rel_tol=1e-12)
    frequency = natural_frequency(stiffness=rate, mass=mass)
    same = natural_frequency(stiffness=factor * rate, mass=factor * mass)
    assert isclose(same, frequency, rel_tol=1e-12)


@given(rate=RATES, mass=MASSES)
def test_critical_damping_is_twice_mass_times_angular_frequency(rate: float, mass: float) -> None:
    omega = 2.0 * pi * natural_frequency(stiffness=rate, mass=mass)
    critical = critical_damping(wheel_rate=rate, sprung_mass=mass)
    assert isclose(critical, 2.0 * mass * omega, rel_tol=1e-12)


@given(ratio=ANY_RATIO, rate=RATES, mass=MASSES)
def test_a_damping_ratio_comes_back_from_its_damping(
    ratio: float, rate: float, mass: float
) -> None:
    damping = damping_for_ratio(damping_ratio=ratio, wheel_rate=rate, sprung_mass=mass)
    back = damping_ratio(wheel_damping=damping, wheel_rate=rate, sprung_mass=mass)
    assert isclose(back, ratio, rel_tol=1e-12, abs_tol=1e-300)


@given(mass=MASSES, factor=st.floats(1.01, 3.0))
def test_a_load_on_a_coil_spring_lowers_the_damping_ratio(mass: float, factor: float) -> None:
    empty = damping_ratio(wheel_damping=1_500.0, wheel_rate=25_000.0, sprung_mass=mass)
    loaded = damping_ratio(wheel_damping=1_500.0, wheel_rate=25_000.0, sprung_mass=factor * mass)
    assert loaded < empty


@given(ratio=SWINGING)
def test_overshoot_is_the_half_cycle_of_the_decrement(ratio: float) -> None:
    expected = exp(-logarithmic_decrement(damping_ratio=ratio) / 2.0)
    assert isclose(overshoot(damping_ratio=ratio), expected, rel_tol=1e-9)


@given(ratio=st.floats(0.0, 0.9), more=st.floats(0.01, 0.1))
def test_more_damping_overshoots_less_and_swings_slower(ratio: float, more: float) -> None:
    assert overshoot(damping_ratio=ratio + more) < overshoot(damping_ratio=ratio)
    slow = damped_frequency(natural_frequency=1.0, damping_ratio=ratio + more)
    assert slow < damped_frequency(natural_frequency=1.0, damping_ratio=ratio)


@pytest.mark.parametrize("ratio", [1.0, 1.5, 100.0])
def test_nothing_swings_from_critical_damping_on(ratio: float) -> None:
    assert overshoot(damping_ratio=ratio) == 0.0
    assert damped_frequency(natural_frequency=1.0, damping_ratio=ratio) == 0.0
    with pytest.raises(OutOfRangeError, match="nothing swings"):
        logarithmic_decrement(damping_ratio=ratio)
    with pytest.raises(OutOfRangeError, match="nothing swings"):
        settling_time_envelope(natural_frequency=1.0, damping_ratio=ratio)


@given(time=st.floats(0.0, 20.0))
def test_without_damping_the_motion_is_a_cosine(time: float) -> None:
    (value,) = release_response(natural_frequency=0.5, damping_ratio=0.0, times=(time,))
    assert isclose(value, cos(pi * time), abs_tol=1e-9)


@given(tau=st.floats(0.0, 60.0), side=st.sampled_from([-1.0, 1.0]))
def test_the_motion_is_continuous_at_critical_damping(tau: float, side: float) -> None:
    step = 1e-9
    (near,) = release_response(
        natural_frequency=0.5 / pi, damping_ratio=1.0 + side * step, times=(tau,)
    )
    assert isclose(near, (1.0 + tau) * exp(-tau), abs_tol=2.0 * step)


@given(ratio=st.floats(0.9, 1.1), tau=st.floats(0.05, 30.0))
def test_both_forms_of_the_motion_meet_where_they_join(ratio: float, tau: float) -> None:
    # Neighbouring ratios may fall on either side of a join; the motion may not notice.
    values = [
        release_response(natural_frequency=0.5 / pi, damping_ratio=ratio + d, times=(tau,))[0]
        for d in (-1e-7, 0.0, 1e-7)
    ]
    assert abs(values[0] - 2.0 * values[1] + values[2]) < 1e-11


@given(ratio=ANY_RATIO, times=st.lists(st.floats(0.0, 50.0), max_size=5))
def test_a_motion_starts_at_one_and_never_gains_energy(ratio: float, times: list[float]) -> None:
    released = release_response(natural_frequency=1.0, damping_ratio=ratio, times=(0.0, *times))
    assert released[0] == 1.0
    assert all(abs(value) <= 1.0 + 1e-12 for value in released)
    stepped = step_response(natural_frequency=1.0, damping_ratio=ratio, times=(0.0, *times))
    assert all(isclose(a + b, 1.0, abs_tol=1e-12) for a, b in zip(released, stepped, strict=True))


@given(ratio=st.floats(1.0, 50.0), tau=st.floats(0.0, 50.0), later=st.floats(0.0, 50.0))
def test_an_overdamped_body_only_comes_back(ratio: float, tau: float, later: float) -> None:
    first, second = release_response(
        natural_frequency=0.5 / pi, damping_ratio=ratio, times=(tau, tau + later)
    )
    assert 0.0 <= second <= first + 1e-12


@given(ratio=st.floats(0.02, 5.0), band=st.floats(0.005, 0.2))
def test_after_the_settling_time_the_motion_stays_inside(ratio: float, band: float) -> None:
    settled = settling_time(natural_frequency=1.0, damping_ratio=ratio, band=band)
    times = tuple(settled * (1.0 + 1e-9) + index * 0.01 for index in range(400))
    values = release_response(natural_frequency=1.0, damping_ratio=ratio, times=times)
    assert isclose(abs(values[0]), band, rel_tol=1e-5)
    assert max(abs(value) for value in values) <= band * (1.0 + 1e-9)


@given(ratio=SWINGING, frequency=st.floats(0.2, 20.0))
def test_the_envelope_settles_no_earlier_than_the_motion(ratio: float, frequency: float) -> None:
    true = settling_time(natural_frequency=frequency, damping_ratio=ratio)
    envelope = settling_time_envelope(natural_frequency=frequency, damping_ratio=ratio)
    assert true <= envelope * (1.0 + 1e-12)


@given(ratio=st.floats(0.05, 5.0), factor=st.floats(0.1, 10.0))
def test_time_scales_with_the_natural_frequency_alone(ratio: float, factor: float) -> None:
    one = settling_time(natural_frequency=1.0, damping_ratio=ratio)
    other = settling_time(natural_frequency=factor, damping_ratio=ratio)
    assert isclose(other * factor, one, rel_tol=1e-12)


@pytest.mark.parametrize("ratio", [0.0, -0.1, float("inf"), 1_001.0])
def test_a_motion_that_never_settles_is_refused(ratio: float) -> None:
    with pytest.raises(OutOfRangeError, match="Damping ratio"):
        settling_time(natural_frequency=1.0, damping_ratio=ratio)


@pytest.mark.parametrize("band", [0.0, 1.0, float("nan")])
def test_a_band_of_nothing_or_everything_is_refused(band: float) -> None:
    with pytest.raises(OutOfRangeError, match="Settling band"):
        settling_time(natural_frequency=1.0, damping_ratio=0.3, band=band)
