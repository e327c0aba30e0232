"""The damper of the heat sheet as the physics takes it, and the state in which it settles."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, NoSolutionError
from calculators.physics import area, fade, heat, oil_line, power, thermal_damper, viscous_share
from calculators.physics.air import GREATEST_TEMPERATURE
from calculators.physics.fade import HOTTEST_OIL
from calculators.physics.fin import Fins
from calculators.physics.oil_line import ThermalOil
from calculators.physics.reserve_gap import ReserveGap
from calculators.physics.shell import Shell, Surroundings
from calculators.physics.thermal_damper import ThermalDamper
from calculators.sheets import _valving as valving
from calculators.sheets._ride_form import curve_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.physics.fade import Motion
    from calculators.physics.heat import SteadyHeat
    from calculators.physics.network import Damper
    from calculators.physics.oil_line import OilLine
    from calculators.sheet import Given

__all__ = [
    "ALUMINIUM",
    "MOST_EXCHANGE",
    "STEEL",
    "State",
    "by_valves",
    "exchange",
    "force_normal",
    "force_share",
    "forces_at",
    "power_at",
    "reservoir_of",
    "rod_of",
    "settled",
    "state_of",
    "stroke_and_frequency",
    "surroundings_of",
    "tabled_power",
]

STEEL = (7_850.0, 460.0)  # kg/m³ and J/(kg·K), common practice
ALUMINIUM = (2_700.0, 900.0)  # kg/m³ and J/(kg·K), common practice
CONDUCTIVITY = 170.0  # W/(m·K), aluminium alloy, common practice
ABSORPTIVITY = 0.9  # for sunlight, dark or dirty, common practice
_STEP = 10.0  # K, between the powers that are worked out for a drawing
MOST_EXCHANGE = 50.0  # W/K, from where a reservoir follows the oil within a kelvin or two


@dataclass(frozen=True, slots=True)
class State:
    """The damper, its power at the normal temperature, and where it settles, if it does."""

    damper: ThermalDamper
    power_normal: float
    settled: SteadyHeat | None

    @property
    def heat(self) -> SteadyHeat:
        """Where it settles; to be asked only of a damper that does."""
        assert self.settled is not None
        return self.settled

    @property
    def capacity(self) -> float:
        """All that warms up [J/K]."""
        reservoir = self.damper.reservoir
        shells = self.damper.body.heat_capacity + (reservoir.heat_capacity if reservoir else 0.0)
        return self.damper.oil_heat_capacity + shells


def _tube(diameter: float, wall: float, length: float, metal: tuple[float, float]) -> float:
    """Return the heat capacity of a tube, from its outside."""
    return metal[0] * metal[1] * pi * (diameter - wall) * wall * length


def _body(given: Given) -> Shell:
    return Shell(
        diameter=given["body_diameter"],
        length=given["body_length"],
        heat_capacity=_tube(given["body_diameter"], given["wall"], given["body_length"], STEEL),
        emissivity=given["emissivity"],
        absorptivity=ABSORPTIVITY,
        vertical=given.choice("position") == "upright",
    )


def reservoir_of(given: Given, *, body: Shell, wall: float) -> Shell:
    """Return the reservoir; it stands and shines as the body does.

    Raises
    ------
    ConflictError
        If the fins don't fit on it.
    """
    diameter, length = given["reservoir_diameter"], given["reservoir_length"]
    capacity = _tube(diameter, wall, length, ALUMINIUM)
    fins = None
    if given.choice("reservoir") == "finned":
        tip, thickness = given["fin_diameter"], given["fin_thickness"]
        if tip <= diameter or given["fin_count"] * thickness >= length:
            message = (
                "The fins do not fit: they must stand out from the reservoir and leave gaps on its "
                "length. Give a larger outside diameter, or fewer or thinner fins."
            )
            raise ConflictError(message, inputs=("fin_diameter", "fin_count", "fin_thickness"))
        fins = Fins(
            count=round(given["fin_count"]),
            tip_diameter=tip,
            thickness=thickness,
            conductivity=CONDUCTIVITY,
        )
        metal = (
            given["fin_count"]
            * thickness
            * area.annulus_area(outer_diameter=tip, inner_diameter=diameter)
        )
        capacity += ALUMINIUM[0] * ALUMINIUM[1] * metal
    return replace(body, diameter=diameter, length=length, heat_capacity=capacity, fins=fins)


def stroke_and_frequency(given: Given) -> tuple[float, float]:
    """Return how far and how often the rod moves in the motion that makes the heat."""
    if given.choice("motion") == "corrugation":
        stroke = 2.0 * given["wheel_amplitude"] * given["motion_ratio"]
        return stroke, given["vehicle_speed"] / given["wavelength"]
    return given["stroke"], given["frequency_given"]


def by_valves(given: Given) -> bool:
    """Return whether the valves are known."""
    return given.choice("fade_by") == "valves"


def rod_of(given: Given) -> float:
    """Return the rod's diameter, which valves and reservoir each ask for."""
    return given["rod_diameter" if by_valves(given) else "rod_diameter_reservoir"]


