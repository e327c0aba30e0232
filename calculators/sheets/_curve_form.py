"""What the force-velocity sheet asks for, answers, and lists."""

from __future__ import annotations

from dataclasses import replace

from calculators.sheet import Cell, Choice, Column, Input, Option, Output, Rows
from calculators.sheets import _valving as valving

__all__ = ["COMPARISON", "FORCES", "INPUTS", "OUTPUTS", "PRESSURES", "SPREAD", "STEPS"]

_CURVE, _ADJUSTER, _TOLERANCE, _TARGET = "Curve", "Adjuster", "Tolerances of making", "Target"
_CLICKS, _BAND = (("family", ("clicks",)),), (("family", ("tolerance",)),)


def _share(name: str, label: str, symbol: str, default: float, words: str) -> Input:
    return Input(
        name=name, label=label, symbol=symbol, quantity="percent", unit="%", default=default, minimum=0.0, maximum=0.5,
        group=_TOLERANCE, when=_BAND, reason="Half width, as a share; 0 leaves it out.", help=words,
    )  # fmt: skip


INPUTS = (
    *valving.BODY,
    *valving.PISTON,
    *valving.RESERVE,
    *valving.OIL,
    valving.RELEASE,
    *valving.GAS,
    *valving.TEMPERATURES,
    valving.SITE,
    Input(
        name="greatest_speed", label="Curve up to", symbol="v_max", quantity="velocity", unit="m/s",
        default=1.5, minimum=0.05, maximum=6.0, group=_CURVE,
        reason="Benches reach 1 to 2 m/s; wheels on rough road more.",
        help="Largest rod speed that is drawn and judged, each way.",
    ),
    Input(
        name="speed", label="Speed of comparison", symbol="v_s", quantity="velocity", unit="m/s",
        default=0.52, minimum=0.01, maximum=6.0, group=_CURVE,
        reason="One of the bench speeds, within the curve.",
        help="Rod speed at which forces are stated and temperatures compared.",
    ),
    replace(valving.MOTION_RATIO, group=_CURVE),
    Choice(
        name="gas_shown", label="Gas force",
        options=(Option("in", "in the curve"), Option("out", "left out")),
        help="A bench shows it unless it is set to zero at rest; targets are stated without it.",
        group=_CURVE,
    ),
    Choice(
        name="family", label="Curves drawn",
        options=(
            Option("temperature", "cold, usual, hot"), Option("clicks", "clicks of the adjuster"),
            Option("tolerance", "tolerance band"), Option("target", "damper and target"),
        ),
        help="What is laid over the curve.",
        group=_CURVE,
    ),
    Input(
        name="scale_closed", label="Bleed, adjuster closed", symbol="s_0", quantity="percent", unit="%",
        default=0.3, minimum=0.0, maximum=1.0, group=_ADJUSTER, when=_CLICKS,
        reason="Share of the bleed area given above that is left; 0 shuts the bleed.",
        help="Bleed area at the firmest click / bleed area given above.",
    ),
    Input(
        name="scale_open", label="Bleed, adjuster open", symbol="s_1", quantity="percent", unit="%",
        default=3.0, minimum=1.0, maximum=20.0, group=_ADJUSTER, when=_CLICKS,
        reason="At least the bleed area given above, which is 100 %.",
        help="Bleed area at the softest click / bleed area given above.",
    ),
    Input(
        name="clicks", label="Clicks", symbol="N_k", quantity="count", unit="1",
        default=8.0, minimum=1.0, maximum=40.0, group=_ADJUSTER, when=_CLICKS,
        reason="Steps from closed to open.",
        help="Clicks from fully closed to fully open; each opens the bleed by the same area.",
    ),
    Input(
        name="bore_tolerance", label="Bore", symbol="t_D", quantity="length", unit="mm", default=0.0, minimum=0.0,
        maximum=0.5e-3, group=_TOLERANCE, when=_BAND, reason="Half width; 0 leaves it out.",
        help="Of the bore of the working tube: it acts through the piston area.",
    ),
    _share("bleed_tolerance", "Bleed area", "t_b", 0.05, "Of each bleed area: drill, burr, notch."),
    _share("crack_tolerance", "Crack pressure", "t_k", 0.15, "Of each crack pressure: preload is a small difference of heights."),
    _share("compliance_tolerance", "Disc compliance", "t_kappa", 0.10, "Of each disc compliance: 3 % in thickness makes about 10 %."),
    _share("viscosity_tolerance", "Viscosity", "t_mu", 0.10, "An ISO VG class allows ±10 %."),
    _share("gas_tolerance", "Absolute gas pressure", "t_g", 0.0, "Of the absolute gas pressure."),
    Rows(
        name="target_forces", label="Target forces at the damper",
        columns=(
            Cell(label="Rod speed", symbol="v", quantity="velocity", unit="m/s", minimum=0.001, maximum=6.0, reason="Speed without sign."),
            Cell(label="Compression", symbol="F_c", quantity="force", unit="N", minimum=0.1, maximum=1e5, reason="Force without sign, gas left out."),
            Cell(label="Rebound", symbol="F_r", quantity="force", unit="N", minimum=0.1, maximum=1e5, reason="Force without sign, gas left out."),
        ),
        # of the critical-damping calculator with its own defaults
        default=((0.05, 253.0, 507.0), (0.1, 507.0, 1014.0), (0.13, 659.0, 1318.0), (0.26, 1136.0, 2271.0),
                 (0.39, 1399.0, 2798.0), (0.52, 1663.0, 3326.0), (1.0, 2636.0, 5272.0)),
        least=0, most=40, group=_TARGET,
        help="One speed a row: rod speed, compression, rebound, without gas force. Leave it empty for no comparison.",
    ),
    Input(
        name="deviation_allowed", label="Deviation allowed", symbol="delta_a", quantity="percent", unit="%",
        default=0.15, minimum=0.005, maximum=1.0, group=_TARGET,
        reason="Share of the target force, to each side.",
        help="How far a force may be from its target; 10 to 15 % is customary (common practice).",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="force_compression", label="Compression at the speed of comparison", symbol="F_comp", quantity="force",
           unit="N", headline=True, meaning="Force against the rod moving in; with the gas force, if that is shown."),
    Output(name="force_rebound", label="Rebound at the speed of comparison", symbol="F_reb", quantity="force",
           unit="N", headline=True, meaning="Force against the rod moving out; the gas takes its part off, if it is shown."),
    Output(name="mean_damping", label="Mean coefficient", symbol="c_m", quantity="damping", unit="N·s/m", headline=True,
           meaning="Mean of both directions over the speed of comparison, gas left out."),
    Output(name="wheel_damping", label="Mean coefficient at the wheel", symbol="c_w", quantity="damping", unit="N·s/m",
           meaning="The same at the wheel: the motion ratio counts twice."),
    Output(name="split", label="Rebound over compression", symbol="S", quantity="ratio", unit="1",
           meaning="At the speed of comparison, gas left out."),
    Output(name="gas_force", label="Gas force", symbol="F_g", quantity="force", unit="N",
           meaning="Push of the rod at rest, at this rod travel and oil temperature."),
    Output(name="opening_compression", label="Disc opens in compression", symbol="v_o_c", quantity="velocity", unit="m/s",
           meaning="Rod speed at which the disc leaves its seat: below it the bleed alone works."),
    Output(name="opening_rebound", label="Disc opens in rebound", symbol="v_o_r", quantity="velocity", unit="m/s",
           meaning="The same in rebound."),
    Output(name="port_compression", label="Ports take over in compression", symbol="v_p_c", quantity="velocity", unit="m/s",
           meaning="Rod speed from which the ports hold most of the pressure, or the disc is at its stop; none within the curve: —."),
    Output(name="port_rebound", label="Ports take over in rebound", symbol="v_p_r", quantity="velocity", unit="m/s",
           meaning="The same in rebound."),
    Output(name="cavitation_compression", label="Cavitates in compression from", symbol="v_v_c", quantity="velocity",
           unit="m/s", meaning="Rod speed at which a chamber falls to the release pressure; none within the curve: —."),
    Output(name="cavitation_rebound", label="Cavitates in rebound from", symbol="v_v_r", quantity="velocity",
           unit="m/s", meaning="The same in rebound."),
    Output(name="pressure_peak", label="Highest pressure", symbol="p_peak", quantity="pressure_gauge", unit="bar",
           meaning="Gauge, in any chamber up to the largest speed: what tube and seal must stand."),
    Output(name="deviation", label="Greatest deviation from the target", symbol="delta", quantity="percent", unit="%",
           meaning="Of all target speeds and both directions, with its sign."),
    Output(name="fade_compression", label="Change cold to hot, compression", symbol="phi_c", quantity="percent",
           unit="%", meaning="Hot force less cold force over usual force, at the speed of comparison, gas left out."),
    Output(name="fade_rebound", label="Change cold to hot, rebound", symbol="phi_r", quantity="percent", unit="%",
           meaning="The same in rebound."),
    Output(name="reach", label="Reach of the adjuster", symbol="r_k", quantity="ratio", unit="1",
           meaning="Mean coefficient, closed over open, at the speed of comparison."),
    Output(name="band", label="Half width of the tolerance band", symbol="b", quantity="percent", unit="%",
           meaning="Root sum square over force in rebound at the speed of comparison, gas left out."),
)  # fmt: skip

