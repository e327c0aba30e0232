"""Reference values for the measuring of traces and for batches, from SciPy."""

from __future__ import annotations

import numpy as np
from scipy import signal, stats

__all__ = ["chi_square_quantile", "cp_limit", "cpk_limit", "smoothed_slope", "weight"]


def weight(window: int, order: int, derivative: int, place: int) -> float:
    """Return one weight of a Savitzky-Golay filter, in the order of the samples."""
    weights = signal.savgol_coeffs(window, order, deriv=derivative, use="dot")
    return float(weights[place])


def smoothed_slope(window: int, order: int, place: int) -> float:
    """Return the filtered slope of a fixed record at one sample: a sine with a ripple."""
    t = np.arange(101) * 0.01
    values = np.sin(2.0 * np.pi * t) + 0.02 * np.sin(60.0 * np.pi * t)
    found = signal.savgol_filter(values, window, order, deriv=1, delta=0.01)
    return float(found[place])


def chi_square_quantile(share: float, freedom: float) -> float:
    """Return a quantile of the chi-square distribution."""
    return float(stats.chi2.ppf(share, freedom))


def cp_limit(values: list[float], lower: float, upper: float, tail: float) -> float:
    """Return a confidence limit of C_p."""
    n = len(values)
    cp = (upper - lower) / (6.0 * np.std(values, ddof=1))
    return float(cp * np.sqrt(stats.chi2.ppf(tail, n - 1) / (n - 1)))


def cpk_limit(values: list[float], lower: float, upper: float, tail: float) -> float:
    """Return a confidence limit of C_pk after Bissell."""
    n, mean, spread = len(values), np.mean(values), np.std(values, ddof=1)
    cpk = min(upper - mean, mean - lower) / (3.0 * spread)
    reach = np.sqrt(1.0 / (9.0 * n) + cpk**2 / (2.0 * (n - 1)))
    return float(cpk + stats.norm.ppf(tail) * reach)