def _hydraulics(given: Given) -> tuple[Damper, OilLine]:
    """Return bore, rod and valves, and the oil over temperature."""
    construction = "monotube" if given.choice("foot") == "open" else "twin-tube"
    return valving.damper_of(given, construction), valving.oil_line_of(given)


def _moving(given: Given) -> tuple[float, Motion]:
    """Return root mean square of the rod speed, and the kind of motion."""
    motion = given.choice("motion")
    if motion == "power":
        message = (
            "A mean power does not tell how fast the rod moves, and the valves need that. Give "
            "the heat by corrugations or by the rod speed, or take one viscous share."
        )
        raise ConflictError(message, inputs=("motion", "fade_by"))
    if motion == "rms":
        return given["velocity_rms"], "random"
    stroke, frequency = stroke_and_frequency(given)
    return pi * frequency * stroke / sqrt(2.0), "sine"


def exchange(given: Given, oil: ThermalOil) -> float:
    """Return the heat that the oil carries to the reservoir for each kelvin."""
    stroke, frequency = stroke_and_frequency(given)
    return thermal_damper.exchange_conductance(
        volume_stroke=area.circle_area(diameter=rod_of(given)) * stroke,
        volume_hose=given["hose_volume"],
        frequency=frequency,
        density=oil.density,
        specific_heat=oil.specific_heat,
    )


def thermal_oil(given: Given, temperature: float) -> ThermalOil:
    """Return what the oil is for heat at a temperature."""
    oil = valving.oil_at(given, temperature)
    density_15 = given["density_15"]
    return ThermalOil(
        density=oil.density,
        kinematic_viscosity=oil.dynamic_viscosity / oil.density,
        thermal_expansion=valving.expansion_of(given),
        thermal_conductivity=oil_line.oil_conductivity(temperature=temperature, density_15=density_15),
        specific_heat=oil_line.oil_specific_heat(temperature=temperature, density_15=density_15),
    )  # fmt: skip


def _damper(given: Given, construction: str, *, reservoir: bool) -> ThermalDamper:
    body, wall, length = _body(given), given["wall"], given["body_length"]
    normal = thermal_oil(given, given["temperature_normal"])
    capacity = given["density_15"] * given["oil_volume"] * normal.specific_heat
    if construction == "twin-tube":
        bore = given["working_diameter"]
        inner, outer = bore + 2.0 * wall, body.diameter - 2.0 * wall
        if inner >= outer:
            message = (
                "The working tube with its wall does not fit into the body. Give a smaller bore "
                "of the working tube, a larger body or thinner walls."
            )
            raise ConflictError(message, inputs=("working_diameter", "body_diameter", "wall"))
        return ThermalDamper(
            body=body, working_diameter=bore, working_length=length,
            oil_heat_capacity=capacity + _tube(inner, wall, length, STEEL),
            gap=ReserveGap(
                inner_diameter=inner, outer_diameter=outer, length=length,
                oil_share=given["reserve_share"], oil=thermal_oil(given, given["limit_temperature"]),
            ),
        )  # fmt: skip
    bore = body.diameter - 2.0 * wall
    section = area.circle_area(diameter=bore)
    plain = ThermalDamper(
        body=body,
        working_diameter=bore,
        working_length=min(length, given["oil_volume"] / section),
        oil_heat_capacity=capacity,
    )
    if not reservoir:
        return plain
    carried = min(exchange(given, normal), MOST_EXCHANGE)
    if carried <= 0.0:
        message = (
            "The reservoir gets no heat: each stroke moves no more oil than the hose holds. Give a "
            "shorter hose or a larger stroke, or leave the reservoir out."
        )
        raise ConflictError(message, inputs=("hose_volume", "reservoir"))
    beside = reservoir_of(given, body=body, wall=given["reservoir_wall"])
    return replace(plain, reservoir=beside, reservoir_conductance=carried)


def surroundings_of(given: Given, air_speed: float | None = None) -> Surroundings:
    """Return air, wind and sun, at the wind given or another one."""
    return Surroundings(
        air_temperature=given["air_temperature"],
        air_speed=given["air_speed"] if air_speed is None else air_speed,
        irradiance=given["sunlight"],
    )


