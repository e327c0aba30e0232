"""What the shim-stack sheet says of its results."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from calculators.sheet import Level, Measure
from calculators.sheets._shim_found import (
    Found,
    number_of,
    worst_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Working

__all__ = ["judge"]


def judge(given: Given, work: Working, found: Found, outputs: Mapping[str, float | None]) -> None:
    _judge_opening(given, work, found)
    hardest = worst_of(found)
    worst = {"worst": Measure(2.0 * found.shims[hardest[0]].peak_radius, "length", "mm")}
    name = (
        f"shim "
        f"{number_of(found, hardest[0])}{' (like the others of its thickness)' if len(hardest) > 1 else ''}"
    )
    yields, tires = (outputs[key] or 0.0 for key in ("yield_share", "fatigue_share"))
    if yields > 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            f"At {{pressure}} {name} goes beyond its yield strength ({{yield_share}}): it stays "
            f"bent and the valve loses its setting. Use more and thinner shims, or a larger clamp.",
            **worst,
        )
    elif tires > 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            f"At {{pressure}} {name} reaches {{fatigue_share}} of its fatigue limit: if this "
            f"pressure comes often, it cracks near diameter {{worst}}. Use more and thinner shims.",
            **worst,
        )
    elif max(yields, tires) > 0.8:  # noqa: PLR2004  a margin of 20 %, common practice
        work.finding(
            Level.LOOK_CLOSER,
            f"At {{pressure}} {name} reaches {{yield_share}} of its yield strength and "
            f"{{fatigue_share}} of its fatigue limit: little is left for shocks, edges and wear.",
            **worst,
        )
    else:
        work.finding(
            Level.FINE,
            f"At {{pressure}} {name} is worked hardest, near diameter {{worst}}: {{yield_share}} "
            f"of its yield strength, {{fatigue_share}} of its fatigue limit.",
            **worst,
        )
    bent = outputs["deflection_share"] or 0.0
    if bent > 3.0:  # noqa: PLR2004  our choice, said in the text
        work.finding(
            Level.LOOK_CLOSER,
            "The edge bends by {deflection_share} times the thinnest shim: the shims also stretch, "
            "and the real stack is clearly stiffer than computed. Take the numbers as an order of "
            "size.",
        )
    elif bent > 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            "The edge bends by {deflection_share} times the thinnest shim: beyond 1 the shims "
            "begin to stretch, and the real stack is somewhat stiffer than computed.",
        )
    for words, rows in (
        ("", given.tables.get("shims", ())),
        (" of the second stage", given.tables.get("second_shims", ())),
    ):
        diameters = [row[0] for row in rows]
        if any(upper > lower for lower, upper in itertools.pairwise(diameters)):
            work.finding(
                Level.LOOK_CLOSER,
                f"A shim{words} is larger than the one below it. Computed are shims that touch "
                f"wherever both reach; a small shim between large ones is a gap, and that is what "
                f"the two stages are for.",
            )


def _judge_opening(given: Given, work: Working, found: Found) -> None:
    closed = given["pressure"] <= found.crack_pressure
    if closed:
        work.finding(
            Level.FINE, "At {pressure} the stack is on its seat; it opens at {crack_pressure}."
        )
    else:
        work.finding(
            Level.FINE,
            "At {pressure} the stack stands {lift} off its seat; it opened at {crack_pressure}.",
        )
    if found.second:
        if found.contact_force > 0.0:
            work.finding(
                Level.FINE,
                "The stages touch: from {contact_pressure} on both bend, and the opening grows by "
                "{compliance_after} instead of {compliance}.",
            )
        else:
            work.finding(
                Level.FINE,
                "The first stage works alone up to {contact_pressure}; only then does the second "
                "one bend with it.",
            )
