"""Least squares for a handful of unknowns, in plain Python, down to the last digits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import NoSolutionError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

__all__ = ["least_squares"]

_STEPS = 400  # 1, accepted steps before giving up
_STIFFEST = 1e12  # 1, damping at which no smaller step is tried
_SMALL = 1e-12  # 1, step that no longer counts; unknowns are of the order of 1
_NEAR = 1e-2  # 1, fall of the sum in one step from which on the true curvature is used
_DIFFERENCE = 1e-5  # 1, step each way of the difference that gives the curvature
_RESOLVED = 1e-6  # 1, share of the sum below which its fall is read from the slopes


@dataclass(frozen=True, slots=True)
class _Place:
    """The unknowns somewhere, their sum of squares, its half slope, and JᵀJ."""

    unknowns: list[float]
    cost: float
    gradient: list[float]
    normal: list[list[float]]


def least_squares(
    *,
    model: Callable[[Sequence[float]], tuple[Sequence[float], Sequence[Sequence[float]]]],
    start: Sequence[float],
    lowest: Sequence[float],
    highest: Sequence[float],
    gain: float = 0.0,
) -> tuple[float, ...]:
    """Return the unknowns, within bounds, whose residuals have the smallest sum of squares.

    (JᵀJ + λ diag JᵀJ) step = −Jᵀr, later (H + λ diag H) step = −Jᵀr

    Levenberg and Marquardt, λ up or down with failure or success; near the minimum
    Newton's steps with the true curvature H. Unknowns that a step drives over a bound
    are put on it; one that stands on a bound and is pushed outwards is left out.

    Parameters
    ----------
    model : callable
        The residuals r of a list of unknowns, and the slopes J: one row a residual,
        one column an unknown.
    start : sequence of float
        First guess, of the order of 1: use logarithms for sizes [1], within bounds.
    lowest : sequence of float
        Lower bounds [1], < highest.
    highest : sequence of float
        Upper bounds [1], > lowest.
    gain : float
        Relative fall of the sum of squares in one step that counts as standing still
        [1], ≥ 0. With zero the steps go on until they are lost in the last digits.

    Returns
    -------
    tuple of float
        The unknowns at the minimum [1], within bounds.

    Raises
    ------
    NoSolutionError
        If the steps still lead on after 400 of them.

    Notes
    -----
    Limits: finds the minimum next to the start. Close to it the sum of squares hardly
    changes: a step of 10⁻⁸ is lost in its rounding. There the fall is taken from the
    slopes at both ends of the step, so that the unknowns, too, come out to the last
    digits.

    References
    ----------
    book: J. Nocedal and S. J. Wright, Numerical Optimization, ch. 10 (chapter: value from
        memory).

    Examples
    --------
    By hand: the line through (1, 3) and (2, 5) is 1 + 2 x.

    >>> a, b = least_squares(
    ...     model=lambda p: (
    ...         (p[0] + p[1] - 3.0, p[0] + 2.0 * p[1] - 5.0), ((1.0, 1.0), (1.0, 2.0)),
    ...     ),
    ...     start=(0.0, 0.0), lowest=(-9.0, -9.0), highest=(9.0, 9.0),
    ... )
    >>> round(a, 9), round(b, 9)
    (1.0, 2.0)
    """

    def place(unknowns: list[float]) -> _Place:
        residuals, slopes = model(unknowns)
        columns = list(zip(*slopes, strict=True))
        return _Place(
            unknowns,
            sum(r * r for r in residuals),
            [_dot(column, residuals) for column in columns],
            [[_dot(one, other) for other in columns] for one in columns],
        )

    here = place([min(max(x, lo), hi) for x, lo, hi in zip(start, lowest, highest, strict=True)])
    damping, near = 1e-3, False
    for _ in range(_STEPS):
        free = [
            i
            for i, g in enumerate(here.gradient)
            if not (here.unknowns[i] <= lowest[i] and g > 0.0)
            and not (here.unknowns[i] >= highest[i] and g < 0.0)
        ]
        matrix = _curvature(place, here, free) if near else _among(here.normal, free)
        fall = 0.0
        while damping < _STIFFEST:
            step = _solve(matrix, [-here.gradient[i] for i in free], damping)
            trial = list(here.unknowns)
            for i, change in zip(free, step or (), strict=step is not None):
                trial[i] = min(max(here.unknowns[i] + change, lowest[i]), highest[i])
            moved = max((abs(a - b) for a, b in zip(trial, here.unknowns, strict=True)), default=0)
            if step is not None:
                if moved <= _SMALL:
                    return tuple(here.unknowns)
                there = place(trial)
                fall = _fall(here, there)
                if fall > 0.0:
                    damping = max(damping / 5.0, 1e-12)
                    break
            damping *= 4.0
        else:
            return tuple(here.unknowns)
        if fall <= gain * here.cost:
            return tuple(there.unknowns)
        near = near or fall <= _NEAR * here.cost
        here = there
    message = (
        f"The least-squares fit still improves after {_STEPS} steps "
        f"(sum of squares {here.cost:g}). Start closer, or give more distinct points."
    )
    raise NoSolutionError(message)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


def _among(matrix: list[list[float]], free: list[int]) -> list[list[float]]:
    return [[matrix[i][j] for j in free] for i in free]


def _fall(here: _Place, there: _Place) -> float:
    """Return how far the sum of squares fell; a small fall from the slopes at both ends."""
    fall = here.cost - there.cost
    if abs(fall) > _RESOLVED * here.cost:
        return fall
    return -sum(
        (a + b) * (new - old)
        for a, b, new, old in zip(
            here.gradient, there.gradient, there.unknowns, here.unknowns, strict=True
        )
    )


def _curvature(
    place: Callable[[list[float]], _Place], here: _Place, free: list[int]
) -> list[list[float]]:
    """Return half the second derivative of the sum of squares, from differences of its slope."""
    rows = []
    for i in free:
        ends = []
        for step in (_DIFFERENCE, -_DIFFERENCE):
            moved = list(here.unknowns)
            moved[i] += step
            ends.append(place(moved).gradient)
        rows.append([(ends[0][j] - ends[1][j]) / (2.0 * _DIFFERENCE) for j in free])
    return [[0.5 * (rows[i][j] + rows[j][i]) for j in range(len(free))] for i in range(len(free))]


def _solve(matrix: list[list[float]], right: list[float], damping: float) -> list[float] | None:
    """Solve the damped equations by elimination; None where they lead to no minimum."""
    size = len(right)
    floor = 1e-12 * max((abs(matrix[i][i]) for i in range(size)), default=0.0) + 1e-300
    rows = [[*matrix[i], right[i]] for i in range(size)]
    for i in range(size):
        rows[i][i] += damping * max(abs(matrix[i][i]), floor)
    for i in range(size):
        if rows[i][i] <= 0.0:
            return None
        for k in range(i + 1, size):
            factor = rows[k][i] / rows[i][i]
            for j in range(i, size + 1):
                rows[k][j] -= factor * rows[i][j]
    answer = [0.0] * size
    for i in reversed(range(size)):
        known = sum(rows[i][j] * answer[j] for j in range(i + 1, size))
        answer[i] = (rows[i][size] - known) / rows[i][i]
    return answer
