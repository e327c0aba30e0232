"""Smoothing and differentiating a sampled signal by local polynomials. This module needs numpy."""

from __future__ import annotations

from math import factorial
from typing import TYPE_CHECKING

import numpy as np

from calculators.errors import ConflictError, require_above, require_at_least

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

__all__ = ["local_derivative", "polynomial_weights"]


def polynomial_weights(
    *, window: int, order: int, derivative: int = 0, step: float = 1.0, place: int | None = None
) -> tuple[float, ...]:
    """Return the weights that make a derivative of the local polynomial out of a window.

    w = row d of (VᵀV)⁻¹Vᵀ · d! / hᵈ,  V_ij = t_iʲ,  t_i = i − place

    The weighted sum of the samples in the window is the derivative, at one place of the
    window, of the polynomial that fits them with least squares.

    Parameters
    ----------
    window : int
        Number of samples [1], ≥ 1.
    order : int
        Order of the polynomial [1], 0 to window − 1.
    derivative : int
        d, which derivative; 0 smooths [1], 0 to order.
    step : float
        h, time or way from sample to sample; the unit of the result follows it [1], > 0.
    place : int or None
        Index in the window at which the derivative is wanted [1], 0 to window − 1; None:
        its middle.

    Returns
    -------
    tuple of float
        One weight for each sample, in their order [1], any finite value.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the order asks for more samples than the window has.

    Notes
    -----
    Limits: equal steps. Orders above 6 in wide windows lose digits.

    References
    ----------
    paper: A. Savitzky and M. J. E. Golay, Smoothing and differentiation of data by
        simplified least squares procedures, Analytical Chemistry 36 (1964) 1627-1639.
    derivation: least squares with the columns of V.

    Examples
    --------
    By hand, straight line through five points: slope = Σ t y / Σ t² with Σ t² = 10.

    >>> [round(w, 12) + 0.0 for w in polynomial_weights(window=5, order=1, derivative=1)]
    [-0.2, -0.1, 0.0, 0.1, 0.2]
    """
    require_at_least(1.0, window, "Window", "", "A whole number of samples.")
    require_at_least(0.0, order, "Order", "", "2 or 3 is usual.")
    require_at_least(0.0, derivative, "Derivative", "", "1 makes velocity out of displacement.")
    require_above(0.0, step, "Step", "", "From sample to sample.")
    at = (window - 1) / 2.0 if place is None else float(place)
    if order >= window or derivative > order or not 0.0 <= at <= window - 1:
        message = (
            f"A polynomial of order {order}, derivative {derivative}, does not fit into a window "
            f"of {window} samples. Take a wider window or a lower order."
        )
        raise ConflictError(message, inputs=("window", "order"))
    half = max(1.0, (window - 1) / 2.0)
    times = (np.arange(window) - at) / half  # near 1, so that high powers keep their digits
    powers = np.vander(times, order + 1, increasing=True)
    row = np.linalg.pinv(powers)[derivative]
    return tuple(float(w) for w in row * factorial(derivative) / (half * step) ** derivative)


def local_derivative(
    *, values: Array, step: float, window: int, order: int, derivative: int = 1
) -> Array:
    """Return a derivative of a sampled signal, at every sample.

    polynomial_weights at the middle of a window that slides; near the ends the polynomial
    of the first and last window

    Parameters
    ----------
    values : array
        Samples at equal steps, at least as many as the window.
    step : float
        h, time from sample to sample [s], > 0.
    window : int
        Number of samples, odd [1], ≥ 1.
    order : int
        Order of the polynomial [1], 0 to window − 1.
    derivative : int
        Which derivative; 0 smooths [1], 0 to order.

    Returns
    -------
    array
        The derivative, in the unit of the values over s to that power.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the window is even, or wider than the record.

    Notes
    -----
    Limits: what happens within the window is smoothed away. On a sine of n samples a
    cycle, a window of n/20 and order 3 takes about 10⁻⁵ off the slope.

    References
    ----------
    paper: A. Savitzky and M. J. E. Golay, Analytical Chemistry 36 (1964) 1627-1639.

    Examples
    --------
    The slope of t² is 2 t, with a parabola exactly.

    >>> import numpy as np
    >>> slope = local_derivative(values=np.arange(7.0) ** 2, step=1.0, window=5, order=2)
    >>> bool(np.allclose(slope, 2.0 * np.arange(7.0)))
    True
    """
    if window % 2 == 0 or window > len(values):
        message = (
            f"A window of {window} samples is even or wider than the record of {len(values)}. "
            "Take an odd number of fewer samples."
        )
        raise ConflictError(message, inputs=("window",))
    half = window // 2
    weights = np.array(
        polynomial_weights(window=window, order=order, derivative=derivative, step=step)
    )
    found = np.empty(len(values))
    found[half : len(values) - half] = np.convolve(values, weights[::-1], mode="valid")
    if half:
        found[:half] = _edge(values[:window], step, order, derivative)[:half]
        found[-half:] = _edge(values[-window:], step, order, derivative)[-half:]
    return found


def _edge(values: Array, step: float, order: int, derivative: int) -> Array:
    """Return the derivative of the polynomial through one window, at all of its samples."""
    half = max(1.0, (len(values) - 1) / 2.0)
    times = (np.arange(len(values)) - half) / half
    fit = np.polynomial.Polynomial.fit(times, values, order, domain=(-1.0, 1.0))
    slopes: Array = fit.deriv(derivative)(times) if derivative else fit(times)
    return slopes / (half * step) ** derivative
