"""Random roads after ISO 8608: classes, spectra, and a road made from its spectrum.

Standard library only: the random phases come from `random.Random(seed)`, and the cosines are
summed by a fast Fourier transform.
"""

from __future__ import annotations

from cmath import exp as complex_exp
from dataclasses import dataclass
from math import ceil, inf, log2, pi, sqrt
from random import Random

from calculators.errors import (
    ConflictError,
    InputError,
    require_above,
    require_at_least,
    require_between,
)
from calculators.physics.road import Profile

__all__ = [
    "CLASSES",
    "REFERENCE_WAVE_NUMBER",
    "RoughnessClass",
    "displacement_psd",
    "random_profile",
    "rms_height",
    "roughness_class",
    "velocity_psd",
]

REFERENCE_WAVE_NUMBER = 0.1  # 1/m, n₀ of ISO 8608
CLASSES = "ABCDEFGH"  # from very smooth to hardly passable, ISO 8608
CLASS_A_MEAN = 16e-6  # m³, geometric mean of class A at n₀, ISO 8608; each next class is 4 ×
_PER_SHORTEST = 8  # least points on the shortest wavelength of a random road
_MOST_POINTS = 2**16


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughnessClass:
    """One class of roads by the roughness G_d(n₀) at 0.1 cycles per metre.

    Attributes
    ----------
    name : str
        A to H.
    lower, mean, upper : float
        Lower limit, geometric mean and upper limit of G_d(n₀) [m³], ≥ 0; class A starts
        at 0 and class H has no end.
    """

    name: str
    lower: float
    mean: float
    upper: float


def roughness_class(*, name: str) -> RoughnessClass:
    """Return the limits and the mean of a class of roads.

    mean = 16 · 4^k ×10⁻⁶ m³, k = 0 for A; limits at half and twice the mean

    Parameters
    ----------
    name : str
        A to H.

    Returns
    -------
    RoughnessClass
        The class.

    Raises
    ------
    InputError
        If there is no such class.

    Notes
    -----
    Limits: the class says nothing of corrugations and single holes. Words for the classes
    (A very good … E very poor) are *common practice*.

    References
    ----------
    standard: ISO 8608, classes by displacement power spectral density at 0.1 cycle/m
        (figures: value from memory).

    Examples
    --------
    By hand: 16 · 4² = 256.

    >>> round(roughness_class(name="C").mean * 1e6, 9)
    256.0
    """
    if name not in tuple(CLASSES):
        message = f"There is no road class {name!r}; the classes are A to H."
        raise InputError(message, inputs=("name",))
    mean = CLASS_A_MEAN * 4.0 ** CLASSES.index(name)
    return RoughnessClass(
        name=name,
        lower=0.5 * mean if name != CLASSES[0] else 0.0,
        mean=mean,
        upper=2.0 * mean if name != CLASSES[-1] else inf,
    )


def displacement_psd(*, roughness: float, wave_number: float) -> float:
    """Return the power spectral density of the road height.

    G_d(n) = G_d(n₀) (n / n₀)⁻², n₀ = 0.1 cycle/m

    Parameters
    ----------
    roughness : float
        G_d(n₀), at 0.1 cycle/m; class means run from 16e-6 (A) on [m³], ≥ 0.
    wave_number : float
        n, waves in a metre [1/m], > 0.

    Returns
    -------
    float
        G_d, mean square of the height for each cycle/m, one-sided [m³], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a straight line through a measured spectrum; proven for waves of about 0.35 to
    90 m (value from memory).

    References
    ----------
    standard: ISO 8608, fitted power spectral density with exponent 2.

    Examples
    --------
    By hand: twice n₀ has a quarter.

    >>> round(displacement_psd(roughness=64e-6, wave_number=0.2) * 1e6, 9)
    16.0
    """
    require_at_least(0.0, roughness, "Roughness of the road", "m³", "Class C is about 256e-6.")
    require_above(0.0, wave_number, "Wave number", "1/m", "One over the wavelength.")
    return roughness * (REFERENCE_WAVE_NUMBER / wave_number) ** 2


def velocity_psd(*, roughness: float, speed: float) -> float:
    """Return the power spectral density of the road's vertical velocity under the wheel.

    G_v(f) = (2π n₀)² G_d(n₀) V, the same at all frequencies

    Parameters
    ----------
    roughness : float
        G_d(n₀), at 0.1 cycle/m [m³], ≥ 0.
    speed : float
        V, driving speed [m/s], > 0.

    Returns
    -------
    float
        G_v, mean square of the velocity for each hertz, one-sided, (m/s)²/Hz which is
        [m²/s], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `displacement_psd`. Twice the speed is like a road of twice the
    roughness.

    References
    ----------
    derivation: n = f/V and dn = df/V in G_d; a velocity is 2πf times the height.

    Examples
    --------
    By hand: (2π · 0.1)² · 256e-6 · 10.

    >>> round(velocity_psd(roughness=256e-6, speed=10.0) * 1e3, 6)
    1.010647
    """
    require_at_least(0.0, roughness, "Roughness of the road", "m³", "Class C is about 256e-6.")
    require_above(0.0, speed, "Speed", "m/s")
    return (2.0 * pi * REFERENCE_WAVE_NUMBER) ** 2 * roughness * speed


