"""Critical damping: what the corner of a vehicle asks of its damper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import corner, oscillator, settling, target
from calculators.sheet import Choice, Column, Input, Level, Measure, Option, Output, Sheet

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_AXLE = (("mass_given", ("axle",)),)
_CORNER = (("mass_given", ("corner",)),)
_VEHICLE, _SPRING, _TARGET = "Vehicle", "Spring, damper and tyre", "Target"

_INPUTS = (
    Choice(
        name="mass_given",
        label="Mass given as",
        options=(Option("axle", "mass on the axle"), Option("corner", "sprung mass at one wheel")),
        help="A weighbridge gives the mass on the axle; a drawing gives the sprung mass at one wheel.",
        group=_VEHICLE,
    ),
    Input(
        name="axle_mass", label="Mass on the axle, empty", symbol="m_a", quantity="mass", unit="kg",
        default=1_150.0, minimum=100.0, maximum=12_000.0, when=_AXLE, group=_VEHICLE,
        reason="Take the load on one axle, not the whole vehicle.",
        help="Load of one axle on level ground, from a weighbridge.",
    ),
    Input(
        name="axle_mass_loaded", label="Mass on the axle, loaded", symbol="m_al", quantity="mass", unit="kg",
        default=1_650.0, minimum=100.0, maximum=12_000.0, optional=True, when=_AXLE, group=_VEHICLE,
        reason="Take the load on one axle, not the whole vehicle.",
        help="The same at full load; leave empty if the load does not change.",
    ),
    Input(
        name="share", label="Share on this wheel", symbol="sigma", quantity="percent", unit="%",
        default=0.5, minimum=0.2, maximum=0.8, when=_AXLE, group=_VEHICLE,
        reason="Half and half is 50 %; far from it the load is lashed to one side.",
        help="How much of the axle load this wheel carries.",
    ),
    Input(
        name="unsprung_mass", label="Unsprung mass at this wheel", symbol="m_u", quantity="mass", unit="kg",
        default=65.0, minimum=3.0, maximum=500.0, when=_AXLE, group=_VEHICLE,
        reason="Count one wheel, not the axle.",
        help="Tyre, rim, brake, hub, half the axle or the arm's share.",
    ),
    Input(
        name="sprung_mass", label="Sprung mass, empty", symbol="m_s", quantity="mass", unit="kg",
        default=510.0, minimum=20.0, maximum=6_000.0, when=_CORNER, group=_VEHICLE,
        reason="Leave out wheel, hub and axle.",
        help="Body mass that this wheel carries.",
    ),
    Input(
        name="sprung_mass_loaded", label="Sprung mass, loaded", symbol="m_sl", quantity="mass", unit="kg",
        default=760.0, minimum=20.0, maximum=6_000.0, optional=True, when=_CORNER, group=_VEHICLE,
        reason="Leave out wheel, hub and axle.",
        help="The same at full load; leave empty if the load does not change.",
    ),
    Input(
        name="spring_rate", label="Spring rate", symbol="k_s", quantity="stiffness", unit="N/mm",
        default=120_000.0, minimum=1_000.0, maximum=2_000_000.0, group=_SPRING,
        reason="Give the rate of one spring at its own axis, near ride height.",
        help="Force per compression of one spring, along the spring.",
    ),
    Input(
        name="spring_motion_ratio", label="Motion ratio of the spring", symbol="MR_s", quantity="ratio", unit="1",
        default=0.75, minimum=0.05, maximum=2.0, group=_SPRING,
        reason="Spring travel divided by wheel travel; below 1 on most arms.",
        help="Spring travel / wheel travel near ride height.",
    ),
    Input(
        name="damper_lever_ratio", label="Lever ratio of the damper", symbol="r_d", quantity="ratio", unit="1",
        default=0.8, minimum=0.05, maximum=2.0, group=_SPRING,
        reason="Travel of the damper's moving mount divided by wheel travel.",
        help="Distance pivot to damper mount / distance pivot to wheel; 1 beside the wheel on a beam axle.",
    ),
    Input(
        name="damper_angle", label="Damper angle", symbol="theta", quantity="angle", unit="°",
        default=0.3490658503988659, minimum=0.0, maximum=1.2217304763960306, group=_SPRING,
        reason="Beyond 70° the damper hardly moves; move its mounts.",
        help="Between the damper's axis and the path of its moving mount, at ride height.",
    ),
    Input(
        name="tyre_rate", label="Tyre rate", symbol="k_t", quantity="stiffness", unit="N/mm",
        default=400_000.0, minimum=50_000.0, maximum=5_000_000.0, optional=True, group=_SPRING,
        reason="Radial rate of one tyre at its pressure; light truck tyres are near 200 to 600 N/mm.",
        help="Leave empty to leave the tyre out.",
    ),
    Input(
        name="damping_ratio", label="Target damping ratio", symbol="zeta", quantity="ratio", unit="1",
        default=0.3, minimum=0.02, maximum=1.5, group=_TARGET,
        reason="Vehicles stand between 0.2 and 0.4; 1 is critical.",
        help="Mean of compression and rebound, as a share of critical damping.",
    ),
    Choice(
        name="target_at", label="Target holds",
        options=(Option("loaded", "loaded"), Option("empty", "empty")),
        help="On a coil spring ζ falls with load: a target met loaded is exceeded when empty.",
        group=_TARGET,
    ),
    Input(
        name="split", label="Rebound over compression", symbol="S", quantity="ratio", unit="1",
        default=2.0, minimum=0.2, maximum=8.0, group=_TARGET,
        reason="Rebound coefficient divided by compression coefficient.",
        help="1 is even; 1.5 to 3 is customary, so that a bump is not passed on in full.",
    ),
    Input(
        name="knee_velocity", label="Knee velocity", symbol="v_k", quantity="velocity", unit="m/s",
        default=0.2, minimum=0.01, maximum=2.0, group=_TARGET,
        reason="Rod speed at which the valves are open.",
        help="Rod speed at which the target line bends.",
    ),
    Input(
        name="high_speed_ratio", label="Slope beyond the knee", symbol="r_h", quantity="ratio", unit="1",
        default=0.4, minimum=0.0, maximum=2.0, group=_TARGET,
        reason="Slope above the knee divided by slope below it; 1 is a straight line.",
        help="Below 1 the line flattens (digressive), above 1 it steepens (progressive).",
    ),
)  # fmt: skip

_OUTPUTS = (
    Output(name="critical_damping_damper", label="Critical damping at the damper", symbol="c_crd",
           quantity="damping", unit="N·s/m", headline=True,
           meaning="The coefficient of a damper here that would just keep the body from swinging."),
    Output(name="damping_needed_damper", label="Damping needed at the damper", symbol="c_d",
           quantity="damping", unit="N·s/m", headline=True,
           meaning="Mean of compression and rebound below the knee, for the target damping ratio."),
    Output(name="compression_damping", label="Compression side", symbol="c_c", quantity="damping", unit="N·s/m",
           meaning="Slope of the compression side below the knee."),
    Output(name="rebound_damping", label="Rebound side", symbol="c_r", quantity="damping", unit="N·s/m",
           meaning="Slope of the rebound side below the knee."),
    Output(name="critical_damping_wheel", label="Critical damping at the wheel", symbol="c_cr",
           quantity="damping", unit="N·s/m",
           meaning="The same yardstick at the wheel, at the load for which the target holds."),
    Output(name="wheel_rate", label="Wheel rate", symbol="k_w", quantity="stiffness", unit="N/mm",
           meaning="What the spring amounts to at the wheel."),
    Output(name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio", unit="1",
           meaning="Damper travel for each unit of wheel travel, lean included."),
    Output(name="body_frequency", label="Body frequency, empty", symbol="f_n", quantity="frequency", unit="Hz",
           headline=True, meaning="How often the body swings in a second, on a rigid tyre."),
    Output(name="body_frequency_loaded", label="Body frequency, loaded", symbol="f_nl", quantity="frequency",
           unit="Hz", meaning="The same at full load: slower, since the spring has not grown."),
    Output(name="body_frequency_tyre", label="Body frequency on the tyre, empty", symbol="f_r",
           quantity="frequency", unit="Hz", meaning="With the tyre in series with the spring."),
    Output(name="wheel_hop_frequency", label="Wheel-hop frequency", symbol="f_u", quantity="frequency", unit="Hz",
           meaning="Where the wheel itself swings between body and road."),
    Output(name="damping_ratio_empty", label="Damping ratio, empty", symbol="zeta_e", quantity="ratio", unit="1",
           meaning="What the chosen damper gives with the empty vehicle."),
    Output(name="damping_ratio_loaded", label="Damping ratio, loaded", symbol="zeta_l", quantity="ratio", unit="1",
           meaning="What the same damper gives at full load."),
    Output(name="overshoot", label="Overshoot at the target", symbol="M_p", quantity="percent", unit="%",
           meaning="How far the body swings past its rest position after a sudden change of load; a step in the road also drives the damper, and more comes through."),
    Output(name="settling_time", label="Settling time at the target", symbol="t_s", quantity="time", unit="s",
           meaning="When it last leaves a band of 2 % around its rest position."),
)  # fmt: skip

_COLUMNS = (
    Column("Rod speed", "v", "velocity", "m/s"),
    Column("Compression, damper", "F_c", "force", "N"),
    Column("Rebound, damper", "F_r", "force", "N"),
    Column("Wheel speed", "v_w", "velocity", "m/s"),
    Column("Compression, wheel", "F_cw", "force", "N"),
    Column("Rebound, wheel", "F_rw", "force", "N"),
)


def _sprung(
    work: Working, given: Given, mass: float, symbols: tuple[str, str, str], words: str
) -> float:
    axle, wheel, sprung = symbols
    at_wheel = work.step(
        f"Mass on this wheel, {words}", f"{wheel} = sigma*{axle}",
        corner.wheel_mass(axle_mass=mass, share=given["share"]),
        quantity="mass", source=corner.wheel_mass,
    )  # fmt: skip
    return work.step(
        f"Sprung mass, {words}", f"{sprung} = {wheel} - m_u",
        corner.sprung_mass(wheel_mass=at_wheel, unsprung_mass=given["unsprung_mass"]),
        quantity="mass", source=corner.sprung_mass,
    )  # fmt: skip


def _masses(given: Given, work: Working) -> tuple[float, float | None]:
    """Return the sprung masses, empty and loaded."""
    if given.choice("mass_given") == "corner":
        return given["sprung_mass"], given.optional("sprung_mass_loaded")
    empty = _sprung(work, given, given["axle_mass"], ("m_a", "m_w", "m_s"), "empty")
    axle_loaded = given.optional("axle_mass_loaded")
    if axle_loaded is None:
        return empty, None
    return empty, _sprung(work, given, axle_loaded, ("m_al", "m_wl", "m_sl"), "loaded")


def _target_mass(given: Given, empty: float, loaded: float | None) -> tuple[float, str]:
    if given.choice("target_at") == "empty":
        return empty, "m_s"
    if loaded is None:
        message = "The target is to hold loaded, but no loaded mass is given. Give it, or let the target hold empty."
        raise ConflictError(message, inputs=("target_at",))
    return loaded, "m_sl"


def _frequency(work: Working, words: str, formula: str, stiffness: float, mass: float) -> float:
    return work.step(
        words, formula, oscillator.natural_frequency(stiffness=stiffness, mass=mass),
        quantity="frequency", source=oscillator.natural_frequency,
    )  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    empty, loaded = _masses(given, work)
    mass, symbol = _target_mass(given, empty, loaded)
    zeta, split = given["damping_ratio"], given["split"]

    k_w = work.step(
        "Wheel rate", "k_w = k_s*MR_s**2",
        corner.wheel_rate(spring_rate=given["spring_rate"], motion_ratio=given["spring_motion_ratio"]),
        quantity="stiffness", unit="N/mm", source=corner.wheel_rate,
    )  # fmt: skip
    ratio = work.step(
        "Motion ratio of the damper", "MR_d = r_d*cos(theta)",
        corner.motion_ratio(mount_arm=given["damper_lever_ratio"], wheel_arm=1.0, angle=given["damper_angle"]),
        quantity="ratio", source=corner.motion_ratio,
    )  # fmt: skip
    f_empty = _frequency(work, "Body frequency, empty", "f_n = sqrt(k_w/m_s)/(2*pi)", k_w, empty)
    f_loaded = None
    if loaded is not None:
        f_loaded = _frequency(
            work, "Body frequency, loaded", "f_nl = sqrt(k_w/m_sl)/(2*pi)", k_w, loaded
        )
    c_cr = work.step(
        "Critical damping at the wheel", f"c_cr = 2*sqrt(k_w*{symbol})",
        oscillator.critical_damping(wheel_rate=k_w, sprung_mass=mass),
        quantity="damping", source=oscillator.critical_damping,
    )  # fmt: skip
    c_crd = work.step(
        "Critical damping at the damper", "c_crd = c_cr/MR_d**2",
        corner.damper_damping(wheel_damping=c_cr, motion_ratio=ratio),
        quantity="damping", source=corner.damper_damping,
    )  # fmt: skip
    c_w = work.step(
        "Damping needed at the wheel", f"c_w = 2*zeta*sqrt(k_w*{symbol})",
        oscillator.damping_for_ratio(damping_ratio=zeta, wheel_rate=k_w, sprung_mass=mass),
        quantity="damping", source=oscillator.damping_for_ratio,
    )  # fmt: skip
    line = target.damping_line(
        wheel_damping=c_w, motion_ratio=ratio, split=split,
        knee_velocity=given["knee_velocity"], high_speed_ratio=given["high_speed_ratio"],
    )  # fmt: skip
    c_d = work.step("Damping needed at the damper", "c_d = c_w/MR_d**2", line.mean_damping,
                    quantity="damping", source=target.damping_line)  # fmt: skip
    work.step("Compression side below the knee", "c_c = 2*c_d/(1 + S)", line.compression_damping,
              quantity="damping", source=target.damping_line)  # fmt: skip
    work.step("Rebound side below the knee", "c_r = S*c_c", line.rebound_damping,
              quantity="damping", source=target.damping_line)  # fmt: skip
    zeta_empty = _ratio(work, "empty", "zeta_e = c_w/(2*sqrt(k_w*m_s))", c_w, k_w, empty)
    zeta_loaded = None
    if loaded is not None:
        zeta_loaded = _ratio(work, "loaded", "zeta_l = c_w/(2*sqrt(k_w*m_sl))", c_w, k_w, loaded)
    ride, hop = _tyre(given, work, k_w, empty)
    over = 0.0
    if zeta < 1.0:
        over = work.step(
            "Overshoot at the target", "M_p = exp(-pi*zeta/sqrt(1 - zeta**2))",
            oscillator.overshoot(damping_ratio=zeta), quantity="percent", unit="%", source=oscillator.overshoot,
        )  # fmt: skip
    settled = settling.settling_time(
        natural_frequency=oscillator.natural_frequency(stiffness=k_w, mass=mass), damping_ratio=zeta
    )
    _table(work, line, ratio)
    _judge(
        given, work, zeta_empty, zeta_loaded, f_loaded if f_loaded is not None else f_empty, f_empty
    )
    return {
        "critical_damping_damper": c_crd,
        "damping_needed_damper": c_d,
        "compression_damping": line.compression_damping,
        "rebound_damping": line.rebound_damping,
        "critical_damping_wheel": c_cr,
        "wheel_rate": k_w,
        "motion_ratio": ratio,
        "body_frequency": f_empty,
        "body_frequency_loaded": f_loaded,
        "body_frequency_tyre": ride,
        "wheel_hop_frequency": hop,
        "damping_ratio_empty": zeta_empty,
        "damping_ratio_loaded": zeta_loaded,
        "overshoot": over,
        "settling_time": settled,
    }


def _ratio(work: Working, words: str, formula: str, c_w: float, k_w: float, mass: float) -> float:
    return work.step(
        f"Damping ratio, {words}", formula,
        oscillator.damping_ratio(wheel_damping=c_w, wheel_rate=k_w, sprung_mass=mass),
        quantity="ratio", source=oscillator.damping_ratio,
    )  # fmt: skip


def _tyre(
    given: Given, work: Working, k_w: float, mass: float
) -> tuple[float | None, float | None]:
    """Return body frequency on the tyre and wheel-hop frequency, where they can be known."""
    tyre = given.optional("tyre_rate")
    if tyre is None:
        return None, None
    k_r = work.step(
        "Ride rate: wheel rate and tyre in series", "k_r = k_w*k_t/(k_w + k_t)",
        corner.ride_rate(wheel_rate=k_w, tyre_rate=tyre), quantity="stiffness", unit="N/mm", source=corner.ride_rate,
    )  # fmt: skip
    ride = _frequency(
        work, "Body frequency on the tyre, empty", "f_r = sqrt(k_r/m_s)/(2*pi)", k_r, mass
    )
    unsprung = given.numbers.get("unsprung_mass")
    if unsprung is None:
        return ride, None
    hop = work.step(
        "Wheel-hop frequency", "f_u = sqrt((k_w + k_t)/m_u)/(2*pi)",
        corner.wheel_hop_frequency(wheel_rate=k_w, tyre_rate=tyre, unsprung_mass=unsprung),
        quantity="frequency", source=corner.wheel_hop_frequency,
    )  # fmt: skip
    return ride, hop


def _table(work: Working, line: target.DampingLine, ratio: float) -> None:
    rows = target.force_table(line=line, motion_ratio=ratio)
    work.table(
        "forces", "Target forces at the customary bench speeds, without gas force and seal friction", _COLUMNS,
        tuple(
            (row.velocity_damper, row.compression_damper, row.rebound_damper,
             row.velocity_wheel, row.compression_wheel, row.rebound_wheel)
            for row in rows
        ),
    )  # fmt: skip


def _judge(
    given: Given,
    work: Working,
    zeta_empty: float,
    zeta_loaded: float | None,
    slowest: float,
    fastest: float,
) -> None:
    low = zeta_empty if zeta_loaded is None else min(zeta_empty, zeta_loaded)
    high = zeta_empty if zeta_loaded is None else max(zeta_empty, zeta_loaded)
    words = {"low": Measure(low, "ratio", "1"), "high": Measure(high, "ratio", "1")}
    if low < 0.1:  # noqa: PLR2004  the limits of this function are common practice, said in the text
        work.finding(
            Level.DO_NOT_BUILD,
            "ζ falls to {low}: after a bump the body goes on swinging for many cycles.",
            **words,
        )
    elif low < 0.15:  # noqa: PLR2004
        work.finding(
            Level.LOOK_CLOSER,
            "ζ falls to {low}, below the 0.15 under which a body feels adrift (common practice).",
            **words,
        )
    if high > 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "ζ reaches {high}: the damper locks the suspension instead of damping it.",
            **words,
        )
    elif high > 0.6:  # noqa: PLR2004
        work.finding(
            Level.LOOK_CLOSER,
            "ζ reaches {high}, above 0.6: it passes more of the road into the body than it takes out (common practice).",
            **words,
        )
    if low >= 0.15 and high <= 0.6:  # noqa: PLR2004
        work.finding(
            Level.FINE,
            "ζ stays between {low} and {high} over the load range; 0.2 to 0.4 is customary (common practice).",
            **words,
        )
    frequencies = {
        "slowest": Measure(slowest, "frequency", "Hz"),
        "fastest": Measure(fastest, "frequency", "Hz"),
    }
    if fastest > 3.0:  # noqa: PLR2004
        work.finding(
            Level.LOOK_CLOSER,
            "The body frequency of {fastest} is hard: much of the springing is left to the tyre. Check spring rate and motion ratio.",
            **frequencies,
        )
    elif slowest < 0.8:  # noqa: PLR2004
        work.finding(
            Level.LOOK_CLOSER,
            "The body frequency of {slowest} is soft: it needs long travel. Check spring rate and motion ratio.",
            **frequencies,
        )
    if given["damper_angle"] > 0.7853981633974483:  # noqa: PLR2004  45°
        work.finding(
            Level.LOOK_CLOSER,
            "At {damper_angle} the damper moves less than 71 % of its mount's way, and less still as it leans over further.",
        )
    if given["split"] < 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            "Compression is stronger than rebound: bumps are passed on, and the body is pumped up on rough road.",
        )


def _masses_of(result: Result) -> list[tuple[str, str, float]]:
    """Return word, colour role and sprung mass of each load, from the working."""
    steps = {step.formula.partition(" =")[0]: step.answer.value for step in result.steps}
    numbers = result.given.numbers
    empty = numbers.get("sprung_mass", steps.get("m_s"))
    loaded = numbers.get("sprung_mass_loaded", steps.get("m_sl"))
    return [
        (word, role, mass)
        for word, role, mass in (("empty", "accent", empty), ("loaded", "rebound", loaded))
        if mass
    ]


def _draw_step(result: Result) -> Drawing:
    curves = []
    outputs = {
        "empty": ("body_frequency", "damping_ratio_empty"),
        "loaded": ("body_frequency_loaded", "damping_ratio_loaded"),
    }
    times = grid(0.0, 3.0, 151)
    for word, role, _ in _masses_of(result):
        frequency, ratio = (result.outputs[name] for name in outputs[word])
        assert frequency is not None
        assert ratio is not None
        height = settling.step_response(
            natural_frequency=frequency, damping_ratio=ratio, times=times
        )
        curves.append(Curve(word, role, times, height))
    return Drawing(tuple(curves))


def _draw_load(result: Result) -> Drawing:
    masses = _masses_of(result)
    k_w, c_d, ratio = (
        result.outputs[name] or 0.0
        for name in ("wheel_rate", "damping_needed_damper", "motion_ratio")
    )
    c_w = corner.wheel_damping(damper_damping=c_d, motion_ratio=ratio)

    def zeta(mass: float) -> float:
        return oscillator.damping_ratio(wheel_damping=c_w, wheel_rate=k_w, sprung_mass=mass)

    span = grid(0.8 * min(mass for *_, mass in masses), 1.2 * max(mass for *_, mass in masses), 41)
    curve = Curve("damping ratio", "accent", span, tuple(zeta(mass) for mass in span))
    return Drawing((curve,), tuple(Point(word, mass, zeta(mass)) for word, _, mass in masses))


def _draw_line(result: Result) -> Drawing:
    line = target.DampingLine(
        mean_damping=result.outputs["damping_needed_damper"] or 0.0, split=result.given["split"],
        knee_velocity=result.given["knee_velocity"], high_speed_ratio=result.given["high_speed_ratio"],
    )  # fmt: skip
    knee = line.knee_velocity
    speeds = (0.0, knee, max(2.0 * knee, target.BENCH_SPEEDS[-1]))
    compression = tuple(line.force(velocity=speed, direction="compression") for speed in speeds)
    rebound = tuple(-line.force(velocity=speed, direction="rebound") for speed in speeds)
    return Drawing((
        Curve("compression", "compression", speeds, compression),
        Curve("rebound", "rebound", speeds, rebound),
    ))  # fmt: skip


SHEET = Sheet(
    name="critical-damping",
    title="Critical damping",
    question="How much damping does this corner need, and what must the damper do on the bench?",
    page="calculate/critical-damping.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="step-response", title="After a sudden change of load",
            statement="The body swings past its new rest position and settles there; loaded it swings slower and longer.",
            x=Axis("Time", "time", "s"), y=Axis("Way to the new rest position", "ratio", "1"), draw=_draw_step,
        ),
        Chart(
            name="load-range", title="Damping ratio over the load",
            statement="With a coil spring and one damper, ζ falls as the load grows.",
            x=Axis("Sprung mass at this wheel", "mass", "kg"), y=Axis("Damping ratio ζ", "ratio", "1"), draw=_draw_load,
        ),
        Chart(
            name="target-line", title="Target line of the damper",
            statement="Compression up, rebound down: steep to the knee, flatter beyond it.",
            x=Axis("Rod speed", "velocity", "m/s"), y=Axis("Force at the damper", "force", "N"), draw=_draw_line,
        ),
    ),
    limits=(
        "One mass on one spring: no pitch, no roll, no second axle.",
        "Straight-line spring and constant motion ratios near ride height; at the ends of the travel both differ.",
        "Damping proportional to velocity below the knee; leaf friction and bushes are left out.",
        "Settling and overshoot hold for small motion on a rigid tyre.",
    ),
)  # fmt: skip
