"""References for road.py: spectra and bands by scipy and numpy."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import numpy as np
from scipy.integrate import quad
from scipy.signal import welch

from calculators.physics.roughness import random_profile

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Series = NDArray[np.float64]

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


def _heights(roughness: float, length: float, seed: int, points: int) -> Series:
    """Return the cosines of a random road, added up one by one, 0.4 to 50 m."""
    phases = Random(seed)  # noqa: S311  a road, not a secret
    places = np.arange(points) * length / points
    heights = np.zeros(points)
    for k in range(int(np.ceil(length / 50.0)), int(length / 0.4) + 1):
        n = k / length
        amplitude = np.sqrt(2.0 * roughness * (n / _REFERENCE) ** -2.0 / length)
        heights += amplitude * np.cos(2.0 * np.pi * (n * places + phases.random()))
    return heights


def summed(roughness: float, length: float, seed: int, points: int, which: int) -> float:
    """Return one height of a random road by the sum of its cosines."""
    return float(_heights(roughness, length, seed, points)[which])


def made_density(roughness: float, seed: int, low: float, high: float) -> float:
    """Return the mean density, over n², of the core's random road, by scipy.signal.welch.

    Weighted by n² the spectrum of the standard is flat: the mean is told as the density that
    it amounts to at the middle of the band.
    """
    spacing, length = 0.05, 300.0
    road = random_profile(roughness=roughness, length=length, seed=seed)
    places = [spacing * i for i in range(round(2.0 * length / spacing))]
    numbers, density = welch(np.array(road.heights(places=places)), fs=1.0 / spacing, nperseg=2400)
    band = (numbers > low) & (numbers < high)
    level = np.mean(density[band] * numbers[band] ** 2)
    return float(level / (low * high))
