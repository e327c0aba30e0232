"""Force-velocity: what a damper with these valves does at each speed of its rod."""

from __future__ import annotations

from math import copysign
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, grid
from calculators.errors import ConflictError
from calculators.physics import cavitation, corner, gas, network, target, variation
from calculators.physics.pair import valve_state
from calculators.physics.valve import valve_flow
from calculators.physics.variation import Tolerances
from calculators.sheet import Sheet
from calculators.sheets import _valving as valving
from calculators.sheets._curve_drawing import draw_curve, draw_pressures
from calculators.sheets._curve_form import (
    COMPARISON,
    FORCES,
    INPUTS,
    OUTPUTS,
    PRESSURES,
    SPREAD,
    STEPS,
)
from calculators.sheets._curve_state import (
    State,
    adjusted,
    lowest,
    reached,
    scales_of,
    shown,
    speeds_of,
    state_at,
)
from calculators.sheets._curve_verdict import judge
from calculators.sheets._gas import ambient

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.fluid import Oil
    from calculators.physics.network import OperatingPoint
    from calculators.physics.valve import Valve
    from calculators.sheet import Given, Working

__all__ = ["SHEET"]

_SCAN = 24  # speeds each way at which chamber pressures are watched
_HALVINGS = 30  # of a bracketed speed: good to nine digits


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    if given["speed"] > given["greatest_speed"]:
        message = "The speed of comparison lies beyond the curve: draw the curve further or compare at a lower speed."
        raise ConflictError(message, inputs=("speed", "greatest_speed"))
    outside = ambient(given, work)
    damper = valving.damper_of(given)
    valving.record_damper(given, work, damper)
    warm = valving.record_oil(given, work)
    state = State(damper, warm, valving.record_gas(given, work), outside)
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
    judge(given, work, outputs)
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
    compression = work.step("Compression, from the pressures", formulas[0], shown(given, inward),
                            quantity="force", source=source)  # fmt: skip
    rebound = work.step("Rebound, from the pressures", formulas[1], -shown(given, outward),
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


def _regimes(given: Given, work: Working, state: State) -> dict[str, float | None]:
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


def _release_speed(state: State, release: float, below: float, above: float) -> float:
    """Return the speed, with its sign, at which the pressure falls to release within a bracket."""
    for _ in range(_HALVINGS):
        middle = 0.5 * (below + above)
        below, above = (middle, above) if lowest(state.at(middle)) > release else (below, middle)
    return above


def _pressures(given: Given, work: Working, state: State) -> dict[str, float | None]:
    """Record where cavitation begins and the highest pressure."""
    release = given["release_pressure"]
    outputs: dict[str, float | None] = {}
    peak = state.gas
    for words, mark, sign in (("compression", "c", 1.0), ("rebound", "r", -1.0)):
        speeds = tuple(sign * speed for speed in grid(0.0, given["greatest_speed"], _SCAN + 1))
        points = [state.at(speed) for speed in speeds]
        first = next((step for step, point in enumerate(points) if lowest(point) <= release), None)
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


def _target(given: Given, work: Working, state: State) -> dict[str, float | None]:
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
        "comparison", "Against the target, gas and friction left out", COMPARISON, tuple(rows)
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
        state_at(given, given[name]).both(given["speed"])
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


def _adjuster(given: Given, work: Working, state: State) -> dict[str, float | None]:
    if given.choice("family") != "clicks":
        return {"reach": None}
    scales, speed = scales_of(given), given["speed"]
    family = adjusted(state, tuple(scales), (speed, -speed))
    work.table(
        "clicks", "Each click at the speed of comparison", STEPS,
        tuple(
            (str(click), scale, shown(given, inward), -shown(given, outward))
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


def _band(given: Given, work: Working, state: State) -> dict[str, float | None]:
    if given.choice("family") != "tolerance":
        return {"band": None}
    speeds = speeds_of(given, given["speed"])
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
    work.table("band", "Forces that the tolerances leave", SPREAD, tuple(rows))
    place = min(range(len(speeds)), key=lambda i: abs(velocities[i] + given["speed"]))
    force = valving.damping(state.at(-given["speed"]))
    if force <= 0.0:
        return {"band": None}
    work.let("u_r", band.spread[place], quantity="force")
    return {"band": work.step("Half width of the band in rebound", "b = u_r/F_r", band.spread[place] / force,
                              quantity="percent", unit="%", source=variation.tolerance_band)}  # fmt: skip


def _tables(given: Given, work: Working, state: State) -> None:
    ratio = given["motion_ratio"]
    forces, pressures = [], []
    for speed in speeds_of(given):
        inward, outward = state.both(speed)
        into, out = (
            abs(speed) * shown(given, point) / point.velocity if reached(given, point) else None
            for point in (inward, outward)
        )
        at_wheel = (force * ratio if force is not None else None for force in (into, out))
        forces.append((speed, into, out, speed / ratio, *at_wheel))
        cells = [
            (point.pressure_rod, point.pressure_head, valving.REGIMES[point.piston_regime])
            if reached(given, point) else (None, None, "cavitates")
            for point in (inward, outward)
        ]  # fmt: skip
        pressures.append((speed, *cells[0], *cells[1]))
    gas_words = "gas included" if given.choice("gas_shown") == "in" else "gas left out"
    work.table("forces", f"Forces, {gas_words} (—: cavitates)", FORCES, tuple(forces))
    work.table("pressures", "Chamber pressures, absolute", PRESSURES, tuple(pressures))


SHEET = Sheet(
    name="force-velocity",
    title="Force-velocity curve",
    question="Which force does this damper give at each speed, which part of its valves makes it, and does it meet the target?",
    page="calculate/force-velocity.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="curve", title="Force over rod speed",
            statement="Compression to the right and up, rebound to the left and down. Dots mark where a disc opens, where its ports take over, and where the damper cavitates.",
            x=Axis("Rod speed, compression positive", "velocity", "m/s", like="greatest_speed"),
            y=Axis("Force", "force", "N", like="force_compression"), draw=draw_curve,
        ),
        Chart(
            name="chamber-pressures", title="Chamber pressures over rod speed",
            statement="In compression the rod side sinks toward the release pressure, in rebound it carries the load.",
            x=Axis("Rod speed, compression positive", "velocity", "m/s", like="greatest_speed"),
            y=Axis("Absolute pressure", "pressure_absolute", "bar", like="release_pressure"), draw=draw_pressures,
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
