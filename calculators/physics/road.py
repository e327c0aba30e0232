"""Roads under one wheel: corrugation, one bump, a measured line.

Every road is a `Profile`: heights over the distance. With slopes given, a cubic joins the
points smoothly; without, straight lines do. Random roads are made in `roughness`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, isfinite, pi, sin
from typing import TYPE_CHECKING

from calculators.errors import (
    InputError,
    require_above,
    require_at_least,
    require_finite,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "Profile",
    "bump",
    "corrugation",
    "driving_frequency",
    "measured_profile",
    "road_velocity_amplitude",
]

_PER_WAVE = 48  # points on one wavelength: the cubic misses a sine by 8e-7 of its amplitude
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
