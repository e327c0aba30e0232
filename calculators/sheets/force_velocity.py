"""Force-velocity: what a damper with these valves does at each speed of its rod."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import copysign
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import cavitation, corner, gas, network, target, variation
from calculators.physics.pair import valve_state
from calculators.physics.valve import valve_flow
from calculators.physics.variation import Tolerances
from calculators.sheet import (
    Cell,
    Choice,
    Column,
    Input,
    Level,
    Measure,
    Option,
    Output,
    Rows,
    Sheet,
)
from calculators.sheets import _valving as valving
from calculators.sheets._gas import ambient

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper, OperatingPoint
    from calculators.physics.valve import Valve
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_CURVE, _ADJUSTER, _TOLERANCE, _TARGET = "Curve", "Adjuster", "Tolerances of making", "Target"
_CLICKS, _BAND = (("family", ("clicks",)),), (("family", ("tolerance",)),)
_SCAN = 24  # speeds each way at which chamber pressures are watched
_HALVINGS = 30  # of a bracketed speed: good to nine digits


def _share(name: str, label: str, symbol: str, default: float, words: str) -> Input:
    return Input(
        name=name, label=label, symbol=symbol, quantity="percent", unit="%", default=default, minimum=0.0, maximum=0.5,
        group=_TOLERANCE, when=_BAND, reason="Half width, as a share; 0 leaves it out.", help=words,
    )  # fmt: skip


_INPUTS = (
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
    Input(
        name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio", unit="1",
        default=0.75, minimum=0.05, maximum=2.0, group=_CURVE,
        reason="Damper travel divided by wheel travel; 1 leaves the values at the damper.",
        help="Damper travel / wheel travel, for the values at the wheel.",
    ),
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
                 (0.39, 1399.0, 2799.0), (0.52, 1663.0, 3326.0), (1.0, 2636.0, 5273.0)),
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

_OUTPUTS = (
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

_FORCES = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression", "F_comp", "force", "N"),
    Column("Rebound", "F_reb", "force", "N"),
    Column("Wheel speed", "v_w", "velocity", "m/s"),
    Column("Compression, wheel", "F_cw", "force", "N"),
    Column("Rebound, wheel", "F_rw", "force", "N"),
)
_PRESSURES = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression: rod side", "p_rod_c", "pressure_absolute", "bar"),
    Column("head side", "p_head_c", "pressure_absolute", "bar"),
    Column("piston valve"),
    Column("Rebound: rod side", "p_rod_r", "pressure_absolute", "bar"),
    Column("head side", "p_head_r", "pressure_absolute", "bar"),
    Column("piston valve"),
)
_COMPARISON = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression", "F_c", "force", "N"),
    Column("target", "", "force", "N"),
    Column("deviation", "", "percent", "%"),
    Column("Rebound", "F_r", "force", "N"),
    Column("target", "", "force", "N"),
    Column("deviation", "", "percent", "%"),
)
_STEPS = (
    Column("Click"),
    Column("Bleed area", "s", "percent", "%"),
    Column("Compression", "F_comp", "force", "N"),
    Column("Rebound", "F_reb", "force", "N"),
)
_SPREAD = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Direction"),
    Column("Least", "F_low", "force", "N"),
    Column("As drawn", "F", "force", "N"),
    Column("Greatest", "F_high", "force", "N"),
    Column("Half width, root sum square", "u", "force", "N"),
)


@dataclass(frozen=True, slots=True)
class _State:
    """One damper with its oil and gas at one temperature."""

    damper: Damper
    oil: Oil
    gas: float
    outside: float

    def at(self, velocity: float) -> OperatingPoint:
        return network.operating_point(
            damper=self.damper,
            velocity=velocity,
            gas_pressure=self.gas,
            oil=self.oil,
            pressure_ambient=self.outside,
        )

    def both(self, speed: float) -> tuple[OperatingPoint, OperatingPoint]:
        return self.at(speed), self.at(-speed)


def _state(given: Given, temperature: float) -> _State:
    return _State(
        valving.damper_of(given), valving.oil_at(given, temperature), valving.gas_at(given, temperature),
        gas.atmosphere_pressure(altitude=given["altitude"]),
    )  # fmt: skip


def _shown(given: Given, point: OperatingPoint) -> float:
    """Return the force as drawn: positive in compression, with the gas or without."""
    return point.force if given.choice("gas_shown") == "in" else point.force - point.gas_force


def _lowest(point: OperatingPoint) -> float:
    return min(point.pressure_head, point.pressure_rod)


def _reached(given: Given, point: OperatingPoint) -> bool:
    """Return whether the oil stays whole at this point; otherwise its force is not reached."""
    return _lowest(point) > given["release_pressure"]


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    if given["speed"] > given["greatest_speed"]:
        message = "The speed of comparison lies beyond the curve: draw the curve further or compare at a lower speed."
        raise ConflictError(message, inputs=("speed", "greatest_speed"))
    outside = ambient(given, work)
    damper = valving.damper_of(given)
    valving.record_damper(given, work, damper)
    warm = valving.record_oil(given, work)
    state = _State(damper, warm, valving.record_gas(given, work), outside)
    inward, outward = state.both(given["speed"])
    work.step(
        "Gas force",
        "F_g = (p_g - p_amb)*A_r",
        inward.gas_force,
        quantity="force",
        source=gas.rod_force,
    )
    for point in (inward, outward):
        valving.record_point(work, damper, point, warm, "v_s")
    outputs = _forces(given, work, inward, outward)
    outputs |= _regimes(given, work, state)
    outputs |= _pressures(given, work, state)
    outputs |= _target(given, work, state)
    outputs |= _temperatures(given, work, inward, outward)
    outputs |= _adjuster(given, work, state)
    outputs |= _band(given, work, state)
    _tables(given, work, state)
    _judge(given, work, outputs)
    return outputs


def _forces(
    given: Given, work: Working, inward: OperatingPoint, outward: OperatingPoint
) -> dict[str, float | None]:
    source = network.operating_point
    formulas = ("F_comp = p_head_c*(A_a + A_r) - p_rod_c*A_a - p_amb*A_r + F_s",
                "F_reb = p_rod_r*A_a - p_head_r*(A_a + A_r) + p_amb*A_r + F_s")  # fmt: skip
    if given.choice("gas_shown") == "out":
        formulas = ("F_comp = (p_head_c - p_g)*(A_a + A_r) - (p_rod_c - p_g)*A_a + F_s",
                    "F_reb = (p_rod_r - p_g)*A_a - (p_head_r - p_g)*(A_a + A_r) + F_s")  # fmt: skip
    compression = work.step("Compression, from the pressures", formulas[0], _shown(given, inward),
                            quantity="force", source=source)  # fmt: skip
    rebound = work.step("Rebound, from the pressures", formulas[1], -_shown(given, outward),
                        quantity="force", source=source)  # fmt: skip
    own = valving.damping(inward), valving.damping(outward)
    mean = work.step("Mean coefficient", "c_m = (F_c + F_r)/(2*v_s)", sum(own) / (2.0 * given["speed"]),
                     quantity="damping", source=target.damping_line)  # fmt: skip
    wheel = work.step("Mean coefficient at the wheel", "c_w = c_m*MR_d**2",
                      corner.wheel_damping(damper_damping=mean, motion_ratio=given["motion_ratio"]),
                      quantity="damping", source=corner.wheel_damping)  # fmt: skip
    split = None
    if own[0] > 0.0:
        split = work.step("Rebound over compression", "S = F_r/F_c", own[1] / own[0],
                          quantity="ratio", source=target.damping_line)  # fmt: skip
    return {
        "force_compression": compression, "force_rebound": rebound, "mean_damping": mean,
        "wheel_damping": wheel, "split": split, "gas_force": inward.gas_force,
    }  # fmt: skip


def _port_flow(valve: Valve, least: float, most: float, warm: Oil) -> float | None:
    """Return the flow at which the ports take over, None if they don't up to the largest flow."""
    if (
        not valve.opens
        or least >= most
        or valve_state(valve=valve, flow=most, oil=warm).regime != "port"
    ):
        return None
    low, high = least, most
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        ported = valve_state(valve=valve, flow=middle, oil=warm).regime == "port"
        low, high = (low, middle) if ported else (middle, high)
    return high


