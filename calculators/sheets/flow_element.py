"""Flow element: flow and pressure drop of one passage, hole, gap, fine bore or valve."""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING, NamedTuple

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import leak, oil, orifice, pair, valve
from calculators.physics.area import circle_area
from calculators.physics.fluid import Oil
from calculators.sheet import Level, Measure, Sheet
from calculators.sheets._flow_form import INPUTS, OUTPUTS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_LAMINAR = 2_000.0  # 1, Reynolds number up to which gap and bore are laminar (value from memory)
_ENTRY = 0.06  # 1, entry length over diameter and Reynolds number (value from memory)


class _Passage(NamedTuple):
    """A passage as two functions of the oil: flow from drop, and drop from flow."""

    flow: Callable[[float, Oil], float]
    drop: Callable[[float, Oil], float]


def _valve(given: Given) -> valve.Valve:
    count, check = int(given.choice("ports")), given.choice("element") == "check"
    return valve.Valve(
        bleed_area=0.0 if check else circle_area(diameter=given["bleed_diameter"]),
        port_area=count * circle_area(diameter=given["port_diameter"]),
        disc_diameter=given["disc_diameter"],
        crack_pressure=given["crack_pressure"],
        compliance=given["compliance"],
        max_lift=given["max_lift"],
        discharge_coefficient=given["discharge_coefficient"],
        port_count=count,
        check=check,
    )


def _sign(given: Given) -> float:
    """Return −1 for oil that comes the way that shuts a check valve."""
    return -1.0 if given.choices.get("direction") == "backward" else 1.0


def _passage(given: Given) -> _Passage:
    element = given.choice("element")
    if element == "orifice":
        count, cd = int(given.choice("holes")), given["discharge_coefficient"]
        hole = count * circle_area(diameter=given["hole_diameter"])
        return _Passage(
            lambda drop, fluid: orifice.orifice_flow(
                area=hole, pressure_drop=drop, oil=fluid, discharge_coefficient=cd, holes=count
            ),
            lambda flow, fluid: orifice.orifice_pressure_drop(
                area=hole, flow=flow, oil=fluid, discharge_coefficient=cd, holes=count
            ),
        )
    if element in {"valve", "check"}:
        built, sign = _valve(given), _sign(given)
        return _Passage(
            lambda drop, fluid: abs(
                valve.valve_flow(valve=built, pressure_drop=sign * drop, oil=fluid)
            ),
            lambda flow, fluid: valve.valve_pressure_drop(valve=built, flow=flow, oil=fluid),
        )
    conductance = _conductance(given)
    return _Passage(
        lambda drop, fluid: leak.laminar_flow(
            conductance=conductance, pressure_drop=drop, dynamic_viscosity=fluid.dynamic_viscosity
        ),
        lambda flow, fluid: leak.laminar_pressure_drop(
            conductance=conductance, flow=flow, dynamic_viscosity=fluid.dynamic_viscosity
        ),
    )


def _conductance(given: Given) -> float:
    if given.choice("element") == "gap":
        return leak.annular_leak(
            diameter=given["gap_diameter"],
            clearance=given["clearance"],
            length=given["gap_length"],
            eccentricity=given["eccentricity"],
        )
    return leak.capillary(diameter=given["bore"], length=given["bore_length"])


def _fluid(given: Given, name: str) -> Oil:
    return Oil(
        given["density"],
        oil.dynamic_viscosity(kinematic_viscosity=given[name], density=given["density"]),
    )


def _working_oil(given: Given, work: Working) -> Oil:
    fluid = _fluid(given, "viscosity")
    work.step(
        "Dynamic viscosity",
        "mu = nu*rho",
        fluid.dynamic_viscosity,
        quantity="dynamic_viscosity",
        unit="mPa·s",
        source=oil.dynamic_viscosity,
    )
    return fluid


class _Point(NamedTuple):
    """Where the passage works."""

    drop: float
    flow: float
    from_drop: bool


def _point(given: Given, work: Working, passage: _Passage, fluid: Oil) -> _Point:
    """Return drop and flow; the one that was given gets its symbol."""
    if given.choice("known") == "drop":
        drop = work.let("p", given["pressure_drop"], quantity="pressure_difference", unit="bar")
        return _Point(drop, passage.flow(drop, fluid), from_drop=True)
    flow = work.let("Q", given["flow"], quantity="volume_flow", unit="L/min")
    return _Point(passage.drop(flow, fluid), flow, from_drop=False)


