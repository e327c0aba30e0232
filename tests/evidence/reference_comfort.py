"""References for comfort.py: the stages of W_k as polynomials, by numpy and scipy.signal."""

from __future__ import annotations

import numpy as np
from scipy.signal import bilinear, freqs, lfilter

_TURN = 2.0 * np.pi


def _stages(interval: float = 0.0) -> list[tuple[list[float], list[float]]]:
    """Return each stage's polynomials of s, falling powers; corners moved for an interval."""

    def corner(frequency: float) -> float:
        if not interval:
            return float(_TURN * frequency)
        return float(2.0 / interval * np.tan(np.pi * frequency * interval))

    w1, w2, w3, w4 = corner(0.4), corner(100.0), corner(12.5), corner(12.5)
    w5, w6, q4, q5, q6 = corner(2.37), corner(3.35), 0.63, 0.91, 0.91
    return [
        ([1.0, 0.0, 0.0], [1.0, np.sqrt(2.0) * w1, w1**2]),
        ([w2**2], [1.0, np.sqrt(2.0) * w2, w2**2]),
        ([w4**2 / w3, w4**2], [1.0, w4 / q4, w4**2]),
        ([1.0, w5 / q5, w5**2], [1.0, w6 / q6, w6**2]),
    ]


def weighting(frequency: float) -> float:
    """Return |W_k| by scipy.signal.freqs of the whole product."""
    top, bottom = np.array([1.0]), np.array([1.0])
    for numerator, denominator in _stages():
        top, bottom = np.polymul(top, numerator), np.polymul(bottom, denominator)
    _, response = freqs(top, bottom, worN=[_TURN * frequency])
    return float(abs(response[0]))


def filtered(values: list[float], interval: float, which: int) -> float:
    """Return one sample behind the stages, by scipy.signal.bilinear and lfilter.

    The corners of all stages are moved beforehand so that they land where they belong.
    """
    signal = np.asarray(values, dtype=np.float64)
    for top, bottom in _stages(interval):
        signal = lfilter(*bilinear(top, bottom, fs=1.0 / interval), signal)
    return float(signal[which])


def filtered_rms(values: list[float], interval: float) -> float:
    """Return the rms behind the stages."""
    squares = [filtered(values, interval, i) ** 2 for i in range(len(values))]
    return float(np.sqrt(np.mean(squares)))
