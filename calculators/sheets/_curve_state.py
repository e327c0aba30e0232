"""The damper of the force-velocity sheet at one temperature, and at each click."""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose
from typing import TYPE_CHECKING

from calculators.errors import ConflictError
from calculators.physics import gas, network, target, variation
from calculators.sheets import _valving as valving

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper, OperatingPoint
    from calculators.sheet import Given

__all__ = ["State", "adjusted", "lowest", "reached", "scales_of", "shown", "speeds_of", "state_at"]


@dataclass(frozen=True, slots=True)
class State:
    """One damper with its oil and gas at one temperature."""

    damper: Damper
    oil: Oil
    gas: float
    outside: float

    def at(self, velocity: float) -> OperatingPoint:
        return network.operating_point(
            damper=self.damper,
            velocity=velocity,
            gas_pressure=self.gas,
            oil=self.oil,
            pressure_ambient=self.outside,
        )

    def both(self, speed: float) -> tuple[OperatingPoint, OperatingPoint]:
        return self.at(speed), self.at(-speed)


def state_at(given: Given, temperature: float) -> State:
    return State(
        valving.damper_of(given), valving.oil_at(given, temperature), valving.gas_at(given, temperature),
        gas.atmosphere_pressure(altitude=given["altitude"]),
    )  # fmt: skip


def shown(given: Given, point: OperatingPoint) -> float:
    """Return the force as drawn: positive in compression, with the gas or without."""
    return point.force if given.choice("gas_shown") == "in" else point.force - point.gas_force


def lowest(point: OperatingPoint) -> float:
    return min(point.pressure_head, point.pressure_rod)


def reached(given: Given, point: OperatingPoint) -> bool:
    """Return whether the oil stays whole at this point; otherwise its force is not reached."""
    return lowest(point) > given["release_pressure"]


def speeds_of(given: Given, *also: float) -> list[float]:
    """Return the customary speeds within the curve, its end, and others that are not among them."""
    own = (*also, given["greatest_speed"])
    near = [speed for speed in target.BENCH_SPEEDS if speed < given["greatest_speed"]]
    found = [speed for speed in near if not any(isclose(speed, one) for one in own)]
    return sorted({*found, *own})


def scales_of(given: Given) -> list[float]:
    """Return the bleed scale of each click, closed first."""
    if 0.0 < given["scale_closed"] < 1e-3:  # noqa: PLR2004  a tenth of a percent
        message = "Less than 0.1 % of the bleed is as good as shut. Give 0 to shut it."
        raise ConflictError(message, inputs=("scale_closed",))
    closed, wide, clicks = (
        given["scale_closed"],
        given["scale_open"],
        int(given["clicks"]),
    )
    return [closed + (wide - closed) * click / clicks for click in range(clicks + 1)]


def adjusted(
    state: State, scales: tuple[float, ...], speeds: tuple[float, ...]
) -> list[tuple[OperatingPoint, ...]]:
    family = variation.adjuster_family(
        damper=state.damper, bleed_scales=scales, velocities=speeds, gas_pressure=state.gas, oil=state.oil,
        pressure_ambient=state.outside,
    )  # fmt: skip
    return [curve.points for curve in family]
