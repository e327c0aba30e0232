"""What the valve-sizing sheet asks for and answers."""

from __future__ import annotations

from calculators.sheet import Cell, Choice, Column, Input, Option, Output, Rows

__all__ = ["FORCES", "INPUTS", "OUTPUTS", "SIZES"]

_TARGET, _DAMPER, _PISTON, _FOOT, _OIL = "Target", "Damper", "Piston valves", "Foot valve", "Oil"
_TWIN = (("foot", ("foot",)),)
_FORCE = "Without gas force and seal friction."

INPUTS = (
    Rows(
        name="target", label="Target table",
        columns=(
            Cell(label="speed", symbol="v", quantity="velocity", unit="m/s", minimum=0.001,
                 maximum=5.0,
                 reason="Rod speed, rising from line to line."),
            Cell(label="compression", symbol="F_c", quantity="force", unit="N", minimum=1.0,
                 maximum=50_000.0, reason=_FORCE),
            Cell(label="rebound", symbol="F_r", quantity="force", unit="N", minimum=1.0,
                 maximum=50_000.0, reason=_FORCE),
        ),
        default=(
            (0.05, 253.0, 507.0), (0.1, 507.0, 1_014.0), (0.13, 659.0, 1_318.0), (0.26, 1_136.0,
                                                                                  2_271.0),
            (0.39, 1_399.0, 2_798.0), (0.52, 1_663.0, 3_326.0), (1.0, 2_636.0, 5_272.0),
        ),
        least=4, most=12, group=_TARGET,
        help="One speed a line, rising: speed; compression force; rebound force, both positive, "
             "without gas force and friction.",
    ),
    Input(
        name="bore", label="Piston diameter", symbol="D", quantity="length", unit="mm",
        default=0.046, minimum=0.012, maximum=0.150, group=_DAMPER,
        reason="Bore of the working tube.",
        help="Bore of the working tube.",
    ),
    Input(
        name="rod_diameter", label="Rod diameter", symbol="d", quantity="length", unit="mm",
        default=0.020, minimum=0.004, maximum=0.080, group=_DAMPER,
        reason="Smaller than the piston; trailer and off-road dampers have 10 to 30 mm.",
        help="Of the piston rod.",
    ),
    Choice(
        name="foot", label="Construction",
        options=(Option("open", "no foot valve (monotube, open reservoir)"), Option("foot",
                                                                                    "with foot valve (twin-tube)")),
        help="In a monotube all forces come from the piston; in a twin-tube the foot valve shares "
             "compression.",
        group=_DAMPER,
    ),
    Input(
        name="disc_compression", label="Disc diameter, compression", symbol="d_oc",
        quantity="length", unit="mm",
        default=0.030, minimum=0.005, maximum=0.140, group=_PISTON,
        reason="Seat edge at which the shims lift; smaller than the bore.",
        help="Seat edge at which the compression shims lift.",
    ),
    Input(
        name="disc_rebound", label="Disc diameter, rebound", symbol="d_or", quantity="length",
        unit="mm",
        default=0.028, minimum=0.005, maximum=0.140, group=_PISTON,
        reason="Seat edge at which the shims lift; smaller than the bore.",
        help="Seat edge at which the rebound shims lift.",
    ),
    Input(
        name="max_lift", label="Largest lift", symbol="y_m", quantity="length", unit="mm",
        default=0.8e-3, minimum=0.05e-3, maximum=5e-3, group=_PISTON,
        reason="Where the shims meet their stop.",
        help="Where the shims meet their stop, both directions.",
    ),
    Input(
        name="port_room", label="Room for ports, each direction", symbol="A_m", quantity="area",
        unit="mm²",
        default=120e-6, minimum=2e-6, maximum=3e-3, group=_PISTON,
        reason="Open area that the piston's strength and the other direction leave.",
        help="Largest open area of the ports of one direction that the piston has room for.",
    ),
    Input(
        name="largest_port", label="Largest port drill", symbol="d_m", quantity="length", unit="mm",
        default=0.006, minimum=0.0012, maximum=0.013, group=_PISTON,
        reason="Radial width that the ports may take.",
        help="Largest drill that fits between clamp and seat; 3, 4, 6 or 8 ports are tried.",
    ),
    Input(
        name="clamp_diameter", label="Clamp diameter", symbol="d_k", quantity="length", unit="mm",
        default=0.0115, minimum=0.003, maximum=0.080, group=_PISTON,
        reason="Of the washer that holds the shims flat; smaller than the discs.",
        help="Inside it the shims are held flat, both directions. Small clamps make soft stacks.",
    ),
    Input(
        name="preload_step", label="Preload step", symbol="p_1", quantity="pressure_difference",
        unit="bar",
        default=0.5e5, minimum=1e3, maximum=20e5, group=_PISTON,
        reason="Smallest change of crack pressure that can be built.",
        help="Smallest change of crack pressure that can be built, for instance one thinner spacer.",
    ),
    Input(
        name="foot_ratio", label="Foot drop over piston drop", symbol="r", quantity="ratio",
        unit="1",
        default=1.0, minimum=0.1, maximum=10.0, when=_TWIN, group=_FOOT,
        reason="1 keeps the rod side at gas pressure in compression.",
        help="In compression; 1 keeps the rod side at gas pressure, less risks cavitation.",
    ),
    Input(
        name="foot_disc", label="Disc diameter, foot valve", symbol="d_of", quantity="length",
        unit="mm",
        default=0.018, minimum=0.004, maximum=0.100, when=_TWIN, group=_FOOT,
        reason="Seat edge at which its shims lift.",
        help="Seat edge at which the compression shims of the foot valve lift.",
    ),
    Input(
        name="foot_clamp", label="Clamp diameter, foot valve", symbol="d_kf", quantity="length",
        unit="mm",
        default=0.008, minimum=0.003, maximum=0.080, when=_TWIN, group=_FOOT,
        reason="Of the washer that holds its shims flat; smaller than its disc.",
        help="Inside it the shims of the foot valve are held flat.",
    ),
    Input(
        name="foot_room", label="Room for its ports", symbol="A_mf", quantity="area", unit="mm²",
        default=60e-6, minimum=2e-6, maximum=1e-3, when=_TWIN, group=_FOOT,
        reason="Open area that the foot valve has room for.",
        help="Largest open area of its compression ports.",
    ),
    Input(
        name="intake_disc", label="Disc diameter, intake", symbol="d_oi", quantity="length",
        unit="mm",
        default=0.030, minimum=0.004, maximum=0.120, when=_TWIN, group=_FOOT,
        reason="Seat edge of the intake plate.",
        help="Seat edge of the intake, which lets the oil come back in rebound.",
    ),
    Input(
        name="intake_room", label="Room for intake ports", symbol="A_mi", quantity="area",
        unit="mm²",
        default=120e-6, minimum=2e-6, maximum=2e-3, when=_TWIN, group=_FOOT,
        reason="Open area that the foot valve has room for.",
        help="Largest open area of the intake ports.",
    ),
    Input(
        name="intake_lift", label="Lift of the intake", symbol="y_i", quantity="length", unit="mm",
        default=1.5e-3, minimum=0.1e-3, maximum=6e-3, when=_TWIN, group=_FOOT,
        reason="Where the intake plate meets its stop.",
        help="Where the intake plate meets its stop.",
    ),
    Input(
        name="intake_drop", label="Drop allowed at the intake", symbol="p_i",
        quantity="pressure_difference", unit="bar",
        default=0.5e5, minimum=2e3, maximum=10e5, when=_TWIN, group=_FOOT,
        reason="Well below the gas pressure, or the head side cavitates in rebound.",
        help="At the highest rebound speed; well below the gas pressure.",
    ),
    Input(
        name="density", label="Density", symbol="rho", quantity="density", unit="kg/m³",
        default=850.0, minimum=600.0, maximum=1_300.0, group=_OIL,
        reason="Damper oils have 820 to 900 kg/m³.",
        help="Of the oil at working temperature.",
    ),
    Input(
        name="viscosity", label="Dynamic viscosity", symbol="mu", quantity="dynamic_viscosity",
        unit="mPa·s",
        default=0.012, minimum=0.0005, maximum=2.0, group=_OIL,
        reason="Kinematic viscosity × density, at working temperature.",
        help="Kinematic viscosity × density, at working temperature: 14 mm²/s × 850 kg/m³ is 12 "
             "mPa·s.",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="bleed_diameter", label="Bleed hole", symbol="d_b", quantity="length", unit="mm",
           headline=True,
           meaning="Drill for the always-open bleed of the piston, which serves both directions; "
                   "the number of holes stands in the table."),
    Output(name="deviation_compression", label="Largest deviation, compression", symbol="E_c",
           quantity="percent",
           unit="%", headline=True, meaning="Of the made damper from the target, at the speed "
                                            "where it is worst."),
    Output(name="deviation_rebound", label="Largest deviation, rebound", symbol="E_r",
           quantity="percent",
           unit="%", headline=True, meaning="Of the made damper from the target, at the speed "
                                            "where it is worst."),
    Output(name="port_compression", label="Port, compression", symbol="d_pc", quantity="length",
           unit="mm",
           meaning="Drill; the number of ports stands in the table."),
    Output(name="port_rebound", label="Port, rebound", symbol="d_pr", quantity="length", unit="mm",
           meaning="Drill; the number of ports stands in the table."),
    Output(name="crack_compression", label="Crack pressure, compression", symbol="p_cc",
           quantity="pressure_difference",
           unit="bar", meaning="Preload of the compression stack, in whole steps."),
    Output(name="crack_rebound", label="Crack pressure, rebound", symbol="p_cr",
           quantity="pressure_difference",
           unit="bar", meaning="Preload of the rebound stack, in whole steps."),
    Output(name="compliance_compression", label="Stack compliance, compression", symbol="C_c",
           quantity="compliance",
           unit="mm/MPa", meaning="Of the shims in the table of sizes; the shim-stack sheet gives their stress."),
    Output(name="compliance_rebound", label="Stack compliance, rebound", symbol="C_r",
           quantity="compliance",
           unit="mm/MPa", meaning="Of the shims in the table of sizes; the shim-stack sheet gives their stress."),
    Output(name="crack_foot", label="Crack pressure, foot valve", symbol="p_cf",
           quantity="pressure_difference",
           unit="bar", meaning="Preload of the foot valve, in whole steps; twin-tube only."),
    Output(name="compliance_foot", label="Stack compliance, foot valve", symbol="C_f",
           quantity="compliance",
           unit="mm/MPa", meaning="Of the shims in the table of sizes; twin-tube only."),
)  # fmt: skip

SIZES = (
    Column("Valve"),
    Column("Bleed holes"),
    Column("of diameter", "d_b", "length", "mm"),
    Column("Ports"),
    Column("of diameter", "d_p", "length", "mm"),
    Column("Crack pressure", "p_c", "pressure_difference", "bar"),
    Column("Compliance", "C", "compliance", "mm/MPa"),
    Column("Drop at the fastest", "p", "pressure_difference", "bar"),
    Column("Shims"),
    Column("of thickness", "t", "length", "mm"),
)

FORCES = (
    Column("Speed", "v", "velocity", "m/s"),
    Column("Compression, target", "F_c", "force", "N"),
    Column("made", "F_cm", "force", "N"),
    Column("deviation", "E_c", "percent", "%"),
    Column("Rebound, target", "F_r", "force", "N"),
    Column("made", "F_rm", "force", "N"),
    Column("deviation", "E_r", "percent", "%"),
)
