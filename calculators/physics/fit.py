"""Least squares for a handful of unknowns, in plain Python."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.errors import NoSolutionError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

__all__ = ["least_squares"]

_STEPS = 400  # 1, accepted steps before giving up
_DIFFERENCE = 1e-7  # 1, step of the forward difference; unknowns are of the order of 1
_STIFFEST = 1e12  # 1, damping at which no smaller step is tried


def least_squares(
    *,
    residuals: Callable[[Sequence[float]], Sequence[float]],
    start: Sequence[float],
    lowest: Sequence[float],
    highest: Sequence[float],
    gain: float = 1e-10,
) -> tuple[float, ...]:
    """Return the unknowns, within bounds, whose residuals have the smallest sum of squares.

    (JᵀJ + λ diag JᵀJ) step = −Jᵀr, λ up or down with failure or success

    Levenberg and Marquardt. Unknowns that a step drives over a bound are put on it;
    one that stands on a bound and is pushed outwards is left out of the step.

    Parameters
    ----------
    residuals : callable
        The residuals of a list of unknowns, always equally many.
    start : sequence of float
        First guess, of the order of 1: use logarithms for sizes [1], within bounds.
    lowest : sequence of float
        Lower bounds [1], < highest.
    highest : sequence of float
        Upper bounds [1], > lowest.
    gain : float
        Relative fall of the sum of squares in one step that counts as standing still
        [1], ≥ 0.

    Returns
    -------
    tuple of float
        The unknowns at the minimum [1], within bounds.

    Raises
    ------
    NoSolutionError
        If the sum still falls after 400 steps.

    Notes
    -----
    Limits: finds the minimum next to the start. Forward differences: the result
    holds about 7 digits unless the residuals vanish.

    References
    ----------
    book: J. Nocedal and S. J. Wright, Numerical Optimization, ch. 10 (chapter: value from
        memory).

    Examples
    --------
    By hand: the line through (1, 3) and (2, 5) is 1 + 2 x.

    >>> a, b = least_squares(
    ...     residuals=lambda p: (p[0] + p[1] - 3.0, p[0] + 2.0 * p[1] - 5.0),
    ...     start=(0.0, 0.0), lowest=(-9.0, -9.0), highest=(9.0, 9.0),
    ... )
    >>> round(a, 6), round(b, 6)
    (1.0, 2.0)
    """
    unknowns = [min(max(x, lo), hi) for x, lo, hi in zip(start, lowest, highest, strict=True)]
    current = residuals(unknowns)
    cost = sum(r * r for r in current)
    damping = 1e-3
    for _ in range(_STEPS):
        columns = _columns(residuals, unknowns, current, highest)
        gradient = [sum(d * r for d, r in zip(c, current, strict=True)) for c in columns]
        free = [
            i
            for i, g in enumerate(gradient)
            if not (unknowns[i] <= lowest[i] and g > 0.0)
            and not (unknowns[i] >= highest[i] and g < 0.0)
        ]
        normal = [
            [sum(a * b for a, b in zip(columns[i], columns[j], strict=True)) for j in free]
            for i in free
        ]
        before = cost
        while damping < _STIFFEST:
            step = _solve(normal, [-gradient[i] for i in free], damping)
            trial = list(unknowns)
            for i, change in zip(free, step, strict=True):
                trial[i] = min(max(unknowns[i] + change, lowest[i]), highest[i])
            tried = residuals(trial)
            trial_cost = sum(r * r for r in tried)
            if trial_cost < cost:
                unknowns, current, cost = trial, tried, trial_cost
                damping = max(damping / 5.0, 1e-12)
                break
            damping *= 4.0
        if before - cost <= gain * before:
            return tuple(unknowns)
    message = (
        f"The least-squares fit still improves after {_STEPS} steps "
        f"(sum of squares {cost:g}). Start closer, or give more distinct points."
    )
    raise NoSolutionError(message)


def _columns(
    residuals: Callable[[Sequence[float]], Sequence[float]],
    unknowns: list[float],
    current: Sequence[float],
    highest: Sequence[float],
) -> list[list[float]]:
    """Return the derivative of each residual to each unknown, stepping away from the bound."""
    columns = []
    for place, value in enumerate(unknowns):
        step = _DIFFERENCE if value + _DIFFERENCE <= highest[place] else -_DIFFERENCE
        moved = [*unknowns[:place], value + step, *unknowns[place + 1 :]]
        columns.append([(a - b) / step for a, b in zip(residuals(moved), current, strict=True)])
    return columns


def _solve(matrix: list[list[float]], right: list[float], damping: float) -> list[float]:
    """Solve the damped normal equations by elimination; they are positive definite."""
    size = len(right)
    floor = 1e-12 * max((matrix[i][i] for i in range(size)), default=0.0) + 1e-300
    rows = [[*matrix[i], right[i]] for i in range(size)]
    for i in range(size):
        rows[i][i] += damping * max(matrix[i][i], floor)
    for i in range(size):
        for k in range(i + 1, size):
            factor = rows[k][i] / rows[i][i]
            for j in range(i, size + 1):
                rows[k][j] -= factor * rows[i][j]
    answer = [0.0] * size
    for i in reversed(range(size)):
        known = sum(rows[i][j] * answer[j] for j in range(i + 1, size))
        answer[i] = (rows[i][size] - known) / rows[i][i]
    return answer
