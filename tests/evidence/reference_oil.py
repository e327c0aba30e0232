"""References for oil: n-dodecane by CoolProp, viscosity index by chemicals, one step of D341."""

from __future__ import annotations

from math import exp

from chemicals import viscosity
from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq

LIQUID = "n-Dodecane"
P_ATM = 101_325.0


def viscosity_index(viscosity_40: float, viscosity_100: float) -> float:
    """Return the index by the open implementation of ASTM D2270."""
    index = viscosity.viscosity_index(viscosity_40, viscosity_100)
    if index is None:
        message = "below 2 mm²/s at 100 °C there is no viscosity index"
        raise ValueError(message)
    return index


def d341_explicit_viscosity(z: float) -> float:
    """Return ν in mm²/s by the explicit approximation that ASTM D341-09 gives for its Z."""
    y = z - 0.7
    return y - exp(-0.7487 - 3.295 * y + 0.6119 * y**2 - 0.3193 * y**3)


def _property(name: str, temperature: float, pressure: float = P_ATM) -> float:
    return float(PropsSI(name, "T", temperature, "P", pressure, LIQUID))


def dodecane(temperature: float) -> float:
    """Return the kinematic viscosity of liquid n-dodecane at atmospheric pressure."""
    return _property("V", temperature) / _property("D", temperature)


def dodecane_temperature(viscosity: float) -> float:
    """Return where liquid n-dodecane has this kinematic viscosity at atmospheric pressure."""
    return float(brentq(lambda kelvin: dodecane(kelvin) - viscosity, 265.0, 480.0))


def dodecane_density(temperature: float) -> float:
    """Return the density of liquid n-dodecane at atmospheric pressure."""
    return _property("D", temperature)


def dodecane_expansion(temperature: float) -> float:
    """Return the thermal expansion of liquid n-dodecane at atmospheric pressure."""
    return _property("isobaric_expansion_coefficient", temperature)


def dodecane_bulk_modulus(temperature: float, pressure: float) -> float:
    """Return the isothermal bulk modulus of liquid n-dodecane."""
    return 1.0 / _property("isothermal_compressibility", temperature, pressure)
