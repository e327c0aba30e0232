"""Bounce test: frequency and damping of a body that was pushed down and let go."""

from __future__ import annotations

from itertools import pairwise
from math import exp, floor, log, pi, sin, sqrt
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import corner, decay, oscillator
from calculators.sheet import (
    Cell,
    Choice,
    Input,
    Level,
    Measure,
    Option,
    Output,
    Rows,
    Sheet,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.decay import Decay
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_TEST, _READING, _VEHICLE = "What was measured", "How well it was read", "Vehicle"
_TABLES = (("measured", ("peaks", "heights")),)
_SHORT = 3  # peaks needed to tell both directions apart
_READABLE = 3.0  # times the reading uncertainty, our choice
_UNSURE = 0.2  # relative uncertainty, our choice
_WEAK, _STRONG = 0.15, 0.5  # damping ratios, common practice

_HEIGHT = Cell(label="Height", symbol="x", quantity="length", unit="mm", minimum=0.0005,
               maximum=1.0, reason="Distance from the rest position, without sign.")  # fmt: skip

_INPUTS = (
    Choice(
        name="measured", label="Measured",
        options=(Option("peaks", "time and height of each peak"),
                 Option("heights", "heights of the peaks, and the whole time"),
                 Option("overshoot", "one overshoot")),
        help="A film of a ruler beside the wheel arch gives times and heights.", group=_TEST,
    ),
    Rows(
        name="peaks", label="Peaks",
        columns=(Cell(label="Time", symbol="t", quantity="time", unit="s", minimum=0.0,
                      maximum=600.0, reason="Rising from peak to peak."), _HEIGHT),
        default=((0.00, 0.060), (0.35, 0.024), (0.69, 0.010), (1.04, 0.004)),
        least=2, most=40, help="One peak a line: time; height above or below rest, without sign.",
        group=_TEST, when=(("measured", ("peaks",)),),
    ),
    Rows(
        name="heights", label="Heights", columns=(_HEIGHT,),
        default=((0.060,), (0.024,), (0.010,), (0.004,)),
        least=2, most=40, help="One peak a line: height above or below rest, without sign.",
        group=_TEST, when=(("measured", ("heights",)),),
    ),
    Input(
        name="whole_time", label="Time from the first to the last peak", symbol="t_g",
        quantity="time", unit="s", default=1.04, minimum=0.05, maximum=600.0, group=_TEST,
        reason="From the film or a stopwatch.", help="Of the peaks listed above.",
        when=(("measured", ("heights",)),),
    ),
    Choice(
        name="sides", label="Peaks listed",
        options=(Option("both", "of both sides, up and down"), Option("one", "of one side only")),
        help="A whole swing has a peak on each side.", group=_TEST, when=_TABLES,
    ),
    Input(
        name="release", label="Pushed down by", symbol="x_1", quantity="length", unit="mm",
        default=0.060, minimum=0.0005, maximum=1.0, group=_TEST,
        reason="From the rest position; more than the overshoot.",
        help="Distance from the rest position at the moment of letting go.",
        when=(("measured", ("overshoot",)),),
    ),
    Input(
        name="overshoot", label="Overshoot", symbol="x_2", quantity="length", unit="mm",
        default=0.024, minimum=0.0005, maximum=1.0, group=_TEST,
        reason="Beyond the rest position; less than the push.",
        help="How far the body first swings past its rest position.",
        when=(("measured", ("overshoot",)),),
    ),
    Input(
        name="half_time", label="Time to the overshoot", symbol="t_h", quantity="time", unit="s",
        default=0.35, minimum=0.02, maximum=30.0, group=_TEST,
        reason="Half a swing.", help="From letting go to the highest point.",
        when=(("measured", ("overshoot",)),),
    ),
    Choice(
        name="start", label="First peak",
        options=(Option("down", "pushed down"), Option("up", "lifted")),
        help="From below, the damper first works in rebound; from above, in compression.",
        group=_TEST,
    ),
    Input(
        name="height_uncertainty", label="Uncertainty of a height", symbol="u_x",
        quantity="length", unit="mm", default=0.001, minimum=0.0, maximum=0.1, group=_READING,
        reason="One standard uncertainty; a ruler in a film gives 1 to 2 mm.",
        help="Two of three readings lie within this of the true height.",
    ),
    Input(
        name="time_uncertainty", label="Uncertainty of a time", symbol="u_t", quantity="time",
        unit="s", default=0.015, minimum=0.0, maximum=1.0, group=_READING,
        reason="One standard uncertainty; half a picture of the film.",
        help="A film of 30 pictures a second gives about 0.015 s, a stopwatch 0.1 s.",
    ),
    Input(
        name="sprung_mass", label="Sprung mass at this wheel", symbol="m_s", quantity="mass",
        unit="kg", default=760.0, minimum=1.0, maximum=50_000.0, group=_VEHICLE,
        reason="Without wheel, hub and axle.", help="Body mass that this wheel carries in the test.",
    ),
    Input(
        name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio",
        unit="1", default=0.75, minimum=0.05, maximum=2.0, group=_VEHICLE,
        reason="Damper travel over wheel travel.", help="Mount geometry gives it.",
    ),
)  # fmt: skip

_OUTPUTS = (
    Output(name="damping_ratio", label="Damping ratio", symbol="zeta", quantity="ratio", unit="1",
           headline=True, meaning="Share of the critical damping, friction included."),
    Output(name="ratio_uncertainty", label="Its standard uncertainty", symbol="u_zeta",
           quantity="ratio", unit="1", headline=True,
           meaning="From the reading alone; the truth lies within twice this in 19 of 20 cases."),
    Output(name="frequency", label="Body frequency", symbol="f_n", quantity="frequency", unit="Hz",
           headline=True, meaning="As the body would swing without damping."),
    Output(name="frequency_uncertainty", label="Its standard uncertainty", symbol="u_f",
           quantity="frequency", unit="Hz", meaning="From times and heights."),
    Output(name="damped_frequency", label="Frequency as it swings", symbol="f_d",
           quantity="frequency", unit="Hz", meaning="Whole swings in a second."),
    Output(name="decrement", label="Logarithmic decrement", symbol="delta", quantity="ratio",
           unit="1", meaning="Logarithm of the ratio of two peaks a whole swing apart."),
    Output(name="wheel_damping", label="Damping at the wheel", symbol="c_w", quantity="damping",
           unit="N·s/m", meaning="Of damper, bushes and friction together."),
    Output(name="damper_damping", label="Damping at the damper", symbol="c_d", quantity="damping",
           unit="N·s/m", meaning="If all of it came from the damper; mean of both directions."),
    Output(name="damping_uncertainty", label="Uncertainty of the damping", symbol="S_c",
           quantity="percent", unit="%", meaning="Of both coefficients, the mass taken as exact."),
    Output(name="wheel_rate", label="Wheel rate", symbol="k_w", quantity="stiffness",
           unit="N/mm", meaning="Spring at the wheel that belongs to mass and frequency; tyre in "
                                "series with it."),
    Output(name="rebound_ratio", label="Damping ratio in rebound", symbol="zeta_r",
           quantity="ratio", unit="1", meaning="From the swings upwards alone."),
    Output(name="compression_ratio", label="Damping ratio in compression", symbol="zeta_c",
           quantity="ratio", unit="1", meaning="From the swings downwards alone."),
)  # fmt: skip


def _record(given: Given) -> tuple[tuple[float, ...], tuple[float, ...], bool]:
    """Return times, heights, and whether both sides are listed."""
    match given.choice("measured"):
        case "overshoot":
            first, second = given["release"], given["overshoot"]
            if second >= first:
                message = "The overshoot must be smaller than the push. Were the two exchanged?"
                raise ConflictError(message, inputs=("release", "overshoot"))
            return (0.0, given["half_time"]), (first, second), True
        case "heights":
            heights = tuple(row[0] for row in given.rows("heights"))
            times = grid(0.0, given["whole_time"], len(heights))
        case _:
            rows = given.rows("peaks")
            times, heights = tuple(row[0] for row in rows), tuple(row[1] for row in rows)
            if any(late - early < 0.01 for early, late in pairwise(times)):  # noqa: PLR2004
                message = "The times of the peaks must rise, by 0.01 s or more. Check their order."
                raise ConflictError(message, inputs=("peaks",))
    return times, heights, given.choice("sides") == "both"


def _found(given: Given) -> Decay:
    times, heights, both = _record(given)
    uncertainty = given["time_uncertainty"]
    if given.choice("measured") == "heights":
        # Only both ends of the whole time were read: as sure as this for each of all peaks.
        spread = sqrt(_spread(len(times)))
        uncertainty *= sqrt(2.0) * spread / (len(times) - 1)
    found = decay.decay(
        times=times, peaks=heights, half_cycles=both,
        reading_uncertainty=given["height_uncertainty"], time_uncertainty=uncertainty,
    )  # fmt: skip
    if found.decrement.value <= 1e-6:  # noqa: PLR2004  no damping that could be told
        message = "The peaks don't shrink: this is no free decay. Check their order."
        raise ConflictError(message, inputs=(given.choice("measured"),))
    return found


def _spread(count: int) -> float:
    """Return the sum of the squares of 0, 1, 2 … from their mean."""
    return count * (count * count - 1) / 12.0


def _show_decrement(given: Given, work: Working, found: Decay) -> None:
    times, heights, both = _record(given)
    if given.choice("measured") == "overshoot":
        work.step("Logarithmic decrement of a whole swing", "delta = 2*ln(x_1/x_2)",
                  found.decrement.value, quantity="ratio", source=decay.ratio_from_overshoot)  # fmt: skip
        work.step(
            "Its uncertainty", "u_delta = 2*u_x*sqrt(1/x_1**2 + 1/x_2**2)",
            found.decrement.uncertainty, quantity="ratio", source=decay.ratio_from_overshoot,
        )  # fmt: skip
        work.step("Frequency as it swings", "f_d = 1/(2*t_h)", found.damped_frequency.value,
                  quantity="frequency", source=decay.decay)  # fmt: skip
        work.step("Its uncertainty", "u_d = f_d*sqrt(2)*u_t/t_h",
                  found.damped_frequency.uncertainty, quantity="frequency", source=decay.decay)  # fmt: skip
        return
    first = heights[0]
    weights = [(height / first) ** 2 for height in heights]
    logs = [log(height / first) for height in heights]
    for symbol, total in (
        ("W_0", sum(weights)),
        ("W_1", sum(w * i for i, w in enumerate(weights))),
        ("W_2", sum(w * i * i for i, w in enumerate(weights))),
        ("Y_0", sum(w * y for w, y in zip(weights, logs, strict=True))),
        ("Y_1", sum(w * i * y for i, (w, y) in enumerate(zip(weights, logs, strict=True)))),
    ):
        work.let(symbol, total, quantity="ratio")
    work.let("N_p", 2.0 if both else 1.0, quantity="count")
    work.let("x_0", first, quantity="length", unit="mm")
    work.step(
        "Logarithmic decrement of a whole swing: least squares of ln x over the number i of the "
        "peak, weights x²; W and Y are the sums of (x/x₀)²·i and of (x/x₀)²·ln(x/x₀)·i, N_p peaks a "
        "swing",
        "delta = -N_p*(W_0*Y_1 - W_1*Y_0)/(W_0*W_2 - W_1**2)", found.decrement.value,
        quantity="ratio", source=decay.decay,
    )  # fmt: skip
    work.step("Its uncertainty", "u_delta = N_p*u_x/x_0/sqrt(W_2 - W_1**2/W_0)",
              found.decrement.uncertainty, quantity="ratio", source=decay.decay)  # fmt: skip
    count = len(times)
    middle = 0.5 * (count - 1)
    work.let("Q", _spread(count), quantity="ratio")
    work.let("P", sum(t * (i - middle) for i, t in enumerate(times)), quantity="time")
    work.step(
        "Frequency as it swings: least squares of the times; Q is the sum of (i − ī)², P of t (i − ī)",
        "f_d = Q/(N_p*P)", found.damped_frequency.value, quantity="frequency", source=decay.decay,
    )  # fmt: skip
    each = "u_t/sqrt(Q)*Q/P"
    if given.choice("measured") == "heights":
        each = "sqrt(2)*u_t/t_g"
    work.step("Its uncertainty", f"u_d = f_d*{each}", found.damped_frequency.uncertainty,
              quantity="frequency", source=decay.decay)  # fmt: skip


def _directions(given: Given) -> tuple[float, float] | None:
    """Return the mean logarithm of one half-swing upwards and of one downwards."""
    _, heights, both = _record(given)
    if not both or len(heights) < _SHORT:
        return None
    steps = [log(before / after) for before, after in pairwise(heights)]
    means = [sum(steps[side::2]) / len(steps[side::2]) for side in (0, 1)]
    up, down = means if given.choice("start") == "down" else reversed(means)
    return up, down


def _show_directions(given: Given, work: Working) -> dict[str, float | None]:
    found: dict[str, float | None] = {"rebound_ratio": None, "compression_ratio": None}
    means = _directions(given)
    if means is None:
        return found
    for name, mark, words, mean in (
        ("rebound_ratio", "r", "upwards", means[0]), ("compression_ratio", "c", "downwards", means[1]),
    ):  # fmt: skip
        work.let(f"D_{mark}", mean, quantity="ratio")
        found[name] = work.step(
            f"Damping ratio from the half-swings {words}, D being their mean ln of x over the next x",
            f"zeta_{mark} = D_{mark}/sqrt(pi**2 + D_{mark}**2)",
            decay.ratio_from_decrement(decrement=2.0 * mean).value,
            quantity="ratio", source=decay.ratio_from_decrement,
        )  # fmt: skip
    return found


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    found = _found(given)
    zeta, natural = found.damping_ratio, found.natural_frequency
    _show_decrement(given, work, found)
    work.step("Damping ratio", "zeta = delta/sqrt(4*pi**2 + delta**2)", zeta.value,
              quantity="ratio", source=decay.ratio_from_decrement)  # fmt: skip
    work.step(
        "Its uncertainty", "u_zeta = 4*pi**2/(4*pi**2 + delta**2)**1.5*u_delta", zeta.uncertainty,
        quantity="ratio", source=decay.ratio_from_decrement,
    )  # fmt: skip
    work.step("Body frequency", "f_n = f_d/sqrt(1 - zeta**2)", natural.value,
              quantity="frequency", source=decay.decay)  # fmt: skip
    work.step(
        "Its uncertainty", "u_f = f_n*sqrt((u_d/f_d)**2 + (zeta*u_zeta/(1 - zeta**2))**2)",
        natural.uncertainty, quantity="frequency", source=decay.decay,
    )  # fmt: skip
    mass = given["sprung_mass"]
    rate = work.step(
        "Wheel rate that belongs to it", "k_w = m_s*(2*pi*f_n)**2",
        mass * (2.0 * pi * natural.value) ** 2,
        quantity="stiffness", unit="N/mm", source=oscillator.natural_frequency,
    )  # fmt: skip
    at_wheel = work.step(
        "Damping at the wheel", "c_w = 2*zeta*sqrt(k_w*m_s)",
        oscillator.damping_for_ratio(damping_ratio=zeta.value, wheel_rate=rate, sprung_mass=mass),
        quantity="damping", source=oscillator.damping_for_ratio,
    )  # fmt: skip
    at_damper = work.step(
        "Damping at the damper", "c_d = c_w/MR_d**2",
        corner.damper_damping(wheel_damping=at_wheel, motion_ratio=given["motion_ratio"]),
        quantity="damping", source=corner.damper_damping,
    )  # fmt: skip
    share = work.step(
        "Uncertainty of both", "S_c = sqrt((u_zeta/zeta)**2 + (u_f/f_n)**2)",
        sqrt((zeta.uncertainty / zeta.value) ** 2 + (natural.uncertainty / natural.value) ** 2),
        quantity="percent", unit="%", source=decay.decay,
    )  # fmt: skip
    directions = _show_directions(given, work)
    _judge(given, work, found)
    _judge_directions(given, work, directions)
    return {
        "damping_ratio": zeta.value,
        "ratio_uncertainty": zeta.uncertainty,
        "frequency": natural.value,
        "frequency_uncertainty": natural.uncertainty,
        "damped_frequency": found.damped_frequency.value,
        "decrement": found.decrement.value,
        "wheel_damping": at_wheel,
        "damper_damping": at_damper,
        "damping_uncertainty": share,
        "wheel_rate": rate,
        **directions,
    }


def _judge(given: Given, work: Working, found: Decay) -> None:
    zeta = found.damping_ratio
    _, heights, both = _record(given)
    if zeta.value < _WEAK:
        work.finding(
            Level.LOOK_CLOSER,
            "The damping ratio is {damping_ratio}. Below 0.15 a body swings on and on (common "
            "practice): have the dampers looked at.",
        )
    elif zeta.value > _STRONG:
        work.finding(
            Level.LOOK_CLOSER,
            "The damping ratio is {damping_ratio}, more than 0.5: either the damper is very firm, "
            "or friction holds the body. Push harder, and see whether it falls.",
        )
    else:
        work.finding(
            Level.FINE,
            "The damping ratio is {damping_ratio} ± {ratio_uncertainty}, the body frequency "
            "{frequency}.",
        )
    if zeta.uncertainty > _UNSURE * zeta.value:
        work.finding(
            Level.LOOK_CLOSER,
            "The reading leaves {share} of the damping ratio open. Push further, read finer, or "
            "repeat the test four times and take the mean, which halves it.",
            share=Measure(zeta.uncertainty / zeta.value, "percent", "%"),
        )
    limit = _READABLE * given["height_uncertainty"]
    if heights[0] > limit > 0.0:
        each = found.decrement.value / (2.0 if both else 1.0)
        readable = 1 + floor(min(log(heights[0] / limit) / each, 1e6))
        useful = {"count": Measure(float(readable), "count", "1"),
                  "limit": Measure(limit, "length", "mm")}  # fmt: skip
        if len(heights) < readable:
            work.finding(
                Level.LOOK_CLOSER,
                "More can be read: {count} peaks stand above {limit}, three times the uncertainty.",
                **useful,
            )
        else:
            work.finding(
                Level.FINE,
                "{count} peaks stand above {limit}, three times the uncertainty; later ones tell "
                "nothing.",
                **useful,
            )
    if len(heights) >= _SHORT and found.scatter > 2.0 * given["height_uncertainty"]:
        work.finding(
            Level.LOOK_CLOSER,
            "The peaks lie {scatter} off an even decay, more than the reading explains: friction "
            "(the later swings die sooner) or a damper with different rebound and compression.",
            scatter=Measure(found.scatter, "length", "mm"),
        )


def _judge_directions(given: Given, work: Working, directions: Mapping[str, float | None]) -> None:
    up, down = directions["rebound_ratio"], directions["compression_ratio"]
    if up is None or down is None:
        seen = "rebound" if given.choice("start") == "down" else "compression"
        if given.choice("measured") == "overshoot":
            work.finding(
                Level.LOOK_CLOSER,
                f"One overshoot sees one direction of the damper alone, here {seen}. Test the other "
                "way round too, and take the mean.",
            )
        return
    if up < down:
        work.finding(
            Level.LOOK_CLOSER,
            "Compression damps more than rebound ({compression_ratio} against {rebound_ratio}). "
            "Most dampers are made the other way round: check the reading, then the damper.",
        )
    else:
        work.finding(
            Level.FINE,
            "Upwards the body is damped by {rebound_ratio}, downwards by {compression_ratio}.",
        )


def _draw(result: Result) -> Drawing:
    given = result.given
    times, heights, both = _record(given)
    found = _found(given)
    first, down = times[0], given.choice("start") == "down"
    weights = [height * height for height in heights]
    each = found.decrement.value / (2.0 if both else 1.0)
    start = exp(
        sum(w * (log(x) + each * i) for i, (w, x) in enumerate(zip(weights, heights, strict=True)))
        / sum(weights)
    )
    side = -1.0 if down else 1.0
    swing = 1.0 / found.damped_frequency.value
    span = grid(0.0, max(1.1 * (times[-1] - first), swing), 241)
    fade = found.decrement.value / swing
    omega = 2.0 * pi / swing
    # Released from rest: slope zero at the start, peaks a half-swing apart.
    lean = fade / omega
    curve = Curve(
        "even decay", "accent", tuple(first + t for t in span),
        tuple(side * start * exp(-fade * t) * (sin(omega * t + pi / 2.0) + lean * sin(omega * t))
              for t in span),
    )  # fmt: skip
    points = tuple(
        Point(str(i + 1), time, side * height * ((-1.0) ** i if both else 1.0))
        for i, (time, height) in enumerate(zip(times, heights, strict=True))
    )
    return Drawing((curve,), points)


SHEET = Sheet(
    name="bounce-test",
    title="Bounce test",
    question="How much is this body damped, and how fast does it swing?",
    page="calculate/bounce-test.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="decay", title="The swing, and what was read",
            statement="The numbered points are the peaks entered; the line is the even decay that "
                      "fits them best. Points that leave it on one side show friction or unequal "
                      "directions.",
            x=Axis("Time", "time", "s"), y=Axis("Height from rest", "length", "mm"), draw=_draw,
        ),
    ),
    limits=(
        "Straight-line spring and damper; friction and unequal directions only show as scatter.",
        "One motion: a body that pitches or rolls along mixes two swings.",
        "The tyre swings along: the frequency is that of the body on spring and tyre.",
        "A push by hand moves the damper slowly; it says nothing about its force at high speed.",
    ),
)  # fmt: skip
