"""Units: factors against pint and SciPy, spellings, refusals and the way back."""

from __future__ import annotations

import math

import pint
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from calculators import quantities
from calculators.errors import OutOfRangeError, UnitError
from calculators.quantities import (
    QUANTITIES,
    Reading,
    format_value,
    from_si,
    parse,
    quantity,
    to_si,
    unit,
)

# Our symbol in pint's words. A symbol means the same in every quantity but for those below.
IN_PINT = {
    "1": "dimensionless",
    "%": "percent",
    "m": "meter",
    "mm": "millimeter",
    "cm": "centimeter",
    "µm": "micrometer",
    "in": "inch",
    "ft": "foot",
    "km": "kilometer",
    "mi": "mile",
    "m²": "meter ** 2",
    "cm²": "centimeter ** 2",
    "mm²": "millimeter ** 2",
    "in²": "inch ** 2",
    "m³": "meter ** 3",
    "L": "liter",
    "cm³": "centimeter ** 3",
    "mm³": "millimeter ** 3",
    "in³": "inch ** 3",
    "kg": "kilogram",
    "g": "gram",
    "t": "metric_ton",
    "lb": "pound",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "pound_force",
    "kgf": "kilogram_force",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "GPa": "gigapascal",
    "bar": "bar",
    "psi": "pound_force / inch ** 2",
    "ksi": "kilopound_force / inch ** 2",
    "atm": "standard_atmosphere",
    "N/m": "newton / meter",
    "N/mm": "newton / millimeter",
    "kN/m": "kilonewton / meter",
    "kgf/mm": "kilogram_force / millimeter",
    "lbf/in": "pound_force / inch",
    "lbf/ft": "pound_force / foot",
    "N·s/m": "newton * second / meter",
    "N·s/mm": "newton * second / millimeter",
    "kN·s/m": "kilonewton * second / meter",
    "lbf·s/in": "pound_force * second / inch",
    "lbf·s/ft": "pound_force * second / foot",
    "m/s": "meter / second",
    "mm/s": "millimeter / second",
    "km/h": "kilometer / hour",
    "in/s": "inch / second",
    "ft/s": "foot / second",
    "mph": "mile / hour",
    "m/s²": "meter / second ** 2",
    "ft/s²": "foot / second ** 2",
    "K": "kelvin",
    "°C": "degree_Celsius",
    "°F": "degree_Fahrenheit",
    "rad": "radian",
    "°": "degree",
    "Hz": "hertz",
    "1/min": "1 / minute",
    "rad/s": "radian / second",
    "s": "second",
    "ms": "millisecond",
    "min": "minute",
    "h": "hour",
    "W": "watt",
    "kW": "kilowatt",
    "hp": "horsepower",
    "J": "joule",
    "kJ": "kilojoule",
    "ft·lbf": "foot * pound_force",
    "N·m": "newton * meter",
    "N·mm": "newton * millimeter",
    "lbf·ft": "pound_force * foot",
    "lbf·in": "pound_force * inch",
    "Pa·s": "pascal * second",
    "mPa·s": "millipascal * second",
    "cP": "centipoise",
    "m²/s": "meter ** 2 / second",
    "mm²/s": "millimeter ** 2 / second",
    "cSt": "centistokes",
    "kg/m³": "kilogram / meter ** 3",
    "g/cm³": "gram / centimeter ** 3",
    "lb/ft³": "pound / foot ** 3",
    "m³/s": "meter ** 3 / second",
    "L/min": "liter / minute",
    "cm³/s": "centimeter ** 3 / second",
    "US gal/min": "gallon / minute",
    "1/K": "1 / kelvin",
    "1/°F": "1 / delta_degree_Fahrenheit",
    "W/(m²·K)": "watt / meter ** 2 / kelvin",
    "W/(m·K)": "watt / meter / kelvin",
    "J/(kg·K)": "joule / kilogram / kelvin",
    "kJ/(kg·K)": "kilojoule / kilogram / kelvin",
    "J/K": "joule / kelvin",
    "kJ/K": "kilojoule / kelvin",
    "W/K": "watt / kelvin",
    "W/m²": "watt / meter ** 2",
    "kg·m²": "kilogram * meter ** 2",
    "lb·ft²": "pound * foot ** 2",
    "1/m": "1 / meter",
    "1/ft": "1 / foot",
    "1/Pa": "1 / pascal",
    "1/MPa": "1 / megapascal",
    "1/GPa": "1 / gigapascal",
    "m/Pa": "meter / pascal",
    "mm/MPa": "millimeter / megapascal",
    "mm/bar": "millimeter / bar",
}
IN_PINT_FOR = {
    ("acceleration", "g"): "standard_gravity",
    ("temperature_difference", "°C"): "delta_degree_Celsius",
    ("temperature_difference", "°F"): "delta_degree_Fahrenheit",
}
IN_SCIPY = {
    ("length", "in"): scipy.constants.inch,
    ("length", "ft"): scipy.constants.foot,
    ("mass", "lb"): scipy.constants.pound,
    ("force", "lbf"): scipy.constants.lbf,
    ("force", "kgf"): scipy.constants.kgf,
    ("pressure_absolute", "psi"): scipy.constants.psi,
    ("pressure_absolute", "bar"): scipy.constants.bar,
    ("pressure_absolute", "atm"): scipy.constants.atm,
    ("power", "hp"): scipy.constants.hp,
    ("velocity", "mph"): scipy.constants.mph,
    ("velocity", "km/h"): scipy.constants.kmh,
    ("acceleration", "g"): scipy.constants.g,
    ("angle", "°"): scipy.constants.degree,
    ("temperature_difference", "°F"): scipy.constants.degree_Fahrenheit,
    ("time", "h"): scipy.constants.hour,
}
UNITS = [(entry.name, one.symbol) for entry in QUANTITIES.values() for one in entry.units]
PROMISED = """
    length area volume mass force pressure_gauge pressure_absolute pressure_difference stiffness
    damping velocity acceleration temperature temperature_difference angle frequency
    angular_frequency time power energy torque dynamic_viscosity kinematic_viscosity density
    volume_flow stress thermal_expansion heat_transfer_coefficient thermal_conductivity
    specific_heat heat_capacity thermal_conductance heat_flux compressibility compliance
    flexural_rigidity moment_of_inertia wave_number distance ratio percent count
"""


