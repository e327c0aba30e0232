"""What a damper holds inside: the inputs that describe it, and the damper that they make.

The sheets about valves share these inputs, so a damper is described once. The
functions below turn the checked inputs into what the physics takes: `damper_of`,
`oil_at` and `gas_at`; the `record_…` functions write the same on the working.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi
from typing import TYPE_CHECKING

from calculators.errors import ConflictError
from calculators.physics import area, gas, leak, network, oil, oil_density, viscosity_index
from calculators.physics.fluid import Oil
from calculators.physics.network import Damper
from calculators.physics.oil_line import OilLine
from calculators.physics.pair import ValvePair, valve_state
from calculators.physics.valve import Valve, valve_pressure_drop
from calculators.sheet import Choice, Input, Option
from calculators.sheets._gas import ROD, SITE

if TYPE_CHECKING:
    from calculators.physics.network import OperatingPoint
    from calculators.sheet import Field, Given, Working

__all__ = [
    "BODY",
    "CHARGE",
    "GAS",
    "MOTION_RATIO",
    "OIL",
    "PISTON",
    "REGIMES",
    "RELEASE",
    "RESERVE",
    "SITE",
    "TEMPERATURE",
    "TEMPERATURES",
    "charge_of",
    "damper_of",
    "damping",
    "expansion_of",
    "gas_at",
    "oil_at",
    "oil_line_of",
    "record_damper",
    "record_gas",
    "record_oil",
    "record_point",
]

_BODY, _RESERVE, _INTAKE = (
    "Construction",
    "Foot or reservoir valve",
    "Intake of the foot or reservoir valve",
)
_COMPRESSION, _REBOUND = "Piston valve, compression", "Piston valve, rebound"
_OIL, _GAS, _TEMPERATURE = "Oil", "Gas", "Temperature"
_WITH_RESERVE = (("construction", ("reservoir", "twin-tube")),)
_MONO = (("construction", ("monotube", "reservoir")),)
_TWIN = (("construction", ("twin-tube",)),)

REGIMES = {
    "shut": "shut", "bleed": "bleed", "opening": "disc opening", "port": "ports", "open": "open",
}  # fmt: skip

BODY: tuple[Field, ...] = (
    Choice(
        name="construction", label="Construction",
        options=(
            Option("monotube", "monotube, gas behind the dividing piston"),
            Option("reservoir", "monotube with a valve to its reservoir"),
            Option("twin-tube", "twin-tube with foot valve"),
        ),
        help="Decides whether the oil that the rod displaces goes through a valve of its own.",
        group=_BODY,
    ),
    Input(
        name="piston_diameter", label="Bore", symbol="D", quantity="length", unit="mm",
        default=0.046, minimum=0.012, maximum=0.150, group=_BODY,
        reason="Inner diameter of the working tube; it must be larger than the rod.",
        help="Inner diameter of the tube in which the piston runs.",
    ),
    replace(ROD, group=_BODY),
    Input(
        name="seal_friction", label="Seal friction", symbol="F_s", quantity="force", unit="N",
        default=30.0, minimum=0.0, maximum=1_000.0, group=_BODY,
        reason="Of rod seal, guide and bands together; 0 leaves it out.",
        help="Half the step of the force when the slowly moving rod is reversed.",
    ),
    Input(
        name="piston_gap", label="Gap at the piston", symbol="h", quantity="length", unit="mm",
        default=0.02e-3, minimum=0.0, maximum=0.3e-3, group=_BODY,
        reason="On the radius; a sound piston band leaves 0.01 to 0.05 mm (common practice).",
        help="Clearance between piston band and bore, on the radius; grows with wear.",
    ),
    Input(
        name="gap_length", label="Length of the gap", symbol="L_h", quantity="length", unit="mm",
        default=0.008, minimum=0.001, maximum=0.060, group=_BODY,
        reason="Length of the piston band along the tube.",
        help="Along the flow: the height of the piston band.",
    ),
    Input(
        name="discharge_coefficient", label="Discharge coefficient", symbol="C_d", quantity="ratio", unit="1",
        default=0.61, minimum=0.4, maximum=1.0, group=_BODY,
        reason="0.60 to 0.65 for sharp edges, nearer 1 for rounded inlets.",
        help="Of all holes and edges when the flow is fast; 0.61 is a sharp edge.",
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Sizes:
    """Default sizes of one valve; a bleed of zero diameter is asked for nowhere."""

    bleed: tuple[float, float] | None
    ports: tuple[float, float]
    disc: float
    crack: float
    compliance: float
    lift: float


def _valve_inputs(
    place: str,
    mark: str,
    group: str,
    sizes: _Sizes,
    when: tuple[tuple[str, tuple[str, ...]], ...] = (),
) -> tuple[Input, ...]:
    """Return the inputs of one valve, named and marked by its place."""
    bleed: tuple[Input, ...] = ()
    if sizes.bleed is not None:
        bleed = (
            Input(
                name=f"{place}_bleed_count", label="Bleed holes", symbol=f"N_b_{mark}", quantity="count", unit="1",
                default=sizes.bleed[0], minimum=1.0, maximum=60.0, group=group, when=when,
                reason="At least one; for a partly covered hole give a smaller diameter.",
                help="How many holes or notches stay open at rest.",
            ),
            Input(
                name=f"{place}_bleed_diameter", label="Diameter of a bleed hole", symbol=f"d_b_{mark}",
                quantity="length", unit="mm", default=sizes.bleed[1], minimum=0.0, maximum=0.008, group=group, when=when,
                reason="0 shuts it; for a notch give the round hole of the same area.",
                help="Bleed holes stand open at rest. A notch of area A counts as a hole of √(4 A / π).",
            ),
        )  # fmt: skip
    return (
        *bleed,
        Input(
            name=f"{place}_port_count", label="Ports", symbol=f"N_p_{mark}", quantity="count", unit="1",
            default=sizes.ports[0], minimum=1.0, maximum=60.0, group=group, when=when,
            reason="At least one; for a partly covered port give a smaller diameter.",
            help="How many ports lie under the disc.",
        ),
        Input(
            name=f"{place}_port_diameter", label="Diameter of a port", symbol=f"d_p_{mark}", quantity="length", unit="mm",
            default=sizes.ports[1], minimum=0.0, maximum=0.030, group=group, when=when,
            reason="All ports of this direction must fit beside those of the other; 0 leaves only the bleed.",
            help="For a slot give the round hole of the same area.",
        ),
        Input(
            name=f"{place}_disc_diameter", label="Seat diameter", symbol=f"d_o_{mark}", quantity="length", unit="mm",
            default=sizes.disc, minimum=0.003, maximum=0.150, group=group, when=when,
            reason="Of the edge at which the disc lifts, within the bore.",
            help="Diameter of the seat edge over which the oil leaves.",
        ),
        Input(
            name=f"{place}_crack_pressure", label="Crack pressure", symbol=f"p_k_{mark}", quantity="pressure_difference",
            unit="bar", default=sizes.crack, minimum=0.0, maximum=20e6, group=group, when=when,
            reason="Preload of the disc over the area under it.",
            help="Pressure difference at which the disc begins to lift.",
        ),
        Input(
            name=f"{place}_compliance", label="Disc compliance", symbol=f"kappa_{mark}", quantity="compliance", unit="mm/MPa",
            default=sizes.compliance, minimum=0.0, maximum=1e-6, group=group, when=when,
            reason="Lift of the edge for each unit of pressure; 0 keeps the disc shut.",
            help="How far the edge lifts for each unit of pressure beyond cracking: soft discs lift more.",
        ),
        Input(
            name=f"{place}_max_lift", label="Greatest lift", symbol=f"y_m_{mark}", quantity="length", unit="mm",
            default=sizes.lift, minimum=0.0, maximum=0.010, group=group, when=when,
            reason="Lift at which the disc meets its stop; 0 keeps it shut.",
            help="Lift at which the disc meets its stop.",
        ),
    )  # fmt: skip


# An invented damper for the demo trailer. Its one piston serves every construction: alone it
# stays below the target in compression, with the reserve valve it comes out above.
PISTON = (
    *_valve_inputs("compression", "c", _COMPRESSION,
                   _Sizes((1.0, 2.2e-3), (6.0, 5.4e-3), 0.034, 0.9e5, 0.156e-9, 0.35e-3)),
    *_valve_inputs("rebound", "r", _REBOUND,
                   _Sizes((1.0, 2.2e-3), (6.0, 4.5e-3), 0.034, 5.0e5, 0.050e-9, 0.22e-3)),
)  # fmt: skip
RESERVE = (
    *_valve_inputs("foot", "f", _RESERVE, _Sizes((1.0, 1.5e-3), (6.0, 4.0e-3), 0.018, 0.4e5, 0.118e-9, 0.8e-3),
                   _WITH_RESERVE),
    *_valve_inputs("intake", "i", _INTAKE, _Sizes(None, (8.0, 4.0e-3), 0.030, 0.05e5, 40e-9, 1.5e-3), _WITH_RESERVE),
)  # fmt: skip

OIL = (
    Input(
        name="viscosity_40", label="Viscosity at 40 °C", symbol="nu_40", quantity="kinematic_viscosity", unit="mm²/s",
        default=15e-6, minimum=2e-6, maximum=150e-6, group=_OIL,
        reason="The number of the ISO VG class: VG 15 has 15 mm²/s at 40 °C.",
        help="From the oil's data sheet; an ISO VG class is named after this figure.",
    ),
    Input(
        name="viscosity_100", label="Viscosity at 100 °C", symbol="nu_100", quantity="kinematic_viscosity", unit="mm²/s",
        default=3.8e-6, minimum=0.8e-6, maximum=50e-6, optional=True, group=_OIL,
        reason="Below the viscosity at 40 °C; leave it empty for a viscosity index of 100.",
        help="From the oil's data sheet; left empty, an oil of viscosity index 100 is taken.",
    ),
    Input(
        name="density_15", label="Density at 15 °C", symbol="rho_15", quantity="density", unit="kg/m³",
        default=870.0, minimum=801.0, maximum=1_100.0, group=_OIL,
        reason="Damper oils have 820 to 900 kg/m³; the table of their expansion starts at 801.",
        help="From the oil's data sheet; the expansion follows from it.",
    ),
    Input(
        name="oil_volume", label="Oil volume", symbol="V_oil", quantity="volume", unit="cm³",
        default=400e-6, minimum=0.0, maximum=10e-3, group=_OIL,
        reason="All the oil in the damper at 20 °C; 0 leaves its expansion out.",
        help="All the oil, hose and reservoir included: warm oil takes room from the gas.",
    ),
)  # fmt: skip
RELEASE = Input(
    name="release_pressure", label="Release pressure", symbol="p_v", quantity="pressure_absolute", unit="bar",
    default=0.3e5, minimum=0.0, maximum=2e5, group=_OIL,
    reason="Absolute; the vapour of mineral oil is near 0, but its air comes out earlier.",
    help="Absolute pressure at which the oil lets go of its air; 0.3 bar is on the safe side of plain vapour (common practice).",
)  # fmt: skip

MOTION_RATIO = Input(
    name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio", unit="1",
    default=0.75, minimum=0.05, maximum=2.0, group=_BODY,
    reason="Damper travel divided by wheel travel; 1 leaves the values at the damper.",
    help="Damper travel / wheel travel near ride height, lean included.",
)  # fmt: skip

CHARGE = (
    Input(
        name="charge_at_20", label="Charge at 20 °C", symbol="p_0", quantity="pressure_gauge", unit="bar",
        default=2.2e6, minimum=0.0, maximum=10e6, group=_GAS, when=_MONO,
        reason="Gauge, rod fully out; monotubes carry 10 to 25 bar (common practice).",
        help="Gauge pressure with the rod fully out at 20 °C, against the standard atmosphere.",
    ),
    Input(
        name="charge_at_20_twin_tube", label="Charge at 20 °C", symbol="p_0", quantity="pressure_gauge", unit="bar",
        default=0.75e6, minimum=0.0, maximum=10e6, group=_GAS, when=_TWIN,
        reason="Gauge, rod fully out; twin-tubes carry 2 to 8 bar (common practice).",
        help="Gauge pressure with the rod fully out at 20 °C, against the standard atmosphere.",
    ),
    Input(
        name="gas_volume", label="Gas volume", symbol="V_0", quantity="volume", unit="cm³",
        default=150e-6, minimum=0.5e-6, maximum=5e-3, group=_GAS,
        reason="Volume of the gas at full extension and 20 °C.",
        help="Rod fully out, at 20 °C; the rod-displacement calculator gives it.",
    ),
)  # fmt: skip
GAS = (
    *CHARGE,
    Input(
        name="rod_travel", label="Rod travel", symbol="x", quantity="length", unit="mm",
        default=0.075, minimum=0.0, maximum=1.0, group=_GAS,
        reason="Counted from full extension; not more than the stroke.",
        help="How far the rod stands in where the curve is taken; half the stroke on a bench.",
    ),
    Input(
        name="polytropic_exponent", label="Polytropic exponent", symbol="n", quantity="ratio", unit="1",
        default=1.2, minimum=1.0, maximum=1.67, group=_GAS,
        reason="1 for slow strokes, 1.4 for fast ones with nitrogen.",
        help="1: heat has time to leave; 1.4: it has not.",
    ),
)  # fmt: skip

TEMPERATURE = Input(
    name="temperature", label="Oil temperature", symbol="T", quantity="temperature", unit="°C",
    default=313.15, minimum=233.15, maximum=423.15, group=_TEMPERATURE,
    reason="The viscosity line and the density table end there.",
    help="Of the oil on the bench or in use; benches often call for 20 to 40 °C.",
)  # fmt: skip
TEMPERATURES = (
    TEMPERATURE,
    Input(
        name="temperature_cold", label="Coldest", symbol="T_k", quantity="temperature", unit="°C",
        default=263.15, minimum=233.15, maximum=313.15, group=_TEMPERATURE,
        reason="From −40 to 40 °C.",
        help="Temperature of the damper on a cold morning.",
    ),
    Input(
        name="temperature_hot", label="Hottest", symbol="T_h", quantity="temperature", unit="°C",
        default=373.15, minimum=293.15, maximum=423.15, group=_TEMPERATURE,
        reason="From 20 to 150 °C; customary seals end near 120 °C (common practice).",
        help="Temperature of the damper after an hour of corrugations.",
    ),
)  # fmt: skip


def _made(given: Given, name: str, least: float, words: str) -> float:
    """Return a size that is zero or can be made, or refuse it in words."""
    value = given[name]
    if 0.0 < value < least:
        message = f"{words} is smaller than anything that can be made. Give 0 to leave it out."
        raise ConflictError(message, inputs=(name,))
    return value


def _holes(given: Given, place: str, kind: str) -> tuple[int, float]:
    """Return number and total area of the holes of a kind."""
    count = int(given[f"{place}_{kind}_count"])
    diameter = _made(given, f"{place}_{kind}_diameter", 1e-5, "A hole of less than 0.01 mm")
    return count, count * pi * diameter**2 / 4.0


def _valve(given: Given, place: str, bleed: str, conductance: float) -> Valve:
    """Return the valve of a place, with the bleed of another place or its own."""
    bleed_count, bleed_area = _holes(given, bleed, "bleed")
    port_count, port_area = _holes(given, place, "port")
    return Valve(
        bleed_area=bleed_area, port_area=port_area, disc_diameter=given[f"{place}_disc_diameter"],
        crack_pressure=given[f"{place}_crack_pressure"],
        compliance=_made(given, f"{place}_compliance", 1e-14, "A compliance of less than 0.00001 mm/MPa"),
        max_lift=_made(given, f"{place}_max_lift", 1e-6, "A lift of less than 0.001 mm"), discharge_coefficient=given["discharge_coefficient"],
        bleed_count=bleed_count, port_count=port_count,
        leak=conductance,
    )  # fmt: skip


def _gap(given: Given) -> float:
    gap = _made(given, "piston_gap", 1e-6, "A gap of less than 0.001 mm")
    if gap == 0.0:
        return 0.0
    return leak.annular_leak(
        diameter=given["piston_diameter"], clearance=gap, length=given["gap_length"]
    )


def damper_of(given: Given, construction: str = "") -> Damper:
    """Return the damper that the inputs describe, of a construction if one is named."""
    gap = _gap(given)
    reserve = None
    places = ["compression", "rebound"]
    alone = (construction or given.choice("construction")) == "monotube"
    for place in places if alone else [*places, "foot", "intake"]:
        if given[f"{place}_disc_diameter"] >= given["piston_diameter"]:
            message = "The seat is not smaller than the bore: the disc would not fit into the tube."
            raise ConflictError(message, inputs=(f"{place}_disc_diameter", "piston_diameter"))
    if not alone:
        reserve = ValvePair(
            _valve(given, "foot", "foot", 0.0), _valve(given, "intake", "foot", 0.0)
        )
    return Damper(
        piston_diameter=given["piston_diameter"],
        rod_diameter=given["rod_diameter"],
        piston=ValvePair(
            _valve(given, "compression", "compression", gap),
            _valve(given, "rebound", "rebound", gap),
        ),
        reserve=reserve,
        seal_friction=given["seal_friction"],
    )


def _viscosity_100(given: Given) -> float:
    known = given.optional("viscosity_100")
    if known is not None:
        return known
    return viscosity_index.viscosity_at_100(
        viscosity_40=given["viscosity_40"], viscosity_index=100.0
    )


def expansion_of(given: Given) -> float:
    """Return the thermal expansion of the oil, from its density."""
    return oil_density.lubricant_expansion(density_15=given["density_15"])


def _density_and_viscosity(given: Given, temperature: float) -> tuple[float, float]:
    dense = oil_density.density(
        temperature=temperature,
        density_15=given["density_15"],
        thermal_expansion=expansion_of(given),
    )
    kinematic = oil.kinematic_viscosity(
        temperature=temperature, temperature_1=313.15, viscosity_1=given["viscosity_40"],
        temperature_2=373.15, viscosity_2=_viscosity_100(given),
    )  # fmt: skip
    return dense, kinematic


def oil_line_of(given: Given) -> OilLine:
    """Return the oil over temperature; `oil_at` tells the same at one temperature."""
    return OilLine(
        density_15=given["density_15"], thermal_expansion=expansion_of(given), temperature_1=313.15,
        viscosity_1=given["viscosity_40"], temperature_2=373.15, viscosity_2=_viscosity_100(given),
    )  # fmt: skip


def oil_at(given: Given, temperature: float) -> Oil:
    """Return the oil at a temperature."""
    dense, kinematic = _density_and_viscosity(given, temperature)
    return Oil(dense, oil.dynamic_viscosity(kinematic_viscosity=kinematic, density=dense))


def charge_of(given: Given) -> float:
    """Return the gauge charge at 20 °C, against the standard atmosphere."""
    twin = given.choice("construction") == "twin-tube"
    return given["charge_at_20_twin_tube" if twin else "charge_at_20"]


def gas_at(given: Given, temperature: float, *, charge: float | None = None) -> float:
    """Return the absolute gas pressure at the rod travel and a temperature."""
    return gas.charge_state(
        charge_pressure_gauge=charge_of(given) if charge is None else charge,
        gas_volume_extended=given["gas_volume"], rod_diameter=given["rod_diameter"],
        compression=given["rod_travel"], temperature=temperature, oil_volume=given["oil_volume"],
        expansion_coefficient=expansion_of(given), polytropic_exponent=given["polytropic_exponent"],
    ).pressure  # fmt: skip


def record_damper(given: Given, work: Working, damper: Damper) -> None:
    """Record the sections of rod and piston, and the leak past the piston."""
    work.step("Rod section", "A_r = pi*d**2/4", damper.rod_area,
              quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
    work.step("Piston area on the rod side", "A_a = pi*(D**2 - d**2)/4", damper.annulus_area,
              quantity="area", unit="mm²", source=area.annulus_area)  # fmt: skip
    if damper.piston.compression.leak > 0.0:
        work.step("Conductance of the gap at the piston", "G = pi*D*h**3/(12*L_h)", _gap(given),
                  quantity="volume", source=leak.annular_leak)  # fmt: skip


def record_oil(given: Given, work: Working) -> Oil:
    """Record density and viscosity at the oil temperature, and return the oil there."""
    work.step("Thermal expansion of the oil", "beta = 0.6278/rho_15", expansion_of(given),
              quantity="thermal_expansion", source=oil_density.lubricant_expansion)  # fmt: skip
    dense, kinematic = _density_and_viscosity(given, given["temperature"])
    work.step("Density", "rho = rho_15*exp(-beta*(T - 288.15)*(1 + 0.8*beta*(T - 288.15)))", dense,
              quantity="density", source=oil_density.density)  # fmt: skip
    work.let("nu", kinematic, quantity="kinematic_viscosity", unit="mm²/s")
    warm = oil_at(given, given["temperature"])
    work.step("Dynamic viscosity, with ν from the viscosity line", "mu = nu*rho", warm.dynamic_viscosity,
              quantity="dynamic_viscosity", unit="mPa·s", source=oil.dynamic_viscosity)  # fmt: skip
    return warm


def record_gas(given: Given, work: Working) -> float:
    """Record the gas pressure at the rod travel and the oil temperature, and return it."""
    grown = given["oil_volume"] * expansion_of(given) * (given["temperature"] - gas.T_REFERENCE)
    work.step("Gas volume, extended, warm", "V_T = V_0 - V_oil*beta*(T - 293.15)", given["gas_volume"] - grown,
              quantity="volume", unit="cm³", source=gas.charge_state)  # fmt: skip
    return work.step(
        "Gas pressure at this rod travel, absolute",
        "p_g = (p_0 + 101325)*T/293.15*V_0/V_T*(V_T/(V_T - A_r*x))**n",
        gas_at(given, given["temperature"]),
        quantity="pressure_absolute", unit="bar", source=gas.charge_state,
    )  # fmt: skip


def record_point(
    work: Working, damper: Damper, point: OperatingPoint, warm: Oil, speed: str
) -> None:
    """Record how one steady speed closes: flows, drops, chamber pressures and force.

    `speed` is the symbol of the rod's speed without sign. The pressure drops are what
    the solver found; the steps show that they carry the flow and make the force. The
    results are F_c, p_head_c, p_rod_c … in compression, with r in rebound. Needs the
    steps of record_damper, record_oil and record_gas.
    """
    inward = point.velocity > 0.0
    mark, words = ("c", "compression") if inward else ("r", "rebound")
    source = network.operating_point
    flow = work.step(f"Flow through the piston, {words}", f"Q_{mark} = A_a*{speed}", abs(point.piston_flow),
                     quantity="volume_flow", unit="L/min", source=source)  # fmt: skip
    work.let(f"DeltaP_{mark}", abs(point.piston_drop), quantity="pressure_difference", unit="bar")
    valve = damper.piston.compression if inward else damper.piston.rebound
    _record_flows(work, valve, flow, warm, mark, words)
    plus, minus = ("+", "-") if inward else ("-", "+")
    behind = ""
    if damper.reserve is not None:
        work.step(f"Flow of the displaced oil, {words}", f"Q_f_{mark} = A_r*{speed}", abs(point.reserve_flow),
                  quantity="volume_flow", unit="L/min", source=source)  # fmt: skip
        work.let(
            f"DeltaP_f_{mark}", abs(point.reserve_drop), quantity="pressure_difference", unit="bar"
        )
        behind = f" {plus} DeltaP_f_{mark}"
    work.step(f"Head-side pressure, {words}", f"p_head_{mark} = p_g{behind}", point.pressure_head,
              quantity="pressure_absolute", unit="bar", source=source)  # fmt: skip
    work.step(f"Rod-side pressure, {words}", f"p_rod_{mark} = p_head_{mark} {minus} DeltaP_{mark}",
              point.pressure_rod, quantity="pressure_absolute", unit="bar", source=source)  # fmt: skip
    also = f" + DeltaP_f_{mark}*A_r" if damper.reserve is not None else ""
    work.step(f"Damping force, {words}: valves and friction", f"F_{mark} = DeltaP_{mark}*A_a{also} + F_s",
              damping(point), quantity="force", source=source)  # fmt: skip


def damping(point: OperatingPoint) -> float:
    """Return the force of valves and friction against the movement, without the gas."""
    force = point.force - point.gas_force
    return force if point.velocity > 0.0 else -force


def _record_flows(
    work: Working, valve: Valve, flow: float, warm: Oil, mark: str, words: str
) -> None:
    """Record how the flow parts between bleed, gap and disc at the drop that was found."""
    state = valve_state(valve=valve, flow=flow, oil=warm)
    source = valve_pressure_drop
    if state.bleed_flow > 0.0 and valve.bleed_area > 0.0:
        work.step(f"Bleed area, {words}", f"A_b_{mark} = N_b_{mark}*pi*d_b_{mark}**2/4", valve.bleed_area,
                  quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
        work.let(f"Q_b_{mark}", state.bleed_flow, quantity="volume_flow", unit="L/min")
        work.step(
            f"Drop that drives the bleed flow, {words}",
            f"DeltaP_b_{mark} = rho*Q_b_{mark}**2/(2*C_d**2*A_b_{mark}**2) + mu*Q_b_{mark}/(0.08*A_b_{mark}*d_b_{mark})",
            state.pressure_drop, quantity="pressure_difference", unit="bar", source=source,
        )  # fmt: skip
    else:
        work.let(f"Q_b_{mark}", 0.0, quantity="volume_flow", unit="L/min")
    if valve.leak > 0.0:
        work.step(f"Flow through the gap, {words}", f"Q_h_{mark} = G*DeltaP_{mark}/mu", state.leak_flow,
                  quantity="volume_flow", unit="L/min", source=leak.laminar_flow)  # fmt: skip
    else:
        work.let(f"Q_h_{mark}", 0.0, quantity="volume_flow", unit="L/min")
    if state.disc_flow <= 0.0:
        return
    work.step(f"Rest, through ports and disc, {words}", f"Q_d_{mark} = Q_{mark} - Q_b_{mark} - Q_h_{mark}",
              state.disc_flow, quantity="volume_flow", unit="L/min", source=source)  # fmt: skip
    work.step(f"Port area, {words}", f"A_p_{mark} = N_p_{mark}*pi*d_p_{mark}**2/4", valve.port_area,
              quantity="area", unit="mm²", source=area.circle_area)  # fmt: skip
    work.step(
        f"Drop of the ports, {words}",
        f"DeltaP_p_{mark} = rho*Q_d_{mark}**2/(2*C_d**2*A_p_{mark}**2) + mu*Q_d_{mark}/(0.08*A_p_{mark}*d_p_{mark})",
        state.port_drop, quantity="pressure_difference", unit="bar", source=source,
    )  # fmt: skip
    work.step(f"Drop left for the disc, {words}", f"DeltaP_o_{mark} = DeltaP_{mark} - DeltaP_p_{mark}",
              state.disc_drop, quantity="pressure_difference", unit="bar", source=source)  # fmt: skip
    work.step(
        f"Lift of the disc, {words}",
        f"y_{mark} = min(kappa_{mark}*max(0, DeltaP_o_{mark} - p_k_{mark}), y_m_{mark})",
        state.lift, quantity="length", unit="mm", source=source,
    )  # fmt: skip
