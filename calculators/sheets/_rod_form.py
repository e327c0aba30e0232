"""What the rod and bolt sheet asks and answers."""

from __future__ import annotations

from calculators.sheet import Choice, Input, Option, Output

__all__ = ["END_FACTORS", "INPUTS", "OUTPUTS", "SIZES"]

_ROD, _FORCE, _BOLT, _FORK, _TORQUE = "Rod", "Largest forces", "Bolt", "Fork and eye", "Tightening"

END_FACTORS = {"pinned": 1.0, "guided": 0.8, "fixed": 0.65, "free": 2.1}
SIZES = {"M12": (0.012, 0.00175), "M10": (0.010, 0.0015), "M14": (0.014, 0.002),
         "M16": (0.016, 0.002), "M20": (0.020, 0.0025)}  # m, coarse thread, ISO 261  # fmt: skip

INPUTS = (
    Input(
        name="rod_diameter", label="Rod diameter", symbol="d", quantity="length", unit="mm",
        default=0.020, minimum=0.005, maximum=0.1, group=_ROD,
        reason="Of the chromed rod.", help="Outside.",
    ),
    Input(
        name="rod_bore", label="Bore of a hollow rod", symbol="d_i", quantity="length", unit="mm",
        default=0.0, minimum=0.0, maximum=0.095, group=_ROD,
        reason="Smaller than the rod; 0 for a solid one.", help="0 for a solid rod.",
    ),
    Input(
        name="free_length", label="Free length", symbol="L", quantity="length", unit="mm",
        default=0.350, minimum=0.02, maximum=3.0, group=_ROD,
        reason="Between the supports, damper extended.",
        help="Damper extended, from the eye to the middle of the piston.",
    ),
    Choice(
        name="ends", label="Ends of the rod",
        options=(Option("pinned", "both turn freely, K = 1"),
                 Option("guided", "one held, one turns, K = 0.8"),
                 Option("fixed", "both held, K = 0.65"),
                 Option("free", "one held, one free, K = 2.1")),
        help="In doubt take the first; rubber eyes and worn guides hold little.", group=_ROD,
    ),
    Input(
        name="yield_strength", label="Yield strength of the rod", symbol="S_y", quantity="stress",
        unit="MPa", default=500e6, minimum=100e6, maximum=2e9, group=_ROD,
        reason="From the material's certificate.",
        help="Of the core; the hard, chromed skin is thin.",
    ),
    Input(
        name="neck_diameter", label="Thinnest section of the rod", symbol="d_n", quantity="length",
        unit="mm", default=0.0122, minimum=0.003, maximum=0.1, group=_ROD,
        reason="Not thicker than the rod.", help="Root of its thread, or a groove.",
    ),
    Input(
        name="compression_force", label="Largest force in compression", symbol="F_c",
        quantity="force", unit="N", default=6_000.0, minimum=1.0, maximum=1e6, group=_FORCE,
        reason="Damping, gas and a stop on the rod together.",
        help="At the largest speed, with the gas force, and with a bump stop if it sits on the rod.",
    ),
    Input(
        name="rebound_force", label="Largest force in rebound", symbol="F_r", quantity="force",
        unit="N", default=8_000.0, minimum=1.0, maximum=1e6, group=_FORCE,
        reason="At the largest speed, or with the wheel hanging on the damper.",
        help="The larger of damping force and what hangs on the damper.",
    ),
    Input(
        name="side_force", label="Side force at the eye", symbol="F_q", quantity="force", unit="N",
        default=150.0, minimum=0.0, maximum=1e5, group=_FORCE,
        reason="From stiff bushes and leaning mounts.",
        help="Stiff bushes and skewed mounts push the rod sideways; 0 if there is none.",
    ),
    Input(
        name="side_lever", label="Its lever", symbol="e", quantity="length", unit="mm",
        default=0.200, minimum=0.0, maximum=3.0, group=_FORCE,
        reason="From the eye to the rod guide.", help="From the eye to the rod guide, extended.",
    ),
    Choice(
        name="size", label="Bolt", options=tuple(Option(size, size) for size in SIZES),
        help="Metric, coarse thread; plain shank in the joint.", group=_BOLT,
    ),
    Choice(
        name="grade", label="Property class",
        options=(Option("10.9", "10.9"), Option("8.8", "8.8"), Option("12.9", "12.9")),
        help="As stamped on the head, ISO 898-1.", group=_BOLT,
    ),
    Input(
        name="eye_width", label="Width of the eye", symbol="b", quantity="length", unit="mm",
        default=0.040, minimum=0.005, maximum=0.3, group=_FORK,
        reason="Length of the inner sleeve.", help="Length of its inner sleeve.",
    ),
    Input(
        name="cheek", label="Thickness of a cheek", symbol="t", quantity="length", unit="mm",
        default=0.005, minimum=0.001, maximum=0.1, group=_FORK,
        reason="Of one side of the fork.", help="Of one side of the fork.",
    ),
    Input(
        name="gap", label="Gap between eye and cheek", symbol="g", quantity="length", unit="mm",
        default=0.0, minimum=0.0, maximum=0.02, group=_FORK,
        reason="On each side; 0 when clamped.", help="On each side; 0 when clamped.",
    ),
    Input(
        name="cheek_strength", label="Yield strength of the cheek", symbol="S_c",
        quantity="stress", unit="MPa", default=355e6, minimum=50e6, maximum=2e9, group=_FORK,
        reason="Structural steel 235 to 355 MPa.", help="Of the bracket's steel.",
    ),
    Input(
        name="torque", label="Torque", symbol="T", quantity="torque", unit="N·m", default=100.0,
        minimum=0.0, maximum=2_000.0, group=_TORQUE,
        reason="From the vehicle maker's manual.", help="The one that the manual states.",
    ),
    Input(
        name="nut_factor", label="Nut factor", symbol="K_n", quantity="ratio", unit="1",
        default=0.2, minimum=0.05, maximum=0.5, group=_TORQUE,
        reason="Dry steel 0.2, lightly oiled 0.15 (common practice).",
        help="Dry steel 0.2, lightly oiled 0.15 (common practice).",
    ),
    Input(
        name="scatter", label="Its scatter", symbol="q", quantity="percent", unit="%",
        default=0.3, minimum=0.0, maximum=0.9, group=_TORQUE,
        reason="25 to 30 % with a torque wrench (common practice).",
        help="Either way; 25 to 30 % with a torque wrench (common practice).",
    ),
    Input(
        name="friction", label="Friction between eye and cheek", symbol="mu", quantity="ratio",
        unit="1", default=0.15, minimum=0.0, maximum=1.0, group=_TORQUE,
        reason="Dry steel 0.1 to 0.2 (common practice).", help="Dry steel 0.1 to 0.2; paint less.",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="column_safety", label="Safety against bowing out", symbol="n_k",
           quantity="ratio", unit="1", headline=True,
           meaning="Critical force over the largest compression force."),
    Output(name="neck_use", label="Use of the thinnest section", symbol="U_n", quantity="percent",
           unit="%", headline=True, meaning="Nominal tension in rebound over the yield strength."),
    Output(name="slip_safety", label="Safety against slip in the fork", symbol="n_s",
           quantity="ratio", unit="1", headline=True,
           meaning="Of the least preload; above 1 friction holds the eye, not the shank."),
    Output(name="critical_force", label="Critical force", symbol="F_k", quantity="force", unit="N",
           meaning="At which the rod bows out or yields."),
    Output(name="critical_stress", label="Critical stress", symbol="sigma_k", quantity="stress",
           unit="MPa", meaning="That force over the section."),
    Output(name="slenderness", label="Slenderness", symbol="s", quantity="ratio", unit="1",
           meaning="Effective length over radius of gyration."),
    Output(name="transition", label="Where Euler begins", symbol="s_t", quantity="ratio", unit="1",
           meaning="A more slender rod springs out (Euler), a stockier one also yields (Johnson)."),
    Output(name="rod_stress", label="Stress in the rod", symbol="sigma_r", quantity="stress",
           unit="MPa", meaning="Compression and bending together at the guide."),
    Output(name="rod_use", label="Use of the rod", symbol="U_r", quantity="percent", unit="%",
           meaning="That stress over the yield strength."),
    Output(name="proof_load", label="Proof load of the bolt", symbol="F_p", quantity="force",
           unit="kN", meaning="That it bears without lasting stretch, ISO 898-1."),
    Output(name="preload", label="Preload, mean", symbol="F_m", quantity="force", unit="kN",
           meaning="That the torque brings."),
    Output(name="preload_least", label="Preload, least", symbol="F_min", quantity="force",
           unit="kN", meaning="With the most friction."),
    Output(name="preload_most", label="Preload, most", symbol="F_max", quantity="force", unit="kN",
           meaning="With the least friction."),
    Output(name="proof_use", label="Most preload over proof load", symbol="U_p",
           quantity="percent", unit="%", meaning="Above 100 % the bolt may stretch for good."),
    Output(name="slip_force", label="Force at which the eye slips", symbol="F_s",
           quantity="force", unit="kN", meaning="With the least preload, on both faces."),
    Output(name="shear", label="Shear in the shank", symbol="tau", quantity="stress", unit="MPa",
           meaning="If the joint has slipped; mean over its two sections."),
    Output(name="shear_safety", label="Safety of the shank in shear", symbol="n_t",
           quantity="ratio", unit="1", meaning="Against yield, by the shape-change hypothesis."),
    Output(name="bearing_eye", label="Pressure in the sleeve", symbol="p_e", quantity="stress",
           unit="MPa", meaning="Between bolt and sleeve, on the projected area."),
    Output(name="bearing_fork", label="Pressure in the cheek", symbol="p_f", quantity="stress",
           unit="MPa", meaning="Between bolt and each cheek."),
    Output(name="bearing_use", label="Use of the cheek", symbol="U_f", quantity="percent",
           unit="%", meaning="That pressure over its yield strength."),
    Output(name="bending", label="Bending in a loose bolt", symbol="sigma_b", quantity="stress",
           unit="MPa", meaning="If the nut came loose; a clamped bolt hardly bends."),
)  # fmt: skip
