"""Longer reference computations: heat by ht, CoolProp and scipy.

Air is either CoolProp's, or ISO 2533 written out once more where the solver and not
the property is under test.
"""

from __future__ import annotations

from math import log, pi
from typing import TYPE_CHECKING, Any

import numpy as np
from CoolProp.CoolProp import PropsSI
from ht import (
    Nu_cylinder_Churchill_Bernstein,
    Nu_horizontal_cylinder_Churchill_Chu,
    Nu_vertical_cylinder_Popiel_Churchill,
)
from ht.core import fin_efficiency_Kern_Kraus
from scipy.constants import Stefan_Boltzmann, g
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from tests.evidence.reference_network import force as damper_force

if TYPE_CHECKING:
    from collections.abc import Mapping

Part = dict[str, Any]
SEA_LEVEL = 101_325.0


def _coolprop_air(temperature: float) -> tuple[float, float, float, float]:
    names = ("D", "V", "L", "C")
    density, viscosity, conductivity, heat = (
        PropsSI(name, "T", temperature, "P", SEA_LEVEL, "Air") for name in names
    )
    return density, viscosity, conductivity, heat


def _standard_air(temperature: float) -> tuple[float, float, float, float]:
    """Return ρ, μ, λ after ISO 2533 and c_p from the vibration of N₂ and O₂ (Einstein)."""
    t = temperature
    density = SEA_LEVEL / 287.05287 / t
    viscosity = 1.458e-6 * t**1.5 / (t + 110.4)
    conductivity = 2.648151e-3 * t**1.5 / (t + 245.4 * 10 ** (-12 / t))
    heat = 3.5
    for share, theta in ((0.2095, 2270.0), (0.7809, 3390.0)):
        heat += share * (theta / (2 * t) / np.sinh(theta / (2 * t))) ** 2
    return density, viscosity, conductivity, float(287.05287 * heat)


def _coefficient(shell: Part, surface: float, air: Part, properties: Any) -> float:  # noqa: ANN401
    ambient, speed = air["air_temperature"], air.get("air_speed", 0.0)
    film = 0.5 * (surface + ambient)
    density, viscosity, conductivity, heat = properties(film)
    nu, prandtl = viscosity / density, viscosity * heat / conductivity
    vertical = shell.get("vertical", False)
    size = shell["length"] if vertical else shell["diameter"]
    grashof = g * abs(surface - ambient) / film * size**3 / nu**2
    if vertical:
        still = Nu_vertical_cylinder_Popiel_Churchill(
            prandtl, max(grashof, 1e-9), shell["length"], shell["diameter"]
        )
    else:
        still = Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof)
    natural = still * conductivity / size
    if speed == 0.0:
        return float(natural)
    wind = Nu_cylinder_Churchill_Bernstein(speed * shell["diameter"] / nu, prandtl)
    forced = wind * conductivity / shell["diameter"]
    return float((forced**4 + natural**4) ** 0.25)


def coefficient_with_coolprop(shell: Part, surface: float, air: Part) -> float:
    """Return the mixed coefficient of a tube with CoolProp's air and ht's equations."""
    return _coefficient(shell, surface, air, _coolprop_air)


def _viscosity(oil: Part, temperature: float) -> float:
    """Return ν of ASTM D341 from two points; above 2 mm²/s its Z is ν + 0.7."""
    logs = np.log10([oil["temperature_1"], oil["temperature_2"]])
    points = np.array([oil["viscosity_1"], oil["viscosity_2"]])
    heights = np.log10(np.log10(points * 1e6 + 0.7))
    height = np.polyval(np.polyfit(logs, heights, 1), np.log10(temperature))
    return float(10.0 ** (10.0**height) - 0.7) * 1e-6


def _loss(shell: Part, surface: float, air: Part) -> float:
    ambient = air["air_temperature"]
    coefficient = _coefficient(shell, surface, air, _standard_air)
    around, length = shell["diameter"], shell["length"]
    area = pi * around * length
    if "fins" in shell:
        fins = shell["fins"]
        tip = fins["tip_diameter"] + fins["thickness"]
        efficiency = fin_efficiency_Kern_Kraus(
            around, tip, fins["thickness"], fins["conductivity"], coefficient
        )
        area -= pi * around * fins["count"] * fins["thickness"]
        area += efficiency * fins["count"] * pi / 2 * (tip**2 - around**2)
        around = fins["tip_diameter"]
    radiated = 0.9 * Stefan_Boltzmann * pi * around * length * (surface**4 - ambient**4)
    sun = 0.9 * air.get("irradiance", 0.0) * around * length
    return float(coefficient * area * (surface - ambient) + radiated - sun)


