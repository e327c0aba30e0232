"""The linear quarter car in closed form: what a road of one frequency makes of it.

With p = iω, damper and bush as one complex coefficient at the wheel,

    Z = MR² c K / (K + c p),  S = k_w + Z p,  T = k_t + c_t p,
    D = (m_s p² + S)(m_u p² + S + T) − S²

every response is a polynomial over D. What follows on a random road stands in `random_ride`.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass
from math import inf, pi, sqrt

from calculators.errors import (
    ConflictError,
    OutOfRangeError,
    require_above,
    require_at_least,
)

__all__ = [
    "FrequencyMarks",
    "LinearCar",
    "SineRide",
    "Transfer",
    "frequency_marks",
    "sine_ride",
    "transfer",
]


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
