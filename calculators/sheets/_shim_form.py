"""What the shim-stack sheet asks for and answers."""

from __future__ import annotations

from calculators.sheet import Cell, Choice, Column, Input, Option, Output, Rows

__all__ = ["COLUMNS", "INPUTS", "OUTPUTS"]

_STACK, _SECOND, _SEAT, _STEEL, _LOAD = "Stack", "Second stage", "Seat and ports", "Steel", "Load"
_TWO = (("stages", ("two",)),)

_CELLS = (
    Cell(label="outer diameter", symbol="d", quantity="length", unit="mm", minimum=0.004,
         maximum=0.120,
         reason="Larger than the clamp, up to the bore."),
    Cell(label="thickness", symbol="t", quantity="length", unit="mm", minimum=0.03e-3, maximum=2e-3,
         reason="Shims are 0.1 to 0.5 mm thick (common practice)."),
)  # fmt: skip

INPUTS = (
    Choice(
        name="stages", label="Stages",
        options=(Option("one", "one stack"), Option("two", "two stacks with a gap")),
        help="Two stages open softly at first, and stiffer once the first stack has closed the gap.",
        group=_STACK,
    ),
    Rows(
        name="shims", label="Shims, from the seat upwards", columns=_CELLS,
        default=((0.032, 0.3e-3),) * 3 + ((0.028, 0.3e-3), (0.024, 0.3e-3), (0.020, 0.3e-3)),
        least=1, most=20, group=_STACK,
        help="One shim a line, the one on the seat first: outer diameter; thickness.",
    ),
    Input(
        name="clamp_diameter", label="Clamp diameter", symbol="d_c", quantity="length", unit="mm",
        default=0.012, minimum=0.003, maximum=0.080, group=_STACK,
        reason="Outer diameter of the washer that holds the stack flat; of the gap shim with two "
               "stages.",
        help="Where the shims stop being held flat; with two stages, the diameter of the gap shim.",
    ),
    Input(
        name="gap", label="Gap", symbol="h", quantity="length", unit="mm",
        default=0.05e-3, minimum=0.01e-3, maximum=3e-3, when=_TWO, group=_SECOND,
        reason="Thickness of the gap shim between the two stacks.",
        help="Free distance between the stacks: the thickness of the gap shim.",
    ),
    Rows(
        name="second_shims", label="Shims of the second stage", columns=_CELLS,
        default=((0.030, 0.3e-3),) * 3 + ((0.026, 0.3e-3), (0.022, 0.3e-3)),
        least=1, most=20, when=_TWO, group=_SECOND,
        help="One shim a line, the one nearest to the gap first: outer diameter; thickness.",
    ),
    Input(
        name="second_clamp_diameter", label="Clamp diameter, second stage", symbol="d_k",
        quantity="length", unit="mm",
        default=0.014, minimum=0.003, maximum=0.080, when=_TWO, group=_SECOND,
        reason="Outer diameter of the washer above the second stack.",
        help="Where the shims of the second stage stop being held flat.",
    ),
    Input(
        name="port_inner_diameter", label="Ports, inner diameter", symbol="d_i", quantity="length",
        unit="mm",
        default=0.018, minimum=0.003, maximum=0.110, group=_SEAT,
        reason="At least the clamp diameter.",
        help="Where the pressure under the shims begins.",
    ),
    Input(
        name="port_outer_diameter", label="Ports, outer diameter", symbol="d_p", quantity="length",
        unit="mm",
        default=0.027, minimum=0.004, maximum=0.115, group=_SEAT,
        reason="Larger than the inner diameter, not beyond the seat.",
        help="Where the pressure under the shims ends.",
    ),
    Input(
        name="seat_diameter", label="Seat diameter", symbol="d_s", quantity="length", unit="mm",
        default=0.030, minimum=0.004, maximum=0.118, group=_SEAT,
        reason="Not beyond the first shim.",
        help="The edge on which the first shim rests, and where the lift is counted.",
    ),
    Input(
        name="preload", label="Preload", symbol="delta", quantity="length", unit="mm",
        default=0.016e-3, minimum=0.0, maximum=2e-3, group=_SEAT,
        reason="How much higher the seat stands than the face under the clamp; 0 for a flat piston.",
        help="Dish of the piston face: how much higher the seat stands than the face under the "
             "clamp.",
    ),
    Input(
        name="youngs_modulus", label="Young's modulus", symbol="E", quantity="stress", unit="GPa",
        default=210e9, minimum=1e9, maximum=400e9, group=_STEEL,
        reason="Spring steel has about 210 GPa, stainless about 195 GPa (values from memory).",
        help="Of the shims; about 210 GPa for spring steel (value from memory).",
    ),
    Input(
        name="poisson_ratio", label="Poisson's ratio", symbol="nu", quantity="ratio", unit="1",
        default=0.3, minimum=0.0, maximum=0.49, group=_STEEL,
        reason="Steel has about 0.3 (value from memory).",
        help="Of the shims; about 0.3 for steel (value from memory).",
    ),
    Input(
        name="yield_strength", label="Yield strength", symbol="sigma_y", quantity="stress",
        unit="MPa",
        default=1.4e9, minimum=50e6, maximum=3e9, group=_STEEL,
        reason="Hardened spring strip has about 1 200 to 1 800 MPa (values from memory).",
        help="From the strip's certificate; the default is a value from memory.",
    ),
    Input(
        name="fatigue_limit", label="Fatigue limit, zero to peak", symbol="sigma_f",
        quantity="stress", unit="MPa",
        default=0.7e9, minimum=20e6, maximum=2.5e9, group=_STEEL,
        reason="Peak stress that a swing between zero and it may reach for ever.",
        help="For bending between zero and the peak, from the strip's maker; the default is a "
             "value from memory.",
    ),
    Input(
        name="pressure", label="Pressure difference", symbol="p", quantity="pressure_difference",
        unit="bar",
        default=10e5, minimum=0.0, maximum=40e6, group=_LOAD,
        reason="Across the closed or open stack, in its opening direction.",
        help="Where the stack is to be looked at; valve sizing gives the drop at each speed.",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="lift", label="Lift at the seat", symbol="y", quantity="length", unit="mm",
           headline=True,
           meaning="Gap between the first shim and its seat at this pressure; 0 while closed."),
    Output(name="crack_pressure", label="Crack pressure", symbol="p_c",
           quantity="pressure_difference", unit="bar",
           headline=True, meaning="From here on the stack leaves its seat; below it only the bleed "
                                  "passes oil."),
    Output(name="compliance", label="Compliance", symbol="C", quantity="compliance", unit="mm/MPa",
           headline=True,
           meaning="Lift for each further unit of pressure: with the crack pressure, all that a "
                   "force-velocity curve needs of the stack."),
    Output(name="peak_radial_stress", label="Peak radial stress", symbol="sigma_r",
           quantity="stress", unit="MPa",
           meaning="Largest bending stress along the radius in any shim."),
    Output(name="peak_diameter", label="Diameter of the peak", symbol="d_m", quantity="length",
           unit="mm",
           meaning="Where that is; most often at the edge of the clamp."),
    Output(name="yield_share", label="Share of the yield strength", symbol="S_y",
           quantity="percent", unit="%",
           meaning="Above 100 % the worst shim stays bent, and the valve has another setting from "
                   "then on."),
    Output(name="fatigue_share", label="Share of the fatigue limit", symbol="S_f",
           quantity="percent", unit="%",
           meaning="Above 100 % the worst shim cracks if this pressure comes often."),
    Output(name="deflection_share", label="Deflection over thickness", symbol="e", quantity="ratio",
           unit="1",
           meaning="Edge deflection over the thinnest shim: far above 1 the real stack is stiffer "
                   "than computed."),
    Output(name="contact_pressure", label="Contact pressure", symbol="p_t",
           quantity="pressure_difference", unit="bar",
           meaning="Where the first stack has closed the gap, if it can move freely; two stages "
                   "only."),
    Output(name="compliance_after", label="Compliance after contact", symbol="C_2",
           quantity="compliance",
           unit="mm/MPa", meaning="Lift for each further unit of pressure once both stacks bend; "
                                  "two stages only."),
)  # fmt: skip

COLUMNS = (
    Column("Shim"),
    Column("Diameter", "d", "length", "mm"),
    Column("Thickness", "t", "length", "mm"),
    Column("Peak radial stress", "sigma_r", "stress", "MPa"),
    Column("at diameter", "d_m", "length", "mm"),
    Column("Peak tangential stress", "sigma_t", "stress", "MPa"),
    Column("Share of yield", "S_y", "percent", "%"),
    Column("Share of fatigue limit", "S_f", "percent", "%"),
)