def _show_flow(work: Working, point: _Point, formula: str, source: Callable[..., object]) -> None:
    work.step("Flow", formula, point.flow, quantity="volume_flow", unit="L/min", source=source)


def _show_drop(work: Working, point: _Point, formula: str, source: Callable[..., object]) -> None:
    work.step(
        "Pressure drop",
        formula,
        point.drop,
        quantity="pressure_difference",
        unit="bar",
        source=source,
    )


def _reynolds(work: Working, formula: str, value: float, source: Callable[..., object]) -> float:
    return work.step("Reynolds number", formula, value, quantity="ratio", source=source)


def _jet_speed(work: Working, fluid: Oil, discharge: float, diameter: float, symbol: str) -> float:
    """Record the speed of a jet for which viscosity matters as much as inertia."""
    return work.step(
        "Jet speed below which viscosity rules",
        f"u = mu*C_d/(2*0.2**2*{symbol}*rho)",
        fluid.dynamic_viscosity
        * discharge
        / (2.0 * orifice.LAMINAR_ROUND**2 * diameter * fluid.density),
        quantity="velocity",
        source=orifice.orifice_flow,
    )


def _transition(work: Working, discharge: float) -> float:
    return work.step(
        "Reynolds number of equal losses",
        "Re_t = (C_d/0.2)**2",
        orifice.transition_reynolds(discharge_coefficient=discharge),
        quantity="ratio",
        source=orifice.transition_reynolds,
    )


def _viscous(
    work: Working, formula: str, lost: float, drop: float, source: Callable[..., object]
) -> float:
    """Record what viscosity takes of the drop, and return its share."""
    work.step(
        "Drop by viscosity",
        formula,
        lost,
        quantity="pressure_difference",
        unit="bar",
        source=source,
    )
    return work.step(
        "Viscous share", "S = p_v/p", lost / drop, quantity="percent", unit="%", source=source
    )


def _orifice(given: Given, work: Working, fluid: Oil, point: _Point) -> dict[str, float | None]:
    count, size, discharge = (
        int(given.choice("holes")),
        given["hole_diameter"],
        given["discharge_coefficient"],
    )
    work.let("N", count, quantity="count")
    hole = work.step(
        "Open area",
        "A = N*pi*d**2/4",
        count * circle_area(diameter=size),
        quantity="area",
        unit="mm²",
        source=circle_area,
    )
    if point.from_drop:
        _jet_speed(work, fluid, discharge, size, "d")
        _show_flow(
            work, point, "Q = C_d*A*2*p/rho/(u + sqrt(u**2 + 2*p/rho))", orifice.orifice_flow
        )
    else:
        _show_drop(
            work,
            point,
            "p = rho*Q**2/(2*C_d**2*A**2) + mu*Q/(2*0.2**2*A*d)",
            orifice.orifice_pressure_drop,
        )
    lost = fluid.dynamic_viscosity * point.flow / (2.0 * orifice.LAMINAR_ROUND**2 * hole * size)
    share = _viscous(
        work, "p_v = mu*Q/(2*0.2**2*A*d)", lost, point.drop, orifice.orifice_pressure_drop
    )
    reynolds = _reynolds(
        work,
        "Re = rho*Q*d/(A*mu)",
        fluid.density * point.flow * size / (hole * fluid.dynamic_viscosity),
        orifice.transition_reynolds,
    )
    return {
        "viscous_share": share,
        "reynolds": reynolds,
        "transition": _transition(work, discharge),
        "open_area": hole,
    }


