"""Inputs that the sheets about gas have in common, and the ambient pressure from the altitude."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.physics import area, gas
from calculators.sheet import Choice, Input, Option

if TYPE_CHECKING:
    from calculators.sheet import Given, Working

__all__ = ["CHAMBER", "OIL", "ROD", "SITE", "ambient", "gas_volume"]

_DAMPER, _GAS, _OIL, _WHERE = "Rod and stroke", "Gas", "Oil", "Place"

ROD = Input(
    name="rod_diameter", label="Rod diameter", symbol="d", quantity="length", unit="mm",
    default=0.020, minimum=0.004, maximum=0.080, group=_DAMPER,
    reason="Measure the chromed rod; trailer and off-road dampers have 10 to 30 mm.",
    help="Of the piston rod where it passes the seal.",
)  # fmt: skip

CHAMBER = (
    Choice(
        name="volume_given", label="Gas volume given as",
        options=(Option("chamber", "bore and column"), Option("volume", "volume")),
        help="Bore and column are on the drawing; the volume may come from a filling sheet.",
        group=_GAS,
    ),
    Input(
        name="chamber_diameter", label="Bore of the gas chamber", symbol="D_g", quantity="length", unit="mm",
        default=0.046, minimum=0.008, maximum=0.200, group=_GAS, when=(("volume_given", ("chamber",)),),
        reason="Bore in which the dividing piston runs.",
        help="Inner diameter around the gas; of a reservoir, its own bore.",
    ),
    Input(
        name="gas_column", label="Gas column", symbol="g_0", quantity="length", unit="mm",
        default=0.090, minimum=0.002, maximum=1.0, group=_GAS, when=(("volume_given", ("chamber",)),),
        reason="Length of the gas at full extension and 20 °C.",
        help="From the end of the chamber to the dividing piston, rod fully out, at 20 °C.",
    ),
    Input(
        name="gas_volume", label="Gas volume", symbol="V_0", quantity="volume", unit="cm³",
        default=150e-6, minimum=0.5e-6, maximum=5e-3, group=_GAS, when=(("volume_given", ("volume",)),),
        reason="Volume of the gas at full extension and 20 °C.",
        help="Rod fully out, at 20 °C; in a twin-tube, what is left above the oil.",
    ),
)  # fmt: skip

OIL = (
    Input(
        name="oil_volume", label="Oil volume", symbol="V_oil", quantity="volume", unit="cm³",
        default=400e-6, minimum=0.0, maximum=10e-3, group=_OIL,
        reason="All the oil in the damper at 20 °C; 0 leaves its expansion out.",
        help="All the oil, hose and reservoir included: warm oil takes room from the gas.",
    ),
    Input(
        name="expansion_coefficient", label="Thermal expansion of the oil", symbol="beta", quantity="thermal_expansion",
        unit="1/K", default=0.00075, minimum=0.0, maximum=0.002, group=_OIL,
        reason="Mineral oil is near 0.0007 to 0.0008 1/K (value from memory).",
        help="Growth in volume for each kelvin, from the oil's data sheet.",
    ),
)  # fmt: skip

SITE = Input(
    name="altitude", label="Altitude", symbol="H", quantity="length", unit="m",
    default=0.0, minimum=-400.0, maximum=6_000.0, group=_WHERE,
    reason="From the Dead Sea to the highest mine roads.",
    help="Where the damper works: thinner air holds the rod back less.",
)  # fmt: skip


def gas_volume(given: Given, work: Working) -> float:
    """Return the gas volume at full extension and 20 °C, from the chamber or as given."""
    if given.choice("volume_given") == "volume":
        return given["gas_volume"]
    section = area.circle_area(diameter=given["chamber_diameter"])
    return work.step("Gas volume at full extension, 20 °C", "V_0 = pi*D_g**2/4*g_0", section * given["gas_column"],
                     quantity="volume", unit="cm³", source=area.circle_area)  # fmt: skip


def ambient(given: Given, work: Working) -> float:
    """Return the air pressure at the altitude."""
    return work.step(
        "Air pressure at this altitude",
        "p_amb = 101325*(1 - 0.0065*H/288.15)**(9.80665/(0.0065*287.05287))",
        gas.atmosphere_pressure(altitude=given["altitude"]),
        quantity="pressure_absolute", unit="kPa", source=gas.atmosphere_pressure,
    )  # fmt: skip
