"""Which part of a damper explains its measured forces: one suspect at a time.

Each suspect is one size of the design times a factor: the bleed, a preload, a stack, the
oil's viscosity, the charge. For each, the factor that brings the calculated forces
nearest to the measured ones is found; the suspect that comes nearest explains the
damper, if none other comes nearly as near and the rest is within the noise.
"""

from __future__ import annotations

from cmath import exp as complex_exp
from dataclasses import dataclass, replace
from math import exp, log, pi, sqrt
from typing import TYPE_CHECKING, Literal

from calculators.errors import (
    CalculatorError,
    ConflictError,
    require_above,
    require_at_least,
)
from calculators.physics.capability import chi_square_value
from calculators.physics.fit import least_squares
from calculators.physics.gas import P_ATM
from calculators.physics.network import force_velocity_curve
from calculators.physics.pair import ValvePair

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper
    from calculators.physics.valve import Valve

__all__ = ["PARTS", "Diagnosis", "Measured", "Suspect", "changed", "diagnose", "series_compliance"]

Part = Literal[
    "bleed", "compression preload", "rebound preload", "compression stack", "rebound stack",
    "oil", "charge",
]  # fmt: skip
PARTS: tuple[Part, ...] = (
    "bleed", "compression preload", "rebound preload", "compression stack", "rebound stack",
    "oil", "charge",
)  # fmt: skip

_WIDEST = log(6.0)  # 1, logarithm of the largest factor that is tried
_APART = 6.0  # 1, misfit by which the next suspect has to be worse: odds of 20 to 1
_WORTH = 12.0  # 1, fall of the misfit by chance alone that one case in 300 exceeds, 7 parts tried
_SURE = 0.99  # 1, share of sound dampers whose misfit stays below the limit
_STEP = 1e-3  # 1, of the logarithm of a factor, for its slope


@dataclass(frozen=True, slots=True)
class Measured:
    """What the bench said.

    Attributes
    ----------
    velocities : tuple of float
        Peak speeds [m/s], > 0.
    compression, rebound : tuple of float
        Damping forces there, gas left out, without sign [N], > 0.
    gas_force : float
        At mid-stroke [N], any finite value.
    share : float
        Standard uncertainty of a force as a share of it, the model's own error included
        [1], > 0.
    force : float
        Standard uncertainty of a force, added to it in squares [N], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an uncertainty is outside its range.
    ConflictError
        If the lists are not equally long, or empty.
    """

    velocities: tuple[float, ...]
    compression: tuple[float, ...]
    rebound: tuple[float, ...]
    gas_force: float
    share: float = 0.01
    force: float = 2.0

    def __post_init__(self) -> None:
        require_above(0.0, self.share, "Uncertainty", "", "A share: 0.01 is 1 %.")
        require_at_least(0.0, self.force, "Uncertainty", "N")
        if not len(self.velocities) == len(self.compression) == len(self.rebound) > 0:
            message = "Speeds and forces do not belong together; give one force for each speed."
            raise ConflictError(message, inputs=("velocities", "compression", "rebound"))

    @property
    def count(self) -> int:
        """Number of forces."""
        return 2 * len(self.velocities) + 1