def shed(shell: Part, surface: float, air: Part) -> float:
    """Return the heat that a tube, perhaps with fins, gives off at a surface temperature."""
    return _loss(shell, surface, air)


def through_gap(gap: Part, inner: float, outer: float) -> float:
    """Return the heat through a twin-tube's reserve: oil, gas and radiation side by side."""
    oil, drop = gap["oil"], inner - outer
    ratio = gap["outer_diameter"] / gap["inner_diameter"]
    width = 0.5 * (gap["outer_diameter"] - gap["inner_diameter"])
    height = gap["oil_share"] * gap["length"]
    diffusivity = oil["thermal_conductivity"] / oil["density"] / oil["specific_heat"]
    nu = oil["kinematic_viscosity"]
    rayleigh = g * oil["thermal_expansion"] * abs(drop) * width**3 / nu / diffusivity
    circulation = 0.42 * rayleigh**0.25 * (nu / diffusivity) ** 0.012 / (height / width) ** 0.3
    shape = 2 * pi / log(ratio)
    in_oil = shape * height * max(1.0, circulation) * oil["thermal_conductivity"] * drop
    above = gap["length"] - height
    in_gas = shape * above * _standard_air(0.5 * (inner + outer))[2] * drop
    emissivity = gap.get("emissivity", 0.3)
    resistance = 1 / emissivity + (1 - emissivity) / emissivity / ratio
    radiated = Stefan_Boltzmann * (inner**4 - outer**4) / resistance
    return float(in_oil + in_gas + radiated * pi * gap["inner_diameter"] * above)


def _to_body(damper: Part, oil: float, body: float) -> float:
    wetted = pi * damper["working_diameter"] * damper["working_length"]
    conductance = damper.get("oil_coefficient", 300.0) * wetted
    if "gap" not in damper or abs(oil - body) < 1e-9:
        return float(conductance * (oil - body))
    gap = damper["gap"]

    def difference(tube: float) -> float:
        return float(conductance * (oil - tube) - through_gap(gap, tube, body))

    low, high = sorted((oil, body))
    return float(conductance * (oil - brentq(difference, low, high, xtol=1e-10)))


def taken_in(damper: Part, oil: float, body: float) -> float:
    """Return the heat that the body takes in between two temperatures."""
    return _to_body(damper, oil, body)


def _outside(shell: Part, air: Part, intake: Any) -> float:  # noqa: ANN401
    """Return the temperature at which a shell sheds what it takes in."""
    low = air["air_temperature"]
    return float(brentq(lambda t: intake(t) - _loss(shell, t, air), low, 573.0, xtol=1e-10))


def _flows(damper: Part, air: Part, oil: float) -> tuple[float, float, float]:
    """Return outside temperature and the heat to body and reservoir."""
    body = _outside(damper["body"], air, lambda t: _to_body(damper, oil, t))
    carried = 0.0
    if "reservoir" in damper:
        conductance = damper["reservoir_conductance"]
        outside = _outside(damper["reservoir"], air, lambda t: conductance * (oil - t))
        carried = conductance * (oil - outside)
    return body, _to_body(damper, oil, body), carried


def held(damper: Part, oil: float, surroundings: Part) -> float:
    """Return the power that holds the oil at a temperature."""
    _, to_body, carried = _flows(damper, surroundings, oil)
    return to_body + carried


def settled(damper: Part, power: float, surroundings: Part, what: str) -> float:
    """Return oil or body temperature, or the reservoir's share, by brentq."""

    def excess(oil: float) -> float:
        _, to_body, carried = _flows(damper, surroundings, oil)
        return power - to_body - carried

    oil = brentq(excess, surroundings["air_temperature"], 573.0, xtol=1e-9)
    body, to_body, carried = _flows(damper, surroundings, oil)
    results = {"oil": oil, "body": body, "share": carried / (to_body + carried)}
    return float(results[what])