def _regimes(given: Given, work: Working, state: _State) -> dict[str, float | None]:
    outputs: dict[str, float | None] = {}
    piston, ring = state.damper.piston, state.damper.annulus_area
    for mark, words, valve in (
        ("c", "compression", piston.compression),
        ("r", "rebound", piston.rebound),
    ):
        opening = None
        flow = valve_flow(valve=valve, pressure_drop=valve.crack_pressure, oil=state.oil)
        if valve.opens:
            work.let(f"Q_k_{mark}", flow, quantity="volume_flow", unit="L/min")
            opening = work.step(f"Speed at which the bleed reaches the crack pressure, {words}",
                                f"v_o_{mark} = Q_k_{mark}/A_a", flow / ring, quantity="velocity", source=valve_flow)  # fmt: skip
        most = ring * given["greatest_speed"]
        ports = _port_flow(valve, flow, most, state.oil)
        if ports is not None:
            work.let(f"Q_t_{mark}", ports, quantity="volume_flow", unit="L/min")
            ports = work.step(f"Speed at which the ports take over, {words}", f"v_p_{mark} = Q_t_{mark}/A_a",
                              ports / ring, quantity="velocity", source=network.operating_point)  # fmt: skip
        outputs |= {f"opening_{words}": opening, f"port_{words}": ports}
    return outputs


