"""Making a recorded trace fit to measure: equal steps, no spikes, cut into cycles.

This module needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from calculators.errors import ConflictError, require_above

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Marks = NDArray[np.bool_]

__all__ = ["Clean", "clean", "crossings", "spikes"]

_WINDOW = 9  # samples, a spike is at most three of them wide
_SIGMA = 1.4826  # 1, standard deviation over median absolute deviation, of a normal noise
_NOISES = 8.0  # 1, standard deviations of the noise beyond which a sample is a spike
_ALONE = 4.0  # 1, times the middle third of its neighbours that a spike is off
_SHARE = 0.03  # 1, of the whole range; what is less is left alone
_PIECE = 200_000  # samples that are looked at together
_UNEVEN = 0.02  # 1, spread of the time steps from which the trace is laid on equal steps
_HOLE = 20.0  # 1, time steps without a sample that make a hole
_SETTLED = 0.25  # 1, share of the half stroke that the rod has to pass for a new half cycle
_LEAST = 16  # samples


@dataclass(frozen=True, slots=True)
class Clean:
    """A trace on equal steps, without spikes, about the middle of its stroke.

    Attributes
    ----------
    time, displacement, force : array
        [s], [m], [N].
    step : float
        From sample to sample [s], > 0.
    centre : float
        Displacement of the middle of the stroke in the record, taken off here [m].
    amplitude : float
        Half of the largest stroke [m], > 0.
    spikes : int
        Samples that were replaced [1].
    unevenness : float
        Standard deviation of the time steps over their median [1].
    resampled : bool
        Whether the trace was laid on equal steps.
    hole : float
        Longest time without a sample [s].
    """

    time: Array
    displacement: Array
    force: Array
    step: float
    centre: float
    amplitude: float
    spikes: int
    unevenness: float
    resampled: bool
    hole: float


def spikes(*, values: Array) -> Marks:
    """Return which samples stick out of their neighbours.

    a = |y − median of 9 neighbours|;  a > 8 σ,  a > 3 % of the range,
    a > 4 · (width of the middle third of the 9);  σ = 1.4826 · median of all a

    A monotone stretch is its own median, however steep, and about a smooth peak the
    middle third is as wide as the peak is high; a lone sample that jumps away is alone.

    Parameters
    ----------
    values : array
        Samples in their order.

    Returns
    -------
    array
        True where a sample is a spike.

    Notes
    -----
    Limits: spikes wider than three samples are taken for a signal, and those within a
    jump of the signal are not seen. The limits 8 σ, 3 % and 4 are our choice.

    References
    ----------
    paper: F. R. Hampel, The influence curve and its role in robust estimation, J. Amer.
        Stat. Assoc. 69 (1974) 383-393: median and median distance.

    Examples
    --------
    >>> import numpy as np
    >>> wave = np.sin(np.arange(60.0) / 5.0)
    >>> wave[30] += 3.0
    >>> np.flatnonzero(spikes(values=wave)).tolist()
    [30]
    """
    if len(values) <= _WINDOW:
        return np.zeros(len(values), dtype=bool)
    away = np.abs(values - _running_median(values))
    noise = _SIGMA * float(np.median(away))
    low, high = np.percentile(values, (0.5, 99.5))
    found: Marks = away > max(_NOISES * noise, _SHARE * float(high - low))
    places = np.flatnonzero(found)
    if len(places):
        around = np.sort(_neighbours(values)[places], axis=1)
        third = _WINDOW // 3
        slope = around[:, 2 * third - 1] - around[:, third]
        found[places[away[places] <= _ALONE * slope]] = False
    return found


def _neighbours(values: Array) -> Array:
    """Return each sample with its neighbours, a view."""
    half = _WINDOW // 2
    padded = np.pad(values, half, mode="reflect", reflect_type="odd")
    return np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)


def _running_median(values: Array) -> Array:
    """Return the median of each sample and its neighbours, piece by piece."""
    windows, middle = _neighbours(values), np.empty(len(values))
    for start in range(0, len(values), _PIECE):
        middle[start : start + _PIECE] = np.median(windows[start : start + _PIECE], axis=1)
    return middle


def clean(*, time: Array, displacement: Array, force: Array) -> Clean:
    """Return a trace on equal steps, without spikes, about the middle of its stroke.

    spikes are bridged by straight lines; uneven steps are evened by straight lines;
    x − (largest + smallest) / 2

    Parameters
    ----------
    time : array
        Rising times [s].
    displacement : array
        Rod travel [m].
    force : array
        Force [N].

    Returns
    -------
    Clean
        The trace, and what was done to it.

    Raises
    ------
    ConflictError
        If the lists are not equally long or too short, or the rod does not move.

    Notes
    -----
    Limits: the zero of the load cell cannot be seen in a trace: it looks like gas force.
    Set it to zero with the rod free.

    References
    ----------
    derivation: as in spikes.
    """
    if not len(time) == len(displacement) == len(force) or len(time) < _LEAST:
        message = (
            f"A trace needs at least {_LEAST} samples of time, displacement and force each; "
            f"given: {len(time)}, {len(displacement)} and {len(force)}."
        )
        raise ConflictError(message, inputs=("time", "displacement", "force"))
    steps = np.diff(time)
    step = float(np.median(steps))
    require_above(0.0, step, "Time step", "s", "The times have to rise.")
    unevenness, hole = float(np.std(steps)) / step, float(steps.max())
    replaced = 0
    series = []
    for values in (displacement, force):
        wrong = spikes(values=values)
        replaced += int(wrong.sum())
        bridged = values
        if wrong.any():
            bridged = values.copy()
            bridged[wrong] = np.interp(time[wrong], time[~wrong], values[~wrong])
        series.append(bridged)
    resampled = unevenness > _UNEVEN
    if resampled:
        even = np.arange(time[0], time[-1], step)
        series = [np.interp(even, time, values) for values in series]
        time = even
    else:
        step = float((time[-1] - time[0]) / (len(time) - 1))
    low, high = np.percentile(series[0], (0.1, 99.9))
    amplitude = 0.5 * float(high - low)
    if not amplitude > 0.0:
        message = "The displacement does not change: the rod rests, or this is another column."
        raise ConflictError(message, inputs=("displacement",))
    centre = 0.5 * float(high + low)
    return Clean(
        time, series[0] - centre, series[1], step, centre, amplitude, replaced, unevenness,
        resampled, hole if hole > _HOLE * step else 0.0,
    )  # fmt: skip


def crossings(*, trace: Clean) -> tuple[tuple[int, int], ...]:
    """Return where the rod passes the middle of its stroke: sample, and 1 inward or −1 outward.

    a new half cycle counts once the rod is a quarter of the half stroke past the middle

    Parameters
    ----------
    trace : Clean
        The trace.

    Returns
    -------
    tuple of tuple of int
        The last sample before each passage, and its direction, inward and outward by turns.

    Notes
    -----
    Limits: noise above a quarter of the half stroke makes passages of its own; strokes
    below a quarter of the largest are not seen.

    References
    ----------
    derivation: a switch with a dead band.

    Examples
    --------
    >>> import numpy as np
    >>> t = np.linspace(0.0, 2.0, 200)
    >>> trace = clean(time=t, displacement=-np.cos(2.0 * np.pi * t), force=t)
    >>> crossings(trace=trace)
    ((24, 1), (74, -1), (124, 1), (174, -1))
    """
    x = trace.displacement
    band = _SETTLED * trace.amplitude
    side = np.where(x > band, 1, np.where(x < -band, -1, 0))
    known = np.flatnonzero(side)
    if len(known) == 0:
        return ()
    turns = known[1:][side[known[1:]] != side[known[:-1]]]
    before = known[:-1][side[known[1:]] != side[known[:-1]]]
    found = []
    for start, end in zip(before, turns, strict=True):
        way = int(side[end])
        inside = way * x[start : end + 1]
        # the passage in the middle of those that noise makes
        passed = np.flatnonzero((inside[:-1] <= 0.0) & (inside[1:] > 0.0))
        found.append((int(start + passed[len(passed) // 2]), way))
    return tuple(found)