@pytest.fixture(scope="module")
def pint_registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def test_every_kind_of_quantity_that_the_core_needs_is_there() -> None:
    assert set(QUANTITIES) == set(PROMISED.split())


@pytest.mark.parametrize(("name", "symbol"), UNITS)
@pytest.mark.parametrize("value", [1.0, 37.5])
def test_a_unit_converts_as_in_pint(
    pint_registry: pint.UnitRegistry[float], name: str, symbol: str, value: float
) -> None:
    spelled, coherent = (
        IN_PINT_FOR.get((name, one), IN_PINT[one])
        for one in (symbol, quantity(name).units[0].symbol)
    )
    expected = pint_registry.Quantity(value, spelled).to(coherent).magnitude
    assert to_si(value, unit=symbol, quantity=name) == pytest.approx(expected, rel=1e-15, abs=0.0)


@pytest.mark.parametrize(("name", "symbol"), list(IN_SCIPY))
def test_a_unit_has_the_factor_that_scipy_has(name: str, symbol: str) -> None:
    factor = unit(symbol, quantity=name).factor
    assert factor == pytest.approx(IN_SCIPY[name, symbol], rel=1e-15, abs=0.0)


@pytest.mark.parametrize("name", QUANTITIES)
def test_the_first_unit_of_a_quantity_is_coherent(name: str) -> None:
    first = quantity(name).units[0]
    assert (first.factor, first.offset) == (1.0, 0.0)


@pytest.mark.parametrize(("name", "symbol"), UNITS)
def test_a_symbol_and_all_its_other_spellings_mean_one_unit(name: str, symbol: str) -> None:
    entry = unit(symbol, quantity=name)
    assert entry.symbol == symbol
    for spelling in entry.aliases:
        assert unit(spelling, quantity=name) is entry