def _release_speed(state: _State, release: float, below: float, above: float) -> float:
    """Return the speed, with its sign, at which the pressure falls to release within a bracket."""
    for _ in range(_HALVINGS):
        middle = 0.5 * (below + above)
        below, above = (middle, above) if _lowest(state.at(middle)) > release else (below, middle)
    return above


def _pressures(given: Given, work: Working, state: _State) -> dict[str, float | None]:
    """Record where cavitation begins and the highest pressure."""
    release = given["release_pressure"]
    outputs: dict[str, float | None] = {}
    peak = state.gas
    for words, mark, sign in (("compression", "c", 1.0), ("rebound", "r", -1.0)):
        speeds = tuple(sign * speed for speed in grid(0.0, given["greatest_speed"], _SCAN + 1))
        points = [state.at(speed) for speed in speeds]
        first = next((step for step, point in enumerate(points) if _lowest(point) <= release), None)
        limit = None
        if first is not None:
            found = (
                _release_speed(state, release, speeds[first - 1], speeds[first])
                if first > 0
                else 0.0
            )
            work.let(
                f"Q_v_{mark}",
                abs(found) * state.damper.annulus_area,
                quantity="volume_flow",
                unit="L/min",
            )
            limit = work.step(f"Speed at which a chamber falls to the release pressure, {words}",
                              f"v_v_{mark} = Q_v_{mark}/A_a", abs(found),
                              quantity="velocity", source=cavitation.cavitation_limit)  # fmt: skip
        outputs[f"cavitation_{words}"] = limit
        peak = max(peak, *(max(point.pressure_head, point.pressure_rod) for point in points))
    work.let("p_high", peak, quantity="pressure_absolute", unit="bar")
    outputs["pressure_peak"] = work.step("Highest pressure, gauge", "p_peak = p_high - p_amb", peak - state.outside,
                                         quantity="pressure_gauge", unit="bar", source=network.operating_point)  # fmt: skip
    return outputs


def _target(given: Given, work: Working, state: _State) -> dict[str, float | None]:
    """Compare with the target table: forces of the valves, without gas and friction."""
    rows, worst = [], (0.0, 0.0, 0.0)
    friction = given["seal_friction"]
    for speed, *wanted in given.rows("target_forces"):
        made = [valving.damping(point) - friction for point in state.both(speed)]
        cells: list[float] = []
        for force, aim in zip(made, wanted, strict=True):
            share = force / aim - 1.0
            cells += [force, aim, share]
            worst = max(worst, (abs(share), force, aim))
        rows.append((speed, *cells))
    if not rows:
        return {"deviation": None}
    work.table(
        "comparison", "Against the target, gas and friction left out", _COMPARISON, tuple(rows)
    )
    _, force, aim = worst
    if aim == 0.0:
        _, force, aim = 0.0, rows[0][1], rows[0][2]
    work.let("F_made", force, quantity="force")
    work.let("F_aim", aim, quantity="force")
    return {"deviation": work.step("Greatest deviation from the target", "delta = F_made/F_aim - 1", force / aim - 1.0,
                                   quantity="percent", unit="%", source=target.force_table)}  # fmt: skip


