"""Lag: what bushes, bracket and the give of the oil take from a damper in fast motion."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import area, bench, corner, maxwell
from calculators.sheet import Choice, Input, Level, Measure, Option, Output, Sheet

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_DAMPER, _SERIES, _OIL, _MOTION = "Damper", "Mounting", "Oil under pressure", "Motion"
_ROAD, _BENCH = (("motion", ("road",)),), (("motion", ("bench",)),)

_INPUTS = (
    Input(
        name="damping", label="Damping coefficient", symbol="c", quantity="damping", unit="N·s/m",
        default=7_600.0, minimum=50.0, maximum=200_000.0, group=_DAMPER,
        reason="Force over velocity at the damper; 1 000 to 20 000 N·s/m is usual.",
        help="Slope of the force-velocity curve at the damper; critical damping gives the target.",
    ),
    Input(
        name="upper_bush", label="Stiffness of the upper bush", symbol="K_u", quantity="stiffness",
        unit="kN/m",
        default=5e6, minimum=1e4, maximum=1e10, optional=True, group=_SERIES,
        reason="Along the damper; rubber eyes have 1 000 to 10 000 kN/m (common practice).",
        help="Along the damper's axis, near its working force; empty for a spherical bearing.",
    ),
    Input(
        name="lower_bush", label="Stiffness of the lower bush", symbol="K_l", quantity="stiffness",
        unit="kN/m",
        default=5e6, minimum=1e4, maximum=1e10, optional=True, group=_SERIES,
        reason="Along the damper; rubber eyes have 1 000 to 10 000 kN/m (common practice).",
        help="Along the damper's axis, near its working force; empty for a spherical bearing.",
    ),
    Input(
        name="bracket", label="Stiffness of the brackets", symbol="K_b", quantity="stiffness",
        unit="kN/m",
        default=2e7, minimum=1e4, maximum=1e10, optional=True, group=_SERIES,
        reason="Both ends together, along the damper; thin sheet gives more than one expects.",
        help="Both ends together, along the damper, from a calculation or a trial; empty if rigid.",
    ),
    Input(
        name="oil_column", label="Length of the oil column", symbol="L", quantity="length",
        unit="mm",
        default=0.120, minimum=0.002, maximum=2.0, optional=True, group=_OIL,
        reason="Of the chamber that is squeezed; empty leaves the oil rigid.",
        help="From the piston to the end of the chamber that is squeezed; empty leaves the oil "
             "rigid.",
    ),
    Input(
        name="piston_diameter", label="Piston diameter", symbol="D", quantity="length", unit="mm",
        default=0.046, minimum=0.010, maximum=0.200, group=_OIL,
        reason="Bore of the working tube.",
        help="Bore in which the piston runs.",
    ),
    Input(
        name="bulk_modulus", label="Bulk modulus of the oil with its gas", symbol="beta",
        quantity="stress", unit="MPa",
        default=1.4e9, minimum=5e6, maximum=4e9, group=_OIL,
        reason="Clean oil has about 1 400 MPa; with gas bubbles it has a fraction of that.",
        help="Clean mineral oil about 1 400 MPa (common practice); gas bubbles lower it steeply.",
    ),
    Choice(
        name="motion", label="Motion given as",
        options=(Option("road", "speed on corrugations"), Option("bench", "frequency")),
        help="Corrugations shake at speed over wavelength; a bench at the frequency that is set.",
        group=_MOTION,
    ),
    Input(
        name="speed", label="Speed of the vehicle", symbol="V", quantity="velocity", unit="km/h",
        default=50.0 / 3.6, minimum=0.3, maximum=70.0, when=_ROAD, group=_MOTION,
        reason="From walking pace up.",
        help="Over the corrugations.",
    ),
    Input(
        name="wavelength", label="Wavelength of the corrugations", symbol="lambda_w",
        quantity="length", unit="m",
        default=0.75, minimum=0.1, maximum=50.0, when=_ROAD, group=_MOTION,
        reason="From crest to crest; corrugations have 0.5 to 1 m.",
        help="From crest to crest; measure over ten waves.",
    ),
    Input(
        name="frequency_given", label="Frequency", symbol="f_b", quantity="frequency", unit="Hz",
        default=12.0, minimum=0.01, maximum=200.0, when=_BENCH, group=_MOTION,
        reason="Cycles in a second.",
        help="Of the bench, or of the wheel: wheel hop is near 10 to 15 Hz.",
    ),
    Input(
        name="amplitude", label="Amplitude at the damper", symbol="X", quantity="length", unit="mm",
        default=0.006, minimum=0.02e-3, maximum=0.5, group=_MOTION,
        reason="Half of the whole travel between the damper's ends.",
        help="Half of the travel from crest to trough, between the damper's two ends.",
    ),
    Input(
        name="force_share", label="Share of the force that counts", symbol="q", quantity="percent",
        unit="%",
        default=0.9, minimum=0.0, maximum=0.999, group=_MOTION,
        reason="The force never quite reaches 100 %.",
        help="Lost stroke is counted until the force has reached this share of its steady value.",
    ),
)  # fmt: skip

_OUTPUTS = (
    Output(name="phase", label="Lag of the force", symbol="phi", quantity="angle", unit="°",
           headline=True,
           meaning="How far the force runs behind the velocity; 90° would be a spring and no "
                   "damper."),
    Output(name="damping_share", label="Effective share of the damping", symbol="S_c",
           quantity="percent", unit="%",
           headline=True, meaning="What is left of the coefficient in this motion."),
    Output(name="lost_stroke", label="Lost stroke", symbol="s_l", quantity="length", unit="mm",
           headline=True,
           meaning="Travel after a sudden reversal until the force has grown to the share that "
                   "counts."),
    Output(name="effective_damping", label="Effective damping", symbol="c_e", quantity="damping",
           unit="N·s/m",
           meaning="The part of the force in step with the velocity, over the velocity: the part "
                   "that takes energy out."),
    Output(name="lost_force", label="Lost share of the peak force", symbol="S_F",
           quantity="percent", unit="%",
           meaning="Missing against the same damper in a rigid mounting."),
    Output(name="time_constant", label="Time constant", symbol="tau", quantity="time", unit="ms",
           meaning="After a change of speed 63 % of the force has come after one of these, 95 % "
                   "after three."),
    Output(name="frequency", label="Frequency", symbol="f", quantity="frequency", unit="Hz",
           meaning="Of the motion between the damper's ends."),
    Output(name="stiffness", label="Stiffness in series", symbol="K", quantity="stiffness",
           unit="kN/m",
           meaning="Bushes, brackets and oil together."),
    Output(name="turning_travel", label="Travel until the force turns", symbol="s_0",
           quantity="length", unit="mm",
           meaning="In the sine: so far the ends have come back before the force changes its "
                   "direction."),
    Output(name="lost_stroke_share", label="Lost stroke over the whole travel", symbol="S_l",
           quantity="percent",
           unit="%", meaning="At 100 % the force has not come before the motion turns again."),
    Output(name="peak_velocity", label="Peak velocity", symbol="v", quantity="velocity", unit="m/s",
           meaning="Of the sine between the damper's ends."),
    Output(name="storage_stiffness", label="Spring that the damper becomes", symbol="K_s",
           quantity="stiffness",
           unit="kN/m", meaning="The part of the force in step with the displacement, over the "
                                "displacement."),
)  # fmt: skip

_PARTS = {
    "upper_bush": ("K_u", "the upper bush"),
    "lower_bush": ("K_l", "the lower bush"),
    "bracket": ("K_b", "the brackets"),
    "oil": ("K_o", "the oil"),
}


def _oil(given: Given, work: Working) -> float | None:
    """Return the stiffness of the oil column, if there is one."""
    column = given.optional("oil_column")
    if column is None:
        return None
    section = work.step(
        "Piston area",
        "A = pi*D**2/4",
        area.circle_area(diameter=given["piston_diameter"]),
        quantity="area",
        unit="mm²",
        source=area.circle_area,
    )
    return work.step(
        "Stiffness of the oil column",
        "K_o = beta*A**2/(A*L)",
        maxwell.oil_spring_stiffness(
            bulk_modulus=given["bulk_modulus"], area=section, volume=section * column
        ),
        quantity="stiffness",
        unit="kN/m",
        source=maxwell.oil_spring_stiffness,
    )


def _series(given: Given, work: Working) -> tuple[float, dict[str, float]]:
    """Return the stiffness of all that gives, and each part's share of the give."""
    parts = {name: given.optional(name) for name in ("upper_bush", "lower_bush", "bracket")}
    parts["oil"] = _oil(given, work)
    known = {name: stiffness for name, stiffness in parts.items() if stiffness is not None}
    if not known:
        message = (
            "Nothing gives: enter the stiffness of a bush or the brackets, or the oil column. A "
            "rigid damper has no lag."
        )
        raise ConflictError(message, inputs=("upper_bush", "oil_column"))
    first, *others = known.values()
    total = first
    for stiffness in others:
        total = corner.ride_rate(wheel_rate=total, tyre_rate=stiffness)
    formula = " + ".join(f"1/{_PARTS[name][0]}" for name in known)
    work.step(
        "Stiffness in series: what each part gives adds up",
        f"K = 1/({formula})",
        total,
        quantity="stiffness",
        unit="kN/m",
        source=corner.ride_rate,
    )
    return total, {name: total / stiffness for name, stiffness in known.items()}


