"""The damping target: a mean coefficient, a split, a knee, and the forces that follow.

The line is straight up to the knee and flatter beyond it. The mean coefficient
holds below the knee.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, pi, sqrt
from typing import TYPE_CHECKING, Literal

from calculators.errors import require_above, require_at_least, require_finite

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "BENCH_SPEEDS",
    "DampingLine",
    "ForceRow",
    "damping_line",
    "equivalent_damping",
    "force_table",
    "line_force",
]

# m/s, rod speeds at which dampers are customarily compared; common practice
BENCH_SPEEDS: tuple[float, ...] = (0.05, 0.1, 0.13, 0.26, 0.39, 0.52, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DampingLine:
    """A target force-velocity line of two straight pieces for each direction.

    Below the knee c_c + c_r = 2 c and c_r / c_c = split; above it the slope is
    `high_speed_ratio` times the one below.

    Parameters
    ----------
    mean_damping : float
        c, mean of compression and rebound below the knee, at the damper [N·s/m],
        > 0.
    split : float
        c_r / c_c, rebound over compression coefficient [1], > 0; 1 is even.
    knee_velocity : float
        v_k, rod speed at which the line bends [m/s], > 0.
    high_speed_ratio : float
        Slope above the knee over slope below it [1], ≥ 0; 1 is a straight line.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a target, not a model: no hysteresis, no gas force, no temperature.

    References
    ----------
    derivation: two conditions, c_c + c_r = 2 c and c_r = split · c_c.

    Examples
    --------
    By hand: c_c = 2 · 2 000 / (1 + 3).

    >>> line = DampingLine(
    ...     mean_damping=2_000.0, split=3.0, knee_velocity=0.25, high_speed_ratio=0.5)
    >>> line.compression_damping, line.rebound_damping
    (1000.0, 3000.0)
    >>> line.force(velocity=0.5, direction="rebound")
    1125.0
    """

    mean_damping: float
    split: float
    knee_velocity: float
    high_speed_ratio: float

    def __post_init__(self) -> None:
        """Refuse a line that cannot be."""
        require_above(0.0, self.mean_damping, "Mean damping", "N·s/m")
        advice = "Rebound over compression; 1 is even."
        require_above(0.0, self.split, "Rebound/compression split", "", advice)
        require_above(0.0, self.knee_velocity, "Knee velocity", "m/s")
        advice = "Slope above the knee over slope below it; 0 is flat, 1 straight."
        require_at_least(0.0, self.high_speed_ratio, "High-speed slope ratio", "", advice)

    @property
    def compression_damping(self) -> float:
        """Compression coefficient below the knee, at the damper [N·s/m]."""
        return 2.0 * self.mean_damping / (1.0 + self.split)

    @property
    def rebound_damping(self) -> float:
        """Rebound coefficient below the knee, at the damper [N·s/m]."""
        return self.split * self.compression_damping

    def force(self, *, velocity: float, direction: Literal["compression", "rebound"]) -> float:
        """Return the size of the damper force [N] at a rod speed ≥ 0 in one direction."""
        require_at_least(0.0, velocity, "Rod speed", "m/s", "The direction is given apart.")
        inwards = direction == "compression"
        slope = self.compression_damping if inwards else self.rebound_damping
        beyond = max(velocity - self.knee_velocity, 0.0)
        return slope * (min(velocity, self.knee_velocity) + self.high_speed_ratio * beyond)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForceRow:
    """Target forces at one rod speed; all are sizes, without sign.

    Attributes
    ----------
    velocity_damper : float
        Rod speed [m/s], ≥ 0.
    velocity_wheel : float
        Wheel speed that goes with it [m/s], ≥ 0.
    compression_damper : float
        Compression force at the damper [N], ≥ 0.
    rebound_damper : float
        Rebound force at the damper [N], ≥ 0.
    compression_wheel : float
        Compression force at the wheel [N], ≥ 0.
    rebound_wheel : float
        Rebound force at the wheel [N], ≥ 0.

    References
    ----------
    derivation: fields of `force_table`.
    """

    velocity_damper: float
    velocity_wheel: float
    compression_damper: float
    rebound_damper: float
    compression_wheel: float
    rebound_wheel: float


def damping_line(
    *,
    wheel_damping: float,
    motion_ratio: float,
    split: float,
    knee_velocity: float,
    high_speed_ratio: float,
) -> DampingLine:
    """Return the target line of the damper for a mean coefficient at the wheel.

    c = c_w / MR², c_c = 2 c / (1 + split), c_r = split · c_c

    "Mean" is the arithmetic mean of both directions below the knee: in a sine
    that stays below it, the uneven damper takes the energy of an even one of that
    coefficient. It is the coefficient that a mean damping ratio refers to.

    Parameters
    ----------
    wheel_damping : float
        c_w, mean coefficient at the wheel, for instance from `damping_for_ratio`
        [N·s/m], > 0.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.
    split : float
        c_r / c_c, rebound over compression coefficient [1], > 0; 1 is even.
    knee_velocity : float
        v_k, rod speed at which the line bends [m/s], > 0.
    high_speed_ratio : float
        Slope above the knee over slope below it [1], ≥ 0.

    Returns
    -------
    DampingLine
        The target line at the damper.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: one motion ratio for the whole travel. More rebound than compression
    makes the body ride lower on rough roads.

    References
    ----------
    derivation: energy of one sine cycle, ½ π ω X² (c_c + c_r) = π ω X² c.

    Examples
    --------
    By hand: 1 280 / 0.8² = 2 000.

    >>> line = damping_line(
    ...     wheel_damping=1_280.0, motion_ratio=0.8, split=3.0, knee_velocity=0.2,
    ...     high_speed_ratio=0.5)
    >>> round(line.mean_damping, 6), round(line.compression_damping, 6)
    (2000.0, 1000.0)
    """
    require_above(0.0, wheel_damping, "Damping at the wheel", "N·s/m")
    require_above(0.0, motion_ratio, "Motion ratio", "", "Damper travel over wheel travel.")
    return DampingLine(
        mean_damping=wheel_damping / motion_ratio**2,
        split=split,
        knee_velocity=knee_velocity,
        high_speed_ratio=high_speed_ratio,
    )


def line_force(
    *,
    velocity: float,
    mean_damping: float,
    split: float,
    knee_velocity: float,
    high_speed_ratio: float,
) -> float:
    """Return the damper force of a target line with its sign.

    |F| = c_i (v_k + r (|v| − v_k)) beyond the knee, c_i |v| below it

    Parameters
    ----------
    velocity : float
        v, rod velocity, positive moving in [m/s], any finite value.
    mean_damping : float
        c, mean coefficient below the knee, at the damper [N·s/m], > 0.
    split : float
        c_r / c_c, rebound over compression coefficient [1], > 0.
    knee_velocity : float
        v_k, rod speed at which the line bends [m/s], > 0.
    high_speed_ratio : float
        r, slope above the knee over slope below it [1], ≥ 0.

    Returns
    -------
    float
        F, damper force, positive resisting compression [N], any finite value.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `DampingLine`.

    References
    ----------
    derivation: two straight pieces that meet at the knee.

    Examples
    --------
    By hand: −3 000 · (0.2 + 0.5 · 0.2).

    >>> round(line_force(
    ...     velocity=-0.4, mean_damping=2_000.0, split=3.0, knee_velocity=0.2,
    ...     high_speed_ratio=0.5), 6)
    -900.0
    """
    require_finite(velocity, "Rod velocity", "m/s")
    line = DampingLine(
        mean_damping=mean_damping,
        split=split,
        knee_velocity=knee_velocity,
        high_speed_ratio=high_speed_ratio,
    )
    if velocity < 0.0:
        return -line.force(velocity=-velocity, direction="rebound")
    return line.force(velocity=velocity, direction="compression")


def force_table(
    *, line: DampingLine, motion_ratio: float, velocities: Sequence[float] = BENCH_SPEEDS
) -> tuple[ForceRow, ...]:
    """Return the target forces at the speeds of the bench, at damper and wheel.

    F_w = F_d MR, v_w = v_d / MR

    Parameters
    ----------
    line : DampingLine
        The target line at the damper.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.
    velocities : sequence of float
        v_d, rod speeds [m/s], each ≥ 0; the customary bench speeds if left out.

    Returns
    -------
    tuple of ForceRow
        One row for each speed, in the order given.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: gas force and seal friction are not in the table; a bench shows them
    unless it takes them off.

    References
    ----------
    derivation: a lever keeps power, F_w v_w = F_d v_d.
    common practice: the speeds at which dampers are compared; no source.

    Examples
    --------
    By hand, at 0.5 m/s: 1 000 · 0.375 and 3 000 · 0.375 N, at the wheel half of it.

    >>> line = DampingLine(
    ...     mean_damping=2_000.0, split=3.0, knee_velocity=0.25, high_speed_ratio=0.5)
    >>> row = force_table(line=line, motion_ratio=0.5, velocities=(0.5,))[0]
    >>> row.compression_damper, row.rebound_damper, row.rebound_wheel, row.velocity_wheel
    (375.0, 1125.0, 562.5, 1.0)
    """
    require_above(0.0, motion_ratio, "Motion ratio", "", "Damper travel over wheel travel.")
    rows = []
    for velocity in velocities:
        compression = line.force(velocity=velocity, direction="compression")
        rebound = line.force(velocity=velocity, direction="rebound")
        row = ForceRow(
            velocity_damper=velocity,
            velocity_wheel=velocity / motion_ratio,
            compression_damper=compression,
            rebound_damper=rebound,
            compression_wheel=compression * motion_ratio,
            rebound_wheel=rebound * motion_ratio,
        )
        rows.append(row)
    return tuple(rows)


def equivalent_damping(
    *,
    mean_damping: float,
    knee_velocity: float,
    high_speed_ratio: float,
    velocity_amplitude: float,
) -> float:
    """Return the straight-line coefficient that takes the same energy from a sine.

    c_eq = c (r + (1 − r) (2/π) (asin u + u √(1 − u²))), u = v_k / v̂ ≤ 1

    Up to the knee it is the mean coefficient; beyond it, a corrugated road sees
    less damping than the body's slow motion does.

    Parameters
    ----------
    mean_damping : float
        c, mean coefficient below the knee, at the damper [N·s/m], > 0.
    knee_velocity : float
        v_k, rod speed at which the line bends [m/s], > 0.
    high_speed_ratio : float
        r, slope above the knee over slope below it [1], ≥ 0.
    velocity_amplitude : float
        v̂, peak rod speed of the sine [m/s], > 0.

    Returns
    -------
    float
        c_eq, equivalent coefficient at the damper [N·s/m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: sine; both directions bend at the same speed, so the split drops out.

    References
    ----------
    derivation: c_eq = (1/π v̂) ∮ F sin φ dφ over one cycle, piece by piece.
    book: J.-J. Slotine and W. Li, Applied Nonlinear Control, describing function of
        a saturation (section: value from memory).

    Examples
    --------
    By hand, r = 0 and v̂ = 2 v_k: 2 000 · (2/π)(π/6 + ½ · 0.866025).

    >>> round(equivalent_damping(
    ...     mean_damping=2_000.0, knee_velocity=0.2, high_speed_ratio=0.0,
    ...     velocity_amplitude=0.4), 3)
    1217.996
    """
    line = DampingLine(
        mean_damping=mean_damping,
        split=1.0,
        knee_velocity=knee_velocity,
        high_speed_ratio=high_speed_ratio,
    )
    require_above(0.0, velocity_amplitude, "Peak rod speed", "m/s", "2π × frequency × amplitude.")
    if velocity_amplitude <= knee_velocity:
        return mean_damping
    u = knee_velocity / velocity_amplitude
    below = 2.0 / pi * (asin(u) + u * sqrt((1.0 - u) * (1.0 + u)))
    return line.mean_damping * (high_speed_ratio + (1.0 - high_speed_ratio) * below)
