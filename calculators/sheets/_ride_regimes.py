"""The regimes of a damper's table of forces, and how long a ride spends in each."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING

from calculators.chart import Curve
from calculators.sheet import Column

if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.physics.ride import Ride
    from calculators.sheet import RowValues, TableCell

__all__ = ["COLUMNS", "Regime", "bars", "regime_rows", "regimes_of"]

_BENT = 0.15  # 1, change of the local coefficient that counts as a bend; ours
_ROLES = {"low": "accent", "mid": "gas", "high": "steel", "beyond the table": "stop"}
_BARS = 40

COLUMNS = (
    Column("Direction"),
    Column("Regime"),
    Column("from", "", "velocity", "m/s"),
    Column("to", "", "velocity", "m/s"),
    Column("Time share", "", "percent", "%"),
    Column("Share of the heat", "", "percent", "%"),
)


@dataclass(frozen=True, slots=True)
class Regime:
    """A range of rod speeds of one direction."""

    name: str
    start: float
    end: float


def regimes_of(rows: RowValues, column: int) -> tuple[Regime, ...]:
    """Return the regimes of one direction of a table, from rest on.

    Low: straight from rest (the bleed); high: straight to the end (the ports); mid: the
    bend between them (the discs open). Beyond the table the last line goes on.
    """
    points = [(0.0, 0.0), *((row[0], row[column]) for row in rows)]
    slopes = [(g - f) / (w - v) for (v, f), (w, g) in pairwise(points)]
    last = points[-1][0]

    def alike(slope: float, model: float) -> bool:
        return abs(slope - model) <= _BENT * model

    low = 1
    while low < len(slopes) and alike(slopes[low], slopes[0]):
        low += 1
    high = len(slopes) - 1
    while high > low and alike(slopes[high - 1], slopes[-1]):
        high -= 1
    found = [Regime("low", 0.0, points[low][0])]
    if low < len(slopes):
        if high > low:
            found.append(Regime("mid", points[low][0], points[high][0]))
        found.append(Regime("high", points[high][0], last))
    return (*found, Regime("beyond the table", last, inf))


def regime_rows(rows: RowValues, ride: Ride) -> tuple[tuple[TableCell, ...], ...]:
    """Return time and heat that the ride spends in each regime of each direction."""
    traces = ride.traces
    samples = list(zip(traces.damper_velocity, traces.damper_force, strict=True))
    heat = sum(force * velocity for velocity, force in samples) or 1.0
    found: list[tuple[TableCell, ...]] = []
    for direction, column, sign in (("compression", 1, 1.0), ("rebound", 2, -1.0)):
        for regime in regimes_of(rows, column):
            inside = [
                force * velocity
                for velocity, force in samples
                if regime.start <= sign * velocity < regime.end
                and (velocity != 0.0 or direction == "compression")
            ]
            end = regime.end if regime.end < inf else None
            time = len(inside) / len(samples)
            found.append((direction, regime.name, regime.start, end, time, sum(inside) / heat))
    return tuple(found)


def bars(rows: RowValues, ride: Ride) -> tuple[Curve, ...]:
    """Return the histogram of the rod speeds, one outline for each regime."""
    reach = max(ride.peak_compression_velocity, ride.peak_rebound_velocity, 1e-6)
    width = 2.0 * reach / _BARS
    counts = [0] * _BARS
    for velocity in ride.traces.damper_velocity:
        counts[min(max(int((velocity + reach) / width), 0), _BARS - 1)] += 1
    total = len(ride.traces.damper_velocity)
    sides = {1.0: regimes_of(rows, 1), -1.0: regimes_of(rows, 2)}
    outlines: dict[str, list[tuple[float, float]]] = {name: [] for name in _ROLES}
    for bar, count in enumerate(counts):
        left = width * bar - reach
        middle = left + 0.5 * width
        side = sides[1.0 if middle > 0.0 else -1.0]
        name = next(one.name for one in side if one.start <= abs(middle) < one.end)
        outlines[name].extend(_box(left, width, count / total))
    return tuple(
        Curve(name, _ROLES[name], *zip(*corners, strict=True))
        for name, corners in outlines.items()
        if corners
    )


def _box(left: float, width: float, height: float) -> Iterator[tuple[float, float]]:
    yield from ((left, 0.0), (left, height), (left + width, height), (left + width, 0.0))