def _frequency(given: Given, work: Working) -> float:
    if given.choice("motion") == "bench":
        return work.let("f", given["frequency_given"], quantity="frequency")
    return work.step(
        "Frequency on the corrugations",
        "f = V/lambda_w",
        given["speed"] / given["wavelength"],
        quantity="frequency",
        source=bench.corrugation,
    )


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    damping, amplitude = given["damping"], given["amplitude"]
    stiffness, shares = _series(given, work)
    frequency = _frequency(given, work)
    pair = {"stiffness": stiffness, "damping": damping}
    at = {"frequency": frequency, **pair}
    tau = work.step(
        "Time constant",
        "tau = c/K",
        maxwell.time_constant(**pair),
        quantity="time",
        unit="ms",
        source=maxwell.time_constant,
    )
    phase = work.step(
        "Lag of the force behind the velocity",
        "phi = atan(2*pi*f*c/K)",
        maxwell.force_phase(**at),
        quantity="angle",
        unit="°",
        source=maxwell.force_phase,
    )
    effective = work.step(
        "Effective damping",
        "c_e = c/(1 + (2*pi*f*c/K)**2)",
        maxwell.effective_damping(**at),
        quantity="damping",
        source=maxwell.effective_damping,
    )
    share = work.step(
        "Effective share of the damping",
        "S_c = c_e/c",
        effective / damping,
        quantity="percent",
        unit="%",
        source=maxwell.effective_damping,
    )
    lost = work.step(
        "Lost share of the peak force: 1 − cos φ",
        "S_F = 2*sin(phi/2)**2",
        maxwell.lost_force_share(**at),
        quantity="percent",
        unit="%",
        source=maxwell.lost_force_share,
    )
    turning = work.step(
        "Travel until the force turns",
        "s_0 = X*S_F",
        amplitude * lost,
        quantity="length",
        unit="mm",
        source=maxwell.lost_force_share,
    )
    velocity = work.step(
        "Peak velocity of the sine",
        "v = 2*pi*f*X",
        2.0 * pi * frequency * amplitude,
        quantity="velocity",
        source=bench.corrugation,
    )
    mean = work.step(
        "Mean speed between the reversals",
        "v_m = 4*f*X",
        4.0 * frequency * amplitude,
        quantity="velocity",
        source=maxwell.lost_stroke,
    )
    stroke = work.step(
        "Lost stroke after a sudden reversal at this speed",
        "s_l = v_m*tau*ln(2/(1 - q))",
        maxwell.lost_stroke(velocity=mean, force_share=given["force_share"], **pair),
        quantity="length",
        unit="mm",
        source=maxwell.lost_stroke,
    )
    of_travel = work.step(
        "Lost stroke over the whole travel",
        "S_l = s_l/(2*X)",
        stroke / (2.0 * amplitude),
        quantity="percent",
        unit="%",
        source=maxwell.lost_stroke,
    )
    spring = work.step(
        "Spring that the damper becomes",
        "K_s = K*(2*pi*f*c/K)**2/(1 + (2*pi*f*c/K)**2)",
        maxwell.storage_stiffness(**at),
        quantity="stiffness",
        unit="kN/m",
        source=maxwell.storage_stiffness,
    )
    _judge(work, phase, shares, stiffness / (2.0 * pi * damping))
    return {
        "phase": phase,
        "damping_share": share,
        "lost_stroke": stroke,
        "effective_damping": effective,
        "lost_force": lost,
        "time_constant": tau,
        "frequency": frequency,
        "stiffness": stiffness,
        "turning_travel": turning,
        "lost_stroke_share": of_travel,
        "peak_velocity": velocity,
        "storage_stiffness": spring,
    }


