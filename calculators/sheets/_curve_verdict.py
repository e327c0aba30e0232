"""What the force-velocity sheet says of its results."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.sheet import Level, Measure

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Working

__all__ = ["judge"]


def judge(given: Given, work: Working, outputs: Mapping[str, float | None]) -> None:
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
