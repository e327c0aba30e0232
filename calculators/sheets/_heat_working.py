"""The working of the heat sheet: from the motion to the heat, and the balance it settles in."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from calculators.physics import (
    area,
    bench,
    convection,
    fade,
    heat,
    lumped,
    oil_line,
    power,
    radiation,
    reserve_gap,
    thermal_damper,
    viscous_share,
)
from calculators.physics.air import air
from calculators.physics.fade import HOTTEST_OIL
from calculators.sheets import _heat_state as states
from calculators.sheets import _valving as valving

if TYPE_CHECKING:
    from calculators.physics.shell import Shell, ShellLoss
    from calculators.sheet import Given, Working
    from calculators.sheets._heat_state import State

__all__ = ["record_balance", "record_capacity", "record_fade", "record_motion", "record_start"]

_SIGMA = "5.670374419e-8"


def record_motion(given: Given, work: Working, state: State) -> None:
    """Record the power that the motion takes at the normal temperature."""
    motion = given.choice("motion")
    if motion == "power":
        return
    by_curve = states.by_valves(given) or given.choice("force_by") == "table"
    words = "Mean power at the normal temperature"
    if by_curve:
        curve = "valves" if states.by_valves(given) else "table"
        words += f", c the coefficient that takes as much as the {curve}"
        _record_forces(given, work, curve)
    else:
        work.step("Damping coefficient", "c = F_n/v", given["force_normal"] / given["speed"],
                  quantity="damping", source=power.power_from_sine)  # fmt: skip
    if motion == "rms":
        if by_curve:
            work.let("c", state.power_normal / given["velocity_rms"] ** 2, quantity="damping")
        work.step(words, "P_n = c*v_rms**2", state.power_normal, quantity="power",
                  source=power.power_from_random)  # fmt: skip
        return
    stroke, frequency = states.stroke_and_frequency(given)
    work.step("Frequency on the corrugations", "f = V/lambda_w", frequency,
              quantity="frequency", source=bench.corrugation)  # fmt: skip
    work.step("Stroke of the rod, end to end", "s_x = 2*X_w*MR_d", stroke,
              quantity="length", unit="mm", source=bench.corrugation)  # fmt: skip
    peak = work.step("Largest rod speed", "v_p = pi*f*s_x", pi * frequency * stroke,
                     quantity="velocity", source=bench.corrugation)  # fmt: skip
    if by_curve:
        work.let("c", 2.0 * state.power_normal / peak**2, quantity="damping")
    work.step(words, "P_n = c*v_p**2/2", state.power_normal, quantity="power",
              source=power.power_from_sine)  # fmt: skip


def _record_forces(given: Given, work: Working, curve: str) -> None:
    """Record the force of valves or table at the speed of the comparison."""
    compression, rebound = states.forces_at(given, given["speed"], given["temperature_normal"])
    work.let("F_c", compression, quantity="force")
    work.let("F_r", rebound, quantity="force")
    source = fade.valve_force if curve == "valves" else power.power_from_sine
    work.step("Force at the speed of the comparison, mean of both directions", "F_n = (F_c + F_r)/2",
              states.force_normal(given), quantity="force", source=source)  # fmt: skip


def _record_power(given: Given, work: Working, mark: str, words: str, temperature: float) -> float:
    """Record the power of the valves at an oil temperature."""
    taken = states.power_at(given, temperature)
    speed, factor = ("v_rms", 1.0)
    value = given["velocity_rms"] if given.choice("motion") == "rms" else None
    if value is None:
        stroke, frequency = states.stroke_and_frequency(given)
        speed, factor, value = "v_p", 2.0, pi * frequency * stroke
    work.let(f"c_{mark}", factor * taken / value**2, quantity="damping")
    half = "/2" if factor != 1.0 else ""
    return work.step(f"{words}, c_{mark} the coefficient that takes as much as the valves then",
                     f"P_{mark} = c_{mark}*{speed}**2{half}", taken, quantity="power",
                     source=fade.power_at_temperature)  # fmt: skip


def _let_viscosity(given: Given, work: Working, mark: str, temperature: float) -> None:
    work.let(f"mu_{mark}", valving.oil_at(given, temperature).dynamic_viscosity,
             quantity="dynamic_viscosity", unit="mPa·s")  # fmt: skip


def record_start(given: Given, work: Working, state: State) -> float:
    """Record force and power at the start; return the power."""
    if states.by_valves(given):
        return _record_power(given, work, "s", "Power at the start", given["air_temperature"])
    _let_viscosity(given, work, "n", given["temperature_normal"])
    _let_viscosity(given, work, "s", given["air_temperature"])
    source = viscous_share.force_left
    cold_share = work.step(
        "Force at air temperature over normal", "R_s = s_v*mu_s/mu_n + 1 - s_v",
        states.force_share(given, given["air_temperature"]), quantity="percent", unit="%", source=source,
    )  # fmt: skip
    return work.step("Power at the start", "P_s = P_n*R_s", state.power_normal * cold_share,
                     quantity="power", source=source)  # fmt: skip


def record_fade(given: Given, work: Working, state: State) -> dict[str, float | None]:
    """Record force and power when settled."""
    hot = state.heat.oil_temperature
    if states.by_valves(given):
        return _record_valves(given, work, hot)
    _let_viscosity(given, work, "h", min(hot, HOTTEST_OIL))
    source = viscous_share.force_left
    share = work.step(
        "Force when settled over normal, the oil at the temperature found below",
        "R_h = s_v*mu_h/mu_n + 1 - s_v", states.force_share(given, hot),
        quantity="percent", unit="%", source=source,
    )  # fmt: skip
    loss = work.step("Force lost", "S_F = 1 - R_h", 1.0 - share, quantity="percent", unit="%", source=source)  # fmt: skip
    settled = work.step("Power when settled", "P_h = P_n*R_h", state.power_normal * share,
                        quantity="power", source=source)  # fmt: skip
    force = None
    if given.choice("motion") != "power":
        force = work.step("Force when hot", "F_h = F_n*R_h", states.force_normal(given) * share,
                          quantity="force", source=source)  # fmt: skip
    return {"power_settled": settled, "force_loss": loss, "force_hot": force}


def _record_valves(given: Given, work: Working, hot: float) -> dict[str, float | None]:
    """Record force and power of the valves when settled."""
    compression, rebound = states.forces_at(given, given["speed"], hot)
    work.let("F_ch", compression, quantity="force")
    work.let("F_rh", rebound, quantity="force")
    source = fade.valve_force
    force = work.step("Force when hot, the oil at the temperature found below", "F_h = (F_ch + F_rh)/2",
                      0.5 * (compression + rebound), quantity="force", source=source)  # fmt: skip
    loss = work.step("Force lost", "S_F = 1 - F_h/F_n", 1.0 - force / states.force_normal(given),
                     quantity="percent", unit="%", source=source)  # fmt: skip
    settled = _record_power(given, work, "h", "Power when settled", hot)
    return {"power_settled": settled, "force_loss": loss, "force_hot": force}


def _record_air(work: Working, shell: Shell, loss: ShellLoss, film: float) -> float:
    """Record the heat transfer coefficient of the body."""
    seen = loss.convection
    work.let(
        "lambda_a", air(temperature=film).thermal_conductivity, quantity="thermal_conductivity"
    )
    work.let("Pr", seen.prandtl, quantity="ratio")
    work.let("Ra", seen.rayleigh, quantity="ratio")
    kind, unit = "heat_transfer_coefficient", "W/(m²·K)"
    if shell.vertical and seen.rayleigh > 0.0:
        source = convection.nusselt_vertical_slender
        work.let("B", 0.0571322 + 0.20305 * seen.prandtl**-0.43, quantity="ratio")
        work.step("Layer of warm air over diameter", "delta = sqrt(32)*(Pr/Ra)**0.25*L_b/D_b",
                  32.0**0.5 * (seen.prandtl / seen.rayleigh) ** 0.25 * shell.length / shell.diameter,
                  quantity="ratio", source=source)  # fmt: skip
        work.step(
            "Rising warm air along the upright tube",
            "h_n = lambda_a/L_b*(0.825 + 0.387*Ra**(1/6)/(1 + (0.492/Pr)**(9/16))**(8/27))**2"
            "*(1 + B*delta**(0.9165 - 0.0043*sqrt(Pr) + 0.01333*ln(Pr) + 0.0004809/Pr))",
            seen.coefficient_natural, quantity=kind, unit=unit, source=source,
        )  # fmt: skip
    elif shell.vertical:
        work.let("h_n", seen.coefficient_natural, quantity=kind, unit=unit)
    else:
        work.step(
            "Rising warm air round the lying tube",
            "h_n = lambda_a/D_b*(0.6 + 0.387*Ra**(1/6)/(1 + (0.559/Pr)**(9/16))**(8/27))**2",
            seen.coefficient_natural, quantity=kind, unit=unit, source=convection.nusselt_horizontal,
        )  # fmt: skip
    if seen.coefficient_forced == 0.0:
        return work.step("Heat transfer in still air", "h = h_n", seen.coefficient,
                         quantity=kind, unit=unit, source=convection.cylinder_convection)  # fmt: skip
    work.let("Re", seen.reynolds, quantity="ratio")
    work.step(
        "Wind across the tube",
        "h_w = lambda_a/D_b*(0.3 + 0.62*sqrt(Re)*Pr**(1/3)/(1 + (0.4/Pr)**(2/3))**0.25"
        "*(1 + (Re/282000)**0.625)**0.8)",
        seen.coefficient_forced, quantity=kind, unit=unit, source=convection.nusselt_cross_flow,
    )  # fmt: skip
    return work.step("Both together", "h = (h_w**4 + h_n**4)**0.25", seen.coefficient,
                     quantity=kind, unit=unit, source=convection.cylinder_convection)  # fmt: skip


def _record_reservoir(given: Given, work: Working, state: State) -> None:
    """Record the heat that goes to the reservoir and leaves it."""
    shell, loss = state.damper.reservoir, state.heat.reservoir
    temperature = state.heat.reservoir_temperature
    assert shell is not None
    assert loss is not None
    assert temperature is not None
    work.let(
        "rho_n", valving.oil_at(given, given["temperature_normal"]).density, quantity="density"
    )
    work.let("A_r", area.circle_area(diameter=states.rod_of(given)), quantity="area", unit="mm²")
    work.step(
        "Heat that the oil carries to the reservoir for each kelvin; more than 50 W/K changes nothing",
        "G_r = min(rho_n*c_p*f*max(0, A_r*s_x - V_h), 50)", state.damper.reservoir_conductance,
        quantity="thermal_conductance", source=thermal_damper.exchange_conductance,
    )  # fmt: skip
    work.let("T_r", temperature, quantity="temperature", unit="°C")
    work.let("h_f", loss.convection.coefficient, quantity="heat_transfer_coefficient")
    work.let("A_f", loss.effective_area, quantity="area", unit="cm²")
    outer = "D_t" if shell.fins is not None else "D_f"
    work.step(
        "Heat that leaves the reservoir, A_f its effective area",
        f"Q_f = h_f*A_f*(T_r - T_a) + epsilon*{_SIGMA}*pi*{outer}*L_f*(T_r**4 - T_a**4) - alpha*G_s*{outer}*L_f",
        loss.power, quantity="power", source=heat.steady_heat,
    )  # fmt: skip
    work.step("The same heat brings the outside of the reservoir to", "T_r = T_o - Q_f/G_r", temperature,
              quantity="temperature", unit="°C", source=thermal_damper.exchange_conductance)  # fmt: skip


def _record_oil(work: Working, state: State, body_heat: float) -> None:
    """Record the way of the heat from the oil to the outside of the body."""
    damper, settled = state.damper, state.heat
    diameter, length = "D_w", "L_b"
    if damper.gap is None:
        diameter, length = "D_i", "L_i"
        work.step("Bore", "D_i = D_b - 2*t_w", damper.working_diameter,
                  quantity="length", unit="mm", source=area.circle_area)  # fmt: skip
        work.step("Length that the oil wets", "L_i = min(L_b, 4*V_oil/(pi*D_i**2))", damper.working_length,
                  quantity="length", unit="mm", source=area.circle_area)  # fmt: skip
    conductance = work.step(
        "From the oil to its tube, 300 W/(m²·K) for moving oil", f"G_o = 300*pi*{diameter}*{length}",
        damper.oil_conductance, quantity="thermal_conductance", source=heat.steady_heat,
    )  # fmt: skip
    if damper.gap is None:
        work.step("Oil temperature, settled", "T_o = T_b + Q_b/G_o", settled.oil_temperature,
                  quantity="temperature", unit="°C", source=heat.steady_heat)  # fmt: skip
        return
    tube = settled.oil_temperature - body_heat / conductance
    through = reserve_gap.gap_heat(
        gap=damper.gap, temperature_inner=tube, temperature_outer=settled.body_temperature
    )
    work.let("Nu", through.nusselt, quantity="ratio")
    work.let("lambda_o", damper.gap.oil.thermal_conductivity, quantity="thermal_conductivity")
    middle = 0.5 * (tube + settled.body_temperature)
    work.let(
        "lambda_g", air(temperature=middle).thermal_conductivity, quantity="thermal_conductivity"
    )
    work.let("Q_g", through.radiation_power, quantity="power")
    work.step(
        "Working tube, Q_g passing the reserve by radiation",
        "T_t = T_b + (Q_b - Q_g)*ln((D_b - 2*t_w)/(D_w + 2*t_w))/(2*pi*L_b*(s_o*Nu*lambda_o + (1 - s_o)*lambda_g))",
        tube, quantity="temperature", unit="°C", source=reserve_gap.gap_heat,
    )  # fmt: skip
    work.step("Oil temperature, settled", "T_o = T_t + Q_b/G_o", settled.oil_temperature,
              quantity="temperature", unit="°C", source=heat.steady_heat)  # fmt: skip


def record_balance(
    given: Given, work: Working, state: State, taken: float
) -> dict[str, float | None]:
    """Record how the heat taken in parts and leaves, and the temperatures that this needs."""
    settled, body = state.heat, state.damper.body
    work.let("T_o", settled.oil_temperature, quantity="temperature", unit="°C")
    work.let("T_b", settled.body_temperature, quantity="temperature", unit="°C")
    work.let("alpha", body.absorptivity, quantity="ratio")
    film = 0.5 * (settled.body_temperature + given["air_temperature"])
    coefficient = _record_air(work, body, settled.body, film)
    work.step("Surface of the body", "A_b = pi*D_b*L_b", body.envelope_area,
              quantity="area", unit="cm²", source=area.circle_area)  # fmt: skip
    radiated = work.step("Radiation", f"Q_r = epsilon*{_SIGMA}*A_b*(T_b**4 - T_a**4)", settled.body.radiation_power,
                         quantity="power", source=radiation.radiated_power)  # fmt: skip
    sun = work.step("Sun on the body", "Q_s = alpha*G_s*D_b*L_b", settled.body.solar_power,
                    quantity="power", source=radiation.solar_power)  # fmt: skip
    carried, less = 0.0, ""
    if settled.reservoir is not None:
        _record_reservoir(given, work, state)
        carried, less = settled.reservoir.power, " - Q_f"
    through = work.step("Heat through the body: power in, less the reservoir", f"Q_b = P_h{less}", taken - carried,
                        quantity="power", source=heat.steady_heat)  # fmt: skip
    to_air = work.step("Left for the air to carry", "Q_c = Q_b + Q_s - Q_r", through + sun - radiated,
                       quantity="power", source=heat.steady_heat)  # fmt: skip
    work.step("Which needs the body to be at", "T_b = T_a + Q_c/(h*A_b)", settled.body_temperature,
              quantity="temperature", unit="°C", source=convection.cylinder_convection)  # fmt: skip
    _record_oil(work, state, through)
    return {
        "oil_temperature": settled.oil_temperature,
        "body_temperature": settled.body_temperature,
        "reservoir_temperature": settled.reservoir_temperature,
        "convected": to_air,
        "radiated": radiated,
        "sun": sun,
        "reservoir_heat": None if settled.reservoir is None else carried,
        "coefficient": coefficient,
    }


def record_capacity(given: Given, work: Working, state: State) -> None:
    """Record what has to be warmed."""
    warm = states.thermal_oil(given, given["temperature_normal"])
    work.step("Specific heat of the oil", "c_p = (1685 + 3.39*(T_n - 273.15))/sqrt(rho_15/999)", warm.specific_heat,
              quantity="specific_heat", source=oil_line.oil_specific_heat)  # fmt: skip
    tube = " + 7850*460*pi*(D_w + t_w)*t_w*L_b" if state.damper.gap is not None else ""
    work.step("Heat capacity of oil and working tube" if tube else "Heat capacity of the oil",
              f"C_o = rho_15*V_oil*c_p{tube}", state.damper.oil_heat_capacity,
              quantity="heat_capacity", source=lumped.time_constant)  # fmt: skip
    work.step("Heat capacity of the body, steel", "C_b = 7850*460*pi*(D_b - t_w)*t_w*L_b",
              state.damper.body.heat_capacity, quantity="heat_capacity", source=lumped.time_constant)  # fmt: skip
