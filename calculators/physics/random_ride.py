"""A straight-line corner on a random road: rms values by integration, and in closed form.

On a random road of ISO 8608 the road's velocity is white, and the rms values follow by
integration of `frequency`'s responses: in closed form over all wavelengths, or numerically
within a band.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, inf, log, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    require_above,
)
from calculators.physics.comfort import vertical_weighting
from calculators.physics.frequency import LinearCar, transfer
from calculators.physics.roughness import velocity_psd

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["RandomRide", "random_ride", "random_ride_all_waves"]

_PANELS = 400  # intervals of the integration over ln f; rms then good to 1e-6
_POINTS = (-sqrt(0.6), 0.0, sqrt(0.6))  # Gauss-Legendre, three points
_WEIGHTS = (5.0 / 9.0, 8.0 / 9.0, 5.0 / 9.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomRide:
    """Rms values on a random road.

    Attributes
    ----------
    body_acceleration : float
        Rms of the body acceleration [m/s²], ≥ 0.
    weighted_acceleration : float or None
        The same, weighted by W_k of ISO 2631-1 [m/s²], ≥ 0; None if it was not asked for.
    travel : float
        Rms of the suspension travel [m], ≥ 0.
    tyre_force : float
        Rms of the change of the tyre load [N], ≥ 0.
    damper_velocity : float
        Rms of the rod velocity [m/s], ≥ 0.
    damper_power : float
        Mean heat flow into the damper [W], ≥ 0.
    """

    body_acceleration: float
    weighted_acceleration: float | None
    travel: float
    tyre_force: float
    damper_velocity: float
    damper_power: float


def random_ride(
    *,
    car: LinearCar,
    roughness: float,
    speed: float,
    shortest: float = 0.4,
    longest: float = 50.0,
) -> RandomRide:
    """Return the rms values on a random road within a band of wavelengths.

    σ² = ∫ |H(f)|² G_v df from V/λ_max to V/λ_min, H over the road's velocity

    Parameters
    ----------
    car : LinearCar
        The corner.
    roughness : float
        G_d(n₀), at 0.1 cycle/m [m³], ≥ 0.
    speed : float
        V, driving speed [m/s], > 0.
    shortest, longest : float
        λ_min and λ_max, ends of the band [m], > 0 and shortest below longest.

    Returns
    -------
    RandomRide
        The rms values.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the band is empty.

    Notes
    -----
    Limits: those of `LinearCar`; the integration asks for a damping ratio above 0.01 of
    body and wheel.

    References
    ----------
    standard: ISO 8608, fitted power spectral density with exponent 2.
    derivation: Gauss-Legendre with three points in each of 400 intervals of ln f.

    Examples
    --------
    Twice the roughness and twice the speed are alike, but for the band.

    >>> car = LinearCar(
    ...     sprung_mass=400.0, unsprung_mass=50.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damping=1_500.0)
    >>> one = random_ride(
    ...     car=car, roughness=128e-6, speed=20.0, shortest=0.4, longest=50.0)
    >>> two = random_ride(
    ...     car=car, roughness=256e-6, speed=10.0, shortest=0.2, longest=25.0)
    >>> round(one.damper_power / two.damper_power, 9)
    1.0
    """
    level = velocity_psd(roughness=roughness, speed=speed)
    require_above(0.0, shortest, "Shortest wavelength", "m")
    require_above(0.0, longest, "Longest wavelength", "m")
    if shortest >= longest:
        message = f"The shortest wave ({shortest:g} m) must be below the longest ({longest:g} m)."
        raise ConflictError(message, inputs=("shortest", "longest"))
    low = log(speed / longest)
    panel = log(longest / shortest) / _PANELS
    squares = [0.0] * 5
    for i in range(_PANELS):
        for point, weight in zip(_POINTS, _WEIGHTS, strict=True):
            f = exp(low + panel * (i + 0.5 + 0.5 * point))
            share = 0.5 * panel * weight * f * level / (2.0 * pi * f) ** 2
            gain = transfer(car=car, frequency=f)
            felt = vertical_weighting(frequency=f) * abs(gain.body_acceleration)
            squares[0] += share * abs(gain.body_acceleration) ** 2
            squares[1] += share * felt**2
            squares[2] += share * abs(gain.travel) ** 2
            squares[3] += share * abs(gain.tyre_force) ** 2
            squares[4] += share * abs(gain.damper_velocity) ** 2
    return RandomRide(
        body_acceleration=sqrt(squares[0]),
        weighted_acceleration=sqrt(squares[1]),
        travel=sqrt(squares[2]),
        tyre_force=sqrt(squares[3]),
        damper_velocity=sqrt(squares[4]),
        damper_power=car.damping * squares[4],
    )


def random_ride_all_waves(*, car: LinearCar, roughness: float, speed: float) -> RandomRide:
    """Return the rms values on a random road of all wavelengths, in closed form.

    σ² = ½ G_v I₄, I₄ = (1/2π) ∫ |H(iω)|² dω by the coefficients of H

    Parameters
    ----------
    car : LinearCar
        The corner, with damping, a rigid mounting and a tyre without damping.
    roughness : float
        G_d(n₀), at 0.1 cycle/m [m³], ≥ 0.
    speed : float
        V, driving speed [m/s], > 0.

    Returns
    -------
    RandomRide
        The rms values, without the weighted acceleration.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the tyre is damped (its force then has no end), the damper stands on bushes, or
        nothing damps.

    Notes
    -----
    Limits: those of `LinearCar`. No road has waves of all lengths; the figures are an upper
    bound, and close where the band holds body and wheel-hop frequency.

    References
    ----------
    book: H. M. James, N. B. Nichols and R. S. Phillips, Theory of Servomechanisms, appendix,
        table of integrals (value from memory).
    derivation: residues of H(p) H(−p) in the left half plane.

    Examples
    --------
    By hand: a white velocity moves the end of the tyre by ⟨dδ²⟩ = ½ G_v dt, which brings in
    ½ k_t ⟨dδ²⟩. So the power is ¼ k_t G_v = 50 000 · 1.010647e-3, whatever spring, damper
    and masses are.

    >>> car = LinearCar(
    ...     sprung_mass=400.0, unsprung_mass=50.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damping=1_500.0)
    >>> ride = random_ride_all_waves(car=car, roughness=256e-6, speed=10.0)
    >>> round(ride.damper_power, 3)
    50.532
    """
    level = velocity_psd(roughness=roughness, speed=speed)
    if car.tyre_damping or car.bush_rate != inf or not car.damping:
        message = (
            "The closed form asks for a damper above 0 N·s/m on a rigid mounting and a tyre "
            "without damping. Integrate over a band instead."
        )
        raise ConflictError(message, inputs=("tyre_damping", "bush_rate", "damping"))
    m_s, m_u, k, k_t = car.sprung_mass, car.unsprung_mass, car.wheel_rate, car.tyre_rate
    c, both = car.motion_ratio**2 * car.damping, car.sprung_mass + car.unsprung_mass
    divisor = (k * k_t, c * k_t, both * k + m_s * k_t, both * c, m_s * m_u)
    velocity = _mean_square((0.0, 0.0, car.motion_ratio * k_t * m_s, 0.0), divisor)
    force = _mean_square((0.0, k_t * both * k, k_t * both * c, k_t * m_s * m_u), divisor)
    return RandomRide(
        body_acceleration=sqrt(0.5 * level * _mean_square((0.0, k * k_t, c * k_t, 0.0), divisor)),
        weighted_acceleration=None,
        travel=sqrt(0.5 * level * _mean_square((0.0, k_t * m_s, 0.0, 0.0), divisor)),
        tyre_force=sqrt(0.5 * level * force),
        damper_velocity=sqrt(0.5 * level * velocity),
        damper_power=0.5 * level * car.damping * velocity,
    )


def _mean_square(top: Sequence[float], bottom: Sequence[float]) -> float:
    """Return (1/2π) ∫ |b(iω)/a(iω)|² dω of a cubic over a quartic, rising powers."""
    b0, b1, b2, b3 = top
    a0, a1, a2, a3, a4 = bottom
    total = b3 * b3 * a0 * (a1 * a2 - a0 * a3)
    total += (b2 * b2 - 2.0 * b1 * b3) * a0 * a1 * a4
    total += (b1 * b1 - 2.0 * b0 * b2) * a0 * a3 * a4
    total += b0 * b0 * a4 * (a2 * a3 - a1 * a4)
    return total / (2.0 * a0 * a4 * (a1 * a2 * a3 - a0 * a3 * a3 - a1 * a1 * a4))
