"""The table of quantities and units; nothing here reads or writes text.

SI value = value × factor + offset. The first unit of a quantity is its coherent SI
unit. Sources: "SP 811" is NIST Special Publication 811 (2008), Appendix B.8, which
prints the factor as exact; "SI" is the BIPM SI Brochure (9th edition, 2019), base and
derived units, prefixes, and table 8 (units accepted for use with the SI). A factor
without such a mark follows by arithmetic from the constants at the top.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["COUNTERPARTS", "QUANTITIES", "Quantity", "Unit"]

INCH = 0.0254  # m, SP 811, exact
FOOT = 0.3048  # m, SP 811, exact
POUND = 0.45359237  # kg, avoirdupois, SP 811 (footnote gives all digits), exact
G_N = 9.80665  # m/s², standard acceleration of free fall, SP 811, exact
POUND_FORCE = 4.4482216152605  # N, POUND × G_N, all digits
POUND_PER_SQUARE_INCH = POUND_FORCE / 0.00064516  # Pa, divided by INCH²
FOOT_POUND_FORCE = 1.3558179483314004  # J or N·m, FOOT × POUND_FORCE, all digits
US_GALLON = 0.003785411784  # m³, 231 in³ (NIST Handbook 44, Appendix C), all digits
RANKINE = 5.0 / 9.0  # K, one degree Fahrenheit as a step, SP 811, exact


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of a quantity: SI value = value × factor + offset.

    Attributes
    ----------
    symbol : str
        The unit as it is printed.
    factor, offset : float
        The way to the coherent SI unit.
    aliases : tuple of str
        Other spellings that are read, besides those that differ only in spaces, dots,
        brackets or raised digits.
    imperial : bool
        Whether the unit belongs to the inch-pound family.
    """

    symbol: str
    factor: float
    offset: float = 0.0
    aliases: tuple[str, ...] = ()
    imperial: bool = False


@dataclass(frozen=True, slots=True)
class Quantity:
    """One kind of quantity, with the units it can be given in.

    Attributes
    ----------
    name : str
        The name in code.
    label : str
        The name in a sentence.
    units : tuple of Unit
        The coherent SI unit first.
    """

    name: str
    label: str
    units: tuple[Unit, ...]


def _si(symbol: str, factor: float = 1.0, *aliases: str) -> Unit:
    return Unit(symbol, factor, aliases=aliases)


def _imperial(symbol: str, factor: float, *aliases: str) -> Unit:
    return Unit(symbol, factor, aliases=aliases, imperial=True)


_PRESSURE = (
    _si("Pa"),  # SI
    _si("kPa", 1e3),  # SI prefix
    _si("MPa", 1e6),  # SI prefix
    _si("bar", 1e5, "Bar", "BAR", "bars"),  # SP 811, exact
    _imperial("psi", POUND_PER_SQUARE_INCH, "lbf/in²", "lb/in²"),  # lb meant as force: common
)
_ATMOSPHERE = _si("atm", 101_325.0)  # SP 811, exact
_NUMBER = (_si("1"),)