def _temperatures(
    given: Given, work: Working, inward: OperatingPoint, outward: OperatingPoint
) -> dict[str, float | None]:
    """Record the change of the damping forces from cold to hot."""
    cold, hot = (
        _state(given, given[name]).both(given["speed"])
        for name in ("temperature_cold", "temperature_hot")
    )
    outputs: dict[str, float | None] = {}
    for place, (words, mark, usual) in enumerate(
        (("compression", "c", inward), ("rebound", "r", outward))
    ):
        chilly, warm = valving.damping(cold[place]), valving.damping(hot[place])
        name = f"fade_{words}"
        outputs[name] = None
        if valving.damping(usual) > 0.0:
            work.let(f"F_k_{mark}", chilly, quantity="force")
            work.let(f"F_h_{mark}", warm, quantity="force")
            outputs[name] = work.step(
                f"Change from cold to hot, {words}", f"phi_{mark} = (F_h_{mark} - F_k_{mark})/F_{mark}",
                (warm - chilly) / valving.damping(usual), quantity="percent", unit="%", source=network.operating_point,
            )  # fmt: skip
    return outputs


def _scales(given: Given) -> list[float]:
    """Return the bleed scale of each click, closed first."""
    if 0.0 < given["scale_closed"] < 1e-3:  # noqa: PLR2004  a tenth of a percent
        message = "Less than 0.1 % of the bleed is as good as shut. Give 0 to shut it."
        raise ConflictError(message, inputs=("scale_closed",))
    closed, wide, clicks = (
        given["scale_closed"],
        given["scale_open"],
        max(1, round(given["clicks"])),
    )
    return [closed + (wide - closed) * click / clicks for click in range(clicks + 1)]


def _adjusted(
    state: _State, scales: tuple[float, ...], speeds: tuple[float, ...]
) -> list[tuple[OperatingPoint, ...]]:
    family = variation.adjuster_family(
        damper=state.damper, bleed_scales=scales, velocities=speeds, gas_pressure=state.gas, oil=state.oil,
        pressure_ambient=state.outside,
    )  # fmt: skip
    return [curve.points for curve in family]


def _adjuster(given: Given, work: Working, state: _State) -> dict[str, float | None]:
    if given.choice("family") != "clicks":
        return {"reach": None}
    scales, speed = _scales(given), given["speed"]
    family = _adjusted(state, tuple(scales), (speed, -speed))
    work.table(
        "clicks", "Each click at the speed of comparison", _STEPS,
        tuple(
            (str(click), scale, _shown(given, inward), -_shown(given, outward))
            for click, (scale, (inward, outward)) in enumerate(zip(scales, family, strict=True))
        ),
    )  # fmt: skip
    firm, soft = (
        sum(valving.damping(point) for point in points) / (2.0 * speed)
        for points in (family[0], family[-1])
    )
    if soft <= 0.0:
        return {"reach": None}
    work.let("c_0", firm, quantity="damping")
    work.let("c_1", soft, quantity="damping")
    return {"reach": work.step("Reach of the adjuster", "r_k = c_0/c_1", firm / soft, quantity="ratio",
                               source=network.operating_point)}  # fmt: skip


def _band(given: Given, work: Working, state: _State) -> dict[str, float | None]:
    if given.choice("family") != "tolerance":
        return {"band": None}
    speeds = sorted({*target.BENCH_SPEEDS, given["speed"], given["greatest_speed"]})
    speeds = [speed for speed in speeds if speed <= given["greatest_speed"]]
    velocities = (*(-speed for speed in reversed(speeds)), *speeds)
    band = variation.tolerance_band(
        damper=state.damper, velocities=velocities, gas_pressure=state.gas, oil=state.oil, pressure_ambient=state.outside,
        tolerances=Tolerances(
            piston_diameter=given["bore_tolerance"], bleed_area=given["bleed_tolerance"], crack_pressure=given["crack_tolerance"],
            compliance=given["compliance_tolerance"], dynamic_viscosity=given["viscosity_tolerance"],
            gas_pressure=given["gas_tolerance"],
        ),
    )  # fmt: skip
    less = state.at(0.0).gas_force if given.choice("gas_shown") == "out" else 0.0
    rows = []
    for velocity, low, drawn, high, spread in zip(
        velocities, band.lowest, band.nominal, band.highest, band.spread, strict=True
    ):
        forces = [copysign(1.0, velocity) * (force - less) for force in (low, drawn, high)]
        words = "compression" if velocity > 0.0 else "rebound"
        rows.append((abs(velocity), words, min(forces), forces[1], max(forces), spread))
    work.table("band", "Forces that the tolerances leave", _SPREAD, tuple(rows))
    place = velocities.index(-given["speed"])
    force = valving.damping(state.at(-given["speed"]))
    if force <= 0.0:
        return {"band": None}
    work.let("u_r", band.spread[place], quantity="force")
    return {"band": work.step("Half width of the band in rebound", "b = u_r/F_r", band.spread[place] / force,
                              quantity="percent", unit="%", source=variation.tolerance_band)}  # fmt: skip