FORCES = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression", "F_comp", "force", "N"),
    Column("Rebound", "F_reb", "force", "N"),
    Column("Wheel speed", "v_w", "velocity", "m/s"),
    Column("Compression, wheel", "F_cw", "force", "N"),
    Column("Rebound, wheel", "F_rw", "force", "N"),
)
PRESSURES = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression: rod side", "p_rod_c", "pressure_absolute", "bar"),
    Column("head side", "p_head_c", "pressure_absolute", "bar"),
    Column("piston valve"),
    Column("Rebound: rod side", "p_rod_r", "pressure_absolute", "bar"),
    Column("head side", "p_head_r", "pressure_absolute", "bar"),
    Column("piston valve"),
)
COMPARISON = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression", "F_c", "force", "N"),
    Column("target", "", "force", "N"),
    Column("deviation", "", "percent", "%"),
    Column("Rebound", "F_r", "force", "N"),
    Column("target", "", "force", "N"),
    Column("deviation", "", "percent", "%"),
)
STEPS = (
    Column("Click"),
    Column("Bleed area", "s", "percent", "%"),
    Column("Compression", "F_comp", "force", "N"),
    Column("Rebound", "F_reb", "force", "N"),
)
SPREAD = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Direction"),
    Column("Least", "F_low", "force", "N"),
    Column("As drawn", "F", "force", "N"),
    Column("Greatest", "F_high", "force", "N"),
    Column("Half width, root sum square", "u", "force", "N"),
)