_TABLE = (
    Quantity(
        "length",
        "length",
        (
            _si("m", 1.0, "metre", "metres", "meter", "meters"),  # SI
            _si("mm", 1e-3),  # SI prefix
            _si("cm", 1e-2),  # SI prefix
            _si("µm", 1e-6, "micron", "microns"),  # SI prefix
            _imperial("in", INCH, "inch", "inches", '"'),  # SP 811, exact
            _imperial("ft", FOOT, "foot", "feet"),  # SP 811, exact
        ),
    ),
    Quantity(
        "distance",
        "distance driven",
        (
            _si("m"),  # SI
            _si("km", 1e3),  # SI prefix
            _imperial("mi", 5280.0 * FOOT, "mile", "miles"),  # SP 811: 5280 ft, exact
        ),
    ),
    Quantity(
        "area",
        "area",
        (
            _si("m²"),  # SI
            _si("cm²", 1e-4),  # (10⁻² m)²
            _si("mm²", 1e-6),  # (10⁻³ m)²
            _imperial("in²", 0.00064516, "sq in"),  # SP 811, exact
        ),
    ),
    Quantity(
        "volume",
        "volume",
        (
            _si("m³"),  # SI
            _si("L", 1e-3, "l", "litre", "litres", "liter", "liters", "dm³"),  # SP 811, exact
            _si("cm³", 1e-6, "cc", "mL", "ml", "ccm"),  # (10⁻² m)³
            _si("mm³", 1e-9),  # (10⁻³ m)³
            _imperial("in³", 1.6387064e-5, "cu in"),  # INCH³, all digits
        ),
    ),
    Quantity(
        "mass",
        "mass",
        (
            _si("kg", 1.0, "Kg", "KG", "kgs"),  # SI
            _si("g", 1e-3, "gram", "grams"),  # SI
            _si("t", 1e3, "tonne", "tonnes", "Mg"),  # SP 811, exact
            _imperial("lb", POUND, "lbs", "pound", "pounds", "lbm"),  # SP 811, exact
        ),
    ),
    Quantity(
        "force",
        "force",
        (
            _si("N", 1.0, "newton", "newtons"),  # SI
            _si("kN", 1e3),  # SI prefix
            _imperial("lbf", POUND_FORCE),
            _si("kgf", G_N, "kp"),  # SP 811, exact
        ),
    ),
    Quantity("pressure_gauge", "gauge pressure", _PRESSURE),
    Quantity("pressure_absolute", "absolute pressure", (*_PRESSURE, _ATMOSPHERE)),
    Quantity("pressure_difference", "pressure difference", (*_PRESSURE, _ATMOSPHERE)),
    Quantity(
        "stiffness",
        "stiffness",
        (
            _si("N/m"),  # SI
            _si("N/mm", 1e3),  # N / 10⁻³ m
            _si("kN/m", 1e3),  # SI prefix
            _si("kgf/mm", 9806.65, "kg/mm"),  # kgf / 10⁻³ m; kg meant as force: common
            _imperial("lbf/in", POUND_FORCE / INCH, "lb/in", "lbs/in"),  # lb as force: common
            _imperial("lbf/ft", POUND_FORCE / FOOT, "lb/ft", "lbs/ft"),
        ),
    ),
    Quantity(
        "damping",
        "damping coefficient",
        (
            _si("N·s/m", 1.0, "N/(m/s)"),  # SI
            _si("N·s/mm", 1e3, "N/(mm/s)"),  # N·s / 10⁻³ m
            _si("kN·s/m", 1e3, "kN/(m/s)"),  # SI prefix
            _imperial("lbf·s/in", POUND_FORCE / INCH, "lb·s/in", "lbf/(in/s)", "lb/(in/s)"),
            _imperial("lbf·s/ft", POUND_FORCE / FOOT, "lb·s/ft", "lbf/(ft/s)", "lb/(ft/s)"),
        ),
    ),
    Quantity(
        "velocity",
        "velocity",
        (
            _si("m/s"),  # SI
            _si("mm/s", 1e-3),  # SI prefix
            _si("km/h", 1.0 / 3.6, "kph", "kmh", "km/hr"),  # 1000 m / 3600 s
            _imperial("in/s", INCH, "ips", "in/sec"),  # SP 811, exact
            _imperial("ft/s", FOOT, "fps", "ft/sec"),  # SP 811, exact
            _imperial("mph", 0.44704, "mi/h"),  # SP 811, exact
        ),
    ),
    Quantity(
        "acceleration",
        "acceleration",
        (
            _si("m/s²"),  # SI
            _si("g", G_N, "gₙ", "g_n"),  # standard free fall, SP 811, exact
            _imperial("ft/s²", FOOT),  # SP 811, exact
        ),
    ),
    Quantity(
        "temperature",
        "temperature",
        (
            _si("K", 1.0, "kelvin"),  # SI
            Unit("°C", 1.0, 273.15, ("C", "celsius")),  # SI, exact
            # T/K = (t/°F + 459.67) / 1.8: SP 811, exact
            Unit("°F", RANKINE, 459.67 / 1.8, ("F", "fahrenheit"), imperial=True),
        ),
    ),
    Quantity(
        "temperature_difference",
        "temperature difference",
        (
            _si("K", 1.0, "kelvin"),  # SI
            _si("°C", 1.0, "C", "celsius"),  # SI: same step as the kelvin
            _imperial("°F", RANKINE, "F", "fahrenheit"),  # SP 811, exact
        ),
    ),
    Quantity(
        "angle",
        "angle",
        (
            _si("rad"),  # SI
            _si("°", pi / 180.0, "degree", "degrees", "degs"),  # SI, table 8
        ),
    ),
    Quantity(
        "frequency",
        "frequency",
        (
            _si("Hz", 1.0, "hz", "1/s", "s⁻¹", "cps"),  # SI
            _si("1/min", 1.0 / 60.0, "/min", "min⁻¹", "rpm", "r/min", "cpm"),  # SI, table 8
        ),
    ),
    Quantity(
        "angular_frequency",
        "angular frequency",
        (_si("rad/s", 1.0, "rad/sec"),),  # SI
    ),
    Quantity(
        "time",
        "time",
        (
            _si("s", 1.0, "sec", "second", "seconds"),  # SI
            _si("ms", 1e-3),  # SI prefix
            _si("min", 60.0, "minute", "minutes"),  # SP 811, exact
            _si("h", 3600.0, "hr", "hour", "hours"),  # SP 811, exact
        ),
    ),
    Quantity(
        "power",
        "power",
        (
            _si("W", 1.0, "watt", "watts"),  # SI
            _si("kW", 1e3),  # SI prefix
            _imperial("hp", 745.6998715822702),  # mechanical horsepower, 550 ft·lbf/s
        ),
    ),
    Quantity(
        "energy",
        "energy",
        (
            _si("J", 1.0, "joule", "joules"),  # SI
            _si("kJ", 1e3),  # SI prefix
            _imperial("ft·lbf", FOOT_POUND_FORCE, "ft·lb", "lbf·ft", "lb·ft"),
        ),
    ),
    Quantity(
        "torque",
        "torque",
        (
            _si("N·m"),  # SI
            _imperial("lbf·ft", FOOT_POUND_FORCE, "lb·ft", "ft·lbf", "ft·lb"),
            _imperial("lbf·in", POUND_FORCE * INCH, "lb·in", "in·lbf", "in·lb"),
        ),
    ),
    Quantity(
        "dynamic_viscosity",
        "dynamic viscosity",
        (
            _si("Pa·s"),  # SI
            _si("mPa·s", 1e-3),  # SI prefix
            _si("cP", 1e-3),  # SP 811, exact
        ),
    ),
    Quantity(
        "kinematic_viscosity",
        "kinematic viscosity",
        (
            _si("m²/s"),  # SI
            _si("mm²/s", 1e-6),  # (10⁻³ m)² / s
            _si("cSt", 1e-6),  # SP 811, exact
        ),
    ),
    Quantity(
        "density",
        "density",
        (
            _si("kg/m³"),  # SI
            _si("g/cm³", 1e3, "g/cc", "g/mL", "g/ml", "kg/L", "kg/l", "kg/dm³"),  # SI prefixes
            _imperial("lb/ft³", POUND / 0.028316846592, "lbm/ft³"),  # divided by FOOT³
        ),
    ),
    Quantity(
        "volume_flow",
        "volume flow",
        (
            _si("m³/s"),  # SI
            _si("L/min", 1.0 / 60_000.0, "l/min", "lpm"),  # 10⁻³ m³ / 60 s
            _si("cm³/s", 1e-6, "cc/s", "mL/s", "ml/s"),  # (10⁻² m)³ / s
            _imperial("US gal/min", US_GALLON / 60.0, "US gpm", "USgpm"),
        ),
    ),
    Quantity(
        "stress",
        "stress",
        (
            _si("Pa", 1.0, "N/m²"),  # SI
            _si("MPa", 1e6, "N/mm²"),  # SI prefix
            _si("GPa", 1e9, "kN/mm²"),  # SI prefix
            _imperial("psi", POUND_PER_SQUARE_INCH, "lbf/in²", "lb/in²"),
            _imperial("ksi", 1e3 * POUND_PER_SQUARE_INCH),  # 1000 psi
        ),
    ),
    Quantity(
        "thermal_expansion",
        "thermal expansion coefficient",
        (
            _si("1/K", 1.0, "/K", "K⁻¹", "1/°C", "/°C", "1/C", "/C"),  # SI
            _imperial("1/°F", 1.8, "/°F", "1/F", "/F"),  # 1 / RANKINE
        ),
    ),
    Quantity(
        "heat_transfer_coefficient",
        "heat transfer coefficient",
        (_si("W/(m²·K)", 1.0, "W/m²/K"),),  # SI
    ),
    Quantity(
        "thermal_conductivity",
        "thermal conductivity",
        (_si("W/(m·K)", 1.0, "W/m/K"),),  # SI
    ),
    Quantity(
        "specific_heat",
        "specific heat",
        (
            _si("J/(kg·K)", 1.0, "J/kg/K"),  # SI
            _si("kJ/(kg·K)", 1e3, "kJ/kg/K", "J/(g·K)"),  # SI prefix
        ),
    ),
    Quantity("heat_capacity", "heat capacity", (_si("J/K"), _si("kJ/K", 1e3))),  # SI
    Quantity("thermal_conductance", "thermal conductance", (_si("W/K"),)),  # SI
    Quantity("heat_flux", "heat flux", (_si("W/m²"),)),  # SI
    Quantity(
        "compressibility",
        "compressibility",
        (
            _si("1/Pa", 1.0, "/Pa", "Pa⁻¹"),  # SI
            _si("1/MPa", 1e-6, "/MPa", "MPa⁻¹"),  # SI prefix
            _si("1/GPa", 1e-9, "/GPa", "GPa⁻¹"),  # SI prefix
        ),
    ),
    Quantity(
        "compliance",
        "compliance",
        (
            _si("m/Pa"),  # SI
            _si("mm/MPa", 1e-9),  # 10⁻³ m / 10⁶ Pa
            _si("mm/bar", 1e-8),  # 10⁻³ m / 10⁵ Pa
        ),
    ),
    Quantity(
        "flexural_rigidity",
        "flexural rigidity",
        (
            _si("N·m"),  # SI
            _si("N·mm", 1e-3),  # N · 10⁻³ m
        ),
    ),
    Quantity(
        "moment_of_inertia",
        "moment of inertia",
        (
            _si("kg·m²"),  # SI
            _imperial("lb·ft²", POUND * 0.09290304),  # FOOT²
        ),
    ),
    Quantity(
        "wave_number",
        "wave number",
        (
            _si("1/m", 1.0, "/m", "m⁻¹", "cycle/m", "cycles/m"),  # SI
            _imperial("1/ft", 1.0 / FOOT, "/ft", "ft⁻¹"),  # divided by FOOT
        ),
    ),
    Quantity("ratio", "ratio", _NUMBER),
    Quantity("percent", "share", (*_NUMBER, _si("%", 1e-2, "percent", "pct"))),  # SI, pure numbers
    Quantity("count", "count", _NUMBER),
)

