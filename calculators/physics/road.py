"""Roads under one wheel: corrugation, random roughness after ISO 8608, one bump, a measured line.

Every road is a `Profile`: heights over the distance. With slopes given, a cubic joins the
points smoothly; without, straight lines do. Standard library only: the random phases come
from `random.Random(seed)`, and the cosines are summed by a fast Fourier transform.
"""

from __future__ import annotations

from cmath import exp as complex_exp
from dataclasses import dataclass
from math import ceil, cos, inf, isfinite, log2, pi, sin, sqrt
from random import Random
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    InputError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "CLASSES",
    "REFERENCE_WAVE_NUMBER",
    "Profile",
    "RoughnessClass",
    "bump",
    "corrugation",
    "displacement_psd",
    "driving_frequency",
    "measured_profile",
    "random_profile",
    "rms_height",
    "road_velocity_amplitude",
    "roughness_class",
    "velocity_psd",
]

REFERENCE_WAVE_NUMBER = 0.1  # 1/m, n₀ of ISO 8608
CLASSES = "ABCDEFGH"  # from very smooth to hardly passable, ISO 8608
CLASS_A_MEAN = 16e-6  # m³, geometric mean of class A at n₀, ISO 8608; each next class is 4 ×
_PER_WAVE = 48  # points on one wavelength: the cubic misses a sine by 8e-7 of its amplitude
_PER_SHORTEST = 8  # least points on the shortest wavelength of a random road
_MOST_POINTS = 2**16
_WAVELENGTH = "From crest to crest."


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Heights of a road over the distance.

    Parameters
    ----------
    distance : tuple of float
        s, along the road, rising [m], the first ≥ 0; at least two.
    height : tuple of float
        h, of the road at these places [m], any finite value.
    slope : tuple of float
        dh/ds at these places [1], any finite value; empty for straight lines between points.
    periodic : bool
        Whether the road repeats after its end; else it goes on level.

    Raises
    ------
    InputError
        If the numbers of values differ, or one is not finite or not further on.

    Notes
    -----
    Limits: one track, touched in a point. A tyre's patch swallows waves shorter than itself.

    References
    ----------
    derivation: a cubic through two points with two slopes (Hermite).

    Examples
    --------
    By hand: halfway up a ramp of 0.1 m; behind it, level.

    >>> ramp = Profile(distance=(0.0, 2.0), height=(0.0, 0.1))
    >>> ramp.heights(places=[0.0, 1.0, 3.0])
    [0.0, 0.05, 0.1]
    """

    distance: tuple[float, ...]
    height: tuple[float, ...]
    slope: tuple[float, ...] = ()
    periodic: bool = False

    def __post_init__(self) -> None:
        """Refuse what is no road."""
        count = len(self.distance)
        if count < 2 or len(self.height) != count or len(self.slope) not in {0, count}:  # noqa: PLR2004
            message = "A road needs two points or more, and as many heights as distances."
            raise InputError(message, inputs=("distance", "height"))
        before = -inf
        for row, (place, height) in enumerate(zip(self.distance, self.height, strict=True), 1):
            if not (isfinite(place) and isfinite(height)):
                message = f"Row {row} of the road: distance and height must be finite numbers."
                raise InputError(message, inputs=("distance", "height"))
            if place <= max(before, 0.0) and not (row == 1 and place == 0.0):
                message = (
                    f"Row {row} of the road: distance {place:g} m is not further on than "
                    f"{max(before, 0.0):g} m. Sort the rows by distance, each place once."
                )
                raise InputError(message, inputs=("distance",))
            before = place

    def heights(self, *, places: Sequence[float]) -> list[float]:
        """Return the heights [m] at places [m]; quick if the places rise."""
        distance, height, slope = self.distance, self.height, self.slope
        first, last = distance[0], distance[-1]
        length = last - first
        found = []
        i, end = 1, len(distance) - 1
        for place in places:
            s = place
            if s >= last:
                if not self.periodic:
                    found.append(height[-1])
                    continue
                s = first + (s - first) % length
            if s <= first:
                found.append(height[0])
                continue
            if s < distance[i - 1]:
                i = 1
            while i < end and distance[i] < s:
                i += 1
            a, b = distance[i - 1], height[i - 1]
            step = distance[i] - a
            u = (s - a) / step
            rise = height[i] - b
            if slope:
                p, q = slope[i - 1] * step, slope[i] * step
                b += u * (p + u * (3.0 * rise - 2.0 * p - q + u * (p + q - 2.0 * rise)))
            else:
                b += u * rise
            found.append(b)
        return found


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


def driving_frequency(*, speed: float, wavelength: float) -> float:
    """Return how many waves a second the wheel meets.

    f = V / λ

    Parameters
    ----------
    speed : float
        V, driving speed [m/s], > 0.
    wavelength : float
        λ, of the road, crest to crest [m], > 0.

    Returns
    -------
    float
        f, frequency of the road under the wheel [Hz], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not above zero.

    Notes
    -----
    Limits: constant speed.

    References
    ----------
    derivation: V metres a second over λ metres a wave.

    Examples
    --------
    By hand: 15 m/s over waves of 0.75 m.

    >>> driving_frequency(speed=15.0, wavelength=0.75)
    20.0
    """
    require_above(0.0, speed, "Speed", "m/s")
    require_above(0.0, wavelength, "Wavelength", "m", _WAVELENGTH)
    return speed / wavelength


def road_velocity_amplitude(*, speed: float, wavelength: float, amplitude: float) -> float:
    """Return how fast a corrugated road moves up and down under the wheel, at most.

    v̂ = 2π a V / λ

    Parameters
    ----------
    speed : float
        V, driving speed [m/s], > 0.
    wavelength : float
        λ, crest to crest [m], > 0.
    amplitude : float
        a, half of the height from trough to crest [m], ≥ 0.

    Returns
    -------
    float
        v̂, largest vertical velocity of the road under the wheel [m/s], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a sine, touched in a point. The wheel does not follow it far above its hop
    frequency.

    References
    ----------
    derivation: the largest slope of a sin(2π V t / λ).

    Examples
    --------
    By hand: 2π · 0.01 · 10.

    >>> round(road_velocity_amplitude(speed=10.0, wavelength=1.0, amplitude=0.01), 6)
    0.628319
    """
    require_at_least(0.0, amplitude, "Amplitude of the road", "m", "Half of trough to crest.")
    return 2.0 * pi * amplitude * driving_frequency(speed=speed, wavelength=wavelength)


def corrugation(*, wavelength: float, amplitude: float) -> Profile:
    """Return an endless sine road.

    h = a sin(2π s / λ)

    Parameters
    ----------
    wavelength : float
        λ, crest to crest [m], > 0.
    amplitude : float
        a, half of the height from trough to crest [m], ≥ 0.

    Returns
    -------
    Profile
        One wave, repeated.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: real corrugations are steeper on one side; the cubic between the points misses
    the sine by less than 1e-6 of the amplitude.

    References
    ----------
    derivation: a sine and its slope at 48 places of a wave.

    Examples
    --------
    By hand: the crest is a quarter of a wave along.

    >>> road = corrugation(wavelength=0.8, amplitude=0.01)
    >>> road.heights(places=[0.2])
    [0.01]
    """
    require_above(0.0, wavelength, "Wavelength", "m", _WAVELENGTH)
    require_at_least(0.0, amplitude, "Amplitude of the road", "m", "Half of trough to crest.")
    turns = [i / _PER_WAVE for i in range(_PER_WAVE + 1)]
    steepest = 2.0 * pi * amplitude / wavelength
    return Profile(
        distance=tuple(wavelength * turn for turn in turns),
        height=tuple(amplitude * sin(2.0 * pi * turn) for turn in turns),
        slope=tuple(steepest * cos(2.0 * pi * turn) for turn in turns),
        periodic=True,
    )


def bump(*, height: float, length: float, approach: float = 0.0) -> Profile:
    """Return one smooth bump, or a hole, in a level road.

    h = ½ H (1 − cos(2π (s − s₀) / L)) for s₀ ≤ s ≤ s₀ + L

    Parameters
    ----------
    height : float
        H, of the crest; negative for a hole [m], any finite value.
    length : float
        L, from its beginning to its end [m], > 0.
    approach : float
        s₀, level road before it [m], ≥ 0.

    Returns
    -------
    Profile
        The bump; behind it the road goes on level.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a wheel larger than a hole does not reach its bottom; here it does.

    References
    ----------
    derivation: a raised cosine (haversine) leaves and meets the level without an edge.

    Examples
    --------
    By hand: the crest is half of the length along.

    >>> road = bump(height=0.05, length=1.0, approach=2.0)
    >>> road.heights(places=[1.0, 2.5, 4.0])
    [0.0, 0.05, 0.0]
    """
    require_finite(height, "Height of the bump", "m")
    require_above(0.0, length, "Length of the bump", "m")
    require_at_least(0.0, approach, "Road before the bump", "m")
    turns = [i / _PER_WAVE for i in range(_PER_WAVE + 1)]
    steepest = pi * height / length
    return Profile(
        distance=tuple(approach + length * turn for turn in turns),
        height=tuple(0.5 * height * (1.0 - cos(2.0 * pi * turn)) for turn in turns),
        slope=tuple(steepest * sin(2.0 * pi * turn) for turn in turns),
    )


def measured_profile(*, points: Sequence[tuple[float, float]], periodic: bool = False) -> Profile:
    """Return the road through measured points, joined by straight lines.

    h = h_i + (h_{i+1} − h_i) (s − s_i) / (s_{i+1} − s_i)

    Parameters
    ----------
    points : sequence of pairs of float
        Distance and height of each place [m], any finite values, distances from 0 on and
        rising.
    periodic : bool
        Whether the road repeats after the last point.

    Returns
    -------
    Profile
        The road.

    Raises
    ------
    InputError
        If there are fewer than two points, or a row is not finite or not further on; the
        message names the row, counted from 1.

    Notes
    -----
    Limits: what lies between the points is unknown. Waves shorter than about four points
    are not in it.

    References
    ----------
    derivation: linear interpolation.

    Examples
    --------
    By hand: a quarter of the way up.

    >>> road = measured_profile(points=[(0.0, 0.0), (2.0, 0.04)])
    >>> road.heights(places=[0.5])
    [0.01]
    """
    return Profile(
        distance=tuple(place for place, _ in points),
        height=tuple(height for _, height in points),
        periodic=periodic,
    )


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