@pytest.mark.parametrize(("name", "symbol"), UNITS)
def test_inch_pound_units_alone_may_be_typed_in_any_case(name: str, symbol: str) -> None:
    entry = unit(symbol, quantity=name)
    if entry.imperial:
        assert unit(symbol.upper(), quantity=name) is entry
        assert unit(symbol.lower(), quantity=name) is entry


@given(st.sampled_from(UNITS), st.integers(-(10**15) + 1, 10**15 - 1), st.integers(-12, 6))
def test_a_typed_number_comes_back_as_it_was_typed(
    where: tuple[str, str], digits: int, power: int
) -> None:
    name, symbol = where
    if name == "temperature":
        digits, power = digits % 10**6, max(power, -3) if power < 0 else 0
    typed = float(f"{digits}e{power}")
    back = from_si(to_si(typed, unit=symbol, quantity=name), unit=symbol, quantity=name)
    assert back == typed


@given(st.sampled_from(UNITS), st.floats(-1e12, 1e12))
def test_an_si_value_survives_the_way_there_and_back(
    where: tuple[str, str], value_si: float
) -> None:
    name, symbol = where
    back = to_si(from_si(value_si, unit=symbol, quantity=name), unit=symbol, quantity=name)
    assert back == pytest.approx(
        value_si, rel=1e-15, abs=1e-12 if name == "temperature" else 1e-300
    )


@given(st.sampled_from(UNITS), st.floats(-1e12, 1e12), st.floats(-1e12, 1e12))
def test_a_larger_value_stays_larger_in_every_unit(
    where: tuple[str, str], one: float, other: float
) -> None:
    name, symbol = where
    low, high = sorted((one, other))
    assert to_si(low, unit=symbol, quantity=name) <= to_si(high, unit=symbol, quantity=name)


def test_fahrenheit_and_celsius_meet_where_they_should() -> None:
    # SP 811: t/°C = (t/°F - 32) / 1.8, so the scales meet at -40 and water freezes at 32
    assert to_si(-40.0, unit="°F", quantity="temperature") == pytest.approx(233.15, rel=1e-15)
    assert to_si(32.0, unit="°F", quantity="temperature") == pytest.approx(273.15, rel=1e-15)
    assert to_si(9.0, unit="°F", quantity="temperature_difference") == 5.0


@pytest.mark.parametrize(
    ("value_si", "symbol", "name", "expected"),
    [
        (0.3556, "in", "length", 14.0),
        (0.0127, "in", "length", 0.5),
        (0.014, "mm", "length", 14.0),
        (273.25, "°C", "temperature", 0.1),
        (318.15, "°C", "temperature", 45.0),
        (math.radians(3.0), "°", "angle", 3.0),
        (10.0, "km/h", "velocity", 36.0),
    ],
)
def test_a_round_value_stays_round_in_another_unit(
    value_si: float, symbol: str, name: str, expected: float
) -> None:
    assert from_si(value_si, unit=symbol, quantity=name) == expected


