"""What the load range sheet asks and answers."""

from __future__ import annotations

from calculators.sheet import Choice, Input, Option, Output

__all__ = ["INPUTS", "OUTPUTS"]

_SPRING, _LOAD, _DAMPER, _TRAILER = "Spring", "Load on this wheel", "Damper", "Trailer as a whole"
_AIR, _LEAF = (("spring", ("air",)),), (("spring", ("leaf",)),)
_STEEL = (("spring", ("coil", "leaf")),)
_ANY, _TWO = (("axles", ("one", "two")),), (("axles", ("two",)),)

INPUTS = (
    Choice(
        name="spring", label="Spring",
        options=(Option("coil", "coil"), Option("leaf", "leaf, with friction"),
                 Option("air", "air, height kept")),
        help="An air spring counts as one whose valve keeps the ride height.", group=_SPRING,
    ),
    Input(
        name="wheel_rate", label="Wheel rate", symbol="k_w", quantity="stiffness", unit="N/mm",
        default=67_500.0, minimum=1_000.0, maximum=2e6, group=_SPRING, when=_STEEL,
        reason="Spring rate × motion ratio².",
        help="At the wheel; of a leaf spring while its leaves slide.",
    ),
    Input(
        name="friction_share", label="Friction over load", symbol="mu", quantity="percent",
        unit="%", default=0.06, minimum=0.0, maximum=0.4, group=_SPRING, when=_LEAF,
        reason="3 % for few long leaves, 15 % for many rusty ones (common practice).",
        help="Half the gap between loading and unloading line, over the load.",
    ),
    Input(
        name="amplitude", label="Amplitude of the travel", symbol="X", quantity="length",
        unit="mm", default=0.020, minimum=0.001, maximum=0.3, group=_SPRING, when=_LEAF,
        reason="Large enough for the leaves to slide.", help="Half the travel from end to end.",
    ),
    Input(
        name="effective_area", label="Effective area", symbol="A_e", quantity="area", unit="cm²",
        default=0.018, minimum=1e-4, maximum=0.5, group=_SPRING, when=_AIR,
        reason="Load over gauge pressure.", help="From the maker's sheet, at ride height.",
    ),
    Input(
        name="volume", label="Volume of the air", symbol="V", quantity="volume", unit="L",
        default=0.0025, minimum=1e-5, maximum=0.5, group=_SPRING, when=_AIR,
        reason="At ride height, extra tank included.", help="From the maker's sheet.",
    ),
    Input(
        name="spring_ratio", label="Motion ratio of the spring", symbol="MR_s", quantity="ratio",
        unit="1", default=0.75, minimum=0.05, maximum=2.0, group=_SPRING, when=_AIR,
        reason="Spring travel over wheel travel.", help="Mount geometry gives it.",
    ),
    Input(
        name="exponent", label="Polytropic exponent", symbol="n", quantity="ratio", unit="1",
        default=1.4, minimum=1.0, maximum=1.67, group=_SPRING, when=_AIR,
        reason="1 for slow motion, 1.4 for fast.", help="The body's swing is nearly fast: 1.3 to 1.4.",
    ),
    Input(
        name="mass_empty", label="Sprung mass, empty", symbol="m_e", quantity="mass", unit="kg",
        default=510.0, minimum=1.0, maximum=50_000.0, group=_LOAD,
        reason="Below the loaded one.", help="Wheel load less wheel, hub and half the axle.",
    ),
    Input(
        name="mass_loaded", label="Sprung mass, loaded", symbol="m_l", quantity="mass", unit="kg",
        default=760.0, minimum=1.0, maximum=50_000.0, group=_LOAD,
        reason="Above the empty one.", help="At the largest permitted load.",
    ),
    Input(
        name="damping", label="Damping coefficient of the damper", symbol="c_d",
        quantity="damping", unit="N·s/m", default=7_600.0, minimum=0.0, maximum=500_000.0,
        group=_DAMPER, reason="Mean of rebound and compression.",
        help="At the damper; critical damping gives a target.",
    ),
    Input(
        name="damper_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio",
        unit="1", default=0.75, minimum=0.05, maximum=2.0, group=_DAMPER,
        reason="Damper travel over wheel travel.", help="Mount geometry gives it.",
    ),
    Choice(
        name="axles", label="Look at a trailer as a whole",
        options=(Option("one", "with one axle"), Option("two", "with two axles"),
                 Option("none", "no, this wheel alone")),
        help="All wheels alike; the trailer loaded.", group=_TRAILER,
    ),
    Choice(
        name="link", label="Both axles",
        options=(Option("separate", "each on springs of its own"),
                 Option("rocker", "linked by a rocker")),
        help="A rocker shares the load evenly; it holds no pitch.", group=_TRAILER, when=_TWO,
    ),
    Input(
        name="centre_distance", label="Coupling to centre of mass", symbol="h", quantity="length",
        unit="m", default=2.85, minimum=0.3, maximum=20.0, group=_TRAILER, when=_ANY,
        reason="Of the sprung body; ahead of the axles.", help="Along the ground, loaded.",
    ),
    Input(
        name="axle_distance", label="Coupling to axle", symbol="l", quantity="length", unit="m",
        default=3.0, minimum=0.3, maximum=20.0, group=_TRAILER, when=_ANY,
        reason="With two axles, to the middle between them.",
        help="With two axles, to the middle between them.",
    ),
    Input(
        name="gyration", label="Radius of gyration", symbol="r_g", quantity="length", unit="m",
        default=1.3, minimum=0.05, maximum=10.0, group=_TRAILER, when=_ANY,
        reason="Of an even box its length over √12.",
        help="About the centre of mass, in pitch; an even box: its length over √12.",
    ),
    Input(
        name="coupling_rate", label="Rate at the coupling", symbol="k_c", quantity="stiffness",
        unit="N/mm", default=60_000.0, minimum=1_000.0, maximum=1e9, group=_TRAILER, when=_ANY,
        reason="How far the towing vehicle yields under a load on its coupling.",
        help="Load on the coupling over how far it sinks.",
    ),
    Input(
        name="axle_spacing", label="Between the axles", symbol="a", quantity="length", unit="m",
        default=0.85, minimum=0.2, maximum=5.0, group=_TRAILER, when=_TWO,
        reason="From hub to hub.", help="From hub to hub.",
    ),
    Input(
        name="wavelength", label="Wavelength of the road", symbol="lambda_w", quantity="length",
        unit="m", default=0.75, minimum=0.05, maximum=200.0, group=_TRAILER, when=_TWO,
        reason="From crest to crest; corrugations have 0.5 to 1 m.", help="From crest to crest.",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="frequency_empty", label="Body frequency, empty", symbol="f_e",
           quantity="frequency", unit="Hz", headline=True, meaning="On a rigid tyre."),
    Output(name="frequency_loaded", label="Body frequency, loaded", symbol="f_l",
           quantity="frequency", unit="Hz", headline=True, meaning="On a rigid tyre."),
    Output(name="ratio_empty", label="Damping ratio, empty", symbol="zeta_e", quantity="ratio",
           unit="1", headline=True, meaning="Of the same damper, friction of leaves included."),
    Output(name="ratio_loaded", label="Damping ratio, loaded", symbol="zeta_l", quantity="ratio",
           unit="1", headline=True, meaning="Load takes damping ratio away."),
    Output(name="rate_empty", label="Wheel rate, empty", symbol="k_e", quantity="stiffness",
           unit="N/mm", meaning="A steel spring keeps its rate, an air spring does not."),
    Output(name="rate_loaded", label="Wheel rate, loaded", symbol="k_l", quantity="stiffness",
           unit="N/mm", meaning="At the same ride height."),
    Output(name="damping_empty", label="Damping at the wheel, empty", symbol="c_e",
           quantity="damping", unit="N·s/m", meaning="Damper, and friction of leaves."),
    Output(name="damping_loaded", label="Damping at the wheel, loaded", symbol="c_l",
           quantity="damping", unit="N·s/m", meaning="Damper, and friction of leaves."),
    Output(name="pressure_empty", label="Air pressure, empty", symbol="p_e",
           quantity="pressure_gauge", unit="bar", meaning="In the air spring, gauge."),
    Output(name="pressure_loaded", label="Air pressure, loaded", symbol="p_l",
           quantity="pressure_gauge", unit="bar", meaning="In the air spring, gauge."),
    Output(name="slow", label="Slower swing of the trailer", symbol="f_s", quantity="frequency",
           unit="Hz", meaning="Of its two, bounce and pitch mixed; loaded."),
    Output(name="fast", label="Faster swing of the trailer", symbol="f_f", quantity="frequency",
           unit="Hz", meaning="The other one."),
    Output(name="slow_node", label="Still place of the slower swing", symbol="x_s",
           quantity="length", unit="m",
           meaning="Forward of the centre of mass; none if the body only bounces."),
    Output(name="fast_node", label="Still place of the faster swing", symbol="x_f",
           quantity="length", unit="m",
           meaning="Forward of the centre of mass; behind it, negative."),
    Output(name="held", label="With the coupling held still", symbol="f_h", quantity="frequency",
           unit="Hz", meaning="Behind a heavy towing vehicle the trailer has this one swing."),
    Output(name="coupling_load", label="Load on the coupling", symbol="F_c", quantity="force",
           unit="N", meaning="Of the sprung body at rest; negative: the coupling is lifted."),
    Output(name="bounce_share", label="Waves that lift the body", symbol="S_b",
           quantity="percent", unit="%", meaning="Share of the height of the road's waves."),
    Output(name="pitch_share", label="Waves that turn the body", symbol="S_p",
           quantity="percent", unit="%",
           meaning="Share of the height that both axles take in opposite ways."),
)  # fmt: skip
