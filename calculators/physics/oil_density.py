"""Damper oil: how density and stiffness follow temperature and pressure."""

from __future__ import annotations

from math import exp

from calculators.errors import (
    require_above,
    require_at_least,
    require_between,
)

__all__ = ["bulk_modulus", "density", "lubricant_expansion"]

T_15 = 288.15  # K, 15 °C, the oil trade's reference temperature for density
P_ATM = 101_325.0  # Pa, standard atmosphere, ISO 2533


def lubricant_expansion(*, density_15: float) -> float:
    """Return the thermal expansion that mineral lubricating oils of this density have.

    α = 0.627 8 kg/(m³ K) / ρ_15

    Lighter oils expand more: 0.072 % for each kelvin at 870 kg/m³.

    Parameters
    ----------
    density_15 : float
        ρ_15, density at 15 °C [kg/m³], 801 to 1164.

    Returns
    -------
    float
        α, volume expansion at 15 °C [1/K], > 0.

    Raises
    ------
    OutOfRangeError
        If the density is outside the range of the tables.

    Notes
    -----
    Limits: lubricating oils from petroleum; esters and silicones have their own figures.

    References
    ----------
    standard: API MPMS chapter 11.1 (ASTM D1250), lubricating oils: K_0 = 0,
        K_1 = 0.348 78 for degrees Fahrenheit, which is 0.627 8 for kelvin.

    Examples
    --------
    By hand: 0.6278 / 871.944 4.

    >>> round(lubricant_expansion(density_15=871.9444), 8)
    0.00072
    """
    require_between(
        801.0, 1164.0, density_15, "Density at 15 °C", "kg/m³", "Damper oils: 820 to 900 kg/m³."
    )
    return 0.6278 / density_15


def density(*, temperature: float, density_15: float, thermal_expansion: float) -> float:
    """Return the density of an oil at a temperature; its mass stays the same.

    ρ = ρ_15 exp(-α ΔT (1 + 0.8 α ΔT)),   ΔT = T - 288.15 K

    Near 15 °C that is ρ_15 / (1 + α ΔT); ρ_15 / ρ is also the factor by which the volume
    grows. At 100 °C the plain fraction is 0.5 % too high.

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 423.15.
    density_15 : float
        ρ_15, density at 15 °C [kg/m³], > 0.
    thermal_expansion : float
        α, volume expansion at 15 °C, mineral oil about 0.000 7 [1/K], ≥ 0.

    Returns
    -------
    float
        ρ [kg/m³], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.

    Notes
    -----
    Limits: liquid oil near atmospheric pressure; pressure adds about 0.07 % for 1 MPa.

    References
    ----------
    standard: API MPMS chapter 11.1 (ASTM D1250), volume correction factor. Table D says
        -50 to 150 °C (range: value from memory).

    Examples
    --------
    >>> density(temperature=288.15, density_15=870.0, thermal_expansion=7.2e-4)
    870.0
    """
    require_between(
        223.15, 423.15, temperature, "Oil temperature", "K", "The tables end at -50 and 150 °C."
    )
    require_above(0.0, density_15, "Density at 15 °C", "kg/m³", "Damper oils: 820 to 900 kg/m³.")
    require_at_least(0.0, thermal_expansion, "Thermal expansion", "1/K", "Mineral oil: 0.0007 1/K.")
    growth = thermal_expansion * (temperature - T_15)
    return density_15 * exp(-growth * (1.0 + 0.8 * growth))


def bulk_modulus(
    *,
    temperature: float,
    pressure: float,
    reference_modulus: float,
    reference_temperature: float = 293.15,
    temperature_sensitivity: float = 0.0065,
    pressure_sensitivity: float = 11.0,
) -> float:
    """Return the bulk modulus of air-free oil at a temperature and pressure.

    K = K_0 exp(-b (T - T_0)) + m (p - p_atm)

    Hot oil is softer, oil under pressure stiffer. In a damper the air in the oil
    matters far more than either.

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 423.15.
    pressure : float
        p, absolute [Pa], 0 to 50e6.
    reference_modulus : float
        K_0 at the reference temperature and atmospheric pressure; mineral oil about
        1.4e9 when slow, 1.7e9 when fast (common practice) [Pa], > 0.
    reference_temperature : float
        T_0 [K], 223.15 to 423.15.
    temperature_sensitivity : float
        b, relative loss for each kelvin [1/K], ≥ 0.
    pressure_sensitivity : float
        m, gain for each pascal [1], ≥ 0.

    Returns
    -------
    float
        K, tangent bulk modulus, of the kind (slow or fast) of the reference [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.

    Notes
    -----
    Limits: oil without free air. Slow means isothermal, fast (a stroke of the damper)
    isentropic, stiffer by 10 to 20 % (common practice). Against the reference equation of
    n-dodecane the two defaults are within 2 % up to 60 °C and 20 MPa.

    References
    ----------
    book: S. Bair, High Pressure Rheology for Quantitative Elastohydrodynamics: modulus falls
        by exp(-0.006 5 T/K) and rises by about 11 times the pressure (value from memory).

    Examples
    --------
    >>> bulk_modulus(temperature=293.15, pressure=101_325.0, reference_modulus=1.5e9)
    1500000000.0
    """
    for kelvin in (temperature, reference_temperature):
        require_between(223.15, 423.15, kelvin, "Oil temperature", "K", "-50 to 150 °C.")
    require_between(0.0, 50e6, pressure, "Pressure", "Pa", "Absolute pressure.")
    require_above(0.0, reference_modulus, "Bulk modulus", "Pa", "Mineral oil: about 1.5 GPa.")
    require_at_least(
        0.0, temperature_sensitivity, "Temperature sensitivity", "1/K", "About 0.0065."
    )
    require_at_least(0.0, pressure_sensitivity, "Pressure sensitivity", "", "About 11.")
    by_temperature = exp(-temperature_sensitivity * (temperature - reference_temperature))
    return reference_modulus * by_temperature + pressure_sensitivity * (pressure - P_ATM)