@pytest.mark.parametrize(
    ("text", "name", "value", "symbol"),
    [
        ("1 650 kg", "mass", 1650.0, "kg"),
        ("1,5t", "mass", 1500.0, "t"),
        ("10 lbs", "mass", 4.5359237, "lb"),
        ("14in", "length", 0.3556, "in"),
        ("14 in", "length", 0.3556, "in"),
        ("14 inch", "length", 0.3556, "in"),
        ("14 In.", "length", 0.3556, "in"),
        ('14"', "length", 0.3556, "in"),
        ("14″", "length", 0.3556, "in"),
        ("5.in", "length", 0.127, "in"),
        ("25 µm", "length", 25e-6, "µm"),  # micro sign
        ("25 \u03bcm", "length", 25e-6, "µm"),  # Greek mu
        ("25 um", "length", 25e-6, "µm"),
        ("200 N/mm", "stiffness", 2e5, "N/mm"),
        ("200 N / mm", "stiffness", 2e5, "N/mm"),
        ("2 lb/in", "stiffness", 350.25367049295274, "lbf/in"),
        ("2 lbf/in", "stiffness", 350.25367049295274, "lbf/in"),
        ("3 kgf", "force", 29.41995, "kgf"),
        ("5 bar", "pressure_gauge", 5e5, "bar"),
        ("5 barg", "pressure_gauge", 5e5, "bar"),
        ("5 bar(g)", "pressure_gauge", 5e5, "bar"),
        ("5 bar gauge", "pressure_gauge", 5e5, "bar"),
        ("5 bara", "pressure_absolute", 5e5, "bar"),
        ("5 bar abs", "pressure_absolute", 5e5, "bar"),
        ("5 kPa (a)", "pressure_absolute", 5e3, "kPa"),
        ("1 psia", "pressure_absolute", 6894.757293168361, "psi"),
        ("1 psig", "pressure_gauge", 6894.757293168361, "psi"),
        ("1 PSID", "pressure_difference", 6894.757293168361, "psi"),
        ("23°C", "temperature", 296.15, "°C"),
        ("23 C", "temperature", 296.15, "°C"),
        ("23 degC", "temperature", 296.15, "°C"),
        ("23 deg C", "temperature", 296.15, "°C"),
        ("23 ℃", "temperature", 296.15, "°C"),
        ("-40 f", "temperature", 233.15, "°F"),
        ("15 %", "percent", 0.15, "%"),
        ("15%", "percent", 0.15, "%"),
        ("30°", "angle", math.pi / 6, "°"),
        ("30 deg", "angle", math.pi / 6, "°"),
        ("4 N·s/m", "damping", 4.0, "N·s/m"),
        ("4 N.s/m", "damping", 4.0, "N·s/m"),
        ("4 Ns/m", "damping", 4.0, "N·s/m"),
        ("4 N s/m", "damping", 4.0, "N·s/m"),
        ("4 N*s/m", "damping", 4.0, "N·s/m"),
        ("4 N/(m/s)", "damping", 4.0, "N·s/m"),
        ("2 cm3", "volume", 2e-6, "cm³"),
        ("2 cm^3", "volume", 2e-6, "cm³"),
        ("2 cm**3", "volume", 2e-6, "cm³"),
        ("2 cm³", "volume", 2e-6, "cm³"),
        ("2 cc", "volume", 2e-6, "cm³"),
        ("2 ml", "volume", 2e-6, "cm³"),
        ("3 ft-lb", "torque", 4.0674538449942, "lbf·ft"),
        ("3 N-m", "torque", 3.0, "N·m"),
        ("300 1/min", "frequency", 5.0, "1/min"),
        ("300/min", "frequency", 5.0, "1/min"),
        ("1 200 rpm", "frequency", 20.0, "1/min"),
        ("5 s^-1", "frequency", 5.0, "Hz"),
        ("0.0007 1/K", "thermal_expansion", 0.0007, "1/K"),
        ("7e-4/K", "thermal_expansion", 0.0007, "1/K"),
        ("46 mPa·s", "dynamic_viscosity", 0.046, "mPa·s"),
        ("0.13 W/mK", "thermal_conductivity", 0.13, "W/(m·K)"),
    ],
)
def test_a_typed_unit_is_read_in_every_usual_spelling(
    text: str, name: str, value: float, symbol: str
) -> None:
    reading = parse(text, quantity=name, unit=quantity(name).units[0].symbol)
    assert reading.value == pytest.approx(value, rel=1e-14, abs=0.0)
    assert reading.unit == symbol


