"""The outside of a damper or reservoir: its heat to wind, still air, sky and sun."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
)
from calculators.physics.convection import Convection, cylinder_convection
from calculators.physics.fin import Fins, finned_area
from calculators.physics.gas import P_ATM
from calculators.physics.radiation import radiated_power, solar_power

__all__ = ["Shell", "ShellLoss", "Surroundings", "shell_loss"]


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The air and light around the damper.

    Attributes
    ----------
    air_temperature : float
        T_a [K], 223.15 to 373.15.
    air_speed : float
        speed of the air that really reaches the tube [m/s], ≥ 0.
    irradiance : float
        sunlight on the damper, zero in the shade [W/m²], 0 to 1400.
    pressure : float
        absolute air pressure [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    """

    air_temperature: float
    air_speed: float = 0.0
    irradiance: float = 0.0
    pressure: float = P_ATM

    def __post_init__(self) -> None:
        require_between(223.15, 373.15, self.air_temperature, "Air temperature", "K", "In kelvin.")
        require_at_least(0.0, self.air_speed, "Air speed", "m/s", "Zero: still air.")
        require_between(0.0, 1400.0, self.irradiance, "Sunlight", "W/m²", "Shade: zero.")
        require_above(0.0, self.pressure, "Air pressure", "Pa", "Absolute.")


@dataclass(frozen=True, slots=True)
class Shell:
    """The outside of a round part that sheds heat.

    Attributes
    ----------
    diameter : float
        outside diameter, fins not counted [m], > 0.
    length : float
        length that the air reaches [m], > 0.
    heat_capacity : float
        mass times specific heat of the metal (steel 460, aluminium 900 J/(kg K), common
        practice) [J/K], > 0.
    emissivity : float
        painted about 0.9 [1], 0 to 1.
    absorptivity : float
        for sunlight, black about 0.95 [1], 0 to 1.
    vertical : bool
        True if the part stands closer to upright than to level.
    fins : Fins or None
        Round fins over the whole length; None: a plain tube.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the fins don't fit.
    """

    diameter: float
    length: float
    heat_capacity: float
    emissivity: float = 0.9
    absorptivity: float = 0.9
    vertical: bool = False
    fins: Fins | None = None

    def __post_init__(self) -> None:
        require_above(0.0, self.diameter, "Outside diameter", "m")
        require_above(0.0, self.length, "Length", "m", "Length that the air reaches.")
        require_above(0.0, self.heat_capacity, "Heat capacity", "J/K", "Mass × specific heat.")
        require_between(0.0, 1.0, self.emissivity, "Emissivity", "", "Paint: about 0.9.")
        require_between(0.0, 1.0, self.absorptivity, "Absorptivity", "", "Black: about 0.95.")
        if self.fins is None:
            return
        if self.fins.tip_diameter <= self.diameter:
            message = "The fins must be larger than the tube: give their outside diameter."
            raise ConflictError(message, inputs=("tip_diameter", "diameter"))
        if self.fins.count * self.fins.thickness >= self.length:
            message = "The fins don't fit on the length. Use fewer or thinner fins."
            raise ConflictError(message, inputs=("count", "thickness", "length"))

    @property
    def envelope_area(self) -> float:
        """Smooth cylinder around tube and fins, which radiates [m²]."""
        return pi * self._envelope_diameter * self.length

    @property
    def shadow_area(self) -> float:
        """What the sun sees from the side [m²]."""
        return self._envelope_diameter * self.length

    @property
    def _envelope_diameter(self) -> float:
        return self.fins.tip_diameter if self.fins is not None else self.diameter


@dataclass(frozen=True, slots=True)
class ShellLoss:
    """Heat that leaves a shell at one surface temperature.

    Attributes
    ----------
    power : float
        net heat given off: convection + radiation − sun [W].
    convection_power : float
        to the air [W].
    radiation_power : float
        to the surroundings by radiation [W].
    solar_power : float
        taken up from the sun [W].
    effective_area : float
        bare area worth as much as tube and fins together [m²].
    convection : Convection
        Coefficients and whether their equations are in range.
    """

    power: float
    convection_power: float
    radiation_power: float
    solar_power: float
    effective_area: float
    convection: Convection


def shell_loss(*, shell: Shell, temperature: float, surroundings: Surroundings) -> ShellLoss:
    """Return the heat that a shell gives off at a surface temperature.

    P = h A_eff (T_s − T_a) + ε σ A_env (T_s⁴ − T_a⁴) − α G A_shadow

    Parameters
    ----------
    shell : Shell
        The outside of damper or reservoir.
    temperature : float
        T_s, surface temperature at the root of any fins [K], > 0 to 573.15.
    surroundings : Surroundings
        Air, wind and sun.

    Returns
    -------
    ShellLoss
        Power, its parts, and the convection behind it.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside its range.
    ConflictError
        If the fins don't fit on the shell.

    Notes
    -----
    Limits: ends of the tube left out; surroundings radiate at air temperature; fins
    radiate as the smooth cylinder around them.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 1 and 3, surface
        energy balance and overall surface efficiency (chapters: value from memory).

    Examples
    --------
    In the shade at air temperature nothing flows.

    >>> shell = Shell(diameter=0.05, length=0.3, heat_capacity=400.0)
    >>> shell_loss(
    ...     shell=shell, temperature=300.0,
    ...     surroundings=Surroundings(air_temperature=300.0, air_speed=5.0)).power
    0.0
    """
    convection = cylinder_convection(
        diameter=shell.diameter,
        length=shell.length,
        temperature=temperature,
        air_temperature=surroundings.air_temperature,
        air_speed=surroundings.air_speed,
        vertical=shell.vertical,
        pressure=surroundings.pressure,
    )
    area = pi * shell.diameter * shell.length
    if shell.fins is not None:
        area = finned_area(
            root_diameter=shell.diameter,
            length=shell.length,
            fins=shell.fins,
            coefficient=convection.coefficient,
        ).effective_area
    to_air = convection.coefficient * area * (temperature - surroundings.air_temperature)
    radiated = radiated_power(
        area=shell.envelope_area,
        emissivity=shell.emissivity,
        temperature=temperature,
        temperature_surroundings=surroundings.air_temperature,
    )
    sun = solar_power(
        irradiance=surroundings.irradiance,
        absorptivity=shell.absorptivity,
        projected_area=shell.shadow_area,
    )
    return ShellLoss(
        power=to_air + radiated - sun,
        convection_power=to_air,
        radiation_power=radiated,
        solar_power=sun,
        effective_area=area,
        convection=convection,
    )
