"""Fade: the damper heats its oil, the thin oil damps less, and both settle together."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Literal

from calculators.errors import require_above
from calculators.physics.air import GREATEST_TEMPERATURE
from calculators.physics.gas import P_ATM
from calculators.physics.heat import SteadyHeat, balanced_heat
from calculators.physics.network import operating_point
from calculators.physics.oil_line import oil_at
from calculators.physics.power import random_power, sine_power

if TYPE_CHECKING:
    from calculators.physics.network import Damper
    from calculators.physics.oil_line import OilLine
    from calculators.physics.shell import Surroundings
    from calculators.physics.thermal_damper import ThermalDamper

__all__ = ["HOTTEST_OIL", "Motion", "fade", "power_at_temperature", "valve_force"]

HOTTEST_OIL = 423.15  # K, 150 °C, end of the oil tables
Motion = Literal["sine", "random"]


def valve_force(*, damper: Damper, oil: OilLine, temperature: float, velocity: float) -> float:
    """Return the force of valves and friction with the oil at a temperature.

    F(v, μ(T)), the gas force left out

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    oil : OilLine
        The oil over temperature.
    temperature : float
        T, of the oil [K], 223.15 to 573.15; above 423.15 the oil of 423.15 is taken.
    velocity : float
        v, speed of the rod, positive in compression [m/s], any sign.

    Returns
    -------
    float
        F, with the sign of the speed [N], any sign.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: those of `operating_point`. The oil tables end at 150 °C.

    References
    ----------
    derivation: `operating_point` with the oil of `oil_at`; the gas pressure falls out.

    Examples
    --------
    A damper that does nothing but rub.

    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.oil_line import OilLine
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> wide = Valve(
    ...     bleed_area=1e-3, port_area=0.0, disc_diameter=0.02, crack_pressure=0.0,
    ...     compliance=0.0, max_lift=0.0)
    >>> damper = Damper(
    ...     piston_diameter=0.046, rod_diameter=0.014,
    ...     piston=ValvePair(compression=wide, rebound=wide), seal_friction=30.0)
    >>> oil = OilLine(
    ...     density_15=870.0, thermal_expansion=7e-4, temperature_1=313.15,
    ...     viscosity_1=15e-6, temperature_2=373.15, viscosity_2=4e-6)
    >>> round(valve_force(damper=damper, oil=oil, temperature=353.15, velocity=-1e-6), 3)
    -30.0
    """
    point = operating_point(
        damper=damper,
        velocity=velocity,
        gas_pressure=P_ATM,  # as outside, so that no gas force stands in the answer
        oil=oil_at(line=oil, temperature=min(temperature, HOTTEST_OIL)),
    )
    return point.force - point.gas_force


def power_at_temperature(
    *,
    damper: Damper,
    oil: OilLine,
    temperature: float,
    velocity_rms: float,
    motion: Motion = "sine",
) -> float:
    """Return the mean power that a damper takes with its oil at a temperature.

    P(T) = ⟨F(v, μ(T)) v⟩

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    oil : OilLine
        The oil over temperature.
    temperature : float
        T, of the oil [K], 223.15 to 573.15; above 423.15 the oil of 423.15 is taken.
    velocity_rms : float
        v_rms, root mean square of the rod speed; of a sine its largest speed / √2 [m/s], > 0.
    motion : str
        "sine" or "random" [-], one of these.

    Returns
    -------
    float
        P [W], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: those of `operating_point`, and of `sine_power` or `random_power`.

    References
    ----------
    derivation: mean of force times speed, with the force of `valve_force`.

    Examples
    --------
    A gap alone is a straight line: c = A² μ / G, and the mean power is c v_rms².

    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.oil_line import OilLine, oil_at
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> gap = Valve(0.0, 0.0, 0.02, 0.0, 0.0, 0.0, leak=1e-11)
    >>> damper = Damper(0.046, 0.0, ValvePair(gap, gap))
    >>> oil = OilLine(
    ...     density_15=870.0, thermal_expansion=7e-4, temperature_1=313.15,
    ...     viscosity_1=15e-6, temperature_2=373.15, viscosity_2=4e-6)
    >>> viscosity = oil_at(line=oil, temperature=333.15).dynamic_viscosity
    >>> straight = damper.piston_area**2 * viscosity / 1e-11 * 0.2**2
    >>> power = power_at_temperature(damper=damper, oil=oil, temperature=333.15, velocity_rms=0.2)
    >>> round(power / straight, 9)
    1.0
    """
    require_above(0.0, velocity_rms, "Root mean square of the rod speed", "m/s")

    def force(velocity: float) -> float:
        return valve_force(damper=damper, oil=oil, temperature=temperature, velocity=velocity)

    if motion == "random":
        return random_power(force=force, velocity_rms=velocity_rms)
    return sine_power(force=force, velocity_amplitude=sqrt(2.0) * velocity_rms)


def fade(
    *,
    damper: Damper,
    oil: OilLine,
    thermal: ThermalDamper,
    surroundings: Surroundings,
    velocity_rms: float,
    motion: Motion = "sine",
) -> SteadyHeat:
    """Return where a damper settles when the oil it heats makes its force fade.

    P(T) = ⟨F(v, μ(T)) v⟩ = heat shed at T

    Only the laminar part of the curve (leak, small bleed, cold oil) depends on
    viscosity; a damper that works by sharp-edged ports and discs fades little.

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    oil : OilLine
        The oil over temperature.
    thermal : ThermalDamper
        The same damper as heat sees it.
    surroundings : Surroundings
        Air, wind and sun.
    velocity_rms : float
        v_rms, root mean square of the rod speed; of a sine its largest speed / √2 [m/s], > 0.
    motion : str
        "sine" or "random" [-], one of these.

    Returns
    -------
    SteadyHeat
        Power, temperatures, losses, resistance.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If the oil would be hotter than 300 °C, or a valve can't pass its flow.

    Notes
    -----
    Limits: those of `operating_point` and `balanced_heat`; the oil tables end at 150 °C,
    and the force is taken as constant from there on. Seal friction stays as given.
    Aeration of hot oil in a twin-tube takes more force than viscosity does.

    References
    ----------
    derivation: energy balance with the power of `power_at_temperature`.

    Examples
    --------
    >>> from calculators.physics.thermal_damper import ThermalDamper
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.oil_line import OilLine
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.shell import Shell, Surroundings
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02, crack_pressure=5e5,
    ...     compliance=2e-10, max_lift=1e-3, leak=2e-13)
    >>> settled = fade(
    ...     damper=Damper(
    ...         piston_diameter=0.046, rod_diameter=0.014,
    ...         piston=ValvePair(compression=valve, rebound=valve)),
    ...     oil=OilLine(
    ...         density_15=870.0, thermal_expansion=7e-4, temperature_1=313.15,
    ...         viscosity_1=15e-6, temperature_2=373.15, viscosity_2=4e-6),
    ...     thermal=ThermalDamper(
    ...         body=Shell(diameter=0.05, length=0.3, heat_capacity=450.0),
    ...         working_diameter=0.046, working_length=0.25, oil_heat_capacity=700.0),
    ...     surroundings=Surroundings(air_temperature=318.15, air_speed=5.0),
    ...     velocity_rms=0.1)
    >>> 318.15 < settled.oil_temperature < 423.15
    True
    """
    return balanced_heat(
        damper=thermal,
        power=lambda temperature: power_at_temperature(
            damper=damper,
            oil=oil,
            temperature=temperature,
            velocity_rms=velocity_rms,
            motion=motion,
        ),
        surroundings=surroundings,
        hottest=GREATEST_TEMPERATURE,
    )
