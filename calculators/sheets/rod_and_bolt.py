"""Rod and bolt: the rod as a column, the bolt in its fork, and what a torque brings."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, cast

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import area, bolt, clevis, column
from calculators.sheet import Level, Sheet
from calculators.sheets._rod_form import END_FACTORS, INPUTS, OUTPUTS, SIZES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.bolt import PropertyClass
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_USUAL = 3.0  # safety of a rod that may be knocked, common practice
_HIGH = 0.8  # share of a strength, our choice


def _column(given: Given, length: float) -> column.ColumnLoad:
    return column.column_load(
        diameter=given["rod_diameter"], length=length, yield_strength=given["yield_strength"],
        end_factor=END_FACTORS[given.choice("ends")], bore_diameter=given["rod_bore"],
    )  # fmt: skip


def _show_rod(given: Given, work: Working) -> dict[str, float]:
    """Record the rod as a column, and its stresses."""
    if given["neck_diameter"] > given["rod_diameter"]:
        message = "The thinnest section can't be thicker than the rod."
        raise ConflictError(message, inputs=("neck_diameter", "rod_diameter"))
    found = _column(given, given["free_length"])
    source = column.column_load
    work.let("E", column.YOUNGS_MODULUS, quantity="stress", unit="MPa")
    work.let("K", END_FACTORS[given.choice("ends")], quantity="ratio")
    section = work.step(
        "Section of the rod", "A = pi*(d**2 - d_i**2)/4",
        area.annulus_area(outer_diameter=given["rod_diameter"], inner_diameter=given["rod_bore"]),
        quantity="area", unit="mm²", source=area.annulus_area,
    )  # fmt: skip
    work.step("Radius of gyration", "i = sqrt(d**2 + d_i**2)/4",
              0.25 * sqrt(given["rod_diameter"] ** 2 + given["rod_bore"] ** 2),
              quantity="length", unit="mm", source=source)  # fmt: skip
    work.step("Slenderness", "s = K*L/i", found.slenderness, quantity="ratio", source=source)
    work.step("Where Euler begins", "s_t = pi*sqrt(2*E/S_y)", found.slenderness_transition,
              quantity="ratio", source=source)  # fmt: skip
    euler = found.regime == "euler"
    work.step(
        "Critical stress, Euler: s is above s_t" if euler
        else "Critical stress, Johnson: s is below s_t",
        "sigma_k = E*(pi/s)**2" if euler else "sigma_k = S_y - (S_y*s/(2*pi))**2/E",
        found.critical_stress, quantity="stress", unit="MPa", source=source,
    )  # fmt: skip
    work.step("Critical force", "F_k = sigma_k*A", found.critical_stress * section,
              quantity="force", source=source)  # fmt: skip
    safety = work.step("Safety against bowing out", "n_k = F_k/F_c",
                       found.safety(given["compression_force"]),
                       quantity="ratio", source=source)  # fmt: skip
    stress = column.rod_stress(
        diameter=given["rod_diameter"], axial_force=given["compression_force"],
        yield_strength=given["yield_strength"], bore_diameter=given["rod_bore"],
        bending_moment=given["side_force"] * given["side_lever"],
    )  # fmt: skip
    work.step(
        "Stress in the rod, compression and bending",
        "sigma_r = F_c/A + 32*F_q*e*d/(pi*(d**4 - d_i**4))", stress.largest,
        quantity="stress", unit="MPa", source=column.rod_stress,
    )  # fmt: skip
    work.step("Use of the rod", "U_r = sigma_r/S_y", stress.use, quantity="percent", unit="%",
              source=column.rod_stress)  # fmt: skip
    neck = column.rod_stress(
        diameter=given["neck_diameter"], axial_force=-given["rebound_force"],
        yield_strength=given["yield_strength"],
    )  # fmt: skip
    work.step("Use of the thinnest section", "U_n = F_r/(pi*d_n**2/4)/S_y", neck.use,
              quantity="percent", unit="%", source=column.rod_stress)  # fmt: skip
    return {
        "column_safety": safety, "neck_use": neck.use, "critical_force": found.critical_force,
        "critical_stress": found.critical_stress, "slenderness": found.slenderness,
        "transition": found.slenderness_transition, "rod_stress": stress.largest,
        "rod_use": stress.use,
    }  # fmt: skip


def _show_preload(given: Given, work: Working) -> dict[str, float]:
    """Record what the torque brings, and the force at which the eye slips."""
    diameter, pitch = SIZES[given.choice("size")]
    strength = bolt.bolt_strength(
        diameter=diameter, pitch=pitch, property_class=cast("PropertyClass", given.choice("grade"))
    )
    work.let("d_b", diameter, quantity="length", unit="mm")
    work.let("P", pitch, quantity="length", unit="mm")
    work.let("S_p", strength.proof_stress, quantity="stress", unit="MPa")
    work.let("R_p", strength.yield_strength, quantity="stress", unit="MPa")
    work.step(
        "Stress area of the thread", "A_s = pi/4*(d_b - sqrt(3)/2*P*(3/4 + 17/12)/2)**2",
        strength.area, quantity="area", unit="mm²", source=bolt.stress_area,
    )  # fmt: skip
    work.step("Proof load", "F_p = S_p*A_s", strength.proof_load, quantity="force", unit="kN",
              source=bolt.bolt_strength)  # fmt: skip
    preload = bolt.torque_preload(
        torque=given["torque"], diameter=diameter, nut_factor=given["nut_factor"],
        scatter=given["scatter"],
    )  # fmt: skip
    for words, formula, value in (
        ("Preload, mean", "F_m = T/(K_n*d_b)", preload.mean),
        ("Preload, least", "F_min = F_m/(1 + q)", preload.least),
        ("Preload, most", "F_max = F_m/(1 - q)", preload.most),
    ):
        work.step(words, formula, value, quantity="force", unit="kN", source=bolt.torque_preload)
    use = work.step("Most preload over proof load", "U_p = F_max/F_p",
                    preload.most / strength.proof_load,
                    quantity="percent", unit="%", source=bolt.bolt_strength)  # fmt: skip
    slip = work.step(
        "Force at which the eye slips, on two faces", "F_s = 2*mu*F_min",
        bolt.slip_force(preload=preload.least, friction=given["friction"]),
        quantity="force", unit="kN", source=bolt.slip_force,
    )  # fmt: skip
    largest = max(given["compression_force"], given["rebound_force"])
    safety = work.step("Safety against slip", "n_s = F_s/max(F_c, F_r)", slip / largest,
                       quantity="ratio", source=bolt.slip_force)  # fmt: skip
    return {
        "slip_safety": safety, "proof_load": strength.proof_load, "preload": preload.mean,
        "preload_least": preload.least, "preload_most": preload.most, "proof_use": use,
        "slip_force": slip,
        **_show_shank(given, work, diameter, strength.yield_strength),
    }  # fmt: skip


def _show_shank(
    given: Given, work: Working, diameter: float, yield_strength: float
) -> dict[str, float]:
    """Record what the shank bears once the joint has slipped."""
    source = clevis.clevis_stress
    largest = work.step(
        "Largest force", "F = max(F_c, F_r)", max(given["compression_force"], given["rebound_force"]),
        quantity="force", unit="kN", source=source,
    )  # fmt: skip
    stress = source(
        force=largest, bolt_diameter=diameter, eye_width=given["eye_width"],
        cheek_thickness=given["cheek"], gap=given["gap"],
    )  # fmt: skip
    for words, formula, value in (
        ("Shear in the shank, two sections", "tau = F/(2*pi*d_b**2/4)", stress.shear),
        ("Pressure in the sleeve", "p_e = F/(d_b*b)", stress.bearing_eye),
        ("Pressure in the cheek", "p_f = F/(2*d_b*t)", stress.bearing_fork),
        ("Bending in a loose bolt", "sigma_b = 32*F/2*(t/2 + g + b/4)/(pi*d_b**3)",
         stress.bending),
    ):  # fmt: skip
        work.step(words, formula, value, quantity="stress", unit="MPa", source=source)
    safety = work.step("Safety of the shank in shear", "n_t = R_p/(sqrt(3)*tau)",
                       yield_strength / (sqrt(3.0) * stress.shear),
                       quantity="ratio", source=source)  # fmt: skip
    use = work.step("Use of the cheek", "U_f = p_f/S_c",
                    stress.bearing_fork / given["cheek_strength"],
                    quantity="percent", unit="%", source=source)  # fmt: skip
    return {
        "shear": stress.shear, "shear_safety": safety, "bearing_eye": stress.bearing_eye,
        "bearing_fork": stress.bearing_fork, "bearing_use": use, "bending": stress.bending,
    }  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    work.finding(
        Level.LOOK_CLOSER,
        "For information only: fasteners are tightened to the vehicle maker's manual, whose torque "
        "wins over anything here, and the design needs test and sign-off by a qualified engineer.",
    )
    found = {**_show_rod(given, work), **_show_preload(given, work)}
    _judge_rod(work, found)
    _judge_bolt(work, found)
    return found


def _judge_rod(work: Working, found: Mapping[str, float]) -> None:
    if found["column_safety"] < 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "The rod bows out at {critical_force}, less than the {compression_force} that it is to "
            "bear. Take a thicker or a shorter rod.",
        )
    elif found["column_safety"] < _USUAL:
        work.finding(
            Level.LOOK_CLOSER,
            "The rod bows out at {column_safety} times the largest force. A factor of 3 or more is "
            "usual for a rod that may be knocked from the side (common practice).",
        )
    else:
        work.finding(
            Level.FINE,
            "The rod bows out only at {critical_force}, {column_safety} times the largest force.",
        )
    worst = max(found["rod_use"], found["neck_use"])
    if worst > 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "The rod yields: {rod_use} of its strength at the guide, {neck_use} at the thinnest "
            "section.",
        )
    elif worst > _HIGH:
        work.finding(
            Level.LOOK_CLOSER,
            "The rod is used to {rod_use} at the guide and {neck_use} at the thinnest section; a "
            "thread is a notch, and loads that repeat need a fatigue check.",
        )
    else:
        work.finding(
            Level.FINE,
            "The rod is used to {rod_use} at the guide and {neck_use} at the thinnest section, "
            "nominal stresses without notch and fatigue.",
        )


def _judge_bolt(work: Working, found: Mapping[str, float]) -> None:
    if found["proof_use"] > 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "With little friction this torque brings {preload_most}, {proof_use} of the proof load: "
            "the bolt may stretch for good. Ask the manual.",
        )
    else:
        work.finding(
            Level.FINE,
            "The torque brings {preload_least} to {preload_most}, at most {proof_use} of the proof "
            "load.",
        )
    if found["slip_safety"] < 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            "With much friction in the thread the eye slips at {slip_force}, below the largest "
            "force: then the shank hammers in its hole, and the nut works loose.",
        )
    else:
        work.finding(Level.FINE, "Friction holds the eye up to {slip_force} at least.")
    if found["shear_safety"] < 1.0 or found["bearing_use"] > 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "If the eye slips, shank or cheek yield: shear with a safety of {shear_safety}, the cheek "
            "used to {bearing_use}.",
        )
    elif found["bearing_use"] > _HIGH:
        work.finding(
            Level.LOOK_CLOSER,
            "If the eye slips, the holes in the cheeks are used to {bearing_use} and widen soon.",
        )


def _draw(result: Result) -> Drawing:
    given = result.given
    length, force = given["free_length"], given["compression_force"]
    lengths = grid(0.25 * length, 2.0 * length, 81)
    critical = tuple(_column(given, at).critical_force for at in lengths)
    ends = lengths[0], lengths[-1]
    return Drawing(
        (
            Curve("critical force", "accent", lengths, critical),
            Curve("largest force", "compression", ends, (force, force)),
        ),
        (Point("here", length, result.outputs["critical_force"] or 0.0),),
    )


SHEET = Sheet(
    name="rod-and-bolt",
    title="Rod and bolt",
    question="Does the rod stay straight, does the bolt hold, and what does a torque bring?",
    page="calculate/rod-and-bolt.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="column", title="Critical force over the free length",
            statement="A short rod is as strong as its steel (Johnson); a long one falls with the "
                      "square of its length (Euler), whatever the steel.",
            x=Axis("Free length", "length", "mm", like="free_length"),
            y=Axis("Force", "force", "N", like="critical_force"), draw=_draw,
        ),
    ),
    limits=(
        "For information: the vehicle maker's manual wins, and a qualified engineer signs off.",
        "Straight rod of steel with E = 205 GPa, force along its axis; nominal stresses.",
        "No fatigue, no notch, no wear; loads that repeat need their own check.",
        "Bolt with its plain shank in the joint; metric coarse thread, least values of ISO 898-1.",
        "Nut factors and friction are common practice and scatter as entered, or more.",
    ),
)  # fmt: skip