def _power_normal(given: Given) -> float:
    motion = given.choice("motion")
    if motion == "power" and not by_valves(given):
        return given["power_given"]
    if by_valves(given):
        return power_at(given, given["temperature_normal"])
    by_table = given.choice("force_by") == "table"
    if motion == "rms" and by_table:
        return power.random_power(force=_curve(given), velocity_rms=given["velocity_rms"])
    stroke, frequency = stroke_and_frequency(given) if motion == "corrugation" else (0.0, 0.0)
    if by_table:
        return power.sine_power(force=_curve(given), velocity_amplitude=pi * frequency * stroke)
    damping = given["force_normal"] / given["speed"]
    if motion == "rms":
        return power.power_from_random(damping=damping, velocity_rms=given["velocity_rms"])
    return power.power_from_sine(damping=damping, velocity_amplitude=pi * frequency * stroke)


def _curve(given: Given) -> Callable[[float], float]:
    """Return the force of the table over rod speed, at the normal temperature."""
    curve = curve_of(given.rows("damper"))
    return lambda velocity: curve.at(velocity=velocity)


def force_normal(given: Given) -> float:
    """Return the force at the speed of the comparison, mean of both directions, normal oil."""
    if not by_valves(given) and given.choice("force_by") == "one":
        return given["force_normal"]
    return 0.5 * sum(forces_at(given, given["speed"], given["temperature_normal"]))


def forces_at(given: Given, speed: float, temperature: float) -> tuple[float, float]:
    """Return compression and rebound force of valves or table at a speed and temperature."""
    if by_valves(given):
        damper, oil = _hydraulics(given)
        inward, outward = (
            fade.valve_force(damper=damper, oil=oil, temperature=temperature, velocity=velocity)
            for velocity in (speed, -speed)
        )
        return inward, -outward
    force, share = _curve(given), force_share(given, temperature)
    return share * force(speed), -share * force(-speed)


def force_share(given: Given, temperature: float) -> float:
    """Return the force at an oil temperature over that at the normal one."""
    now = valving.oil_at(given, min(temperature, HOTTEST_OIL)).dynamic_viscosity
    normal = valving.oil_at(given, given["temperature_normal"]).dynamic_viscosity
    return viscous_share.force_left(
        viscous_share=given["viscous_share"], viscosity_ratio=now / normal
    )


def power_at(given: Given, temperature: float) -> float:
    """Return the mean power of the motion at an oil temperature."""
    if not by_valves(given):
        return _power_normal(given) * force_share(given, temperature)
    damper, oil = _hydraulics(given)
    velocity, motion = _moving(given)
    return fade.power_at_temperature(
        damper=damper, oil=oil, temperature=temperature, velocity_rms=velocity, motion=motion
    )


def settled(
    given: Given,
    damper: ThermalDamper,
    air_speed: float | None = None,
    power_by: Callable[[float], float] | None = None,
) -> SteadyHeat:
    """Return where a damper settles when its heat and its force agree.

    `power_by` is the power over the oil temperature, if it has been worked out already.
    """
    surroundings = surroundings_of(given, air_speed)
    if power_by is None and by_valves(given):
        hydraulics, oil = _hydraulics(given)
        velocity, motion = _moving(given)
        return fade.fade(
            damper=hydraulics, oil=oil, thermal=damper, surroundings=surroundings,
            velocity_rms=velocity, motion=motion,
        )  # fmt: skip
    if power_by is None:
        normal = _power_normal(given)

        def power_by(temperature: float) -> float:
            return normal * force_share(given, temperature)

    return heat.balanced_heat(
        damper=damper, power=power_by, surroundings=surroundings, hottest=GREATEST_TEMPERATURE
    )


def tabled_power(given: Given) -> Callable[[float], float]:
    """Return the power over the oil temperature on straight lines between steps of 10 K.

    For curves that ask for it again and again; the lines stay within 1 % of it.
    """
    start = given["air_temperature"]
    steps = max(1, ceil((HOTTEST_OIL - start) / _STEP))
    known = [power_at(given, start + _STEP * step) for step in range(steps + 1)]

    def power_by(temperature: float) -> float:
        place = min(max((temperature - start) / _STEP, 0.0), float(steps))
        left = min(int(place), steps - 1)
        return known[left] + (place - left) * (known[left + 1] - known[left])

    return power_by


def state_of(given: Given, construction: str = "") -> State:
    """Return the damper as given, or its like of another construction without reservoir.

    A damper whose oil would pass 300 °C does not settle.
    """
    own = given.choice("construction")
    with_reservoir = not construction and own == "monotube" and given.choice("reservoir") != "none"
    damper = _damper(given, construction or own, reservoir=with_reservoir)
    try:
        found = settled(given, damper)
    except NoSolutionError:
        found = None
    return State(damper, _power_normal(given), found)
