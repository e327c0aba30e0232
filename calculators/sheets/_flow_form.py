"""What the flow-element sheet asks for and answers."""

from __future__ import annotations

from calculators.physics.orifice import DISCHARGE_COEFFICIENT
from calculators.sheet import Choice, Input, Option, Output

__all__ = ["INPUTS", "OUTPUTS"]

_PASSAGE, _LOAD, _OIL = "Passage", "Known", "Oil"


def _of(*elements: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return (("element", elements),)


_DISC = _of("valve", "check")

INPUTS = (
    Choice(
        name="element", label="Kind of passage",
        options=(Option("orifice", "drilled holes"), Option("gap", "gap round a piston or rod"),
                 Option("capillary", "long fine bore"),
                 Option("valve", "valve with bleed and disc"),
                 Option("check", "check valve: disc without bleed")),
        help="A hole is short and sharp, a bore long against its diameter, a gap thin all round. A check valve passes oil one way.",
        group=_PASSAGE,
    ),
    Choice(
        name="holes", label="Number of holes",
        options=tuple(Option(str(count), str(count)) for count in (1, 2, 3, 4, 6, 8)),
        help="Equal holes side by side.", when=_of("orifice"), group=_PASSAGE,
    ),
    Input(
        name="hole_diameter", label="Hole diameter", symbol="d", quantity="length", unit="mm",
        default=0.0018, minimum=0.1e-3, maximum=0.030, when=_of("orifice"), group=_PASSAGE,
        reason="Of each hole; a bleed has 0.5 to 3 mm.",
        help="Of each hole.",
    ),
    Input(
        name="gap_diameter", label="Diameter of the gap", symbol="d_g", quantity="length",
        unit="mm",
        default=0.046, minimum=0.003, maximum=0.300, when=_of("gap"), group=_PASSAGE,
        reason="Bore around a piston, or the rod in its guide.",
        help="Bore around a piston, or the rod in its guide.",
    ),
    Input(
        name="clearance", label="Radial clearance", symbol="h", quantity="length", unit="mm",
        default=0.03e-3, minimum=0.002e-3, maximum=0.5e-3, when=_of("gap"), group=_PASSAGE,
        reason="Half the difference of the diameters.",
        help="Half the difference of the diameters; the leak grows with its third power.",
    ),
    Input(
        name="gap_length", label="Length of the gap", symbol="L", quantity="length", unit="mm",
        default=0.012, minimum=0.5e-3, maximum=0.300, when=_of("gap"), group=_PASSAGE,
        reason="Along the flow.",
        help="Along the flow: the height of the piston's land.",
    ),
    Input(
        name="eccentricity", label="Eccentricity", symbol="epsilon", quantity="percent", unit="%",
        default=0.5, minimum=0.0, maximum=1.0, when=_of("gap"), group=_PASSAGE,
        reason="0 in the middle, 100 % when the piston touches one side.",
        help="How far off the middle the piston lies, over the clearance.",
    ),
    Input(
        name="bore", label="Bore", symbol="d_k", quantity="length", unit="mm",
        default=0.8e-3, minimum=0.05e-3, maximum=0.020, when=_of("capillary"), group=_PASSAGE,
        reason="Inside diameter.",
        help="Inside diameter; the flow grows with its fourth power.",
    ),
    Input(
        name="bore_length", label="Length of the bore", symbol="L_k", quantity="length", unit="mm",
        default=0.080, minimum=0.002, maximum=5.0, when=_of("capillary"), group=_PASSAGE,
        reason="Long against the bore, or it is a hole.",
        help="Along the flow; long against the bore, or it is a hole.",
    ),
    Input(
        name="bleed_diameter", label="Bleed hole", symbol="d_b", quantity="length", unit="mm",
        default=0.0018, minimum=0.1e-3, maximum=0.010, when=_of("valve"), group=_PASSAGE,
        reason="One hole that is always open.",
        help="One hole that is always open, or a hole of the same area as the notches.",
    ),
    Choice(
        name="ports", label="Number of ports",
        options=tuple(Option(str(count), str(count)) for count in (6, 1, 2, 3, 4, 8)),
        help="Ports under the disc.", when=_DISC, group=_PASSAGE,
    ),
    Input(
        name="port_diameter", label="Port diameter", symbol="d_p", quantity="length", unit="mm",
        default=0.0048, minimum=0.5e-3, maximum=0.020, when=_DISC, group=_PASSAGE,
        reason="Of each port.",
        help="Of each port under the disc.",
    ),
    Input(
        name="disc_diameter", label="Disc diameter", symbol="d_o", quantity="length", unit="mm",
        default=0.030, minimum=0.003, maximum=0.120, when=_DISC, group=_PASSAGE,
        reason="Seat edge at which the disc lifts.",
        help="Seat edge at which the disc or the shims lift.",
    ),
    Input(
        name="crack_pressure", label="Crack pressure", symbol="p_c", quantity="pressure_difference",
        unit="bar",
        default=1e5, minimum=0.0, maximum=20e6, when=_DISC, group=_PASSAGE,
        reason="0 without preload.",
        help="From the shim-stack sheet: where the disc leaves its seat.",
    ),
    Input(
        name="compliance", label="Compliance", symbol="C", quantity="compliance", unit="mm/MPa",
        default=0.16e-9, minimum=1e-13, maximum=1e-7, when=_DISC, group=_PASSAGE,
        reason="Lift for each further unit of pressure.",
        help="From the shim-stack sheet: lift for each further unit of pressure.",
    ),
    Input(
        name="max_lift", label="Largest lift", symbol="y_m", quantity="length", unit="mm",
        default=0.8e-3, minimum=0.02e-3, maximum=5e-3, when=_DISC, group=_PASSAGE,
        reason="Where the disc meets its stop.",
        help="Where the disc meets its stop.",
    ),
    Input(
        name="discharge_coefficient", label="Discharge coefficient", symbol="C_d", quantity="ratio",
        unit="1",
        default=DISCHARGE_COEFFICIENT, minimum=0.3, maximum=1.0, when=_of("orifice", "valve", "check"), group=_PASSAGE,
        reason="0.6 to 0.65 for a sharp edge (common practice), up to about 0.9 for a rounded one.",
        help="Share of the ideal jet flow; 0.61 for a sharp edge.",
    ),
    Choice(
        name="known", label="Known is",
        options=(Option("drop", "the pressure drop"), Option("flow", "the flow")),
        help="The other one is computed.",
        group=_LOAD,
    ),
    Input(
        name="pressure_drop", label="Pressure drop given", symbol="p_g",
        quantity="pressure_difference", unit="bar",
        default=5e5, minimum=100.0, maximum=50e6, when=(("known", ("drop",)),), group=_LOAD,
        reason="Upstream minus downstream.",
        help="Upstream minus downstream pressure.",
    ),
    Choice(
        name="direction", label="The oil comes",
        options=(Option("forward", "the way that opens the disc"), Option("backward", "the way that shuts it")),
        help="A check valve lets nothing back.",
        when=(*_of("check"), ("known", ("drop",))), group=_LOAD,
    ),
    Input(
        name="flow", label="Flow given", symbol="Q_g", quantity="volume_flow", unit="L/min",
        default=6.0 / 60_000.0, minimum=1e-9, maximum=0.02, when=(("known", ("flow",)),),
        group=_LOAD,
        reason="Area that displaces the oil × velocity.",
        help="For a piston valve: piston area less rod area, times the rod's velocity.",
    ),
    Input(
        name="density", label="Density", symbol="rho", quantity="density", unit="kg/m³",
        default=850.0, minimum=600.0, maximum=1_300.0, group=_OIL,
        reason="Damper oils have 820 to 900 kg/m³.",
        help="Of the oil, from its data sheet.",
    ),
    Input(
        name="viscosity", label="Viscosity, working", symbol="nu", quantity="kinematic_viscosity",
        unit="mm²/s",
        default=14e-6, minimum=0.5e-6, maximum=5e-3, group=_OIL,
        reason="Kinematic, at the temperature that is looked at.",
        help="Kinematic, at working temperature; a damper oil has 10 to 20 mm²/s at 40 °C (common "
             "practice).",
    ),
    Input(
        name="viscosity_cold", label="Viscosity, cold", symbol="nu_c",
        quantity="kinematic_viscosity", unit="mm²/s",
        default=100e-6, minimum=0.5e-6, maximum=5e-3, group=_OIL,
        reason="Kinematic, on the coldest morning.",
        help="Kinematic, on the coldest morning, from the data sheet.",
    ),
    Input(
        name="viscosity_hot", label="Viscosity, hot", symbol="nu_h", quantity="kinematic_viscosity",
        unit="mm²/s",
        default=4e-6, minimum=0.5e-6, maximum=5e-3, group=_OIL,
        reason="Kinematic, after hard work.",
        help="Kinematic, after hard work; near 100 °C.",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="flow_found", label="Flow", symbol="Q", quantity="volume_flow", unit="L/min",
           headline=True,
           meaning="Through the whole passage."),
    Output(name="drop_found", label="Pressure drop", symbol="p", quantity="pressure_difference",
           unit="bar",
           headline=True, meaning="Across the whole passage."),
    Output(name="viscous_share", label="Viscous share", symbol="S", quantity="percent", unit="%",
           headline=True,
           meaning="Part of the drop that viscosity takes, and that fades with hot oil; of a "
                   "valve, in its bleed; none for a check valve."),
    Output(name="reynolds", label="Reynolds number", symbol="Re", quantity="ratio", unit="1",
           meaning="Inertia over viscosity; of a valve, in its bleed."),
    Output(name="transition", label="Transition at Reynolds number", symbol="Re_t",
           quantity="ratio", unit="1",
           meaning="There a hole loses as much by viscosity as by inertia; gap and bore stay "
                   "laminar up to about 2 000."),
    Output(name="conductance", label="Conductance", symbol="G", quantity="volume", unit="mm³",
           meaning="Flow × viscosity / drop: what a damper sheet takes as leak; gap and bore only."),
    Output(name="open_area", label="Open area", symbol="A", quantity="area", unit="mm²",
           meaning="Of all holes together; of a valve, the bleed."),
    Output(name="lift", label="Lift of the disc", symbol="y", quantity="length", unit="mm",
           meaning="0 while the disc is on its seat; valves only."),
)  # fmt: skip
