"""Measuring a bench trace: forces at peak speed, gas force, loops, lost stroke.

A bench moves the rod on a sine, cycle after cycle, one speed after another. Each passage
of the middle of the stroke is a peak of speed; there speed and force are read off local
polynomials through displacement and force. x is positive as the rod moves in, F as it
resists that. This module needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi
from typing import TYPE_CHECKING

import numpy as np

from calculators.errors import ConflictError
from calculators.physics.cleaning import Clean, clean, crossings
from calculators.physics.savitzky_golay import local_derivative

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

__all__ = ["Loop", "SpeedPoint", "TraceReport", "damping_curve", "measure"]

_SLOW = 0.03  # m/s, peak speed up to which a cycle is slow enough for the gas force
_ALIKE = 0.06  # 1, share by which peak speeds of one run may differ
_LASTING = 0.02  # 1, share by which the cycles of one run may differ in length
_PHASE = 1.0 / 16.0  # 1, of a cycle on each side of a peak that the polynomial sees
_REVERSAL = 1.0 / 360.0  # 1, of a cycle on each side of a reversal that the line sees
_ORDER = 3  # of that polynomial
_FEW_SAMPLES = 100  # in a cycle, below which peak forces are uncertain
_LEAST_SAMPLES = 16  # in a cycle
_SHAPE = 0.15  # 1, rms distance from a sine, over its amplitude, that makes a cycle no cycle
_BINS = 180  # of a loop
_NOISE = 0.01  # 1, of the peak force, that does not count as missing
_FORCE_SHARE = 0.5  # 1, of the steady force, that counts as arrived


@dataclass(frozen=True, slots=True)
class Loop:
    """The mean cycle at one speed, in equal parts of a cycle from the outer end on.

    Attributes
    ----------
    displacement, velocity : tuple of float
        [m], [m/s].
    force : tuple of float
        Force without the gas force [N].
    """

    displacement: tuple[float, ...]
    velocity: tuple[float, ...]
    force: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SpeedPoint:
    """What was measured at one peak speed, mean of its cycles.

    Attributes
    ----------
    velocity : float
        Peak speed, mean of both directions [m/s].
    compression, rebound : float
        Damping forces at the peaks, gas left out, without sign [N].
    compression_spread, rebound_spread : float
        Standard deviations from cycle to cycle [N].
    cycles : int
        Cycles that were measured [1].
    frequency, amplitude : float
        Of the motion [Hz], [m].
    energy : float
        Work in a cycle [J].
    hysteresis : float
        Damping force left at the reversals, both together [N].
    lost_compression, lost_rebound : float
        Travel after the reversal until half of the steady force is there [m].
    change : float
        Mean damping force of the last cycle over the first, less one [1].
    temperature : float or None
        Mean [K].
    loop : Loop
        The mean cycle.
    """

    velocity: float
    compression: float
    rebound: float
    compression_spread: float
    rebound_spread: float
    cycles: int
    frequency: float
    amplitude: float
    energy: float
    hysteresis: float
    lost_compression: float
    lost_rebound: float
    change: float
    temperature: float | None
    loop: Loop


@dataclass(frozen=True, slots=True)
class TraceReport:
    """A bench trace in figures.

    Attributes
    ----------
    points : tuple of SpeedPoint
        By rising speed.
    gas_force : float
        Force at the middle of the stroke, at rest [N].
    gas_from : str
        "slow cycle", or "mid-stroke mean" if no cycle was slow.
    gas_rate : float
        How fast it rises with the travel, from the slowest cycle [N/m].
    sample_rate : float
        Samples in a second [Hz].
    spikes : int
        Samples that were replaced [1].
    centre : float
        Displacement of the middle of the stroke in the record [m].
    skipped : int
        Cycles left out because they were no whole sine [1].
    temperature_start, temperature_end : float or None
        Of the record [K].
    turned : str
        Which signs were turned: "", "force", "displacement" or "both".
    notices : tuple of str
        What the reader should know, one sentence each.
    """

    points: tuple[SpeedPoint, ...]
    gas_force: float
    gas_from: str
    gas_rate: float
    sample_rate: float
    spikes: int
    centre: float
    skipped: int
    temperature_start: float | None
    temperature_end: float | None
    turned: str
    notices: tuple[str, ...]

    @property
    def velocities(self) -> tuple[float, ...]:
        """Peak speeds [m/s]."""
        return tuple(point.velocity for point in self.points)

    @property
    def compression(self) -> tuple[float, ...]:
        """Damping forces in compression [N]."""
        return tuple(point.compression for point in self.points)

    @property
    def rebound(self) -> tuple[float, ...]:
        """Damping forces in rebound, without sign [N]."""
        return tuple(point.rebound for point in self.points)


@dataclass(slots=True)
class _Cycle:
    """One cycle: its samples, and speed and force at its two peaks."""

    start: int
    end: int
    passage: float
    period: float
    amplitude: float
    velocity: float
    inward: float
    outward: float
    energy: float


def measure(
    *,
    time: Array,
    displacement: Array,
    force: Array,
    temperature: Array | None = None,
    turn_signs: bool = True,
) -> TraceReport:
    """Return a bench trace in figures.

    speed and force at each passage of mid-stroke from a cubic through ±1/16 of the cycle;
    gas = (F_in + F_out) / 2 of the slowest cycles; F_c = F_in − gas, F_r = gas − F_out

    Parameters
    ----------
    time : array
        Rising times [s].
    displacement : array
        Rod travel, positive inward [m].
    force : array
        Force, positive against compression, gas included [N].
    temperature : array or None
        Of the damper [K].
    turn_signs : bool
        Whether signs that cannot be right are turned [-], one of True, False. Cycles that
        give work instead of taking it have force or displacement turned; a gas that
        pulls has both.

    Returns
    -------
    TraceReport
        Forces by speed, gas force, loops and notices.

    Raises
    ------
    ConflictError
        If there is no whole cycle, a cycle has fewer than 16 samples, or the lists do not
        fit each other.

    Notes
    -----
    Limits: motion near a sine. Without a slow cycle the gas force is the mid-stroke mean
    of the slowest speed, which holds half of the difference between the two directions.
    Seal friction is part of both damping forces.

    References
    ----------
    paper: A. Savitzky and M. J. E. Golay, Analytical Chemistry 36 (1964) 1627-1639: local
        polynomials.
    common practice: forces are compared at peak speed, in the middle of the stroke.

    Examples
    --------
    A damper of 1 000 N·s/m with 300 N of gas, moved at 2 Hz and 10 mm, 4 s long.

    >>> import numpy as np
    >>> t = np.linspace(0.0, 4.0, 4001)
    >>> w = 4.0 * np.pi
    >>> x, v = -0.01 * np.cos(w * t), 0.01 * w * np.sin(w * t)
    >>> point = measure(time=t, displacement=x, force=1_000.0 * v + 300.0).points[0]
    >>> round(point.velocity, 4), round(point.compression, 1), round(point.rebound, 1)
    (0.1257, 125.7, 125.7)
    """
    trace = clean(time=time, displacement=displacement, force=force)
    cycles, skipped = _cycles(trace)
    turned = ""
    if turn_signs:
        turned = _signs(cycles)
        if turned:
            x_sign = -1.0 if turned in {"displacement", "both"} else 1.0
            f_sign = -1.0 if turned in {"force", "both"} else 1.0
            trace = clean(
                time=time, displacement=x_sign * displacement, force=f_sign * force
            )  # fmt: skip
            cycles, skipped = _cycles(trace)
    runs = _runs(cycles)
    gas, rate, slow = _gas(trace, runs)
    warm = None
    if temperature is not None:
        warm = np.interp(trace.time, time, temperature)
    points = _points(trace, runs, gas, rate, warm)
    return TraceReport(
        points=points,
        gas_force=gas,
        gas_from="slow cycle" if slow else "mid-stroke mean",
        gas_rate=rate,
        sample_rate=1.0 / trace.step,
        spikes=trace.spikes,
        centre=trace.centre,
        skipped=skipped,
        temperature_start=None if warm is None else float(np.mean(warm[: len(warm) // 50 + 1])),
        temperature_end=None if warm is None else float(np.mean(warm[-(len(warm) // 50 + 1) :])),
        turned=turned,
        notices=tuple(_notices(trace, cycles, skipped, turned, slow=slow)),
    )


def _local(times: Array, values: Array, at: float, half: float) -> tuple[float, float]:
    """Return value and slope, at a time, of the cubic through the samples about it."""
    near = slice(*np.searchsorted(times, (at - half, at + half)))
    t = (times[near] - at) / half
    order = min(_ORDER, len(t) - 2)
    powers = np.vander(t, order + 1, increasing=True)
    found, *_ = np.linalg.lstsq(powers, values[near], rcond=None)
    return float(found[0]), float(found[1]) / half


def _passage(trace: Clean, sample: int) -> float:
    """Return the time at which the rod passes the middle, about a sample."""
    x, t = trace.displacement, trace.time
    here = slice(max(0, sample - 1), sample + 3)
    slope, level = np.polyfit(t[here] - t[sample], x[here], 1)
    if slope == 0.0:
        return float(t[sample])
    way = -level / slope
    return float(t[sample] + min(max(way, -2.0 * trace.step), 3.0 * trace.step))


def _refined(trace: Clean, at: float, half: float) -> float:
    """Return the time of a passage from the cubic about it."""
    for _ in range(2):
        level, slope = _local(trace.time, trace.displacement, at, half)
        if slope == 0.0 or abs(level / slope) > half:
            break
        at -= level / slope
    return at


def _cycles(trace: Clean) -> tuple[list[_Cycle], int]:
    """Return the whole cycles, from one passage inward to the next, and how many are none."""
    passed = crossings(trace=trace)
    while passed and passed[0][1] < 0:
        passed = passed[1:]
    rough = [_passage(trace, sample) for sample, _ in passed]
    cycles: list[_Cycle] = []
    skipped = 0
    for first in range(0, len(passed) - 2, 2):
        start, middle, end = rough[first], rough[first + 1], rough[first + 2]
        period = end - start
        if period / trace.step < _LEAST_SAMPLES:
            message = (
                f"A cycle has {period / trace.step:.0f} samples; at least {_LEAST_SAMPLES} are "
                "needed, 200 are good. Record faster, or run slower."
            )
            raise ConflictError(message, inputs=("time",))
        cycle = _cycle(trace, start, middle, end)
        if cycle is None:
            skipped += 1
        else:
            cycles.append(cycle)
    if not cycles:
        message = (
            "No whole cycle was found: the rod has to pass the middle of its stroke inward at "
            "least twice, on a sine. Record longer, or check the displacement's column and unit."
        )
        raise ConflictError(message, inputs=("displacement",))
    return cycles, skipped


def _cycle(trace: Clean, start: float, middle: float, end: float) -> _Cycle | None:
    period = end - start
    half = max(_PHASE * period, 2.5 * trace.step)
    t, x, f = trace.time, trace.displacement, trace.force
    first, last = (int(i) for i in np.searchsorted(t, (start, end)))
    if first < 1 or last >= len(t) - 1 or start - half < t[0]:
        half = min(half, start - float(t[0]), float(t[-1]) - end)
        if half < 2.0 * trace.step:
            return None
    angle = 2.0 * pi * (t[first:last] - start) / period
    waves = np.column_stack((np.sin(angle), np.cos(angle), np.ones_like(angle)))
    fit, *_ = np.linalg.lstsq(waves, x[first:last], rcond=None)
    amplitude = float(np.hypot(fit[0], fit[1]))
    away = float(np.sqrt(np.mean((waves @ fit - x[first:last]) ** 2)))
    if amplitude == 0.0 or away > _SHAPE * amplitude:
        return None
    into, out = _refined(trace, start, half), _refined(trace, middle, half)
    _, speed_in = _local(t, x, into, half)
    _, speed_out = _local(t, x, out, half)
    inward, _ = _local(t, f, into, half)
    outward, _ = _local(t, f, out, half)
    if not (speed_in > 0.0 > speed_out):
        return None
    energy = float(np.trapezoid(f[first : last + 1], x[first : last + 1]))
    return _Cycle(
        first, last, into, period, amplitude, 0.5 * (speed_in - speed_out), inward, outward, energy
    )


def _signs(cycles: Sequence[_Cycle]) -> str:
    """Return which signs have to be turned for a damper that takes work and a gas that pushes."""
    works = sum(cycle.energy for cycle in cycles) > 0.0
    slowest = min(cycle.velocity for cycle in cycles)
    gentle = [cycle for cycle in cycles if cycle.velocity <= (1.0 + _ALIKE) * slowest]
    mean = sum(cycle.inward + cycle.outward for cycle in gentle) / (2.0 * len(gentle))
    swing = sum(abs(cycle.inward - cycle.outward) for cycle in gentle) / (2.0 * len(gentle))
    # a gas that pulls: clearly, and in a cycle where it outweighs what damps
    pulls = mean < 0.0 and abs(mean) > 0.5 * swing and slowest <= _SLOW
    if works:
        return "both" if pulls else ""
    return "force" if pulls or mean == 0.0 or slowest > _SLOW else "displacement"


def _runs(cycles: Sequence[_Cycle]) -> list[list[_Cycle]]:
    """Return the cycles by speed, slowest first; the first cycle of a longer run has to settle."""
    runs: list[list[_Cycle]] = []
    for cycle in cycles:
        if runs and abs(cycle.velocity / runs[-1][-1].velocity - 1.0) <= _ALIKE:
            runs[-1].append(cycle)
        else:
            runs.append([cycle])
    kept = [_steady(run[1:] if len(run) > 2 else run) for run in runs]  # noqa: PLR2004
    longer = [run for run in kept if len(run) > 1] or kept  # lone cycles are changes of speed
    merged: list[list[_Cycle]] = []
    for run in sorted(longer, key=lambda run: run[0].velocity):
        if merged and abs(run[0].velocity / merged[-1][0].velocity - 1.0) <= _ALIKE:
            merged[-1] += run
        else:
            merged.append(list(run))
    return merged


def _steady(run: list[_Cycle]) -> list[_Cycle]:
    """Return the cycles of a run that last alike: in the last one, the speed may change."""
    usual = float(np.median([cycle.period for cycle in run]))
    return [cycle for cycle in run if abs(cycle.period / usual - 1.0) <= _LASTING] or run


def _gas(trace: Clean, runs: Sequence[Sequence[_Cycle]]) -> tuple[float, float, bool]:
    """Return gas force at mid-stroke, its rise with the travel, and whether a cycle was slow."""
    slowest = runs[0]
    force = float(np.mean([0.5 * (cycle.inward + cycle.outward) for cycle in slowest]))
    rates = []
    for cycle in slowest:
        x = trace.displacement[cycle.start : cycle.end]
        f = trace.force[cycle.start : cycle.end]
        # over a whole cycle what depends on the speed alone does not correlate with the travel
        rates.append(float(np.polyfit(x, f, 1)[0]))
    slow = float(np.mean([cycle.velocity for cycle in slowest])) <= _SLOW
    return force, float(np.mean(rates)), slow


def _points(
    trace: Clean, runs: Sequence[Sequence[_Cycle]], gas: float, rate: float, warm: Array | None
) -> tuple[SpeedPoint, ...]:
    loops = [_loop(trace, run, gas, rate) for run in runs]
    speeds = [float(np.mean([cycle.velocity for cycle in run])) for run in runs]
    inward = [float(np.mean([cycle.inward for cycle in run])) - gas for run in runs]
    outward = [gas - float(np.mean([cycle.outward for cycle in run])) for run in runs]
    steady = [(0.0, *speeds), (0.0, *inward), (0.0, *outward)]
    points = []
    for place, (run, loop) in enumerate(zip(runs, loops, strict=True)):
        lost_in, lost_out = _lost(loop, *steady)
        swing = [cycle.inward - cycle.outward for cycle in run]
        entries = np.concatenate([np.arange(cycle.start, cycle.end) for cycle in run])
        points.append(
            SpeedPoint(
                velocity=speeds[place],
                compression=inward[place],
                rebound=outward[place],
                compression_spread=float(np.std([cycle.inward for cycle in run])),
                rebound_spread=float(np.std([cycle.outward for cycle in run])),
                cycles=len(run),
                frequency=1.0 / float(np.mean([cycle.period for cycle in run])),
                amplitude=float(np.mean([cycle.amplitude for cycle in run])),
                energy=float(np.mean([cycle.energy for cycle in run])),
                hysteresis=float(np.mean([_left_over(trace, cycle, gas, rate) for cycle in run])),
                lost_compression=lost_in,
                lost_rebound=lost_out,
                change=swing[-1] / swing[0] - 1.0 if swing[0] else 0.0,
                temperature=None if warm is None else float(np.mean(warm[entries])),
                loop=loop,
            )
        )
    return tuple(points)


def _loop(trace: Clean, run: Sequence[_Cycle], gas: float, rate: float) -> Loop:
    """Return the mean cycle of a run, from the outer end on, without gas force."""
    samples = min(cycle.end - cycle.start for cycle in run)
    bins = min(_BINS, max(8, samples // 4)) // 4 * 4
    sums, counts = np.zeros((3, bins)), np.zeros(bins)
    window = max(5, samples // 20) | 1
    for cycle in run:
        low, high = max(0, cycle.start - window), min(len(trace.time), cycle.end + window)
        x = trace.displacement[low:high]
        v = local_derivative(values=x, step=trace.step, window=window, order=_ORDER)
        f = trace.force[low:high] - gas - rate * x
        phase = (trace.time[low:high] - cycle.passage) / cycle.period + 0.25
        inside = slice(cycle.start - low, cycle.end - low)
        place = np.rint(phase[inside] * bins).astype(int) % bins
        counts += np.bincount(place, minlength=bins)
        for row, values in enumerate((x, v, f)):
            sums[row] += np.bincount(place, weights=values[inside], minlength=bins)
    known = counts > 0.0
    phases = np.arange(bins)
    means = [
        np.interp(phases, phases[known], row[known] / counts[known], period=bins) for row in sums
    ]
    return Loop(*(tuple(float(value) for value in row) for row in means))


def _left_over(trace: Clean, cycle: _Cycle, gas: float, rate: float) -> float:
    """Return the damping force at both reversals together, from lines through the force there."""
    half = max(_REVERSAL * cycle.period, 2.5 * trace.step)
    quarter = 0.25 * cycle.period
    ends = []
    for at in (cycle.passage + quarter, cycle.passage + 3.0 * quarter):
        near = slice(*np.searchsorted(trace.time, (at - half, at + half)))
        force = trace.force[near] - gas - rate * trace.displacement[near]
        ends.append(float(np.polyfit(trace.time[near] - at, force, 1)[1]))
    return abs(ends[0] - ends[1])


def _lost(
    loop: Loop, speeds: Sequence[float], inward: Sequence[float], outward: Sequence[float]
) -> tuple[float, float]:
    """Return the travel after each reversal from which on half of the steady force is there."""
    half = len(loop.force) // 2
    found = []
    for entries, sign, steady in (
        (range(half + 1), 1.0, inward),
        (range(half, len(loop.force)), -1.0, outward),
    ):
        turn = loop.displacement[entries[0]]
        travel = sign * (loop.displacement[entries[-1]] - turn)
        peak = float(np.interp(max(speeds), speeds, steady))
        lost, middle = 0.0, len(entries) // 2
        for entry, following in pairwise(entries[: middle + 1]):
            speed = max(0.0, sign * loop.velocity[entry])
            wanted = _FORCE_SHARE * float(np.interp(speed, speeds, steady))
            if sign * loop.force[entry] < wanted - _NOISE * peak:
                lost = min(travel, sign * (loop.displacement[following] - turn))
        found.append(lost)
    return found[0], found[1]


def _notices(
    trace: Clean, cycles: Sequence[_Cycle], skipped: int, turned: str, *, slow: bool
) -> list[str]:
    notes = []
    fewest = min(cycle.period for cycle in cycles) / trace.step
    if turned:
        words = {"both": "The signs of force and displacement were"}.get(
            turned, f"The sign of the {turned} was"
        )
        notes.append(f"{words} turned: otherwise the damper would give work, or its gas pull.")
    if fewest < _FEW_SAMPLES:
        notes.append(
            f"The fastest cycle has {fewest:.0f} samples; below {_FEW_SAMPLES} the peak forces "
            "are uncertain."
        )
    if trace.resampled:
        notes.append("The samples came at uneven times and were laid on equal steps.")
    if trace.hole:
        notes.append(f"For {trace.hole:.3g} s there is no sample; a straight line bridges it.")
    if trace.spikes:
        stuck = "1 sample" if trace.spikes == 1 else f"{trace.spikes} samples"
        notes.append(f"{stuck} stuck out of their neighbours and were replaced.")
    if skipped:
        left = "1 cycle was" if skipped == 1 else f"{skipped} cycles were"
        notes.append(f"{left} no whole sine and left out.")
    if not slow:
        notes.append(
            "No cycle was slow (0.03 m/s or less): the gas force is the mid-stroke mean of the "
            "slowest speed, and holds half of the difference between the two directions there."
        )
    return notes


def damping_curve(*, loop: Loop, points: int = 41) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the damping force over the velocity, as the mean of both branches of a loop.

    F(v) = (F speeding up + F slowing down) / 2

    Parameters
    ----------
    loop : Loop
        The mean cycle at one speed.
    points : int
        Number of velocities, spread evenly [1], ≥ 3.

    Returns
    -------
    tuple of tuple of float
        Velocities in m/s, compression positive, and forces in N.

    Notes
    -----
    Limits: within 97 % of the peak speeds; friction makes the branches meet at zero only
    in the mean.

    References
    ----------
    derivation: definition.
    """
    v, f = np.array(loop.velocity), np.array(loop.force)
    top, bottom = int(np.argmax(v)), int(np.argmin(v))
    count = len(v)
    rising = np.arange(bottom - count if bottom > top else bottom, top + 1)
    falling = np.arange(top, (bottom if bottom > top else bottom + count) + 1)
    speeds = np.linspace(0.97 * v[bottom], 0.97 * v[top], points)
    branches = []
    for entries in (rising, falling[::-1]):
        order = np.argsort(v[entries % count], kind="stable")
        at = entries[order] % count
        branches.append(np.interp(speeds, v[at], f[at]))
    mean = 0.5 * (branches[0] + branches[1])
    return tuple(map(float, speeds)), tuple(map(float, mean))
