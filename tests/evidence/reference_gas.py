"""Longer reference computations for the rows of gas.toml: real nitrogen, and units by pint."""

from __future__ import annotations

import numpy as np
import pint
from CoolProp.CoolProp import PropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from scipy.optimize import brentq

_EARTH_RADIUS = 6_356_766.0  # m, U.S. Standard Atmosphere 1976
_FILL_TEMPERATURE = 293.15  # K
_ATMOSPHERE = 101_325.0  # Pa


def atmosphere(geopotential: float) -> float:
    """Return the air pressure at a geopotential altitude."""
    geometric = geopotential * _EARTH_RADIUS / (_EARTH_RADIUS - geopotential)
    return float(ATMOSPHERE_1976(geometric).P)


def rod_force_psi(pressure_psi_gauge: float, rod_mm: float) -> float:
    """Return gauge pressure times rod section, both converted by pint."""
    units: pint.UnitRegistry[float] = pint.UnitRegistry()
    force = pressure_psi_gauge * units.psi * np.pi / 4.0 * (rod_mm * units.mm) ** 2
    return float(force.to(units.newton).magnitude)


def nitrogen_heated(pressure: float, temperature: float, temperature_new: float) -> float:
    """Return the pressure of real nitrogen heated in a fixed volume."""
    density = PropsSI("D", "P", pressure, "T", temperature, "Nitrogen")
    return float(PropsSI("P", "D", density, "T", temperature_new, "Nitrogen"))


def nitrogen_squeezed(pressure: float, temperature: float, ratio: float, kept: str) -> float:
    """Return the pressure of real nitrogen at V/ratio, keeping "T" (slow) or "S" (fast)."""
    density = PropsSI("D", "P", pressure, "T", temperature, "Nitrogen")
    value = PropsSI(kept, "P", pressure, "T", temperature, "Nitrogen")
    return float(PropsSI("P", "D", density * ratio, kept, value, "Nitrogen"))


def nitrogen_rate(pressure: float, volume: float, rod: float, kept: str) -> float:
    """Return dF/dx of real nitrogen on a rod, slow ("T") or fast ("S")."""
    state = ("P", pressure, "T", _FILL_TEMPERATURE, "Nitrogen")
    slope = PropsSI("D", *state) * PropsSI(f"d(P)/d(D)|{kept}", *state)
    return float(slope * (np.pi / 4.0 * rod**2) ** 2 / volume)


def nitrogen_rod_force(
    charge_gauge: float, volume: float, volume_new: float, temperature: float, rod: float
) -> float:
    """Return the rod force of real nitrogen, charged at 20 °C, in a new volume and warmth."""
    filled = ("P", charge_gauge + _ATMOSPHERE, "T", _FILL_TEMPERATURE, "Nitrogen")
    density = PropsSI("D", *filled) * volume / volume_new
    pressure = PropsSI("P", "D", density, "T", temperature, "Nitrogen")
    return float((pressure - _ATMOSPHERE) * np.pi / 4.0 * rod**2)


def nitrogen_charge(
    force: float, volume: float, volume_now: float, temperature: float, rod: float
) -> float:
    """Return the gauge charge of real nitrogen at 20 °C that gives this rod force now."""

    def excess(charge_gauge: float) -> float:
        return nitrogen_rod_force(charge_gauge, volume, volume_now, temperature, rod) - force

    return float(brentq(excess, 1e4, 1e7, xtol=1e-3))
