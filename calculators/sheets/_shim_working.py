"""How the shim-stack sheet comes to its figures, step by step."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from calculators.physics import plate, shim, shim_stage
from calculators.sheets._shim_form import COLUMNS
from calculators.sheets._shim_found import (
    BAR,
    Found,
    number_of,
    rigidity_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Working
    from calculators.sheets._shim_found import Bent

__all__ = ["show_opening", "show_rigidity", "show_stress", "show_table"]


def show_rigidity(given: Given, work: Working) -> None:
    """Record how the rigidities of the shims add up where all of them reach."""
    counted = Counter(row[1] for row in given.rows("shims"))
    parts = []
    for number, (thickness, count) in enumerate(counted.items(), start=1):
        work.let(f"t_{number}", thickness, quantity="length", unit="mm")
        work.let(f"n_{number}", count, quantity="count")
        work.step(
            "Bending rigidity of one shim",
            f"D_{number} = E*t_{number}**3/(12*(1 - nu**2))",
            rigidity_of(given, thickness),
            quantity="flexural_rigidity",
            source=plate.flexural_rigidity,
        )
        parts.append(f"n_{number}*D_{number}")
    work.step(
        "Rigidity of the stack where all shims reach",
        f"D = {' + '.join(parts)}",
        sum(rigidity_of(given, row[1]) for row in given.rows("shims")),
        quantity="flexural_rigidity",
        source=shim.stack_compliance,
    )


def show_opening(given: Given, work: Working, found: Found) -> None:
    """Record compliance, crack pressure and lift; the movements come from the plate equation."""
    line, two = found.line, given.choice("stages") == "two"
    whole = shim_stage.two_stage_state if two else shim.stack_state
    work.let("w_1", line.compliance * BAR, quantity="length", unit="mm")
    work.step(
        "Compliance: movement at the seat by 1 bar on the ports, from the plate equation",
        "C = w_1/100000",
        line.compliance,
        quantity="compliance",
        unit="mm/MPa",
        source=shim.stack_compliance,
    )
    opening = "C*p - delta"
    early = True
    if two:
        assert found.contact is not None
        work.let("t_g", found.contact.clearance - given["gap"], quantity="length", unit="mm")
        work.step(
            "Clearance where the stages touch: the gap, and shims that do not reach so far",
            "h_t = h + t_g",
            found.contact.clearance,
            quantity="length",
            unit="mm",
            source=whole,
        )
        work.let(
            "u_t",
            found.contact.clearance / line.contact_pressure,
            quantity="compliance",
            unit="mm/MPa",
        )
        work.step(
            "Contact: there the first stack has moved by the clearance",
            "p_t = h_t/u_t",
            line.contact_pressure,
            quantity="pressure_difference",
            unit="bar",
            source=whole,
        )
        work.let("w_2", line.compliance_after * BAR, quantity="length", unit="mm")
        work.step(
            "Compliance with both stages bending",
            "C_2 = w_2/100000",
            line.compliance_after,
            quantity="compliance",
            unit="mm/MPa",
            source=whole,
        )
        work.step(
            "Where the second line starts",
            "w_0 = (C - C_2)*p_t",
            line.pushed_back,
            quantity="length",
            unit="mm",
            source=whole,
        )
        early = given["preload"] <= line.compliance * line.contact_pressure
        opening = (
            "C*p - delta" if given["pressure"] <= line.contact_pressure else "C_2*p + w_0 - delta"
        )
    work.step(
        "Crack pressure",
        "p_c = delta/C" if early else "p_c = (delta - w_0)/C_2",
        found.crack_pressure,
        quantity="pressure_difference",
        unit="bar",
        source=shim.crack_pressure if early else whole,
    )
    work.step(
        "Lift at the seat",
        f"y = max({opening}, 0)",
        found.lift,
        quantity="length",
        unit="mm",
        source=whole,
    )


def show_stress(
    given: Given, work: Working, found: Found, shapes: tuple[Bent, ...]
) -> Mapping[str, float | None]:
    """Record forces, stresses and the share of strength, and return their outputs."""
    whole = shim_stage.two_stage_state if found.second else shim.stack_state
    work.let("F_s", found.seat_force, quantity="force")
    work.let("F_t", found.contact_force, quantity="force")
    work.step(
        "Force on the clamp: pressure on the ports, and what the seat still carries"
        + (", less what the second stage carries" if found.second else ""),
        "F_k = p*pi*(d_p**2 - d_i**2)/4 + F_s" + (" - F_t" if found.second else ""),
        shapes[0].clamp_force,
        quantity="force",
        source=plate.solve_plate,
    )
    worst = max(found.shims, key=lambda one: one.peak_radial_stress)
    work.let("t_m", worst.thickness, quantity="length", unit="mm")
    work.let("M_m", worst.peak_radial_stress * worst.thickness**2 / 6.0, quantity="force")
    work.step(
        "Peak radial stress, from the moment per metre in that shim",
        "sigma_r = 6*M_m/t_m**2",
        worst.peak_radial_stress,
        quantity="stress",
        unit="MPa",
        source=whole,
    )
    work.let("r_m", worst.peak_radius, quantity="length", unit="mm")
    work.step(
        "Diameter of the peak",
        "d_m = 2*r_m",
        2.0 * worst.peak_radius,
        quantity="length",
        unit="mm",
        source=whole,
    )
    work.let(
        "sigma_t",
        max(one.peak_tangential_stress for one in found.shims),
        quantity="stress",
        unit="MPa",
    )
    shares = {
        name: work.step(f"Share of the {words}", f"{symbol} = max(sigma_r, sigma_t)/{limit}",
                        max(getattr(one, name) for one in found.shims), quantity="percent",
                        unit="%", source=whole)
        for name, words, symbol, limit in (("yield_share", "yield strength", "S_y", "sigma_y"),
                                           ("fatigue_share", "fatigue limit", "S_f", "sigma_f"))
    }  # fmt: skip
    stacks = [given.rows("shims"), *([given.rows("second_shims")] if found.second else [])]
    edge, thinnest = max(
        (
            (abs(shape.edge_deflection), min(row[1] for row in rows))
            for shape, rows in zip(shapes, stacks, strict=True)
        ),
        key=lambda pair: pair[0] / pair[1],
    )
    work.let("w_e", edge, quantity="length", unit="mm")
    work.let("t_e", thinnest, quantity="length", unit="mm")
    share = work.step(
        "Edge deflection over the thinnest shim",
        "e = w_e/t_e",
        edge / thinnest,
        quantity="ratio",
        source=plate.solve_plate,
    )
    return {
        "peak_radial_stress": worst.peak_radial_stress,
        "peak_diameter": 2.0 * worst.peak_radius,
        "deflection_share": share,
        **shares,
    }


def show_table(work: Working, found: Found) -> None:
    work.table(
        "shims",
        "Stresses in each shim, from the seat upwards",
        COLUMNS,
        tuple(
            (
                number_of(found, index),
                one.diameter,
                one.thickness,
                one.peak_radial_stress,
                2.0 * one.peak_radius,
                one.peak_tangential_stress,
                one.yield_share,
                one.fatigue_share,
            )
            for index, one in enumerate(found.shims)
        ),
    )