def _laminar(given: Given, work: Working, fluid: Oil, point: _Point) -> dict[str, float | None]:
    """Record gap or bore: a straight line between flow and drop."""
    gap = given.choice("element") == "gap"
    source = leak.annular_leak if gap else leak.capillary
    conductance = work.step(
        "Conductance",
        "G = pi*d_g*h**3*(1 + 1.5*epsilon**2)/(12*L)" if gap else "G = pi*d_k**4/(128*L_k)",
        _conductance(given),
        quantity="volume",
        unit="mm³",
        source=source,
    )
    mu = fluid.dynamic_viscosity
    if point.from_drop:
        _show_flow(work, point, "Q = G*p/mu", leak.laminar_flow)
    else:
        _show_drop(work, point, "p = mu*Q/G", leak.laminar_pressure_drop)
    share = _viscous(
        work, "p_v = mu*Q/G", mu * point.flow / conductance, point.drop, leak.laminar_pressure_drop
    )
    if gap:
        reynolds = _reynolds(
            work,
            "Re = 2*rho*Q/(pi*d_g*mu)",
            2.0 * fluid.density * point.flow / (pi * given["gap_diameter"] * mu),
            source,
        )
    else:
        reynolds = _reynolds(
            work,
            "Re = 4*rho*Q/(pi*d_k*mu)",
            4.0 * fluid.density * point.flow / (pi * given["bore"] * mu),
            source,
        )
    return {"viscous_share": share, "reynolds": reynolds, "conductance": conductance}


def _through_valve(
    given: Given, work: Working, fluid: Oil, point: _Point
) -> dict[str, float | None]:
    """Record how bleed and disc share the flow."""
    built = _valve(given)
    state = pair.valve_state(valve=built, flow=point.flow, oil=fluid)
    discharge, size = given["discharge_coefficient"], given["bleed_diameter"]
    hole = work.step(
        "Area of the bleed",
        "A = pi*d_b**2/4",
        built.bleed_area,
        quantity="area",
        unit="mm²",
        source=circle_area,
    )
    _jet_speed(work, fluid, discharge, size, "d_b")
    opened = state.lift > 0.0
    bleed = (
        orifice.orifice_flow(
            area=hole, pressure_drop=point.drop, oil=fluid, discharge_coefficient=discharge
        )
        if opened
        else point.flow
    )
    if opened:
        _open_disc(given, work, fluid, point, state, bleed)
    else:
        if point.from_drop:
            _show_flow(
                work, point, "Q = C_d*A*2*p/rho/(u + sqrt(u**2 + 2*p/rho))", orifice.orifice_flow
            )
        else:
            _show_drop(
                work,
                point,
                "p = rho*Q**2/(2*C_d**2*A**2) + mu*Q/(2*0.2**2*A*d_b)",
                orifice.orifice_pressure_drop,
            )
        work.step(
            "Lift: the drop does not reach the crack pressure",
            "y = C*max(p - p_c, 0)",
            0.0,
            quantity="length",
            unit="mm",
            source=valve.valve_flow,
        )
    through = "Q_b" if opened else "Q"
    lost = fluid.dynamic_viscosity * bleed / (2.0 * orifice.LAMINAR_ROUND**2 * hole * size)
    share = _viscous(
        work,
        f"p_v = mu*{through}/(2*0.2**2*A*d_b)",
        lost,
        point.drop,
        orifice.orifice_pressure_drop,
    )
    reynolds = _reynolds(
        work,
        f"Re = rho*{through}*d_b/(A*mu)",
        fluid.density * bleed * size / (hole * fluid.dynamic_viscosity),
        orifice.transition_reynolds,
    )
    return {
        "viscous_share": share, "reynolds": reynolds, "transition": _transition(work, discharge),
        "open_area": hole, "lift": state.lift,
    }  # fmt: skip


def _through_check(
    given: Given, work: Working, fluid: Oil, point: _Point
) -> dict[str, float | None]:
    """Record what the disc alone lets through."""
    if point.flow > 0.0:
        state = pair.valve_state(valve=_valve(given), flow=point.flow, oil=fluid)
        _open_disc(given, work, fluid, point, state, None)
        return {"lift": state.lift}
    words, sign = "the drop does not reach the crack pressure", ""
    if _sign(given) < 0.0:
        words, sign = "the drop presses the disc on its seat", "-"
    work.step(
        f"Lift: {words}", f"y = C*max({sign}p - p_c, 0)", 0.0,
        quantity="length", unit="mm", source=valve.valve_flow,
    )  # fmt: skip
    _show_flow(work, point, "Q = C_d*pi*d_o*y*sqrt(2*p/rho)", valve.valve_flow)
    return {"lift": 0.0}


