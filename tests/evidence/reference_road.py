"""References for road.py: spectra and bands by scipy and numpy."""

from __future__ import annotations

import numpy as np
from scipy.integrate import quad

_REFERENCE = 0.1  # 1/m, ISO 8608


def rms_in_band(roughness: float, shortest: float, longest: float) -> float:
    """Return the rms height by quadrature of the spectrum over the wave number."""
    square, _ = quad(
        lambda n: roughness * (n / _REFERENCE) ** -2.0, 1.0 / longest, 1.0 / shortest, epsrel=1e-12
    )
    return float(np.sqrt(square))


def steepest(speed: float, wavelength: float, amplitude: float) -> float:
    """Return the largest vertical velocity of a sampled sine road, by numpy.gradient."""
    times = np.linspace(0.0, wavelength / speed, 200_001)
    height = amplitude * np.sin(2.0 * np.pi * speed * times / wavelength)
    return float(np.max(np.gradient(height, times)))


def velocity_density(roughness: float, speed: float, frequency: float) -> float:
    """Return the road's velocity spectrum from the height's, a narrow band round a frequency."""
    low, high = 0.99 * frequency / speed, 1.01 * frequency / speed
    square, _ = quad(
        lambda n: roughness * (n / _REFERENCE) ** -2.0 * (2.0 * np.pi * n * speed) ** 2,
        low,
        high,
        epsrel=1e-12,
    )
    return float(square / (0.02 * frequency))
