"""Sizes that can be made: drilled holes in 0.1 mm steps, and stepped settings."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.area import circle_area

__all__ = [
    "DRILL_STEP",
    "HOLE_COUNTS",
    "LARGEST_DRILL",
    "Drilling",
    "nearest_drilling",
    "nearest_step",
]

DRILL_STEP = 1e-4  # m, common step of metric twist drills (common practice)
SMALLEST_DRILL = 5e-4  # m, smallest drill that a workshop holds true (common practice)
LARGEST_DRILL = 1.3e-2  # m, largest drill of a common set (common practice)
HOLE_COUNTS = (1, 2, 3, 4, 6, 8)  # 1, hole numbers that divide evenly (common practice)


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
