"""The linear quarter car in closed form: what a road of one frequency makes of it.

With p = iω, damper and bush as one complex coefficient at the wheel,

    Z = MR² c K / (K + c p),  S = k_w + Z p,  T = k_t + c_t p,
    D = (m_s p² + S)(m_u p² + S + T) − S²

every response is a polynomial over D. On a random road of ISO 8608 the road's velocity is
white, and the rms values follow by integration: in closed form over all wavelengths, or
numerically within a band.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass
from math import exp, inf, log, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    OutOfRangeError,
    require_above,
    require_at_least,
)
from calculators.physics.comfort import vertical_weighting
from calculators.physics.road import velocity_psd

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "FrequencyMarks",
    "LinearCar",
    "RandomRide",
    "SineRide",
    "Transfer",
    "frequency_marks",
    "random_ride",
    "random_ride_all_waves",
    "sine_ride",
    "transfer",
]

_PANELS = 400  # intervals of the integration over ln f; rms then good to 1e-6
_POINTS = (-sqrt(0.6), 0.0, sqrt(0.6))  # Gauss-Legendre, three points
_WEIGHTS = (5.0 / 9.0, 8.0 / 9.0, 5.0 / 9.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearCar:
    """One corner with a straight damper.

    Parameters
    ----------
    sprung_mass : float
        m_s, body mass carried by this wheel [kg], > 0.
    unsprung_mass : float
        m_u, mass that moves with the wheel [kg], > 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.
    tyre_rate : float
        k_t, vertical rate of the tyre [N/m], > 0.
    damping : float
        c, coefficient at the damper [N·s/m], ≥ 0.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.
    bush_rate : float
        K, of the bushes in series with the damper [N/m], > 0; inf is a rigid mounting.
    tyre_damping : float
        c_t, of the tyre [N·s/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: small motion about rest; the tyre also pulls, so loads below zero mean that the
    wheel would leave the ground.

    References
    ----------
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, quarter-car model
        (chapter: value from memory).

    Examples
    --------
    >>> LinearCar(
    ...     sprung_mass=400.0, unsprung_mass=40.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damping=1_500.0).motion_ratio
    1.0
    """

    sprung_mass: float
    unsprung_mass: float
    wheel_rate: float
    tyre_rate: float
    damping: float
    motion_ratio: float = 1.0
    bush_rate: float = inf
    tyre_damping: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what is no vehicle."""
        require_above(0.0, self.sprung_mass, "Sprung mass", "kg", "Leave out wheel, hub and axle.")
        require_above(0.0, self.unsprung_mass, "Unsprung mass", "kg", "Wheel, hub and brake.")
        require_above(0.0, self.wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
        require_above(0.0, self.tyre_rate, "Tyre rate", "N/m", "Load over deflection of the tyre.")
        require_at_least(0.0, self.damping, "Damping at the damper", "N·s/m")
        require_above(0.0, self.motion_ratio, "Motion ratio", "", "Damper over wheel travel.")
        require_at_least(0.0, self.tyre_damping, "Damping of the tyre", "N·s/m")
        if not self.bush_rate > 0.0:
            label = "Stiffness of the bushes"
            raise OutOfRangeError(label, self.bush_rate, "N/m", minimum=0.0, minimum_allowed=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """Complex responses to a road of 1 m amplitude at one frequency.

    Attributes
    ----------
    body : complex
        Body height over road height.
    wheel : complex
        Wheel height over road height.
    body_acceleration : complex
        Body acceleration over road height, 1/s².
    travel : complex
        Suspension travel, compression positive, over road height.
    tyre_force : complex
        Change of the tyre load over road height, N/m.
    damper_velocity : complex
        Rod velocity behind the bush over road height, 1/s.
    """

    body: complex
    wheel: complex
    body_acceleration: complex
    travel: complex
    tyre_force: complex
    damper_velocity: complex


@dataclass(frozen=True, slots=True, kw_only=True)
class SineRide:
    """Amplitudes on a corrugated road.

    Attributes
    ----------
    body : float
        Body height [m], ≥ 0.
    wheel : float
        Wheel height [m], ≥ 0.
    body_acceleration : float
        Body acceleration [m/s²], ≥ 0.
    travel : float
        Suspension travel [m], ≥ 0.
    tyre_force : float
        Change of the tyre load [N], ≥ 0.
    damper_velocity : float
        Rod velocity [m/s], ≥ 0.
    damper_power : float
        Mean heat flow into the damper [W], ≥ 0.
    """

    body: float
    wheel: float
    body_acceleration: float
    travel: float
    tyre_force: float
    damper_velocity: float
    damper_power: float


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


@dataclass(frozen=True, slots=True, kw_only=True)
class FrequencyMarks:
    """Frequencies worth a mark in a chart.

    Attributes
    ----------
    body : float
        First natural frequency without damping, the body on everything [Hz], > 0.
    wheel_hop : float
        Second natural frequency without damping, the wheel between body and road [Hz], > 0.
    fixed_acceleration : float
        Where the body acceleration is k_t/m_s of the road's height, whatever spring and
        damper are [Hz], > 0.
    fixed_travel : float
        Where the suspension travel is 1 + m_u/m_s times the road's height, whatever spring
        and damper are [Hz], > 0.
    """

    body: float
    wheel_hop: float
    fixed_acceleration: float
    fixed_travel: float


def transfer(*, car: LinearCar, frequency: float) -> Transfer:
    """Return what a road of one frequency makes of the corner, with its phase.

    z_s = S T / D, z_u = T (m_s p² + S) / D, F_t = T (1 − z_u)

    Parameters
    ----------
    car : LinearCar
        The corner.
    frequency : float
        f, of the road under the wheel [Hz], > 0.

    Returns
    -------
    Transfer
        Complex amplitudes for a road of 1 m; the angle is the lead on the road.

    Raises
    ------
    OutOfRangeError
        If the frequency is not above zero.
    ConflictError
        If nothing damps and the frequency is a natural one.

    Notes
    -----
    Limits: steady state, and those of `LinearCar`.

    References
    ----------
    derivation: Newton's law for both masses with z = ẑ e^{pt}, solved for z_s and z_u.
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (chapter: value from
        memory).

    Examples
    --------
    A slow road lifts the body as it is.

    >>> car = LinearCar(
    ...     sprung_mass=400.0, unsprung_mass=40.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damping=1_500.0)
    >>> round(abs(transfer(car=car, frequency=0.01).body), 3)
    1.0
    """
    require_above(0.0, frequency, "Frequency", "Hz")
    p = 2j * pi * frequency
    yielding = 1.0 / (1.0 + car.damping * p / car.bush_rate)  # rod over rod end
    spring = car.wheel_rate + car.motion_ratio**2 * car.damping * yielding * p
    tyre = car.tyre_rate + car.tyre_damping * p
    body_force = car.sprung_mass * p * p
    divisor = (body_force + spring) * (car.unsprung_mass * p * p + spring + tyre) - spring**2
    if divisor == 0.0:
        message = f"Nothing damps, and {frequency:g} Hz is a natural frequency: it grows for ever."
        raise ConflictError(message, inputs=("damping", "frequency"))
    body = spring * tyre / divisor
    wheel = tyre * (body_force + spring) / divisor
    travel = tyre * body_force / divisor
    return Transfer(
        body=body,
        wheel=wheel,
        body_acceleration=p * p * body,
        travel=travel,
        tyre_force=tyre * (1.0 - wheel),
        damper_velocity=car.motion_ratio * p * travel * yielding,
    )


def sine_ride(*, car: LinearCar, frequency: float, amplitude: float) -> SineRide:
    """Return the amplitudes on a corrugated road.

    |response| × road amplitude; power ½ c û²

    Parameters
    ----------
    car : LinearCar
        The corner.
    frequency : float
        f, of the road under the wheel, speed over wavelength [Hz], > 0.
    amplitude : float
        a, half of the height from trough to crest [m], ≥ 0.

    Returns
    -------
    SineRide
        The amplitudes.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If nothing damps and the frequency is a natural one.

    Notes
    -----
    Limits: holds while the tyre stays on the ground: `tyre_force` below the static load.

    References
    ----------
    derivation: moduli of `transfer`; the mean of sin² is a half.

    Examples
    --------
    By hand: at √(k_t/m_u) the body has k_t/m_s of the road, 200 000/400 · 0.01.

    >>> car = LinearCar(
    ...     sprung_mass=400.0, unsprung_mass=50.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damping=1_500.0)
    >>> from math import pi
    >>> ride = sine_ride(car=car, frequency=4_000.0**0.5 / (2.0 * pi), amplitude=0.01)
    >>> round(ride.body_acceleration, 9)
    5.0
    """
    require_at_least(0.0, amplitude, "Amplitude of the road", "m", "Half of trough to crest.")
    gains = astuple(transfer(car=car, frequency=frequency))
    body, wheel, acceleration, travel, force, velocity = (amplitude * abs(gain) for gain in gains)
    return SineRide(
        body=body,
        wheel=wheel,
        body_acceleration=acceleration,
        travel=travel,
        tyre_force=force,
        damper_velocity=velocity,
        damper_power=0.5 * car.damping * velocity**2,
    )


def frequency_marks(*, car: LinearCar) -> FrequencyMarks:
    """Return natural frequencies and the two fixed points of the corner.

    m_s m_u ω⁴ − ((k_w + k_t) m_s + k_w m_u) ω² + k_w k_t = 0

    At a fixed point all spring and damper settings meet: no damper helps there.

    Parameters
    ----------
    car : LinearCar
        The corner.

    Returns
    -------
    FrequencyMarks
        The frequencies.

    Notes
    -----
    Limits: no damping; the fixed points also ask for a tyre without damping.

    References
    ----------
    derivation: D = 0 without damping. The sum of both equations, m_s z̈_s + m_u z̈_u =
        k_t (z_r − z_u), has neither spring nor damper in it; z_u drops out at ω² = k_t/m_u,
        and with travel in place of z_s at ω² = k_t/(m_s + m_u).

    Examples
    --------
    By hand: √(200 000/50) / 2π and √(200 000/450) / 2π.

    >>> car = LinearCar(
    ...     sprung_mass=400.0, unsprung_mass=50.0, wheel_rate=25_000.0, tyre_rate=200_000.0,
    ...     damping=1_500.0)
    >>> marks = frequency_marks(car=car)
    >>> round(marks.fixed_acceleration, 4), round(marks.fixed_travel, 4)
    (10.0658, 3.3553)
    """
    m_s, m_u, k_w, k_t = car.sprung_mass, car.unsprung_mass, car.wheel_rate, car.tyre_rate
    half = 0.5 * ((k_w + k_t) * m_s + k_w * m_u)
    product = m_s * m_u
    high = (half + sqrt(half * half - product * k_w * k_t)) / product
    low = k_w * k_t / (product * high)
    return FrequencyMarks(
        body=sqrt(low) / (2.0 * pi),
        wheel_hop=sqrt(high) / (2.0 * pi),
        fixed_acceleration=sqrt(k_t / m_u) / (2.0 * pi),
        fixed_travel=sqrt(k_t / (m_s + m_u)) / (2.0 * pi),
    )


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