def _judge(
    work: Working, phase: float, shares: Mapping[str, float], corner_frequency: float
) -> None:
    softest = max(shares, key=lambda name: shares[name])
    words = {
        "share": Measure(shares[softest], "percent", "%"),
        "corner": Measure(corner_frequency, "frequency", "Hz"),
    }
    if phase > pi / 4.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "The force lags {phase}, more than 45°: above {corner} this damper works as a spring, "
            "and closing its valves further takes out less energy, not more. Stiffen what gives.",
            **words,
        )
    elif phase > pi / 9.0:
        work.finding(
            Level.LOOK_CLOSER,
            "The force lags {phase} and {damping_share} of the damping is left: the wheel is "
            "partly left to itself here (20° is our limit). Look at what gives most.",
            **words,
        )
    else:
        work.finding(
            Level.FINE,
            "The force lags {phase}; {damping_share} of the damping is left at {frequency}.",
            **words,
        )
    level = Level.FINE if phase <= pi / 9.0 else Level.LOOK_CLOSER
    work.finding(level, f"Most of the give, {{share}}, comes from {_PARTS[softest][1]}.", **words)


def _numbers(result: Result) -> tuple[float, float, float]:
    frequency, stiffness = (result.outputs[name] or 0.0 for name in ("frequency", "stiffness"))
    return frequency, stiffness, result.given["damping"]