def test_the_assumed_unit_applies_when_none_is_typed() -> None:
    assert parse("14", quantity="length", unit="mm") == Reading(0.014, "mm")


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        ("3 kg", "force", "kg is a unit of mass. Units understood here: N, kN, lbf, kgf."),
        ("3 lb", "force", "pound can be a mass or a force: write lbf"),
        ("3 Pounds", "force", "pound can be a mass or a force: write lbf"),
        ("3 ton", "mass", "metric (1000 kg), short (907 kg) or long (1016 kg): write t or kg"),
        ("3 tons", "force", "ton can be metric"),
        ("3 gpm", "volume_flow", "write US gal/min"),
        ("3 psia", "pressure_gauge", "it says absolute, but this field wants gauge pressure"),
        ("3 bara", "pressure_gauge", "it says absolute, but this field wants gauge pressure"),
        ("3 bar abs", "pressure_gauge", "it says absolute, but this field wants gauge pressure"),
        ("3 psig", "pressure_absolute", "it says gauge, but this field wants absolute pressure"),
        ("3 barg", "pressure_absolute", "it says gauge, but this field wants absolute pressure"),
        ("3 psid", "pressure_absolute", "it says difference, but this field wants absolute"),
        ("3 psig", "pressure_difference", "it says gauge, but this field wants pressure diff"),
        ("3 MPa·s", "dynamic_viscosity", "did you mean mPa·s? Upper and lower case differ"),
        ("3 mpa", "stress", "did you mean MPa? Upper and lower case differ"),
        ("3 Mm", "length", "did you mean mm? Upper and lower case differ"),
        ("2 ft 3 in", "length", "the unit ft 3 in is unknown"),
        ("3 furlong", "length", "the unit furlong is unknown. Units understood here: m, mm"),
        ("3 %", "ratio", "% is a unit of share. Units understood here: none, a plain number."),
        ("3 <b>", "length", "the unit <b> is unknown"),
        ("1e308 kN", "force", "too large"),
    ],
)
def test_a_unit_that_does_not_fit_is_refused_with_a_reason(text: str, name: str, said: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, quantity=name, unit=quantity(name).units[0].symbol)
    assert said in str(caught.value)
    assert f'"{text}"' in str(caught.value)


def test_a_unit_or_quantity_that_does_not_exist_is_named() -> None:
    with pytest.raises(UnitError, match=r'"smoot".*unknown'):
        to_si(1.0, unit="smoot", quantity="length")
    with pytest.raises(UnitError, match=r'no quantity "colour".*length'):
        quantity("colour")
    with pytest.raises(UnitError, match="unknown"):
        unit("", quantity="length")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_values_that_are_not_finite_are_not_converted(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="Gauge pressure is not a finite number"):
        to_si(value, unit="bar", quantity="pressure_gauge")
    with pytest.raises(OutOfRangeError, match="Gauge pressure is not a finite number"):
        from_si(value, unit="bar", quantity="pressure_gauge")


@pytest.mark.parametrize(
    ("value_si", "symbol", "name", "expected"),
    [
        (28_000.0, "N/m", "stiffness", "28\u2009000\u00a0N/m"),
        (28_000.0, "N/mm", "stiffness", "28\u00a0N/mm"),
        (1500.0, "lbf", "force", "337.2\u00a0lbf"),
        (0.045, "in", "length", "1.772\u00a0in"),
        (0.15, "%", "percent", "15\u00a0%"),
        (318.15, "degC", "temperature", "45\u00a0°C"),
        (math.radians(12.5), "°", "angle", "12.5°"),
        (0.35, "1", "ratio", "0.35"),
        (-4e-10, "mm/MPa", "compliance", "\u22120.4\u00a0mm/MPa"),
    ],
)
def test_a_value_is_written_with_its_unit(
    value_si: float, symbol: str, name: str, expected: str
) -> None:
    assert format_value(value_si, unit=symbol, quantity=name) == expected


@given(st.sampled_from(UNITS), st.floats(-1e9, 1e9))
def test_a_written_value_is_read_back(where: tuple[str, str], value_si: float) -> None:
    name, symbol = where
    text = format_value(value_si, unit=symbol, quantity=name, digits=12)
    reading = parse(text, quantity=name, unit=symbol)
    assert reading.value == pytest.approx(value_si, rel=1e-11, abs=1e-8)
    assert reading.unit == symbol


def test_everything_public_is_listed() -> None:
    assert all(hasattr(quantities, name) for name in quantities.__all__)