QUANTITIES: Mapping[str, Quantity] = MappingProxyType({entry.name: entry for entry in _TABLE})

# What a workshop with inch-pound tools reads instead; units not named here stay.
COUNTERPARTS: Mapping[str, str] = MappingProxyType({
    "m": "ft", "cm": "in", "mm": "in", "m²": "in²", "cm²": "in²", "mm²": "in²",
    "m³": "in³", "cm³": "in³", "kg": "lb", "N": "lbf", "kN": "lbf",
    "Pa": "psi", "kPa": "psi", "MPa": "psi", "GPa": "ksi", "bar": "psi",
    "N/m": "lbf/in", "N/mm": "lbf/in", "kN/m": "lbf/in",
    "N·s/m": "lbf·s/in", "N·s/mm": "lbf·s/in", "kN·s/m": "lbf·s/in",
    "m/s": "in/s", "mm/s": "in/s", "km/h": "mph", "m/s²": "ft/s²", "K": "°F", "°C": "°F",
    "W": "hp", "kW": "hp", "J": "ft·lbf", "kJ": "ft·lbf", "N·m": "lbf·ft",
    "kg/m³": "lb/ft³", "g/cm³": "lb/ft³", "L/min": "US gal/min", "kg·m²": "lb·ft²",
    "1/m": "1/ft", "km": "mi",
})  # fmt: skip