def _tables(given: Given, work: Working, state: _State) -> None:
    ratio = given["motion_ratio"]
    forces, pressures = [], []
    speeds = sorted(
        {
            *(speed for speed in target.BENCH_SPEEDS if speed <= given["greatest_speed"]),
            given["greatest_speed"],
        }
    )
    for speed in speeds:
        inward, outward = state.both(speed)
        into, out = (
            abs(speed) * _shown(given, point) / point.velocity if _reached(given, point) else None
            for point in (inward, outward)
        )
        at_wheel = (force * ratio if force is not None else None for force in (into, out))
        forces.append((speed, into, out, speed / ratio, *at_wheel))
        cells = [
            (point.pressure_rod, point.pressure_head, valving.REGIMES[point.piston_regime])
            if _reached(given, point) else (None, None, "cavitates")
            for point in (inward, outward)
        ]  # fmt: skip
        pressures.append((speed, *cells[0], *cells[1]))
    gas_words = "gas included" if given.choice("gas_shown") == "in" else "gas left out"
    work.table("forces", f"Forces, {gas_words} (—: cavitates)", _FORCES, tuple(forces))
    work.table("pressures", "Chamber pressures, absolute", _PRESSURES, tuple(pressures))


def _judge(given: Given, work: Working, outputs: Mapping[str, float | None]) -> None:
    _judge_cavitation(given, work, outputs)
    _judge_target(given, work, outputs)
    split, speed = outputs["split"], given["speed"]
    if split is not None and split < 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            "Compression is stronger than rebound at {speed} (split {split}): bumps are passed on, and the body is pumped up on rough road.",
        )
    elif split is not None and split > 4.0:  # noqa: PLR2004  common practice, said in the text
        work.finding(
            Level.LOOK_CLOSER,
            "Rebound is {split} times compression at {speed}: over quick bumps the vehicle is drawn down. 1.5 to 3 is customary (common practice).",
        )
    ports = [
        value
        for name in ("port_compression", "port_rebound")
        if (value := outputs[name]) is not None
    ]
    if ports and min(ports) < speed:
        work.finding(Level.LOOK_CLOSER, "From {ports} the ports alone set the force: it grows with the square of the speed. More port area or lift lets the disc rule further.",
                     ports=Measure(min(ports), "velocity", "m/s"))  # fmt: skip
    fades = [
        value
        for name in ("fade_compression", "fade_rebound")
        if (value := outputs[name]) is not None
    ]
    if fades:
        most = max(fades, key=abs)
        level = Level.LOOK_CLOSER if abs(most) > 0.25 else Level.FINE  # noqa: PLR2004  common practice, said in the text
        advice = (
            " More than 25 % is felt (common practice): a thinner oil or less gap, less bleed and more disc."
            if level is Level.LOOK_CLOSER
            else ""
        )
        work.finding(level, f"From {{temperature_cold}} to {{temperature_hot}} the damping at {{speed}} changes by {{most}} at most.{advice}",
                     most=Measure(most, "percent", "%"))  # fmt: skip
    rebound = outputs["force_rebound"]
    if rebound is not None and rebound < 0.0:
        work.finding(
            Level.LOOK_CLOSER,
            "At {speed} the gas pushes the rod out more strongly than rebound holds it back.",
        )
    _judge_family(given, work, outputs)


