"""The same corner empty and loaded: coil, leaf and air spring."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.air import GRAVITY
from calculators.physics.air_spring import air_spring_rate
from calculators.physics.corner import (
    friction_damping,
    wheel_damping,
)
from calculators.physics.corner import wheel_rate as rate_at_wheel
from calculators.physics.gas import P_ATM
from calculators.physics.oscillator import damping_ratio, natural_frequency

__all__ = ["LoadState", "air_load_range", "coil_load_range", "leaf_load_range"]


@dataclass(frozen=True, slots=True)
class LoadState:
    """Frequency and damping of one corner at one load.

    Attributes
    ----------
    sprung_mass : float
        m_s [kg].
    wheel_rate : float
        k_w [N/m].
    wheel_damping : float
        c_w, of damper and friction together, at the wheel [N·s/m].
    frequency : float
        f_n, of the body on the spring [Hz].
    damping_ratio : float
        ζ [1].
    pressure : float or None
        absolute pressure in the air spring [Pa]; None for the others.
    """

    sprung_mass: float
    wheel_rate: float
    wheel_damping: float
    frequency: float
    damping_ratio: float
    pressure: float | None = None


def coil_load_range(
    *, sprung_masses: tuple[float, ...], wheel_rate: float, wheel_damping: float
) -> tuple[LoadState, ...]:
    """Return frequency and damping ratio over load on a coil spring.

    f_n ∝ m^(−½),   ζ ∝ m^(−½)

    Load makes the body both slower and less damped. A damper chosen for the loaded
    vehicle is hard when it is empty.

    Parameters
    ----------
    sprung_masses : tuple of float
        body mass on this wheel at each load [kg], > 0, at least one.
    wheel_rate : float
        k_w [N/m], > 0.
    wheel_damping : float
        c_w, at the wheel [N·s/m], ≥ 0.

    Returns
    -------
    tuple of LoadState
        In the order of the masses.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If no mass is given.

    Notes
    -----
    Limits: straight-line spring, constant motion ratio, rigid tyre.

    References
    ----------
    derivation: `oscillator.natural_frequency` and `oscillator.damping_ratio` at each load.

    Examples
    --------
    Four times the mass: half the frequency and half the damping ratio.

    >>> light, heavy = coil_load_range(
    ...     sprung_masses=(100.0, 400.0), wheel_rate=25_000.0, wheel_damping=1_000.0)
    >>> round(light.frequency / heavy.frequency, 9), round(heavy.damping_ratio, 4)
    (2.0, 0.1581)
    """
    _require_masses(sprung_masses)
    return tuple(_state(mass, wheel_rate, wheel_damping) for mass in sprung_masses)


def leaf_load_range(
    *,
    sprung_masses: tuple[float, ...],
    wheel_rate: float,
    wheel_damping: float,
    friction_share: float,
    amplitude: float,
) -> tuple[LoadState, ...]:
    """Return frequency and damping ratio over load on a leaf spring that rubs.

    c = c_w + 4 F_f/(π ω_n X),   F_f = μ m g

    Friction follows the load; at small amplitudes it holds the spring, at large ones
    it hardly damps.

    Parameters
    ----------
    sprung_masses : tuple of float
        body mass on this wheel at each load [kg], > 0, at least one.
    wheel_rate : float
        k_w, while the leaves slide [N/m], > 0.
    wheel_damping : float
        c_w, of the damper at the wheel [N·s/m], ≥ 0.
    friction_share : float
        μ, half the height of the force-travel loop over the load; 0.03 to 0.15, few
        long leaves to many rusty ones (common practice) [1], ≥ 0.
    amplitude : float
        X, of the travel, half of peak to peak [m], > 0.

    Returns
    -------
    tuple of LoadState
        In the order of the masses.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If no mass is given, or the amplitude is too small for the leaves to slide.

    Notes
    -----
    Limits: equal energy in a cycle at the body's frequency. Leaves slide if the spring
    force over the amplitude is above the friction, k_w X > F_f.

    References
    ----------
    derivation: `corner.friction_damping` at the natural frequency.

    Examples
    --------
    Without friction it is a coil spring.

    >>> leaf = leaf_load_range(
    ...     sprung_masses=(400.0,), wheel_rate=25_000.0, wheel_damping=1_000.0,
    ...     friction_share=0.0, amplitude=0.02)
    >>> leaf == coil_load_range(
    ...     sprung_masses=(400.0,), wheel_rate=25_000.0, wheel_damping=1_000.0)
    True
    """
    _require_masses(sprung_masses)
    require_at_least(0.0, friction_share, "Friction over load", "", "Usually 0.03 to 0.15.")
    require_above(0.0, wheel_rate, "Wheel rate", "N/m", "While the leaves slide.")
    require_above(0.0, amplitude, "Amplitude", "m", "Half of peak to peak.")
    states = []
    for mass in sprung_masses:
        friction = friction_share * mass * GRAVITY
        if friction >= wheel_rate * amplitude:
            message = (
                f"At {mass:g} kg the leaves stick: {friction:.4g} N of friction hold an "
                f"amplitude of {amplitude:g} m. Give a larger amplitude."
            )
            raise ConflictError(message, inputs=("amplitude", "friction_share"))
        rubbing = friction_damping(
            friction_force=friction,
            angular_frequency=2.0 * pi * natural_frequency(stiffness=wheel_rate, mass=mass),
            amplitude=amplitude,
        )
        states.append(_state(mass, wheel_rate, wheel_damping + rubbing))
    return tuple(states)


def air_load_range(
    *,
    sprung_masses: tuple[float, ...],
    effective_area: float,
    volume: float,
    damper_damping: float,
    motion_ratio: float = 1.0,
    motion_ratio_damper: float = 1.0,
    polytropic_exponent: float = 1.4,
    pressure_ambient: float = P_ATM,
) -> tuple[LoadState, ...]:
    """Return frequency and damping ratio over load on an air spring at constant height.

    p = p_amb + m g/(MR A_e),   k_w = MR² n p A_e²/V

    The pressure follows the load, and the rate with it: the frequency hardly changes,
    and ζ of a fixed damper falls about as 1/m, faster than on a coil spring (1/√m).

    Parameters
    ----------
    sprung_masses : tuple of float
        body mass on this wheel at each load [kg], > 0, at least one.
    effective_area : float
        A_e, of the bellows at ride height [m²], > 0.
    volume : float
        V, of air at ride height [m³], > 0.
    damper_damping : float
        c_d, at the damper [N·s/m], ≥ 0.
    motion_ratio : float
        MR, of the air spring [1], > 0.
    motion_ratio_damper : float
        of the damper [1], > 0.
    polytropic_exponent : float
        n, 1 (slow) to 1.4 (fast) [1], 1 to 1.67.
    pressure_ambient : float
        p_amb, air outside, absolute [Pa], > 0.

    Returns
    -------
    tuple of LoadState
        In the order of the masses, with the pressure.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If no mass is given.

    Notes
    -----
    Limits: constant effective area and motion ratio, ideal gas, bellows without
    stiffness of their own. The makers of bellows print the rate they measured.

    References
    ----------
    derivation: balance of the load and `air_spring_rate`.

    Examples
    --------
    Four times the load leaves the frequency almost alone.

    >>> light, heavy = air_load_range(
    ...     sprung_masses=(300.0, 1_200.0), effective_area=0.02, volume=0.006,
    ...     damper_damping=2_000.0)
    >>> 0.7 < heavy.frequency / light.frequency < 1.0
    True
    """
    _require_masses(sprung_masses)
    require_above(0.0, effective_area, "Effective area", "m²", "Load over gauge pressure.")
    require_above(0.0, motion_ratio, "Motion ratio of the spring", "", "Spring over wheel travel.")
    damping = wheel_damping(damper_damping=damper_damping, motion_ratio=motion_ratio_damper)
    states = []
    for mass in sprung_masses:
        pressure = pressure_ambient + mass * GRAVITY / (motion_ratio * effective_area)
        rate = air_spring_rate(
            pressure=pressure,
            effective_area=effective_area,
            volume=volume,
            polytropic_exponent=polytropic_exponent,
            pressure_ambient=pressure_ambient,
        )
        at_wheel = rate_at_wheel(spring_rate=rate, motion_ratio=motion_ratio)
        states.append(_state(mass, at_wheel, damping, pressure))
    return tuple(states)


def _state(mass: float, rate: float, damping: float, pressure: float | None = None) -> LoadState:
    return LoadState(
        sprung_mass=mass,
        wheel_rate=rate,
        wheel_damping=damping,
        frequency=natural_frequency(stiffness=rate, mass=mass),
        damping_ratio=damping_ratio(wheel_damping=damping, wheel_rate=rate, sprung_mass=mass),
        pressure=pressure,
    )


def _require_masses(masses: tuple[float, ...]) -> None:
    if not masses:
        message = "No mass was given; give at least one."
        raise ConflictError(message, inputs=("sprung_masses",))
    for mass in masses:
        require_above(0.0, mass, "Sprung mass", "kg", "Leave out wheel, hub and axle.")
