"""The heat of the dampers on a speed map: what it asks, and where the oil settles."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import pi
from typing import TYPE_CHECKING

from calculators.errors import ConflictError
from calculators.physics.heat_map import settled_temperatures
from calculators.physics.oil_line import OilLine, thermal_oil
from calculators.physics.reserve_gap import ReserveGap
from calculators.physics.shell import Shell, Surroundings
from calculators.physics.thermal_damper import ThermalDamper
from calculators.sheet import Input
from calculators.sheets import _heat_form
from calculators.sheets._heat_state import MOST_EXCHANGE, reservoir_of

if TYPE_CHECKING:
    from calculators.physics.ride_map import RideMap
    from calculators.sheet import Field, Given

__all__ = ["INPUTS", "damper_of", "temperatures"]

_GROUP = "Heat of the damper"
_WALL = 0.002  # m, of the tubes, common practice
_RESERVOIR_WALL = 0.003  # m, common practice
_RESERVE_SHARE = 0.6  # 1, of the reserve that is oil
_OIL = OilLine(  # an oil of ISO VG 15; between the tubes alone
    density_15=870.0,
    thermal_expansion=7.2e-4,
    temperature_1=313.15,
    viscosity_1=15e-6,
    temperature_2=373.15,
    viscosity_2=3.8e-6,
)
_WARM = 353.15  # K, at which that oil is taken
_STEEL = 7_850.0 * 460.0  # J/(m³·K); it stores, and plays no part in where the oil settles


def _asked() -> tuple[Field, ...]:
    of_heat = {item.name: item for item in _heat_form.INPUTS}
    names = (
        "construction", "body_diameter", "body_length", "working_diameter", "reservoir",
        "reservoir_diameter", "reservoir_length", "fin_count", "fin_diameter", "fin_thickness",
    )  # fmt: skip
    twin = (("construction", ("twin-tube",)),)  # the heat calculator compares with a twin-tube
    of_heat["working_diameter"] = replace(of_heat["working_diameter"], when=twin)
    body = [replace(of_heat[name], group=_GROUP) for name in names]
    wind = Input(
        name="wind_share", label="Wind at the damper", symbol="s_w", quantity="percent", unit="%",
        default=0.33, minimum=0.0, maximum=1.0, group=_GROUP,
        reason="Behind a wheel often a third of the driving speed (common practice).",
        help="Speed of the air that reaches the damper, as a share of the driving speed.",
    )  # fmt: skip
    air = replace(of_heat["air_temperature"], group=_GROUP)
    limit = replace(of_heat["limit_temperature"], group=_GROUP)
    return (*body, wind, air, limit)


INPUTS = _asked()


def damper_of(given: Given) -> ThermalDamper:
    """Return the damper as heat sees it.

    Raises
    ------
    ConflictError
        If the working tube doesn't fit into the body, or fins don't fit on the reservoir.
    """
    diameter, length = given["body_diameter"], given["body_length"]
    capacity = _STEEL * pi * (diameter - _WALL) * _WALL * length
    body = Shell(diameter=diameter, length=length, heat_capacity=capacity, vertical=True)
    outer = diameter - 2.0 * _WALL
    if given.choice("construction") == "monotube":
        plain = ThermalDamper(
            body=body, working_diameter=outer, working_length=length, oil_heat_capacity=capacity
        )
        if given.choice("reservoir") == "none":
            return plain
        reservoir = reservoir_of(given, body=body, wall=_RESERVOIR_WALL)
        return replace(plain, reservoir=reservoir, reservoir_conductance=MOST_EXCHANGE)
    bore = given["working_diameter"]
    inner = bore + 2.0 * _WALL
    if inner >= outer:
        message = (
            "The working tube with its wall of 2 mm does not fit into the body. Give a smaller "
            "bore of the working tube, or a larger body."
        )
        raise ConflictError(message, inputs=("working_diameter", "body_diameter"))
    gap = ReserveGap(
        inner_diameter=inner, outer_diameter=outer, length=length, oil_share=_RESERVE_SHARE,
        oil=thermal_oil(line=_OIL, temperature=_WARM),
    )  # fmt: skip
    return ThermalDamper(
        body=body, working_diameter=bore, working_length=length, oil_heat_capacity=capacity, gap=gap
    )


@lru_cache(maxsize=3)
def temperatures(
    damper: ThermalDamper, air_temperature: float, wind_share: float, found: RideMap
) -> tuple[tuple[float | None, ...], ...]:
    """Return the settled oil temperature of each case, as the map's figures are arranged.

    None where it would be above 300 °C.
    """
    columns = [
        settled_temperatures(
            damper=damper,
            powers=[max(row[entry], 0.0) for row in found.damper_power],
            surroundings=Surroundings(
                air_temperature=air_temperature, air_speed=wind_share * speed
            ),
        )
        for entry, speed in enumerate(found.speeds)
    ]
    return tuple(zip(*columns, strict=True))