def _judge_cavitation(given: Given, work: Working, outputs: Mapping[str, float | None]) -> None:
    met = False
    for words, chamber, remedy in (
        (
            "compression",
            "rod side",
            "Charge more, soften compression at the piston, or give the displaced oil a valve",
        ),
        ("rebound", "head side", "Charge more or widen the intake"),
    ):
        limit = outputs[f"cavitation_{words}"]
        if limit is None:
            continue
        met = True
        level = Level.DO_NOT_BUILD if limit < given["speed"] else Level.LOOK_CLOSER
        work.finding(
            level,
            f"In {words} the {chamber} falls to the release pressure at {{cavitation_{words}}}; beyond that the curve is not reached. {remedy}; the cavitation-margin calculator says how much.",
        )
    if not met:
        work.finding(
            Level.FINE,
            "Up to {greatest_speed} each chamber stays above the release pressure of {release_pressure}, both ways.",
        )


def _judge_target(given: Given, work: Working, outputs: Mapping[str, float | None]) -> None:
    deviation = outputs["deviation"]
    if deviation is None:
        return
    if abs(deviation) > given["deviation_allowed"]:
        work.finding(
            Level.LOOK_CLOSER,
            "The target is missed by {deviation} at the worst speed; {deviation_allowed} is allowed. The comparison table says where.",
        )
    else:
        work.finding(
            Level.FINE,
            "All target forces are met within {deviation_allowed}; the worst deviation is {deviation}.",
        )


def _judge_family(given: Given, work: Working, outputs: Mapping[str, float | None]) -> None:
    reach, band = outputs["reach"], outputs["band"]
    if reach is not None and reach < 1.2:  # noqa: PLR2004  common practice, said in the text
        work.finding(
            Level.LOOK_CLOSER,
            "From closed to open the adjuster changes the damping at {speed} by a factor of {reach} only; below 1.2 a driver hardly feels it (common practice).",
        )
    elif reach is not None:
        work.finding(
            Level.FINE,
            "From open to closed the adjuster raises the damping at {speed} by a factor of {reach}.",
        )
    if band is not None:
        wide = band > given["deviation_allowed"]
        text = "At {speed} the tolerances leave ±{band} in rebound; {deviation_allowed} is allowed."
        if wide:
            text += " Hold preload and disc thickness closer, or sort the discs."
        work.finding(Level.LOOK_CLOSER if wide else Level.FINE, text)


def _velocities(result: Result) -> tuple[float, ...]:
    """Return speeds for drawing, close together where the curve bends, and where it ends."""
    most = result.given["greatest_speed"]
    ends = [
        sign * speed * (1.0 - 1e-7)
        for name, sign in (("cavitation_compression", 1.0), ("cavitation_rebound", -1.0))
        if (speed := result.outputs[name]) is not None
    ]
    return tuple(sorted([*ends, *(most * share * abs(share) for share in grid(-1.0, 1.0, 61))]))


def _drawn(result: Result, state: _State, label: str, role: str) -> Curve:
    return _curve(result.given, label, role, [state.at(speed) for speed in _velocities(result)])


def _curve(given: Given, label: str, role: str, points: Iterable[OperatingPoint]) -> Curve:
    """Return the part of a curve that is reached without cavitation."""
    reached = [point for point in points if _reached(given, point)]
    return Curve(
        label,
        role,
        [point.velocity for point in reached],
        [_shown(given, point) for point in reached],
    )


def _marks(result: Result, state: _State) -> tuple[Point, ...]:
    """Return the places where the regime changes or cavitation begins, as far as they are reached."""
    given = result.given
    points = []
    for name, sign, label in (
        ("opening_compression", 1.0, ""), ("opening_rebound", -1.0, ""), ("port_compression", 1.0, "ports"),
        ("port_rebound", -1.0, ""), ("cavitation_compression", 1.0, "limit"), ("cavitation_rebound", -1.0, "limit"),
    ):  # fmt: skip
        speed = result.outputs[name]
        if speed is None or not 0.0 < speed <= given["greatest_speed"]:
            continue
        point = state.at(sign * speed)
        if label == "limit" or _reached(given, point):
            points.append(Point(label, point.velocity, _shown(given, point)))
    return tuple(points)


