"""How the valve-sizing sheet comes to its sizes, step by step, and its tables."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from calculators.physics import drill, network, orifice, pair, sizing, valve
from calculators.physics.area import annulus_area, circle_area
from calculators.physics.fluid import Oil
from calculators.sheets._valve_form import FORCES, SIZES

if TYPE_CHECKING:
    from calculators.physics.valving import SizedDamper
    from calculators.sheet import Given, Working

__all__ = [
    "show_bleed",
    "show_deviation",
    "show_disc",
    "show_drops",
    "show_fastest",
    "show_ports",
    "show_tables",
    "worst_of",
]


def show_drops(given: Given, work: Working) -> float:
    """Record which flow and which drops the fastest line of the table asks for; return the flow."""
    speed, compression, rebound = given.rows("target")[-1]
    ring = work.step(
        "Area of the piston round the rod",
        "A_a = pi*(D**2 - d**2)/4",
        annulus_area(outer_diameter=given["bore"], inner_diameter=given["rod_diameter"]),
        quantity="area",
        unit="mm²",
        source=annulus_area,
    )
    work.let("v_n", speed, quantity="velocity")
    work.let("F_cn", compression, quantity="force")
    work.let("F_rn", rebound, quantity="force")
    work.step(
        "Flow through the piston at the highest speed",
        "Q_n = A_a*v_n",
        ring * speed,
        quantity="volume_flow",
        unit="L/min",
        source=network.operating_point,
    )
    below, formula = ring, "p_cn = F_cn/A_a"
    if given.choice("foot") == "foot":
        rod = work.step(
            "Rod section",
            "A_r = pi*d**2/4",
            circle_area(diameter=given["rod_diameter"]),
            quantity="area",
            unit="mm²",
            source=circle_area,
        )
        below, formula = ring + given["foot_ratio"] * rod, "p_cn = F_cn/(A_a + r*A_r)"
    work.step(
        "Drop wanted there, compression",
        formula,
        compression / below,
        quantity="pressure_difference",
        unit="bar",
        source=network.operating_point,
    )
    work.step(
        "Drop wanted there, rebound",
        "p_rn = F_rn/A_a",
        rebound / ring,
        quantity="pressure_difference",
        unit="bar",
        source=network.operating_point,
    )
    return ring * speed


def _drilled(work: Working, label: str, symbol: str, diameter: float) -> float:
    """Record a diameter as a whole number of drill steps."""
    work.let(f"k_{symbol}", round(diameter / drill.DRILL_STEP), quantity="count")
    return work.step(
        label,
        f"d_{symbol} = k_{symbol}*0.0001",
        diameter,
        quantity="length",
        unit="mm",
        source=drill.nearest_drilling,
    )


def show_bleed(work: Working, made: sizing.MadeValve) -> float:
    work.let("A_b", made.ideal.bleed_area, quantity="area", unit="mm²")
    work.let("n_b", made.bleed.count, quantity="count")
    work.step(
        "Bleed: one hole of the area that fits best would be",
        "d_b0 = sqrt(4*A_b/pi)",
        (4.0 * made.ideal.bleed_area / pi) ** 0.5,
        quantity="length",
        unit="mm",
        source=sizing.fit_valves,
    )
    diameter = _drilled(work, "Bleed hole, in drill steps of 0.1 mm", "b", made.bleed.diameter)
    work.step(
        "Bleed area made",
        "A_bm = n_b*pi*d_b**2/4",
        made.bleed.area,
        quantity="area",
        unit="mm²",
        source=drill.nearest_drilling,
    )
    return diameter


def show_ports(work: Working, words: str, mark: str, made: sizing.MadeValve) -> float:
    work.let(f"A_p{mark}", made.ideal.port_area, quantity="area", unit="mm²")
    work.let(f"n_p{mark}", made.ports.count, quantity="count")
    work.step(
        f"Ports, {words}: the area that fits best, in {made.ports.count} holes",
        f"d_p{mark}0 = sqrt(4*A_p{mark}/(pi*n_p{mark}))",
        (4.0 * made.ideal.port_area / (pi * made.ports.count)) ** 0.5,
        quantity="length",
        unit="mm",
        source=sizing.fit_valves,
    )
    return _drilled(
        work, f"Port, {words}, in drill steps of 0.1 mm", f"p{mark}", made.ports.diameter
    )


def show_disc(
    given: Given, work: Working, words: str, mark: str, made: sizing.MadeValve
) -> dict[str, float | None]:
    """Record crack pressure and compliance, as the last fit left them."""
    built, name = made.valve, "foot valve" if words == "foot" else words
    work.let(f"k_{mark}", round(built.crack_pressure / given["preload_step"]), quantity="count")
    crack = work.step(
        f"Crack pressure, {name}, in whole steps",
        f"p_c{mark} = k_{mark}*p_1",
        built.crack_pressure,
        quantity="pressure_difference",
        unit="bar",
        source=drill.nearest_step,
    )
    assert made.stack is not None  # every frame but the intake's names a shim
    work.let(f"C_f{mark}", made.ideal.compliance, quantity="compliance", unit="mm/MPa")
    work.let(f"n_s{mark}", made.stack.count, quantity="count")
    single = made.stack.compliance * made.stack.count
    work.let(f"C_1{mark}", single, quantity="compliance", unit="mm/MPa")
    thick = f"{made.stack.thickness * 1e3:g} mm"
    work.step(
        f"Shims, {name}: the compliance that fits best would take so many of {thick}",
        f"m_s{mark} = C_1{mark}/C_f{mark}",
        single / made.ideal.compliance,
        quantity="ratio",
        source=sizing.fit_valves,
    )
    compliance = work.step(
        f"Compliance, {name}: equal shims share the pressure",
        f"C_{mark} = C_1{mark}/n_s{mark}",
        built.compliance,
        quantity="compliance",
        unit="mm/MPa",
        source=drill.nearest_stack,
    )
    return {f"crack_{words}": crack, f"compliance_{words}": compliance}


def show_fastest(
    given: Given, work: Working, words: str, mark: str, made: sizing.MadeValve, flow: float
) -> None:
    """Record how ports and disc share the drop at the highest speed."""
    built = made.valve
    state = pair.valve_state(valve=built, flow=flow, oil=Oil(given["density"], given["viscosity"]))
    work.let("C_d", built.discharge_coefficient, quantity="ratio")
    work.let(f"Q_d{mark}", state.disc_flow, quantity="volume_flow", unit="L/min")
    work.let(f"p_x{mark}", state.disc_drop, quantity="pressure_difference", unit="bar")
    work.step(
        f"Area of the ports made, {words}",
        f"A_{mark} = n_p{mark}*pi*d_p{mark}**2/4",
        built.port_area,
        quantity="area",
        unit="mm²",
        source=drill.nearest_drilling,
    )
    work.step(
        f"Drop of the ports at the highest speed, {words}",
        f"p_p{mark} = rho*Q_d{mark}**2/(2*C_d**2*A_{mark}**2) + "
        f"mu*Q_d{mark}/(2*0.2**2*A_{mark}*d_p{mark})",
        state.port_drop,
        quantity="pressure_difference",
        unit="bar",
        source=orifice.orifice_pressure_drop,
    )
    work.step(
        f"With the drop at the disc: the drop made, {words}",
        f"p_m{mark} = p_x{mark} + p_p{mark}",
        state.pressure_drop,
        quantity="pressure_difference",
        unit="bar",
        source=valve.valve_pressure_drop,
    )


def worst_of(sized: SizedDamper, words: str) -> tuple[float, float, float, float]:
    """Return speed, target force, made force and deviation where the deviation is largest."""
    deviations = getattr(sized, f"deviation_{words}")
    index = max(range(len(deviations)), key=lambda place: abs(deviations[place]))
    made = getattr(sized, f"force_{words}")[index]
    return sized.speeds[index], made / (1.0 + deviations[index]), made, deviations[index]


def show_deviation(given: Given, work: Working, sized: SizedDamper, words: str, mark: str) -> float:
    _, wanted, made, deviation = worst_of(sized, words)
    column = 1 if words == "compression" else 2
    wanted = min(
        (row[column] for row in given.rows("target")), key=lambda force: abs(force - wanted)
    )
    work.let(f"F_{mark}m", made, quantity="force")
    work.let(f"F_{mark}w", wanted, quantity="force")
    return work.step(
        f"Largest deviation, {words}: made over wanted",
        f"E_{mark} = abs(F_{mark}m/F_{mark}w - 1)",
        abs(deviation),
        quantity="percent",
        unit="%",
        source=network.operating_point,
    )


def show_tables(given: Given, work: Working, sized: SizedDamper) -> None:
    rows = given.rows("target")
    work.table(
        "forces",
        "Target and made forces, without gas force and seal friction",
        FORCES,
        tuple(
            (speed, inward, in_made, in_off, outward, out_made, out_off)
            for (speed, inward, outward), in_made, in_off, out_made, out_off in zip(
                rows,
                sized.force_compression,
                sized.deviation_compression,
                sized.force_rebound,
                sized.deviation_rebound,
                strict=True,
            )
        ),
    )
    valves = [("piston, compression", sized.compression), ("piston, rebound", sized.rebound)]
    if sized.foot is not None:
        valves.append(("foot valve, compression", sized.foot))
    sizes: list[tuple[float | str | None, ...]] = [
        (name, str(made.bleed.count), made.bleed.diameter, str(made.ports.count),
                                                               made.ports.diameter,
         made.valve.crack_pressure, made.valve.compliance, made.pressure_drops[-1],
         str(made.stack.count), made.stack.thickness)
        for name, made in valves if made.stack is not None
    ]  # fmt: skip
    if sized.damper.reserve is not None:
        intake = sized.damper.reserve.rebound
        each = (4.0 * intake.port_area / (pi * intake.port_count)) ** 0.5
        flow = circle_area(diameter=given["rod_diameter"]) * rows[-1][0]
        drop = valve.valve_pressure_drop(
            valve=intake, flow=flow, oil=Oil(given["density"], given["viscosity"])
        )
        sizes.append(
            (
                "intake",
                None,
                None,
                str(intake.port_count),
                each,
                intake.crack_pressure,
                intake.compliance,
                drop,
                None,
                None,
            )
        )
    work.table(
        "sizes",
        "Sizes to make; the piston's bleed is one and serves both directions",
        SIZES,
        tuple(sizes),
    )
