"""Laws of the damping target."""

from __future__ import annotations

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import OutOfRangeError
from calculators.physics.target import (
    BENCH_SPEEDS,
    DampingLine,
    damping_line,
    equivalent_damping,
    force_table,
    line_force,
)

LINES = st.builds(
    DampingLine,
    mean_damping=st.floats(100.0, 2e4),
    split=st.floats(0.2, 6.0),
    knee_velocity=st.floats(0.02, 0.6),
    high_speed_ratio=st.floats(0.0, 1.5),
)
SPEEDS = st.floats(0.0, 3.0)


def _signed(line: DampingLine, velocity: float) -> float:
    return line_force(
        velocity=velocity,
        mean_damping=line.mean_damping,
        split=line.split,
        knee_velocity=line.knee_velocity,
        high_speed_ratio=line.high_speed_ratio,
    )


@given(line=LINES)
def test_both_directions_average_to_the_mean_and_keep_the_split(line: DampingLine) -> None:
    both = line.compression_damping + line.rebound_damping
    assert isclose(both, 2.0 * line.mean_damping, rel_tol=1e-12)
    assert isclose(line.rebound_damping, line.split * line.compression_damping, rel_tol=1e-12)


@given(line=LINES, velocity=st.floats(-3.0, 3.0), more=st.floats(0.0, 1.0))
def test_the_force_never_falls_with_velocity_and_always_resists(
    line: DampingLine, velocity: float, more: float
) -> None:
    force = _signed(line, velocity)
    assert force * velocity >= 0.0
    assert _signed(line, velocity + more) >= force - 1e-9 * abs(force)


@given(line=LINES)
def test_the_line_has_no_step_at_its_knee(line: DampingLine) -> None:
    knee = line.knee_velocity
    below = line.force(velocity=knee * (1.0 - 1e-9), direction="rebound")
    above = line.force(velocity=knee * (1.0 + 1e-9), direction="rebound")
    assert isclose(below, above, rel_tol=1e-7)


@given(line=LINES, ratio=st.floats(0.2, 1.5))
def test_wheel_and_damper_share_one_power(line: DampingLine, ratio: float) -> None:
    for row in force_table(line=line, motion_ratio=ratio):
        at_damper = row.rebound_damper * row.velocity_damper
        assert isclose(row.rebound_wheel * row.velocity_wheel, at_damper, rel_tol=1e-12)


def test_the_table_stands_at_the_bench_speeds() -> None:
    line = DampingLine(mean_damping=2e3, split=2.0, knee_velocity=0.2, high_speed_ratio=0.5)
    table = force_table(line=line, motion_ratio=0.8)
    assert tuple(row.velocity_damper for row in table) == BENCH_SPEEDS


@given(line=LINES, speed=SPEEDS)
def test_force_and_signed_force_agree(line: DampingLine, speed: float) -> None:
    assert _signed(line, speed) == line.force(velocity=speed, direction="compression")
    assert _signed(line, -speed) == -line.force(velocity=speed, direction="rebound")


@given(damping=st.floats(100.0, 1e4), ratio=st.floats(0.3, 1.5))
def test_the_line_gives_the_wanted_mean_back_at_the_wheel(damping: float, ratio: float) -> None:
    line = damping_line(
        wheel_damping=damping,
        motion_ratio=ratio,
        split=2.0,
        knee_velocity=0.2,
        high_speed_ratio=0.5,
    )
    row = force_table(line=line, motion_ratio=ratio, velocities=(0.1,))[0]
    mean = (row.compression_wheel + row.rebound_wheel) / 2.0
    assert isclose(mean / row.velocity_wheel, damping, rel_tol=1e-9)


@given(amplitude=st.floats(0.01, 5.0), ratio=st.floats(0.0, 1.0))
def test_equivalent_damping_lies_between_the_two_slopes(amplitude: float, ratio: float) -> None:
    value = equivalent_damping(
        mean_damping=2e3, knee_velocity=0.2, high_speed_ratio=ratio, velocity_amplitude=amplitude
    )
    assert 2e3 * ratio * (1.0 - 1e-12) <= value <= 2e3 * (1.0 + 1e-12)


def test_a_straight_line_is_its_own_equivalent() -> None:
    value = equivalent_damping(
        mean_damping=2e3, knee_velocity=0.2, high_speed_ratio=1.0, velocity_amplitude=0.9
    )
    assert isclose(value, 2e3, rel_tol=1e-12)


@pytest.mark.parametrize("field", ["mean_damping", "split", "knee_velocity"])
def test_a_line_without_size_is_refused(field: str) -> None:
    values = {"mean_damping": 2e3, "split": 2.0, "knee_velocity": 0.2, "high_speed_ratio": 0.5}
    with pytest.raises(OutOfRangeError):
        DampingLine(**{**values, field: 0.0})


def test_a_negative_speed_is_refused_where_the_direction_is_given() -> None:
    line = DampingLine(mean_damping=2e3, split=2.0, knee_velocity=0.2, high_speed_ratio=0.5)
    with pytest.raises(OutOfRangeError, match="The direction is given apart"):
        line.force(velocity=-0.1, direction="rebound")
