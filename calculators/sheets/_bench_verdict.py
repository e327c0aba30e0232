"""What the virtual bench says of both constructions: side by side, and in findings."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from calculators.sheet import Column, Level, Measure
from calculators.sheets._bench_case import motion_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from calculators.sheet import Given, Output, TableCell, Working
    from calculators.sheets._bench_case import Kind
    from calculators.sheets._bench_run import Run

__all__ = ["compare", "judge"]

_FLAT = 0.05  # 1, lost share of a stroke that counts as a flat spot; ours
_SEVERE = 0.20  # 1, share from which much of the work is gone; ours
_CUSTOMARY: Mapping[Kind, tuple[float, float]] = {
    "twin-tube": (2e5, 8e5),
    "monotube": (10e5, 25e5),
}  # Pa, common practice
_ALIKE = 0.03  # 1, figures that differ by less count as alike
_NOTHING = 0.01  # 1, a share below this of the other figure counts as none
_FEW = 2.0  # 1, ratio up to which percents are said


def _difference(twin: float, mono: float) -> str:
    """Return in words how the twin-tube's figure stands to the monotube's."""
    low, high = sorted((abs(twin), abs(mono)))
    if high == 0.0:
        return "none in both"
    if high - low <= _ALIKE * high:
        return "about the same"
    more = "twin-tube" if abs(twin) > abs(mono) else "monotube"
    if low < _NOTHING * high:
        return f"{more} only"
    ratio = high / low
    if ratio < _FEW:
        return f"{more} {100.0 * (ratio - 1.0):.0f} % more"
    return f"{more} {ratio:.2g} ×"


_TORN = {
    (False, False): "in neither",
    (True, False): "twin-tube only",
    (False, True): "monotube only",
    (True, True): "in both",
}


def compare(
    work: Working,
    outputs: Sequence[Output],
    twin: Mapping[str, float | None],
    mono: Mapping[str, float | None],
) -> None:
    """Record both side by side, with the difference in words."""
    rows: list[tuple[TableCell, ...]] = []
    for first in outputs[: 2 * len(twin) : 2]:
        name = first.name.removesuffix("_twin_tube")
        label, a, b = first.label.removesuffix(", twin-tube"), twin[name], mono[name]
        if a is None or b is None or name == "cavitation_share":  # which is said in words below
            continue
        rows.append(
            (
                label,
                *(Measure(value, first.quantity, first.unit) for value in (a, b)),
                _difference(a, b),
            )
        )
    torn = bool(twin["cavitation_share"]), bool(mono["cavitation_share"])
    rows.append(
        (
            "Cavitation",
            *("yes" if one else "no" for one in torn),
            _TORN[torn],
        )
    )
    columns = (Column("Figure"), Column("Twin-tube"), Column("Monotube"), Column("Difference"))
    work.table(
        "both",
        "Both constructions in the same motion, with the same bore, rod and piston valves",
        columns,
        tuple(rows),
    )


def _values(run: Run, tag: str) -> dict[str, Measure]:
    """Return the figures of a run that findings speak of, named with a tag."""
    trace, worst = run.trace, run.worst
    entry = run.bottom(trace.pressure_rod)
    bubbles = max(max(trace.free_gas_head[i], trace.free_gas_rod[i]) for i in run.span)
    figures = {
        "lost": Measure(worst.lost_stroke if worst else 0.0, "length", "mm"),
        "stroke": Measure(worst.travel if worst else 0.0, "length", "mm"),
        "share": Measure(run.lost_share, "percent", "%"),
        "gas": Measure(trace.pressure_gas[entry], "pressure_absolute", "bar"),
        "foot": Measure(trace.pressure_head[entry] - trace.pressure_gas[entry], "pressure_difference", "bar"),
        "drop": Measure(trace.pressure_head[entry] - trace.pressure_rod[entry], "pressure_difference", "bar"),
        "rod": Measure(trace.pressure_rod[entry], "pressure_absolute", "bar"),
        "bubbles": Measure(bubbles, "volume", "cm³"),
        "free": Measure(trace.specimen.chamber_oil.free_gas, "percent", "%"),
    }  # fmt: skip
    return {f"{tag}_{name}": measure for name, measure in figures.items()}


_WHY_TWIN = (
    " Where its rod side is lowest, {t_gas} of gas and {t_foot} from the foot valve stand against a drop of {t_drop} at the piston:"
    " {t_rod} is left, absolute. Its bubbles ({t_free} at air pressure) swell to {t_bubbles} there and have to be squeezed before the force returns."
)
_WHY_MONO = " In the monotube {m_gas} of gas stand against {m_drop}: {m_rod} is left, and its bubbles take up {m_bubbles} at most."


def judge(given: Given, work: Working, twin: Run, mono: Run) -> None:
    _judge_lost(work, twin, mono)
    for run in (twin, mono):
        _judge_pressures(given, work, run)
        _judge_gas(given, work, run)
    _judge_motion(given, work, twin)


def _judge_lost(work: Working, twin: Run, mono: Run) -> None:
    values = {**_values(twin, "t"), **_values(mono, "m")}
    flat = [run.kind for run in (twin, mono) if run.lost_share >= _FLAT]
    level = (
        Level.DO_NOT_BUILD
        if max(twin.lost_share, mono.lost_share) >= _SEVERE
        else Level.LOOK_CLOSER
    )
    ways = {
        run.kind: "compression" if run.worst is not None and run.worst.compression else "rebound"
        for run in (twin, mono)
    }
    if not flat:
        work.finding(
            Level.FINE,
            "Neither goes flat in this motion: after a reversal the twin-tube loses {t_lost} of {t_stroke} ({t_share}), the monotube {m_lost} ({m_share}); below 5 % is in order (our choice)."
            + _WHY_TWIN
            + _WHY_MONO,
            **values,
        )
    elif flat == ["twin-tube"]:
        work.finding(
            level,
            f"The twin-tube goes flat, the monotube does not: after the reversal into {ways['twin-tube']} it loses {{t_lost}} of {{t_stroke}} ({{t_share}}), the monotube {{m_lost}} ({{m_share}})."
            + _WHY_TWIN
            + _WHY_MONO,
            **values,
        )
    elif flat == ["monotube"]:
        work.finding(
            level,
            f"The monotube goes flat, the twin-tube does not: after the reversal into {ways['monotube']} it loses {{m_lost}} of {{m_stroke}} ({{m_share}}), the twin-tube {{t_lost}} ({{t_share}})."
            + _WHY_MONO
            + " No foot valve helps it; it needs more charge or a softer compression side.",
            **values,
        )
    else:
        work.finding(
            level,
            "Both go flat: after a reversal the twin-tube loses {t_lost} of {t_stroke} ({t_share}), the monotube {m_lost} ({m_share})."
            + _WHY_TWIN
            + _WHY_MONO,
            **values,
        )


def _judge_pressures(given: Given, work: Working, run: Run) -> None:
    tag = run.mark.lower()
    values, trace = _values(run, tag), run.trace
    lowest = run.bottom(trace.pressure_head, trace.pressure_rod)
    values["lowest"] = Measure(
        min(trace.pressure_head[lowest], trace.pressure_rod[lowest]), "pressure_absolute", "bar"
    )
    if values["lowest"].value < given["release_pressure"]:
        side = (
            "rod side" if trace.pressure_rod[lowest] < trace.pressure_head[lowest] else "head side"
        )
        remedy = {
            "rod side": "More charge, a softer compression side of the piston or a tighter foot valve holds it up.",
            "head side": "More charge or a wider intake at the foot valve holds it up.",
        }[side]
        if run.kind == "monotube":
            remedy = "More charge or a softer compression side of the piston holds it up."
        work.finding(
            Level.DO_NOT_BUILD,
            f"Cavitation in the {run.kind}: its {side} falls to {{lowest}}, below the {{release_pressure}} at which the oil lets go of its air. {remedy}",
            **values,
        )
    highest = run.top(trace.pressure_head, trace.pressure_rod)
    peak = Measure(
        max(trace.pressure_head[highest], trace.pressure_rod[highest]), "pressure_absolute", "bar"
    )
    if peak.value > 200e5:  # noqa: PLR2004  common practice, said in the text
        work.finding(Level.LOOK_CLOSER, f"The pressure in the {run.kind} reaches {{peak}}, more than damper tubes and seals customarily stand (about 200 bar, common practice): check their strength.",
                     peak=peak)  # fmt: skip
    left = run.left_open
    if abs(left) > 0.02 * abs(run.parts.work):  # ours
        work.finding(Level.LOOK_CLOSER, f"The energy of the {run.kind} closes only to {{left}} of {{work}}: take its figures as rough.",
                     left=Measure(left, "energy", "J"), work=Measure(run.parts.work, "energy", "J"))  # fmt: skip


def _judge_gas(given: Given, work: Working, run: Run) -> None:
    twin = run.kind == "twin-tube"
    low, high = _CUSTOMARY[run.kind]
    name = "charge_at_20_twin_tube" if twin else "charge_at_20"
    if not low <= given[name] <= high:
        side = "below" if given[name] < low else "above"
        work.finding(
            Level.LOOK_CLOSER,
            f"The charge of the {run.kind} ({{charge}}) is {side} the customary {{low}} to {{high}} (common practice).",
            charge=Measure(given[name], "pressure_gauge", "bar"), low=Measure(low, "pressure_gauge", "bar"),
            high=Measure(high, "pressure_gauge", "bar"),
        )  # fmt: skip
    share, usual = run.trace.specimen.chamber_oil.free_gas, 0.1 if twin else 0.005
    if share > usual:
        work.finding(
            Level.LOOK_CLOSER,
            "More than 10 % of free gas is foam: the twin-tube's figures are rough there."
            if twin
            else "{free} of free gas is more than a monotube holds whose gas is kept apart: bleed it, or look for a leaking dividing piston.",
            free=Measure(share, "percent", "%"),
        )


def _judge_motion(given: Given, work: Working, run: Run) -> None:
    if given.choice("motion") == "corrugation":
        motion = motion_of(given)
        assert motion is not None
        wheel = (2.0 * pi * motion.frequency) ** 2 * given["road_amplitude"]
        if wheel > 50.0:  # noqa: PLR2004  m/s², about 5 g; ours
            work.finding(
                Level.LOOK_CLOSER,
                "To follow these crests the wheel would need {wheel} of acceleration. A real wheel leaves the crests before that: this is the worst case for the damper, not what a drive does.",
                wheel=Measure(wheel, "acceleration", "m/s²"),
            )
    if max(abs(v) for v in run.trace.velocity) > 3.0:  # noqa: PLR2004  m/s; ours
        work.finding(
            Level.LOOK_CLOSER,
            "The rod runs faster than 3 m/s: valve discs and oil have inertia there, and the bench leaves it out.",
        )