def balanced(damper: Part, line: list[float], surroundings: Part) -> float:
    """Return the oil temperature at which a power a + b T is shed."""

    def excess(oil: float) -> float:
        _, to_body, carried = _flows(damper, surroundings, oil)
        return line[0] + line[1] * oil - to_body - carried

    return float(brentq(excess, surroundings["air_temperature"], 573.0, xtol=1e-9))


def tenth_more(damper: Part, name: str, power: float, surroundings: Part) -> float:
    """Return what 10 % more power or air speed would change at its slope: 0.1 dT/d(ln size)."""

    def oil(step: float) -> float:
        if name == "power":
            return settled(damper, power * (1 + step), surroundings, "oil")
        more = surroundings | {"air_speed": surroundings["air_speed"] * (1 + step)}
        return settled(damper, power, more, "oil")

    return (oil(1e-3) - oil(-1e-3)) / 2e-3 * 0.1


def later_for_more_power(
    damper: Part, power: float, surroundings: Part, start: float, limit: float
) -> float:
    """Return how the time to the limit changes for 10 % more power, at its slope."""

    def time(step: float) -> float:
        return warmed(damper, power * (1 + step), surroundings, start, 14_400.0, limit, "time")

    return (time(1e-2) - time(-1e-2)) / 2e-2 * 0.1


def warmed(
    damper: Part,
    power: float,
    surroundings: Part,
    start: float,
    duration: float,
    limit: float,
    what: str,
) -> float:
    """Return the last oil temperature, or when it met the limit, by scipy's Radau."""
    body, reservoir = damper["body"], damper.get("reservoir")

    def rates(_: float, state: np.ndarray[Any, Any]) -> list[float]:
        to_body = _to_body(damper, state[0], state[1])
        gain = (to_body - _loss(body, state[1], surroundings)) / body["heat_capacity"]
        changes = [power - to_body, gain]
        if reservoir is not None:
            carried = damper["reservoir_conductance"] * (state[0] - state[2])
            changes[0] -= carried
            gain = (carried - _loss(reservoir, state[2], surroundings)) / reservoir["heat_capacity"]
            changes.append(gain)
        changes[0] /= damper["oil_heat_capacity"]
        return changes

    first = [start] * (2 if reservoir is None else 3)
    curve = solve_ivp(
        rates,
        (0.0, duration),
        first,
        method="Radau",
        rtol=1e-6,
        atol=1e-6,
        events=lambda _, state: state[0] - limit,
    )
    return float(curve.y[0][-1] if what == "oil" else curve.t_events[0][0])


def _warm(oil: Part, temperature: float) -> dict[str, float]:
    """Return density and viscosity of an oil, API MPMS 11.1 and ASTM D341."""
    growth = oil["thermal_expansion"] * (temperature - 288.15)
    density = oil["density_15"] * np.exp(-growth * (1 + 0.8 * growth))
    nu = _viscosity(oil, temperature)
    return {"density": float(density), "dynamic_viscosity": float(density * nu)}


def line_viscosity(oil: Part, temperature: float) -> float:
    """Return the kinematic viscosity on the line of ASTM D341, by numpy's polyfit."""
    return _viscosity(oil, temperature)


def warm_force(damper: Mapping[str, Any], oil: Part, temperature: float, velocity: float) -> float:
    """Return the force of a damper with its oil at a temperature; gas as outside pushes nothing."""
    return damper_force(damper, velocity, SEA_LEVEL, _warm(oil, temperature), SEA_LEVEL)


def warm_power(
    damper: Mapping[str, Any], oil: Part, temperature: float, velocity_amplitude: float
) -> float:
    """Return the mean power of a sine, by quadrature over the cycle."""

    def instant(angle: float) -> float:
        velocity = velocity_amplitude * np.cos(angle)
        both = warm_force(damper, oil, temperature, velocity) - warm_force(
            damper, oil, temperature, -velocity
        )
        return float(both * velocity / pi)

    return float(quad(instant, 0.0, pi / 2 - 1e-9, epsrel=1e-3)[0])


def faded(
    damper: Mapping[str, Any],
    oil: Part,
    thermal: Part,
    surroundings: Part,
    velocity_amplitude: float,
) -> float:
    """Return the oil temperature where heat and force agree."""

    def excess(temperature: float) -> float:
        _, to_body, carried = _flows(thermal, surroundings, temperature)
        return warm_power(damper, oil, temperature, velocity_amplitude) - to_body - carried

    return float(brentq(excess, surroundings["air_temperature"], 423.0, xtol=1e-3))
