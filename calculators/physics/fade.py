"""Fade: the damper heats its oil, the thin oil damps less, and both settle together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import require_above
from calculators.physics.gas import P_ATM
from calculators.physics.heat import SteadyHeat, balanced_heat
from calculators.physics.network import ForceVelocityCurve, force_velocity_curve, operating_point
from calculators.physics.oil_line import oil_at
from calculators.physics.power import sine_power

if TYPE_CHECKING:
    from calculators.physics.network import Damper
    from calculators.physics.oil_line import OilLine
    from calculators.physics.shell import Surroundings
    from calculators.physics.thermal_damper import ThermalDamper

__all__ = ["Fade", "fade"]

HOTTEST_OIL = 423.15  # K, 150 °C, end of the oil tables


@dataclass(frozen=True, slots=True)
class Fade:
    """A damper cold, at its normal temperature, and as hot as its own work makes it.

    Attributes
    ----------
    cold, normal, hot : ForceVelocityCurve
        Force over speed at the three temperatures.
    heat : SteadyHeat
        Temperatures and losses of the hot damper.
    power_normal : float
        mean power if the oil stayed at the normal temperature [W].
    loss_compression : float
        share of the normal damping force lost when hot, at the stated speed [1].
    loss_rebound : float
        the same in rebound [1].
    gain_cold_compression : float
        share that the cold damper is stiffer, at the stated speed [1].
    gain_cold_rebound : float
        the same in rebound [1].
    """

    cold: ForceVelocityCurve
    normal: ForceVelocityCurve
    hot: ForceVelocityCurve
    heat: SteadyHeat
    power_normal: float
    loss_compression: float
    loss_rebound: float
    gain_cold_compression: float
    gain_cold_rebound: float

    @property
    def temperature_hot(self) -> float:
        """Oil temperature at which heat and force agree [K]."""
        return self.heat.oil_temperature


def fade(  # noqa: PLR0913  a damper, its heat, its road, and what is asked
    *,
    damper: Damper,
    oil: OilLine,
    thermal: ThermalDamper,
    surroundings: Surroundings,
    gas_pressure: float,
    velocity_amplitude: float,
    velocities: tuple[float, ...],
    speed: float,
    temperature_cold: float,
    temperature_normal: float,
    pressure_ambient: float = P_ATM,
) -> Fade:
    """Return how a damper's force falls as its own work heats its oil.

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
    gas_pressure : float
        absolute pressure of the gas [Pa], > 0.
    velocity_amplitude : float
        v̂, largest rod speed of the sinusoidal motion [m/s], > 0.
    velocities : tuple of float
        speeds of the curves, positive in compression [m/s], any sign, at least one.
    speed : float
        at which the losses are told, in both directions [m/s], > 0.
    temperature_cold : float
        of the cold oil [K], 223.15 to 423.15.
    temperature_normal : float
        of the oil as on the bench [K], 223.15 to 423.15.
    pressure_ambient : float
        absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    Fade
        Three curves, temperatures, losses.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no speed is given.
    NoSolutionError
        If the oil would be hotter than 150 °C, or a valve can't pass its flow.

    Notes
    -----
    Limits: those of `operating_point` and `steady_heat`. The gas pressure stays as
    given, since it shifts the force but takes no power; seal friction stays too.
    Aeration of hot oil in a twin-tube takes more force than viscosity does.

    References
    ----------
    derivation: energy balance with the force of `operating_point` and the oil of
        `oil_at`.

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
    >>> result = fade(
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
    ...     gas_pressure=2e6, velocity_amplitude=0.15, velocities=(-0.3, 0.3), speed=0.1,
    ...     temperature_cold=273.15, temperature_normal=313.15)
    >>> 0.0 < result.loss_rebound < 1.0
    True
    """
    require_above(0.0, velocity_amplitude, "Largest rod speed", "m/s")
    require_above(0.0, speed, "Speed of the comparison", "m/s", "One of the bench speeds.")

    def curve(temperature: float, speeds: tuple[float, ...]) -> ForceVelocityCurve:
        return force_velocity_curve(
            damper=damper,
            velocities=speeds,
            gas_pressure=gas_pressure,
            oil=oil_at(line=oil, temperature=temperature),
            pressure_ambient=pressure_ambient,
        )

    def power(temperature: float) -> float:
        state = oil_at(line=oil, temperature=temperature)

        def force(velocity: float) -> float:
            return operating_point(
                damper=damper,
                velocity=velocity,
                gas_pressure=gas_pressure,
                oil=state,
                pressure_ambient=pressure_ambient,
            ).force

        return sine_power(force=force, velocity_amplitude=velocity_amplitude)

    heat = balanced_heat(
        damper=thermal, power=power, surroundings=surroundings, hottest=HOTTEST_OIL
    )
    compared = (speed, -speed)
    normal = curve(temperature_normal, compared).damping_force
    cold = curve(temperature_cold, compared).damping_force
    hot = curve(heat.oil_temperature, compared).damping_force
    return Fade(
        cold=curve(temperature_cold, velocities),
        normal=curve(temperature_normal, velocities),
        hot=curve(heat.oil_temperature, velocities),
        heat=heat,
        power_normal=power(temperature_normal),
        loss_compression=1.0 - hot[0] / normal[0],
        loss_rebound=1.0 - hot[1] / normal[1],
        gain_cold_compression=cold[0] / normal[0] - 1.0,
        gain_cold_rebound=cold[1] / normal[1] - 1.0,
    )
