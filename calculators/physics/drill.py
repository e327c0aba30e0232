"""Sizes that can be made: drilled holes in 0.1 mm steps, shims, and stepped settings."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi, sqrt

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.area import circle_area

__all__ = [
    "DRILL_STEP",
    "HOLE_COUNTS",
    "LARGEST_DRILL",
    "SHIM_COUNTS",
    "SHIM_THICKNESSES",
    "Drilling",
    "EqualStack",
    "nearest_drilling",
    "nearest_stack",
    "nearest_step",
]

DRILL_STEP = 1e-4  # m, common step of metric twist drills (common practice)
SMALLEST_DRILL = 5e-4  # m, smallest drill that a workshop holds true (common practice)
LARGEST_DRILL = 1.3e-2  # m, largest drill of a common set (common practice)
HOLE_COUNTS = (1, 2, 3, 4, 6, 8)  # 1, hole numbers that divide evenly (common practice)
SHIM_THICKNESSES = (  # m, spring steel strip in 0.05 mm steps (common practice)
    1e-4, 1.5e-4, 2e-4, 2.5e-4, 3e-4, 3.5e-4, 4e-4, 4.5e-4, 5e-4,
)  # fmt: skip
SHIM_COUNTS = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10)  # 1, shims that a valve has height for


@dataclass(frozen=True, slots=True)
class Drilling:
    """A number of equal drilled holes.

    Attributes
    ----------
    count : int
        number of holes [1], ≥ 1.
    diameter : float
        drill diameter [m], > 0.
    area : float
        open area of all holes together [m²], > 0.
    """

    count: int
    diameter: float
    area: float


def nearest_drilling(
    *,
    area: float,
    counts: tuple[int, ...] = HOLE_COUNTS,
    smallest: float = SMALLEST_DRILL,
    largest: float = LARGEST_DRILL,
    step: float = DRILL_STEP,
) -> Drilling:
    """Return the number and size of drilled holes that come nearest to an area.

    d = √(4 A / (π n)) to the nearest step, for each n; the n with the least area error

    Of two equally near choices the one with fewer holes is taken.

    Parameters
    ----------
    area : float
        A, wanted open area [m²], > 0.
    counts : tuple of int
        Numbers of holes that may be used [1], each ≥ 1.
    smallest : float
        Smallest drill diameter [m], > 0.
    largest : float
        Largest drill diameter [m], ≥ smallest.
    step : float
        Step of the drill set [m], > 0.

    Returns
    -------
    Drilling
        Count, diameter and real area.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no count is given, or the largest drill is below the smallest.

    Notes
    -----
    Limits: an area below one smallest hole gets that hole, one above the most of the
    largest gets those; the caller sees it in the real area.

    References
    ----------
    common practice: 0.1 mm steps, 0.5 to 13 mm, hole numbers that divide evenly.

    Examples
    --------
    By hand: π/4 · 2.0² = 3.1416 mm², so one 2 mm hole.

    >>> hole = nearest_drilling(area=3.15e-6)
    >>> hole.count, hole.diameter
    (1, 0.002)
    """
    require_above(0.0, area, "Hole area", "m²", "No hole needs no drill.")
    require_above(0.0, smallest, "Smallest drill", "m", "0.5 mm is common.")
    require_at_least(smallest, largest, "Largest drill", "m", "At least the smallest drill.")
    require_above(0.0, step, "Drill step", "m", "0.1 mm is common.")
    if not counts or min(counts) < 1:
        message = "No usable number of holes was given; give whole numbers from 1."
        raise ConflictError(message, inputs=("counts",))
    best: tuple[float, Drilling] | None = None
    for count in sorted(counts):
        ideal = min(max(sqrt(4.0 * area / (pi * count)), smallest), largest)
        diameter = round(round(ideal / step) * step, 9)
        made = Drilling(count, diameter, count * circle_area(diameter=diameter))
        error = abs(made.area - area)
        if best is None or error < best[0] * (1.0 - 1e-9):
            best = (error, made)
    assert best is not None  # counts is not empty
    return best[1]


@dataclass(frozen=True, slots=True)
class EqualStack:
    """A number of equal shims on each other.

    Attributes
    ----------
    count : int
        number of shims [1], ≥ 1.
    thickness : float
        of each shim [m], > 0.
    compliance : float
        lift at the seat for each pascal [m/Pa], > 0.
    """

    count: int
    thickness: float
    compliance: float


def nearest_stack(
    *,
    compliance: float,
    single: float,
    thicknesses: tuple[float, ...] = SHIM_THICKNESSES,
    counts: tuple[int, ...] = SHIM_COUNTS,
) -> EqualStack:
    """Return the number and thickness of equal shims that come nearest to a compliance.

    C(n, t) = C_1 (t_1 / t)³ / n, the n and t with the least |ln C(n, t) / C|

    Shims that slide on each other add their rigidities, and each is stiff as its
    thickness cubed. Of two equally near stacks the one with fewer shims is taken.

    Parameters
    ----------
    compliance : float
        C, wanted lift at the seat for each pascal [m/Pa], > 0.
    single : float
        C_1, that of one shim as thick as the first in the list (stack_compliance)
        [m/Pa], > 0.
    thicknesses : tuple of float
        Thicknesses that can be had, at least one [m], each > 0.
    counts : tuple of int
        Numbers of shims that may be used, at least one [1], each ≥ 1.

    Returns
    -------
    EqualStack
        Count, thickness and real compliance.

    Raises
    ------
    OutOfRangeError
        If a compliance is not a finite number above zero.
    ConflictError
        If no thickness or no count is given.

    Notes
    -----
    Limits: those of stack_compliance. Beyond the stiffest or softest stack of the lists
    that one is given; the caller sees it in the real compliance.

    References
    ----------
    derivation: flexural rigidity n E t³ / (12 (1 − ν²)) of n equal plates.
    common practice: 0.05 mm steps from 0.1 to 0.5 mm, up to 10 shims.

    Examples
    --------
    By hand: four times stiffer than one shim of 0.1 mm: two of 0.1 mm have half of its
    compliance, one of 0.15 mm 1/3.375, four of 0.1 mm a quarter.

    >>> stack = nearest_stack(compliance=1e-9, single=4e-9)
    >>> stack.count, stack.thickness
    (4, 0.0001)
    """
    require_above(0.0, compliance, "Compliance", "m/Pa", "No lift needs no stack.")
    require_above(0.0, single, "Compliance of one shim", "m/Pa", "From stack_compliance.")
    if not thicknesses or not counts:
        message = "No thickness or no number of shims was given; give at least one of each."
        raise ConflictError(message, inputs=("thicknesses", "counts"))
    stacks = [
        EqualStack(count, thickness, single * (thicknesses[0] / thickness) ** 3 / count)
        for count in sorted(counts)
        for thickness in thicknesses
    ]
    best = stacks[0]
    for stack in stacks[1:]:
        off, least = (abs(log(one.compliance / compliance)) for one in (stack, best))
        if off < least * (1.0 - 1e-9):
            best = stack
    return best


def nearest_step(*, value: float, step: float) -> float:
    """Return the whole multiple of a step that is nearest to a value.

    Used for a setting that comes in steps, such as preload by washers.

    Parameters
    ----------
    value : float
        Wanted value, in any one unit [-], ≥ 0.
    step : float
        Step in the same unit [-], > 0.

    Returns
    -------
    float
        Nearest multiple [-], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: halves go to the even multiple.

    References
    ----------
    derivation: rounding.

    Examples
    --------
    >>> nearest_step(value=1.13e6, step=50_000.0)
    1150000.0
    """
    require_at_least(0.0, value, "Setting", "", "Settings count from zero.")
    require_above(0.0, step, "Step", "", "The smallest change that can be made.")
    return round(value / step) * step