def _draw_curve(result: Result) -> Drawing:
    given = result.given
    state = _state(given, given["temperature"])
    family = given.choice("family")
    usual = _drawn(result, state, "damper", "accent")
    if family == "temperature":
        hot, cold = (
            _drawn(result, _state(given, given[f"temperature_{word}"]), word, role)
            for word, role in (("hot", "look"), ("cold", "rebound"))
        )
        curves: tuple[Curve, ...] = (_drawn(result, state, "usual", "accent"), hot, cold)
    elif family == "clicks":
        scales, speeds = _scales(given), _velocities(result)
        firm, soft = _adjusted(state, (scales[0], scales[-1]), speeds)
        curves = (
            replace(usual, label="bleed as given"),
            _curve(given, "closed", "look", firm),
            _curve(given, "open", "rebound", soft),
        )
    elif family == "tolerance":
        curves = (usual, *_band_curves(result))
    else:
        curves = (usual, *_target_curve(given, state))
    return Drawing(curves, _marks(result, state))


def _band_curves(result: Result) -> tuple[Curve, ...]:
    (table,) = (table for table in result.tables if table.name == "band")
    ends = []
    for speed, words, low, _, high, _ in table.rows:
        assert isinstance(speed, float)
        assert isinstance(low, float)
        assert isinstance(high, float)
        sign = 1.0 if words == "compression" else -1.0
        ends.append((sign * speed, *sorted((sign * low, sign * high))))
    speeds, lows, highs = zip(*ends, strict=True)
    return Curve("least", "rebound", speeds, lows), Curve("greatest", "look", speeds, highs)


def _target_curve(given: Given, state: _State) -> tuple[Curve, ...]:
    rows = sorted(row for row in given.rows("target_forces") if row[0] <= given["greatest_speed"])
    if not rows:
        return ()
    rest = state.at(0.0).gas_force if given.choice("gas_shown") == "in" else 0.0
    speeds = (*(-row[0] for row in reversed(rows)), 0.0, *(row[0] for row in rows))
    forces = (*(rest - row[2] for row in reversed(rows)), rest, *(rest + row[1] for row in rows))
    return (Curve("target", "ink", speeds, forces),)


def _draw_pressures(result: Result) -> Drawing:
    given = result.given
    state = _state(given, given["temperature"])
    speeds = _velocities(result)
    points = [point for speed in speeds if _reached(given, point := state.at(speed))]
    reached = [point.velocity for point in points]
    release = given["release_pressure"]
    marks = tuple(
        Point("limit", sign * speed, release)
        for name, sign in (("cavitation_compression", 1.0), ("cavitation_rebound", -1.0))
        if (speed := result.outputs[name]) is not None
    )
    return Drawing(
        (
            Curve("rod side", "rebound", reached, [point.pressure_rod for point in points]),
            Curve("head side", "compression", reached, [point.pressure_head for point in points]),
            Curve("release pressure", "stop", (speeds[0], speeds[-1]), (release, release)),
        ),
        marks,
    )


SHEET = Sheet(
    name="force-velocity",
    title="Force-velocity curve",
    question="Which force does this damper give at each speed, which part of its valves makes it, and does it meet the target?",
    page="calculate/force-velocity.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="curve", title="Force over rod speed",
            statement="Compression to the right and up, rebound to the left and down. Dots mark where a disc opens, where its ports take over, and where the damper cavitates.",
            x=Axis("Rod speed, compression positive", "velocity", "m/s", like="greatest_speed"),
            y=Axis("Force", "force", "N", like="force_compression"), draw=_draw_curve,
        ),
        Chart(
            name="chamber-pressures", title="Chamber pressures over rod speed",
            statement="In compression the rod side sinks toward the release pressure, in rebound it carries the load.",
            x=Axis("Rod speed, compression positive", "velocity", "m/s", like="greatest_speed"),
            y=Axis("Absolute pressure", "pressure_absolute", "bar", like="release_pressure"), draw=_draw_pressures,
        ),
    ),
    limits=(
        "Steady speed and oil that does not compress: no lag, no hysteresis; the virtual bench shows those.",
        "Beyond a cavitation mark the curve is not reached: the force stops growing there.",
        "Disc without mass, its lift in proportion to the pressure; no force of the jet on it.",
        "One oil temperature and one rod travel for the whole curve; the adjuster moves the bleed of both directions.",
        "Each tolerance acts on all valves alike.",
    ),
)  # fmt: skip