@dataclass(frozen=True, slots=True)
class Suspect:
    """One part, and how well it explains the forces alone.

    Attributes
    ----------
    part : str
        Its name, one of `PARTS`.
    factor : float
        Its size over the size of the design [1].
    uncertainty : float
        Standard uncertainty of the factor, as a share of it [1].
    misfit : float
        Sum of squares of what is left, over the uncertainties [1].
    """

    part: Part
    factor: float
    uncertainty: float
    misfit: float


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What explains the measured forces.

    Attributes
    ----------
    answer : str
        "as designed", "part" (the first suspect explains it), "unclear" (several do) or
        "none" (no single part does).
    suspects : tuple of Suspect
        The best first.
    candidates : tuple of str
        The parts that explain it about equally well; one for "part".
    misfit : float
        Of the design as it is [1].
    limit : float
        Misfit that noise alone stays below in 99 % of cases [1].
    """

    answer: Literal["as designed", "part", "unclear", "none"]
    suspects: tuple[Suspect, ...]
    candidates: tuple[Part, ...]
    misfit: float
    limit: float


def diagnose(
    *,
    measured: Measured,
    damper: Damper,
    oil: Oil,
    gas_pressure: float,
    pressure_ambient: float = P_ATM,
) -> Diagnosis:
    """Return which single part explains a measured damper best, or that it cannot be told.

    misfit = Σ ((F_calculated − F_measured) / u)²,  u² = (share · F)² + force²

    Parameters
    ----------
    measured : Measured
        Forces of the bench, and how sure they are.
    damper : Damper
        The design.
    oil : Oil
        Its oil at the temperature of the test.
    gas_pressure : float
        Absolute pressure of the gas at mid-stroke [Pa], > 0.
    pressure_ambient : float
        Absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    Diagnosis
        Answer, and every suspect with its factor.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If the design cannot reach one of the speeds.

    Notes
    -----
    Limits: one part at a time; two faults together are answered with "none" or, when one
    hides the other, wrongly. Steady flow: forces at the middle of the stroke. At speeds
    below the opening of the discs preload and stack do nothing, and beyond it bleed does
    little: without speeds on both sides they cannot be told apart.

    References
    ----------
    book: P. R. Bevington and D. K. Robinson, Data Reduction and Error Analysis for the
        Physical Sciences, ch. 8 and 11 (chapters: value from memory): least squares and the
        chi-square test.
    derivation: odds of two explanations with normal noise are exp(difference of misfit / 2).
    """
    trial = _Trial(measured, damper, oil, gas_pressure, pressure_ambient)
    bare = _sum(trial.residuals("bleed", 1.0))
    limit = chi_square_value(share=_SURE, freedom=float(measured.count))
    suspects = sorted(
        (found for part in PARTS if (found := _fit(trial, part)) is not None),
        key=lambda suspect: suspect.misfit,
    )
    best = suspects[0]
    near = tuple(one.part for one in suspects if one.misfit - best.misfit < _APART)
    if bare <= limit and bare - best.misfit < _WORTH:
        return Diagnosis("as designed", tuple(suspects), (), bare, limit)
    if best.misfit > limit:
        return Diagnosis("none", tuple(suspects), (), bare, limit)
    answer: Literal["part", "unclear"] = "part" if len(near) == 1 else "unclear"
    return Diagnosis(answer, tuple(suspects), near, bare, limit)


@dataclass(frozen=True, slots=True)
class _Trial:
    """The design with one part changed, against the measured forces."""

    measured: Measured
    damper: Damper
    oil: Oil
    gas_pressure: float
    ambient: float

    def residuals(self, part: Part, factor: float) -> list[float]:
        damper, oil, gas = changed(
            damper=self.damper,
            oil=self.oil,
            gas_pressure=self.gas_pressure,
            part=part,
            factor=factor,
        )
        seen = self.measured
        speeds = seen.velocities
        curve = force_velocity_curve(
            damper=damper,
            velocities=(*speeds, *(-speed for speed in speeds)),
            gas_pressure=gas,
            oil=oil,
            pressure_ambient=self.ambient,
        )
        sizes = [abs(force) for force in curve.damping_force]
        sizes.append(curve.points[0].gas_force)
        wanted = [*seen.compression, *seen.rebound, seen.gas_force]
        return [
            (size - force) / sqrt((seen.share * force) ** 2 + seen.force**2)
            for size, force in zip(sizes, wanted, strict=True)
        ]


def _sum(residuals: Sequence[float]) -> float:
    return sum(one * one for one in residuals)


def _fit(trial: _Trial, part: Part) -> Suspect | None:
    """Return the best factor of a part, None if no factor can be calculated."""

    def model(unknowns: Sequence[float]) -> tuple[list[float], list[list[float]]]:
        (where,) = unknowns
        here = trial.residuals(part, exp(where))
        step = _STEP if where + _STEP <= _WIDEST else -_STEP
        there = trial.residuals(part, exp(where + step))
        return here, [[(b - a) / step] for a, b in zip(here, there, strict=True)]

    try:
        (where,) = least_squares(
            model=model, start=(0.0,), lowest=(-_WIDEST,), highest=(_WIDEST,), gain=1e-6
        )
        here, slopes = model((where,))
    except CalculatorError:  # a factor on the way makes an impossible damper
        return None
    steepness = _sum([slope for (slope,) in slopes])
    uncertainty = 1.0 / sqrt(steepness) if steepness > 0.0 else _WIDEST
    return Suspect(part, exp(where), min(uncertainty, _WIDEST), _sum(here))


def changed(
    *, damper: Damper, oil: Oil, gas_pressure: float, part: Part, factor: float
) -> tuple[Damper, Oil, float]:
    """Return a design with one part times a factor.

    size → factor · size; the stack's size is its compliance, the oil's its viscosity

    Parameters
    ----------
    damper : Damper
        The design.
    oil : Oil
        Its oil.
    gas_pressure : float
        Absolute pressure of the gas [Pa], > 0.
    part : str
        One of `PARTS` [-], one of these.
    factor : float
        New size over old size [1], > 0.

    Returns
    -------
    tuple
        Damper, oil and absolute gas pressure in Pa.

    Raises
    ------
    OutOfRangeError
        If the factor is not above zero.
    ConflictError
        If the changed damper cannot be, such as a bleed that does not fit on the piston.

    Notes
    -----
    Limits: the foot valve stays as it is; both directions share the factor of the bleed.

    References
    ----------
    derivation: definition.
    """
    require_above(0.0, factor, "Factor", "", "1 is the design.")
    if part == "oil":
        return damper, replace(oil, dynamic_viscosity=oil.dynamic_viscosity * factor), gas_pressure
    if part == "charge":
        return damper, oil, gas_pressure * factor
    pair = damper.piston

    def made(valve: Valve, side: str) -> Valve:
        if part == "bleed":
            return replace(valve, bleed_area=valve.bleed_area * factor)
        if part == f"{side} preload":
            return replace(valve, crack_pressure=valve.crack_pressure * factor)
        if part == f"{side} stack":
            return replace(valve, compliance=valve.compliance * factor)
        return valve

    return (
        replace(
            damper,
            piston=ValvePair(made(pair.compression, "compression"), made(pair.rebound, "rebound")),
        ),
        oil,
        gas_pressure,
    )


def series_compliance(
    *, displacement: Sequence[float], force: Sequence[float], frequency: float
) -> tuple[float, float]:
    """Return what a loop says of a damper with a spring in series: 1/K, and c.

    X₁ / F₁ = 1/K + 1/(i ω c), first Fourier coefficients over the cycle

    Oil with bubbles, soft bushes and a soft frame all act like a spring in series: the
    force comes late. A compliance above the design's says that one of them is too soft.

    Parameters
    ----------
    displacement : sequence of float
        x over one cycle at equal times, without its end [m], any finite value.
    force : sequence of float
        Damping force there [N], any finite value.
    frequency : float
        f [Hz], > 0.

    Returns
    -------
    tuple of float
        1/K in m/N, and c in N·s/m.

    Raises
    ------
    OutOfRangeError
        If the frequency is not above zero.
    ConflictError
        If the lists are not equally long or too short, or the loop is a line.

    Notes
    -----
    Limits: the fundamental alone; a damper that is far from linear has a c that goes
    with the speed, and friction makes 1/K come out a little low.

    References
    ----------
    derivation: a spring and a dashpot in series carry the same force, and their travels
        add.

    Examples
    --------
    By hand: a dashpot of 1 000 N·s/m alone, F = c ω cos at x = sin.

    >>> from math import cos, sin
    >>> turns = [2.0 * pi * i / 8.0 for i in range(8)]
    >>> compliance, c = series_compliance(
    ...     displacement=[0.01 * sin(t) for t in turns],
    ...     force=[1_000.0 * 2.0 * pi * 0.01 * cos(t) for t in turns], frequency=1.0,
    ... )
    >>> round(compliance, 12), round(c, 6)
    (0.0, 1000.0)
    """
    require_above(0.0, frequency, "Frequency", "Hz", "Cycles in a second.")
    count = len(force)
    if len(displacement) != count or count < 8:  # noqa: PLR2004  a cycle needs some points
        message = "A loop needs at least 8 points, as many of the travel as of the force."
        raise ConflictError(message, inputs=("displacement", "force"))
    turn = [complex_exp(-2j * pi * i / count) for i in range(count)]
    travel = sum((x * t for x, t in zip(displacement, turn, strict=True)), start=0j)
    pull = sum((f * t for f, t in zip(force, turn, strict=True)), start=0j)
    if not pull or (ratio := travel / pull).imag == 0.0:
        message = "The loop has no width: nothing is damped, and nothing can be said of c."
        raise ConflictError(message, inputs=("force",))
    return ratio.real, -1.0 / (2.0 * pi * frequency * ratio.imag)