def _span(result: Result) -> tuple[float, ...]:
    frequency, stiffness, damping = _numbers(result)
    top = max(2.0 * frequency, min(1.5 * stiffness / (2.0 * pi * damping), 4.0 * frequency))
    return grid(top / 80.0, top, 80)


def _draw_phase(result: Result) -> Drawing:
    frequency, stiffness, damping = _numbers(result)
    span = _span(result)
    lag = maxwell.response(frequencies=span, stiffness=stiffness, damping=damping).phase
    return Drawing(
        (Curve("lag", "accent", span, lag),),
        (Point("here", frequency, result.outputs["phase"] or 0.0),),
    )


def _draw_share(result: Result) -> Drawing:
    frequency, stiffness, damping = _numbers(result)
    span = _span(result)
    felt = maxwell.response(frequencies=span, stiffness=stiffness, damping=damping)
    shares = tuple(value / damping for value in felt.effective_damping)
    return Drawing(
        (
            Curve("damping that is left", "accent", span, shares),
            Curve("peak force that is lost", "stop", span, felt.lost_force_share),
        ),
        (
            Point("here", frequency, result.outputs["damping_share"] or 0.0),
            Point("here", frequency, result.outputs["lost_force"] or 0.0),
        ),
    )


def _draw_loop(result: Result) -> Drawing:
    frequency, _, damping = _numbers(result)
    amplitude, omega = result.given["amplitude"], 2.0 * pi * frequency
    felt, spring = (
        result.outputs[name] or 0.0 for name in ("effective_damping", "storage_stiffness")
    )
    turns = grid(0.0, 2.0 * pi, 121)
    travel = tuple(amplitude * sin(turn) for turn in turns)
    real = tuple(amplitude * (omega * felt * cos(turn) + spring * sin(turn)) for turn in turns)
    rigid = tuple(amplitude * omega * damping * cos(turn) for turn in turns)
    return Drawing(
        (Curve("as mounted", "accent", travel, real), Curve("rigid", "steel", travel, rigid))
    )


SHEET = Sheet(
    name="lag",
    title="Lag",
    question="How late is the force, and how much damping is left in fast, short motion?",
    page="calculate/lag.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="phase", title="Lag over the frequency",
            statement="The lag grows with the frequency, first in proportion, and never beyond a "
                      "quarter turn.",
            x=Axis("Frequency", "frequency", "Hz", like="frequency"),
            y=Axis("Lag of the force", "angle", "°", like="phase"), draw=_draw_phase,
        ),
        Chart(
            name="share", title="Effective damping and lost force over the frequency",
            statement="Slow motion meets the whole damper; the faster the motion, the more of it "
                      "the mounting takes up, and the more of the peak force is lost.",
            x=Axis("Frequency", "frequency", "Hz", like="frequency"),
            y=Axis("Share of the same damper in a rigid mounting", "percent", "%", like="damping_share"),
            draw=_draw_share,
        ),
        Chart(
            name="loop", title="Force over travel in one cycle",
            statement="In a rigid mounting the loop stands upright; as mounted it leans over like "
                      "a spring and encloses less, and what it encloses is the energy taken out.",
            x=Axis("Travel from the middle", "length", "mm", like="amplitude"),
            y=Axis("Force", "force", "N"), draw=_draw_loop,
        ),
    ),
    limits=(
        ("One straight-line spring in series with one straight-line damper: a real valve is stiffer "
        "at low force, and rubber stiffer in fast motion."),
        ("Gas bubbles make the oil soft at low pressure and stiff at high pressure; here it has one "
        "bulk modulus."),
        "A sine for lag and share; a sudden reversal at the mean speed for the lost stroke.",
        ("The mass of rod and tube between valve and bush is left out, and so is play, which comes "
        "on top."),
    ),
)  # fmt: skip
