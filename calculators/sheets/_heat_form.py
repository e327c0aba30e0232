"""What the heat sheet asks for and what it answers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from calculators.sheet import Choice, Input, Option, Output
from calculators.sheets._gas import ROD
from calculators.sheets._ride_form import DAMPER
from calculators.sheets._valving import BODY, OIL, PISTON, RESERVE

if TYPE_CHECKING:
    from calculators.sheet import Field

__all__ = ["INPUTS", "OUTPUTS"]

_MOTION, _FORCE, _BODY, _TWIN = "Motion", "Force", "Damper", "Twin-tube, or the one to compare with"
_RESERVOIR, _AIR, _OIL = "Reservoir", "Surroundings and limit", "Oil"
_SINE, _RMS, _POWER = (
    (("motion", (key,)),) for key in ("corrugation", "rms", "power")
)  # fmt: skip
_SPEED = (("motion", ("corrugation", "rms")),)
_SHARE, _VALVES = ((("fade_by", (key,)),) for key in ("share", "valves"))
_ONE, _TABLE = ((*_SHARE, *_SPEED, ("force_by", (key,))) for key in ("one", "table"))
_FOOT = (*_VALVES, ("foot", ("foot",)))
_MONO = (("construction", ("monotube",)),)
_WITH = (*_MONO, ("reservoir", ("finned", "plain")))
_FINNED = (*_MONO, ("reservoir", ("finned",)))
_STROKE = (*_WITH, ("motion", ("rms", "power")))
# the damper of the force-velocity sheet, its construction asked for in a shorter form; h is
# the heat transfer here
_HYDRAULICS: tuple[Field, ...] = (
    *(
        replace(item, when=_VALVES, symbol={"h": "h_g"}.get(item.symbol, item.symbol))
        for item in BODY if isinstance(item, Input)
    ),
    *(replace(item, when=_VALVES) for item in PISTON),
    Choice(
        name="foot", label="Foot or reservoir valve",
        options=(Option("open", "none: an open way to the gas"), Option("foot", "with a valve")),
        help="Whether the oil that the rod displaces goes through a valve of its own.",
        group="Foot or reservoir valve", when=_VALVES,
    ),
    *(replace(item, when=_FOOT) for item in RESERVE),
)  # fmt: skip

INPUTS: tuple[Field, ...] = (
    Choice(
        name="motion", label="Heat given by",
        options=(
            Option("corrugation", "corrugations: a sine"),
            Option("rms", "root mean square of the rod speed"),
            Option("power", "mean power"),
        ),
        help="A sine for corrugations; the root mean square from a logger or a simulation; the power from a bench.",
        group=_MOTION,
    ),
    Input(
        name="wavelength", label="Wavelength of the corrugations", symbol="lambda_w", quantity="length", unit="m",
        default=0.75, minimum=0.1, maximum=50.0, group=_MOTION, when=_SINE,
        reason="From crest to crest; corrugations have 0.5 to 1 m (common practice).",
        help="From crest to crest; measure over ten waves.",
    ),
    Input(
        name="wheel_amplitude", label="Amplitude of the wheel", symbol="X_w", quantity="length", unit="mm",
        default=0.003_3, minimum=0.000_1, maximum=0.05, group=_MOTION, when=_SINE,
        reason="Half of the travel from end to end, wheel against body.",
        help="Of the wheel against the body. At speed it is far less than the road's: the tyre takes a part, and the wheel skips.",
    ),
    Input(
        name="vehicle_speed", label="Speed of the vehicle", symbol="V", quantity="velocity", unit="km/h",
        default=40.0 / 3.6, minimum=0.3, maximum=50.0, group=_MOTION, when=_SINE,
        reason="From walking pace up.",
        help="Over the corrugations.",
    ),
    Input(
        name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio", unit="1",
        default=0.75, minimum=0.1, maximum=2.0, group=_MOTION, when=_SINE,
        reason="Damper travel for each unit of wheel travel.",
        help="Damper travel over wheel travel, lean included; critical damping works it out.",
    ),
    Input(
        name="velocity_rms", label="Root mean square of the rod speed", symbol="v_rms", quantity="velocity", unit="m/s",
        default=0.15, minimum=0.001, maximum=1.5, group=_MOTION, when=_RMS,
        reason="At the damper; rough road gives 0.05 to 0.3 m/s (common practice).",
        help="At the damper, over the stretch of road in question.",
    ),
    Input(
        name="power_given", label="Mean power", symbol="P_n", quantity="power", unit="W",
        default=130.0, minimum=0.1, maximum=20_000.0, group=_MOTION, when=_POWER,
        reason="A damper that takes more than a few hundred watts for long boils its seals.",
        help="Mean of force × rod speed with the oil at its normal temperature; the ride calculator gives it.",
    ),
    Choice(
        name="fade_by", label="Fade worked out from",
        options=(
            Option("share", "one viscous share"),
            Option("valves", "the valves, at each temperature"),
        ),
        help="The share is one number for all speeds. The valves give the force at each oil temperature, as in the force-velocity calculator.",
        group=_FORCE,
    ),
    Choice(
        name="force_by", label="Force given by",
        options=(Option("one", "one force at one speed"), Option("table", "table of forces")),
        help="One force stands for a straight curve; a table brings its own.",
        group=_FORCE, when=(*_SHARE, *_SPEED),
    ),
    replace(
        DAMPER, group=_FORCE, when=_TABLE,
        help="One speed a row, at the normal temperature: rod speed, compression, rebound, without gas force.",
    ),
    Input(
        name="speed", label="Speed of the comparison", symbol="v", quantity="velocity", unit="m/s",
        default=0.26, minimum=0.01, maximum=3.0, group=_FORCE, when=_SPEED,
        reason="One of the speeds of the bench.",
        help="Rod speed at which the force is stated, near the speeds of the road.",
    ),
    Input(
        name="force_normal", label="Force at this speed, normal", symbol="F_n", quantity="force", unit="N",
        default=1_600.0, minimum=10.0, maximum=50_000.0, group=_FORCE, when=_ONE,
        reason="Mean of compression and rebound, gas left out.",
        help="Mean of compression and rebound at the normal temperature, gas left out.",
    ),
    Input(
        name="viscous_share", label="Viscous share of the force", symbol="s_v", quantity="percent", unit="%",
        default=0.10, minimum=0.0, maximum=1.0, group=_FORCE, when=_SHARE,
        reason="From nothing, all edges and discs, to all of it, a narrow gap alone.",
        help="Part of the normal force that follows viscosity. From two runs: force lost over viscosity lost, both as shares.",
    ),
    Input(
        name="temperature_normal", label="Normal temperature", symbol="T_n", quantity="temperature", unit="°C",
        default=313.15, minimum=273.15, maximum=353.15, group=_FORCE,
        reason="Of the oil when the force was taken; benches call for 20 to 40 °C.",
        help="Of the oil when force or power was taken.",
    ),
    *_HYDRAULICS,
    *(replace(item, group=_OIL) for item in OIL[:3]),
    Input(
        name="oil_volume", label="Oil volume", symbol="V_oil", quantity="volume", unit="cm³",
        default=400e-6, minimum=30e-6, maximum=10e-3, group=_OIL,
        reason="A damper without oil has nothing to warm.",
        help="All the oil in the damper; it stores the heat of the first minutes.",
    ),
    Choice(
        name="construction", label="Construction",
        options=(Option("monotube", "monotube"), Option("twin-tube", "twin-tube")),
        help="In a twin-tube the heat has to cross the reserve space; the other one is shown for comparison.",
        group=_BODY,
    ),
    Input(
        name="body_diameter", label="Outside diameter of the body", symbol="D_b", quantity="length", unit="mm",
        default=0.050, minimum=0.025, maximum=0.200, group=_BODY,
        reason="Of the tube that meets the air.",
        help="Of the tube that meets the air.",
    ),
    Input(
        name="body_length", label="Length of the body", symbol="L_b", quantity="length", unit="mm",
        default=0.35, minimum=0.08, maximum=1.5, group=_BODY,
        reason="What the air reaches; a guard over the tube takes its part away.",
        help="Length of the tube that the air reaches.",
    ),
    Input(
        name="wall", label="Wall of the tubes", symbol="t_w", quantity="length", unit="mm",
        default=0.002, minimum=0.000_8, maximum=0.008, group=_BODY,
        reason="Steel tubes of dampers have 1 to 4 mm.",
        help="Of the body, and of a twin-tube's working tube; steel.",
    ),
    Input(
        name="emissivity", label="Emissivity of the surface", symbol="epsilon", quantity="ratio", unit="1",
        default=0.9, minimum=0.02, maximum=1.0, group=_BODY,
        reason="Paint of any colour and dirt near 0.9, bright metal 0.1 to 0.3 (common practice).",
        help="0.9 for paint of any colour and for dirt; 0.1 to 0.3 for bright metal.",
    ),
    Choice(
        name="position", label="Position",
        options=(Option("upright", "nearer to upright"), Option("lying", "nearer to level")),
        help="In still air warm air rises differently along an upright and round a lying tube.",
        group=_BODY,
    ),
    Input(
        name="working_diameter", label="Bore of the working tube", symbol="D_w", quantity="length", unit="mm",
        default=0.030, minimum=0.012, maximum=0.180, group=_TWIN,
        reason="With both walls it must leave a reserve space inside the body.",
        help="Of a twin-tube in the same body. A monotube's bore is the body less its walls.",
    ),
    Input(
        name="reserve_share", label="Share of the reserve that is oil", symbol="s_o", quantity="percent", unit="%",
        default=0.6, minimum=0.0, maximum=1.0, group=_TWIN,
        reason="The rest is gas, which hardly lets heat pass.",
        help="Part of the reserve's length that stands in oil, at half stroke.",
    ),
    Choice(
        name="reservoir", label="Reservoir",
        options=(Option("none", "none"), Option("finned", "with fins"), Option("plain", "plain")),
        help="A separate cylinder of aluminium that takes the displaced oil.",
        group=_RESERVOIR, when=_MONO,
    ),
    Input(
        name="reservoir_diameter", label="Outside diameter of the reservoir", symbol="D_f", quantity="length", unit="mm",
        default=0.050, minimum=0.030, maximum=0.150, group=_RESERVOIR, when=_WITH,
        reason="Between the fins, if there are any.",
        help="Between the fins, if there are any.",
    ),
    Input(
        name="reservoir_length", label="Length of the reservoir", symbol="L_f", quantity="length", unit="mm",
        default=0.16, minimum=0.06, maximum=0.6, group=_RESERVOIR, when=_WITH,
        reason="What the air reaches.",
        help="What the air reaches; fins over the whole length.",
    ),
    Input(
        name="reservoir_wall", label="Wall of the reservoir", symbol="t_f", quantity="length", unit="mm",
        default=0.003, minimum=0.002, maximum=0.010, group=_RESERVOIR, when=_WITH,
        reason="Aluminium tubes have 2 to 5 mm.",
        help="Under the fins; aluminium.",
    ),
    Input(
        name="fin_count", label="Number of fins", symbol="N_f", quantity="count", unit="1",
        default=16.0, minimum=1.0, maximum=100.0, group=_RESERVOIR, when=_FINNED,
        reason="Gaps below about 6 mm choke in still air (common practice).",
        help="Round fins over the length of the reservoir.",
    ),
    Input(
        name="fin_diameter", label="Outside diameter of the fins", symbol="D_t", quantity="length", unit="mm",
        default=0.074, minimum=0.031, maximum=0.250, group=_RESERVOIR, when=_FINNED,
        reason="Larger than the reservoir.",
        help="Over the tips.",
    ),
    Input(
        name="fin_thickness", label="Thickness of a fin", symbol="t_n", quantity="length", unit="mm",
        default=0.002, minimum=0.000_5, maximum=0.006, group=_RESERVOIR, when=_FINNED,
        reason="All fins together must leave gaps on the length.",
        help="Of one fin; aluminium.",
    ),
    replace(ROD, name="rod_diameter_reservoir", group=_RESERVOIR, when=(*_WITH, *_SHARE)),
    Input(
        name="hose_volume", label="Volume of hose and passage", symbol="V_h", quantity="volume", unit="cm³",
        default=0.5e-6, minimum=0.0, maximum=200e-6, group=_RESERVOIR, when=_WITH,
        reason="What only moves in the hose brings no heat.",
        help="Oil between damper and reservoir; a reservoir on the body has almost none.",
    ),
    Input(
        name="stroke", label="Stroke, end to end", symbol="s_x", quantity="length", unit="mm",
        default=0.010, minimum=0.0, maximum=0.3, group=_RESERVOIR, when=_STROKE,
        reason="Of the rod in the motion that makes the heat.",
        help="Mean rod travel from end to end in the motion that makes the heat.",
    ),
    Input(
        name="frequency_given", label="Frequency", symbol="f", quantity="frequency", unit="Hz",
        default=10.0, minimum=0.0, maximum=30.0, group=_RESERVOIR, when=_STROKE,
        reason="Strokes in and out in a second.",
        help="How often the rod goes in and out in a second.",
    ),
    Input(
        name="air_temperature", label="Air temperature", symbol="T_a", quantity="temperature", unit="°C",
        default=318.15, minimum=233.15, maximum=333.15, group=_AIR,
        reason="Under a vehicle on a hot road it is warmer than the forecast.",
        help="Near the damper; all is at this temperature at the start.",
    ),
    Input(
        name="air_speed", label="Air speed at the damper", symbol="w", quantity="velocity", unit="m/s",
        default=4.0, minimum=0.0, maximum=40.0, group=_AIR,
        reason="Behind a wheel often a third of the driving speed (common practice).",
        help="Of the air that really reaches the tube; 0 is still air.",
    ),
    Input(
        name="sunlight", label="Sunlight on the damper", symbol="G_s", quantity="heat_flux", unit="W/m²",
        default=0.0, minimum=0.0, maximum=1_400.0, group=_AIR,
        reason="In the shade 0; full sun at most 1 000 to 1 100 on the ground (common practice).",
        help="0 in the shade; a damper beside the frame may stand in full sun.",
    ),
    Input(
        name="limit_temperature", label="Limit of seals and oil", symbol="T_l", quantity="temperature", unit="°C",
        default=393.15, minimum=333.15, maximum=423.15, group=_AIR,
        reason="Nitrile seals end near 100 to 120 °C, fluorocarbon near 200 °C (common practice); the oil tables end at 150 °C.",
        help="Highest oil temperature that the seal's maker allows for long; 120 °C is common practice for heat-resistant nitrile.",
    ),
)  # fmt: skip

OUTPUTS = (
    Output(name="oil_temperature", label="Oil temperature, settled", symbol="T_o", quantity="temperature", unit="°C",
           headline=True, meaning="Where it ends if the road goes on; heat and force agree there. None above 300 °C."),
    Output(name="time_earliest", label="Time to the limit, at the earliest", symbol="t_1", quantity="time", unit="min",
           headline=True, meaning="From a start at air temperature, with the full power of the start; none if the limit is not reached."),
    Output(name="force_loss", label="Force lost when hot", symbol="S_F", quantity="percent", unit="%",
           headline=True, meaning="Against the normal temperature, at the same rod speed; negative is a gain."),
    Output(name="body_temperature", label="Outside of the body", symbol="T_b", quantity="temperature", unit="°C",
           meaning="What a hand would touch: do not."),
    Output(name="reservoir_temperature", label="Outside of the reservoir", symbol="T_r", quantity="temperature", unit="°C",
           meaning="At the root of the fins."),
    Output(name="power_start", label="Power at the start", symbol="P_s", quantity="power", unit="W",
           meaning="While the oil is still at air temperature."),
    Output(name="power_settled", label="Power when settled", symbol="P_h", quantity="power", unit="W",
           meaning="What the hot damper takes in, and gives off less what the sun adds."),
    Output(name="force_hot", label="Force when hot", symbol="F_h", quantity="force", unit="N",
           meaning="At the speed of the comparison, mean of both directions, gas left out."),
    Output(name="convected", label="To the air, from the body", symbol="Q_c", quantity="power", unit="W",
           meaning="Convection by wind and rising warm air."),
    Output(name="radiated", label="By radiation, from the body", symbol="Q_r", quantity="power", unit="W",
           meaning="To the surroundings, taken at air temperature."),
    Output(name="sun", label="Sun on the body", symbol="Q_s", quantity="power", unit="W",
           meaning="Comes on top of what the damper itself makes."),
    Output(name="reservoir_heat", label="Through the reservoir", symbol="Q_f", quantity="power", unit="W",
           meaning="What the reservoir gives off, the sun on it counted."),
    Output(name="coefficient", label="Heat transfer to the air", symbol="h", quantity="heat_transfer_coefficient", unit="W/(m²·K)",
           meaning="Of the body; still air gives 5 to 10, wind 20 to 100."),
    Output(name="time_latest", label="Time to the limit, at the latest", symbol="t_2", quantity="time", unit="min",
           meaning="The same with the settled power all the time; the truth lies between."),
    Output(name="time_constant", label="Time constant", symbol="tau", quantity="time", unit="min",
           meaning="After one of these 63 % of the rise has come, after three 95 %, about."),
    Output(name="other_temperature", label="Oil temperature of the other construction", symbol="T_x", quantity="temperature", unit="°C",
           meaning="Twin-tube instead of monotube, or the reverse, with the same outside, oil and road, without reservoir."),
)  # fmt: skip