def rms_height(*, roughness: float, shortest: float, longest: float) -> float:
    """Return the root mean square height of a road within a band of wavelengths.

    σ = n₀ √(G_d(n₀) (λ_max − λ_min))

    Long waves make nearly all of it, so a rms height means nothing without its band.

    Parameters
    ----------
    roughness : float
        G_d(n₀), at 0.1 cycle/m [m³], ≥ 0.
    shortest, longest : float
        λ_min and λ_max, ends of the band [m], > 0 and shortest below longest.

    Returns
    -------
    float
        σ, rms of the height about its mean [m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the band is empty.

    Notes
    -----
    Limits: those of `displacement_psd`.

    References
    ----------
    derivation: σ² = ∫ G_d dn = G_d(n₀) n₀² (1/n₁ − 1/n₂).

    Examples
    --------
    By hand: 0.1 √(256e-6 · 25) = 0.1 · 0.08.

    >>> round(rms_height(roughness=256e-6, shortest=1.0, longest=26.0), 9)
    0.008
    """
    require_at_least(0.0, roughness, "Roughness of the road", "m³", "Class C is about 256e-6.")
    _require_band(shortest, longest)
    return REFERENCE_WAVE_NUMBER * sqrt(roughness * (longest - shortest))


def random_profile(
    *,
    roughness: float,
    length: float,
    seed: int,
    shortest: float = 0.4,
    longest: float = 50.0,
) -> Profile:
    """Return a random road of a given roughness.

    h(s) = Σ √(2 G_d(n_k)/L) cos(2π n_k s + φ_k), n_k = k/L within the band

    All multiples of 1/L within the band take part, each with the amplitude that the
    standard's spectrum asks for and a random phase. The same seed gives the same road.

    Parameters
    ----------
    roughness : float
        G_d(n₀), at 0.1 cycle/m [m³], ≥ 0.
    length : float
        L, after which the road repeats [m], ≥ the longest wave.
    seed : int
        Any whole number; it picks the phases.
    shortest, longest : float
        λ_min and λ_max, wavelengths that take part [m], > 0 and shortest below longest.

    Returns
    -------
    Profile
        The road, repeated, with exact slopes at its points.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the band is empty, or asks for more points than a page can hold.

    Notes
    -----
    Limits: heights are close to a normal distribution, without single holes; the amplitudes
    do not scatter as those of a sample of a real road do.

    References
    ----------
    standard: ISO 8608, fitted power spectral density with exponent 2.
    paper: M. Shinozuka and C.-M. Jan, Digital simulation of random processes and its
        applications, Journal of Sound and Vibration, 1972 (value from memory).

    Examples
    --------
    The seed makes the road.

    >>> one = random_profile(roughness=256e-6, length=100.0, seed=1)
    >>> one == random_profile(roughness=256e-6, length=100.0, seed=1)
    True
    """
    require_at_least(0.0, roughness, "Roughness of the road", "m³", "Class C is about 256e-6.")
    _require_band(shortest, longest)
    advice = "The road must hold its longest wave once."
    require_between(longest, 1e6, length, "Length of the road", "m", advice)
    count = 2 ** ceil(log2(_PER_SHORTEST * length / shortest))
    if count > _MOST_POINTS:
        message = (
            f"A road of {length:g} m with waves down to {shortest:g} m needs more than "
            f"{_MOST_POINTS} points. Shorten the road; it repeats."
        )
        raise ConflictError(message, inputs=("length", "shortest"))
    phases = Random(seed)  # noqa: S311  a road, not a secret
    terms = [0j] * count
    for k in range(ceil(length / longest), int(length / shortest) + 1):
        n = k / length
        amplitude = sqrt(2.0 * displacement_psd(roughness=roughness, wave_number=n) / length)
        term = 0.5 * amplitude * complex_exp(2j * pi * phases.random())
        # Heights in the real part, slopes in the imaginary part: one transform for both.
        turn = 2.0 * pi * n  # i turns a height into a slope, i once more into the imaginary part
        terms[k] = term * (1.0 - turn)
        terms[-k] = term.conjugate() * (1.0 + turn)
    points = _summed(terms)
    points.append(points[0])
    return Profile(
        distance=tuple(length * i / count for i in range(count + 1)),
        height=tuple(point.real for point in points),
        slope=tuple(point.imag for point in points),
        periodic=True,
    )


def _summed(terms: list[complex]) -> list[complex]:
    """Return Σ_k terms[k] exp(2πi k j / N) for each j, N a power of two."""
    count = len(terms)
    if count == 1:
        return terms
    even, odd = _summed(terms[0::2]), _summed(terms[1::2])
    turn = 2j * pi / count
    turned = [complex_exp(turn * j) * value for j, value in enumerate(odd)]
    return [a + b for a, b in zip(even, turned, strict=True)] + [
        a - b for a, b in zip(even, turned, strict=True)
    ]


def _require_band(shortest: float, longest: float) -> None:
    require_above(0.0, shortest, "Shortest wavelength", "m")
    require_above(0.0, longest, "Longest wavelength", "m")
    if shortest >= longest:
        message = (
            f"The shortest wavelength ({shortest:g} m) must be below the longest ({longest:g} m)."
        )
        raise ConflictError(message, inputs=("shortest", "longest"))
