"""A damper oil over temperature: one record for its viscosity, density and heat."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from calculators.errors import require_above, require_at_least, require_between
from calculators.physics.fluid import Oil
from calculators.physics.oil import dynamic_viscosity, kinematic_viscosity
from calculators.physics.oil_density import density

__all__ = [
    "OilLine",
    "ThermalOil",
    "oil_at",
    "oil_conductivity",
    "oil_specific_heat",
    "thermal_oil",
]

T_0 = 273.15  # K, 0 °C
WATER = 999.0  # kg/m³, water at 15 °C, to which a specific gravity refers
_DENSITY_ADVICE = "Damper oils: 820 to 900 kg/m³."


@dataclass(frozen=True, slots=True)
class OilLine:
    """What a data sheet says of an oil; enough to know it at any working temperature.

    Attributes
    ----------
    density_15 : float
        density at 15 °C [kg/m³], 600 to 1200.
    thermal_expansion : float
        volume expansion at 15 °C; mineral oil about 0.000 7 [1/K], ≥ 0.
    temperature_1 : float
        of the first viscosity [K], > 0.
    viscosity_1 : float
        kinematic viscosity there [m²/s], 0.21e-6 to 20.
    temperature_2 : float
        of the second viscosity [K], > 0.
    viscosity_2 : float
        kinematic viscosity there [m²/s], 0.21e-6 to 20.

    Raises
    ------
    OutOfRangeError
        If the density or the expansion is outside its range.
    """

    density_15: float
    thermal_expansion: float
    temperature_1: float
    viscosity_1: float
    temperature_2: float
    viscosity_2: float

    def __post_init__(self) -> None:
        require_between(
            600.0, 1200.0, self.density_15, "Density at 15 °C", "kg/m³", _DENSITY_ADVICE
        )
        require_at_least(0.0, self.thermal_expansion, "Thermal expansion", "1/K", "About 0.0007.")


@dataclass(frozen=True, slots=True)
class ThermalOil:
    """What an oil is for heat at one temperature.

    Attributes
    ----------
    density : float
        ρ [kg/m³], > 0.
    kinematic_viscosity : float
        ν [m²/s], > 0.
    thermal_expansion : float
        β, relative change of volume for each kelvin [1/K], ≥ 0.
    thermal_conductivity : float
        λ [W/(m·K)], > 0.
    specific_heat : float
        c_p [J/(kg·K)], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    """

    density: float
    kinematic_viscosity: float
    thermal_expansion: float
    thermal_conductivity: float
    specific_heat: float

    def __post_init__(self) -> None:
        require_above(0.0, self.density, "Oil density", "kg/m³", _DENSITY_ADVICE)
        require_above(0.0, self.kinematic_viscosity, "Kinematic viscosity", "m²/s")
        require_at_least(0.0, self.thermal_expansion, "Thermal expansion", "1/K", "About 0.0007.")
        require_above(0.0, self.thermal_conductivity, "Conductivity of the oil", "W/(m·K)")
        require_above(0.0, self.specific_heat, "Specific heat of the oil", "J/(kg·K)")

    @property
    def thermal_diffusivity(self) -> float:
        """Thermal diffusivity, λ/(ρ c_p) [m²/s]."""
        return self.thermal_conductivity / (self.density * self.specific_heat)


def oil_at(*, line: OilLine, temperature: float) -> Oil:
    """Return density and viscosity of an oil at a temperature, as the valves see it.

    μ = ν(T) ρ(T)

    Parameters
    ----------
    line : OilLine
        The oil.
    temperature : float
        T [K], 223.15 to 423.15.

    Returns
    -------
    Oil
        Density and dynamic viscosity.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside the range of oil or equation.
    ConflictError
        If the two viscosities make no line.

    Notes
    -----
    Limits: those of `oil.kinematic_viscosity` and `oil_density.density`.

    References
    ----------
    standard: ASTM D341, viscosity; API MPMS chapter 11.1, density.

    Examples
    --------
    >>> line = OilLine(
    ...     density_15=870.0, thermal_expansion=7e-4, temperature_1=288.15,
    ...     viscosity_1=30e-6, temperature_2=373.15, viscosity_2=4e-6)
    >>> round(oil_at(line=line, temperature=288.15).dynamic_viscosity, 9)
    0.0261
    """
    weight = density(
        temperature=temperature,
        density_15=line.density_15,
        thermal_expansion=line.thermal_expansion,
    )
    thickness = kinematic_viscosity(
        temperature=temperature,
        temperature_1=line.temperature_1,
        viscosity_1=line.viscosity_1,
        temperature_2=line.temperature_2,
        viscosity_2=line.viscosity_2,
    )
    viscosity = dynamic_viscosity(kinematic_viscosity=thickness, density=weight)
    return Oil(density=weight, dynamic_viscosity=viscosity)


def oil_conductivity(*, temperature: float, density_15: float) -> float:
    """Return the thermal conductivity of a mineral oil.

    λ = 0.117 2 W/(m K) · (1 − 0.000 54 t)/s,   t in °C, s = ρ_15/999

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 473.15.
    density_15 : float
        ρ_15 [kg/m³], 600 to 1200.

    Returns
    -------
    float
        λ [W/(m·K)], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: petroleum oils; the source calls single oils within 10 %. For unused engine
    oil at 300 K Incropera prints 0.145 (value from memory), 12 % above this.

    References
    ----------
    paper: C. S. Cragoe, Thermal Properties of Petroleum Products, Bureau of Standards
        Miscellaneous Publication 97 (1929) (constants: value from memory).

    Examples
    --------
    By hand, at 0 °C and a specific gravity of one: 0.117 2.

    >>> round(oil_conductivity(temperature=273.15, density_15=999.0), 4)
    0.1172
    """
    _require_oil(temperature, density_15)
    return 0.1172 * (1.0 - 0.00054 * (temperature - T_0)) * WATER / density_15


def oil_specific_heat(*, temperature: float, density_15: float) -> float:
    """Return the specific heat of a mineral oil.

    c_p = (1 685 + 3.39 t)/√s J/(kg K),   t in °C, s = ρ_15/999

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 473.15.
    density_15 : float
        ρ_15 [kg/m³], 600 to 1200.

    Returns
    -------
    float
        c_p [J/(kg·K)], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: petroleum oils; the source calls single oils within 4 % (value from memory).

    References
    ----------
    paper: C. S. Cragoe, Thermal Properties of Petroleum Products, Bureau of Standards
        Miscellaneous Publication 97 (1929) (constants: value from memory).

    Examples
    --------
    By hand, at 0 °C and a specific gravity of one: 1 685.

    >>> oil_specific_heat(temperature=273.15, density_15=999.0)
    1685.0
    """
    _require_oil(temperature, density_15)
    return (1685.0 + 3.39 * (temperature - T_0)) / sqrt(density_15 / WATER)


def thermal_oil(*, line: OilLine, temperature: float) -> ThermalOil:
    """Return what a mineral oil is for heat at a temperature.

    density and viscosity from the line, conductivity and specific heat after Cragoe

    Parameters
    ----------
    line : OilLine
        The oil.
    temperature : float
        T [K], 223.15 to 423.15.

    Returns
    -------
    ThermalOil
        Density, viscosity, expansion, conductivity and specific heat.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside the range of oil or equation.
    ConflictError
        If the two viscosities make no line.

    Notes
    -----
    Limits: petroleum oils. The expansion is taken as that at 15 °C.

    References
    ----------
    standard: ASTM D341, viscosity; API MPMS chapter 11.1, density.
    paper: C. S. Cragoe (1929), conductivity and specific heat.

    Examples
    --------
    >>> line = OilLine(
    ...     density_15=870.0, thermal_expansion=7e-4, temperature_1=313.15,
    ...     viscosity_1=15e-6, temperature_2=373.15, viscosity_2=4e-6)
    >>> round(1e6 * thermal_oil(line=line, temperature=313.15).kinematic_viscosity, 6)
    15.0
    """
    oil = oil_at(line=line, temperature=temperature)
    return ThermalOil(
        density=oil.density,
        kinematic_viscosity=oil.dynamic_viscosity / oil.density,
        thermal_expansion=line.thermal_expansion,
        thermal_conductivity=oil_conductivity(temperature=temperature, density_15=line.density_15),
        specific_heat=oil_specific_heat(temperature=temperature, density_15=line.density_15),
    )


def _require_oil(temperature: float, density_15: float) -> None:
    require_between(223.15, 473.15, temperature, "Oil temperature", "K", "-50 to 200 °C.")
    require_between(600.0, 1200.0, density_15, "Density at 15 °C", "kg/m³", _DENSITY_ADVICE)
