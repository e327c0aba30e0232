"""Accepting a made damper: what it should do, how far it may be off, and the verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Band", "Check", "Demand", "Side", "Specification", "Verdict", "accept", "measured_at"]

Side = Literal["compression", "rebound", "gas"]
_REACH = 0.1  # 1, share by which a measured speed may miss the one specified, without neighbours


@dataclass(frozen=True, slots=True)
class Band:
    """How far a force may be off: the wider of a share and a force.

    Attributes
    ----------
    share : float
        Half width as a share of the force [1], 0 to 1.
    force : float
        Half width as a force [N], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    ConflictError
        If both are zero.
    """

    share: float
    force: float = 0.0

    def __post_init__(self) -> None:
        require_between(0.0, 1.0, self.share, "Band", "", "A share: 0.1 is 10 %.")
        require_at_least(0.0, self.force, "Band", "N", "Zero: the share alone.")
        if self.share == 0.0 and self.force == 0.0:
            message = "A band without width accepts nothing; give a share, a force, or both."
            raise ConflictError(message, inputs=("share", "force"))

    def around(self, force: float) -> tuple[float, float]:
        """Return lower and upper limit around a force [N]."""
        half = max(self.share * abs(force), self.force)
        return force - half, force + half


@dataclass(frozen=True, slots=True)
class Demand:
    """One force that is asked for.

    Attributes
    ----------
    side : str
        "compression", "rebound" or "gas".
    velocity : float
        Peak rod speed [m/s], ≥ 0; 0 for the gas force.
    force : float
        The force without gas, its direction given by the side [N], > 0.
    band : Band
        How far it may be off.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    side: Side
    velocity: float
    force: float
    band: Band

    def __post_init__(self) -> None:
        require_at_least(0.0, self.velocity, "Speed", "m/s", "Without sign.")
        require_above(0.0, self.force, "Force", "N", "Without sign; the side says where to.")

    @property
    def limits(self) -> tuple[float, float]:
        """Lower and upper limit [N]."""
        return self.band.around(self.force)


@dataclass(frozen=True, slots=True)
class Specification:
    """What a damper has to do on the bench.

    Attributes
    ----------
    title : str
        What it is for.
    demands : tuple of Demand
        One for each speed and direction, and for the gas force.
    """

    title: str
    demands: tuple[Demand, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """One force that was asked for, and what was measured.

    Attributes
    ----------
    demand : Demand
        What was asked for.
    measured : float or None
        Force at that speed [N]; None if the trace does not reach it.
    deviation : float or None
        Measured over asked for, less one [1].
    passed : bool
        Whether it lies within the band; what was not measured does not pass.
    """

    demand: Demand
    measured: float | None
    deviation: float | None
    passed: bool

    @property
    def use(self) -> float:
        """Distance from what was asked for, over half of the band; 0 if not measured."""
        if self.measured is None:
            return 0.0
        low, high = self.demand.limits
        return abs(self.measured - self.demand.force) / (0.5 * (high - low))


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a specification says of one unit.

    Attributes
    ----------
    checks : tuple of Check
        In the order of the demands.
    """

    checks: tuple[Check, ...]

    @property
    def passed(self) -> bool:
        """Whether every check passed."""
        return all(check.passed for check in self.checks)

    @property
    def complete(self) -> bool:
        """Whether everything was measured."""
        return all(check.measured is not None for check in self.checks)

    @property
    def worst(self) -> Check | None:
        """The check that is furthest off, measured in widths of its band."""
        seen = [check for check in self.checks if check.measured is not None]
        return max(seen, key=lambda check: check.use, default=None)


def measured_at(
    *, velocity: float, velocities: Sequence[float], forces: Sequence[float]
) -> float | None:
    """Return a measured force at a speed, straight between the speeds that were run.

    F = F_a + (F_b − F_a) (v − v_a) / (v_b − v_a)

    Parameters
    ----------
    velocity : float
        v, the speed asked for [m/s], ≥ 0.
    velocities : sequence of float
        Speeds that were run, rising [m/s], > 0.
    forces : sequence of float
        Forces there [N], any finite value.

    Returns
    -------
    float or None
        Force [N], any finite value; None beyond 10 % outside the speeds that were run.

    Raises
    ------
    OutOfRangeError
        If the speed is not a finite number.
    ConflictError
        If the lists are not equally long.

    Notes
    -----
    Limits: a curve that bends between two speeds is cut short; run the specified speeds.
    Up to 10 % beyond the first or last speed the force there is scaled with the speed.

    References
    ----------
    derivation: a straight line between two points.

    Examples
    --------
    >>> measured_at(velocity=0.2, velocities=(0.1, 0.3), forces=(100.0, 300.0))
    200.0
    """
    require_finite(velocity, "Speed", "m/s")
    if len(velocities) != len(forces):
        message = f"{len(velocities)} speeds and {len(forces)} forces do not belong together."
        raise ConflictError(message, inputs=("velocities", "forces"))
    if not velocities:
        return None
    for (v_a, f_a), (v_b, f_b) in zip(
        zip(velocities, forces, strict=True),
        list(zip(velocities, forces, strict=True))[1:],
        strict=False,
    ):
        if v_a <= velocity <= v_b:
            return f_a + (f_b - f_a) * (velocity - v_a) / (v_b - v_a)
    end = 0 if velocity < velocities[0] else -1
    if abs(velocity - velocities[end]) > _REACH * velocities[end]:
        return None
    return forces[end] * velocity / velocities[end]


def accept(
    *,
    specification: Specification,
    velocities: Sequence[float],
    compression: Sequence[float],
    rebound: Sequence[float],
    gas_force: float | None,
) -> Verdict:
    """Return the verdict on one unit.

    within the band at every speed and direction, and in gas force

    Parameters
    ----------
    specification : Specification
        What is asked for.
    velocities : sequence of float
        Peak speeds that were run, rising [m/s], > 0.
    compression : sequence of float
        Damping forces in compression there, gas left out [N], any finite value.
    rebound : sequence of float
        Damping forces in rebound there, gas left out, without sign [N], any finite value.
    gas_force : float or None
        Gas force at the middle of the stroke [N], any finite value; None if it was not found.

    Returns
    -------
    Verdict
        One check for each demand.

    Raises
    ------
    ConflictError
        If the lists are not equally long.

    Notes
    -----
    Limits: those of measured_at. What was not measured does not pass.

    References
    ----------
    derivation: comparison with the limits; a value on the limit passes.

    Examples
    --------
    >>> demand = Demand("rebound", 0.26, 500.0, Band(share=0.1))
    >>> verdict = accept(
    ...     specification=Specification("", (demand,)), velocities=(0.26,),
    ...     compression=(200.0,), rebound=(540.0,), gas_force=None,
    ... )
    >>> verdict.passed, round(verdict.checks[0].deviation, 3)
    (True, 0.08)
    """
    sides = {"compression": compression, "rebound": rebound}
    checks = []
    for demand in specification.demands:
        if demand.side == "gas":
            measured = gas_force
        else:
            measured = measured_at(
                velocity=demand.velocity, velocities=velocities, forces=sides[demand.side]
            )
        if measured is None:
            checks.append(Check(demand, None, None, passed=False))
            continue
        low, high = demand.limits
        checks.append(
            Check(demand, measured, measured / demand.force - 1.0, passed=low <= measured <= high)
        )
    return Verdict(tuple(checks))