def _open_disc(
    given: Given, work: Working, fluid: Oil, point: _Point, state: pair.ValveState,
    bleed: float | None,
) -> None:  # fmt: skip
    """Record the balance of an open valve: equal flow at ports and curtain, drops that add up.

    A check valve has no bleed.
    """
    if not point.from_drop:
        work.let("p", point.drop, quantity="pressure_difference", unit="bar")
    work.let("Q_d", state.disc_flow, quantity="volume_flow", unit="L/min")
    work.let("p_x", state.disc_drop, quantity="pressure_difference", unit="bar")
    work.let("n", int(given.choice("ports")), quantity="count")
    if bleed is None:
        _show_flow(work, point, "Q = Q_d", valve.valve_flow)
    else:
        work.step(
            "Flow through the bleed",
            "Q_b = C_d*A*2*p/rho/(u + sqrt(u**2 + 2*p/rho))",
            bleed,
            quantity="volume_flow",
            unit="L/min",
            source=orifice.orifice_flow,
        )
        _show_flow(work, point, "Q = Q_b + Q_d", valve.valve_flow)
    work.step(
        "Area of the ports",
        "A_p = n*pi*d_p**2/4",
        _valve(given).port_area,
        quantity="area",
        unit="mm²",
        source=circle_area,
    )
    work.step(
        "Drop of the ports",
        "p_p = rho*Q_d**2/(2*C_d**2*A_p**2) + mu*Q_d/(2*0.2**2*A_p*d_p)",
        state.port_drop,
        quantity="pressure_difference",
        unit="bar",
        source=orifice.orifice_pressure_drop,
    )
    _show_drop(work, point, "p = p_x + p_p", valve.valve_pressure_drop)
    work.step(
        "Lift of the disc",
        "y = min(C*(p_x - p_c), y_m)",
        state.lift,
        quantity="length",
        unit="mm",
        source=valve.valve_flow,
    )
    _slit(given, work, fluid, state)


def _slit(given: Given, work: Working, fluid: Oil, state: pair.ValveState) -> None:
    """Record the flow through the slit under the disc, from its own law."""
    discharge, twice = given["discharge_coefficient"], 2.0 * state.disc_drop / fluid.density
    still = fluid.dynamic_viscosity * discharge
    still /= 4.0 * orifice.LAMINAR_SLIT**2 * state.lift * fluid.density
    work.step(
        "Jet speed below which viscosity rules in the slit",
        "u_y = mu*C_d/(2*0.157**2*2*y*rho)",
        still,
        quantity="velocity",
        source=valve.valve_flow,
    )
    work.step(
        "The slit under the disc passes what the ports pass",
        "Q_y = C_d*pi*d_o*y*2*p_x/rho/(u_y + sqrt(u_y**2 + 2*p_x/rho))",
        discharge
        * pi
        * given["disc_diameter"]
        * state.lift
        * twice
        / (still + sqrt(still**2 + twice)),
        quantity="volume_flow",
        unit="L/min",
        source=valve.valve_flow,
    )


_SHOW = {
    "orifice": _orifice, "gap": _laminar, "capillary": _laminar, "valve": _through_valve,
    "check": _through_check,
}  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    passage, fluid = _passage(given), _working_oil(given, work)
    point = _point(given, work, passage, fluid)
    shown = _SHOW[given.choice("element")](given, work, fluid, point)
    outputs: dict[str, float | None] = {"flow_found": point.flow, "drop_found": point.drop}
    outputs |= {
        output.name: shown.get(output.name) for output in OUTPUTS if output.name not in outputs
    }
    _judge(given, work, passage, point, outputs)
    return outputs


def _judge(
    given: Given,
    work: Working,
    passage: _Passage,
    point: _Point,
    outputs: Mapping[str, float | None],
) -> None:
    cold, hot = (
        passage.flow(point.drop, _fluid(given, name))
        for name in ("viscosity_cold", "viscosity_hot")
    )
    share = outputs["viscous_share"]
    also = "" if share is None else "; {viscous_share} of the drop is viscous"
    work.finding(
        Level.FINE,
        f"At the same drop {{cold}} pass cold and {{hot}} hot{also}.",
        cold=Measure(cold, "volume_flow", "L/min"),
        hot=Measure(hot, "volume_flow", "L/min"),
    )
    element, reynolds = given.choice("element"), outputs["reynolds"] or 0.0
    if element in {"gap", "capillary"}:
        _judge_laminar(given, work, reynolds)
        return
    if (share or 0.0) > 0.5:  # noqa: PLR2004  more viscous than not
        work.finding(
            Level.LOOK_CLOSER,
            "More than half of the drop is viscous: this passage changes its setting with the "
            "oil's temperature. Fewer, larger and shorter holes fade less.",
        )
    if element in {"valve", "check"}:
        _judge_disc(given, work, outputs["lift"] or 0.0)


def _judge_laminar(given: Given, work: Working, reynolds: float) -> None:
    if reynolds > _LAMINAR:
        work.finding(
            Level.LOOK_CLOSER,
            "At Reynolds number {reynolds} the flow is no longer laminar (limit about 2 000, value "
            "from memory): less passes than computed.",
        )
    elif (
        given.choice("element") == "capillary"
        and _ENTRY * reynolds * given["bore"] > given["bore_length"]
    ):
        work.finding(
            Level.LOOK_CLOSER,
            "The bore is too short for its flow to settle: entry and exit cost more than its wall, "
            "and less passes than computed. Compute it as a hole as well and take the larger drop.",
        )
    else:
        work.finding(
            Level.FINE,
            "At Reynolds number {reynolds} the flow is laminar: flow and drop are in proportion.",
        )


def _judge_disc(given: Given, work: Working, lift: float) -> None:
    if lift >= given["max_lift"]:
        work.finding(
            Level.LOOK_CLOSER,
            "The disc stands at its stop: from here on the valve is a fixed hole, and its force "
            "grows with the square of the flow.",
        )
    elif lift > 0.0:
        work.finding(Level.FINE, "The disc has lifted {lift} and regulates.")
    elif given.choice("element") == "valve":
        work.finding(Level.FINE, "The disc is on its seat; only the bleed passes oil.")
    elif _sign(given) < 0.0:
        work.finding(Level.FINE, "The check valve is shut: nothing flows back.")
    else:
        work.finding(
            Level.LOOK_CLOSER,
            "The check valve is shut: it opens at {crack_pressure} only, and until then no oil "
            "passes. Where a chamber has to fill through it, give it less preload.",
        )


def _draw_flow(result: Result) -> Drawing:
    given, passage = result.given, _passage(result.given)
    drop, flow = (result.outputs[name] or 0.0 for name in ("drop_found", "flow_found"))
    drops = grid(0.0, 1.6 * drop, 81)

    def curve(label: str, role: str, name: str) -> Curve:
        fluid = _fluid(given, name)
        return Curve(label, role, drops, tuple(passage.flow(one, fluid) for one in drops))

    return Drawing(
        (
            curve("working", "accent", "viscosity"),
            curve("hot", "compression", "viscosity_hot"),
            curve("cold", "rebound", "viscosity_cold"),
        ),
        (Point("here", drop, flow),),
    )


SHEET = Sheet(
    name="flow-element",
    title="Flow element",
    question="How much oil does this passage let through at this drop, or which drop does this "
             "flow cost?",
    page="calculate/flow-element.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="flow", title="Flow over pressure drop",
            statement="A hole passes flow with the root of the drop and hardly feels the "
                      "temperature; gap and bore are straight lines that turn steeper with hot "
                      "oil; a valve opens at its crack pressure.",
            x=Axis("Pressure drop", "pressure_difference", "bar", like="drop_found"),
            y=Axis("Flow", "volume_flow", "L/min", like="flow_found"), draw=_draw_flow,
        ),
    ),
    limits=(
        "Steady flow of liquid oil: no cavitation in the hole, no gas bubbles.",
        "Sharp edges; a rounded entry passes more, which its discharge coefficient says.",
        "In a hole viscous and inertial loss are added; near their equality measured holes scatter.",
        "Gap with walls at rest: a moving piston drags some oil along.",
        "The disc has no mass and feels the static drop alone; flow forces close it a little.",
    ),
)  # fmt: skip
