"""Shim stack: how far the spring discs of a valve open, from which pressure on, and how hard they are worked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart
from calculators.picture import Picture
from calculators.sheet import Sheet
from calculators.sheets._shim_drawing import draw_lift, draw_section_of, draw_shape
from calculators.sheets._shim_form import INPUTS, OUTPUTS
from calculators.sheets._shim_found import (
    check,
    find,
    shape_of,
)
from calculators.sheets._shim_verdict import judge
from calculators.sheets._shim_working import show_opening, show_rigidity, show_stress, show_table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Working

__all__ = ["SHEET"]


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    check(given)
    found = find(given, given["pressure"])
    shapes = shape_of(given, found, given["pressure"])
    show_rigidity(given, work)
    show_opening(given, work, found)
    stresses = show_stress(given, work, found, shapes)
    show_table(work, found)
    two = bool(found.second)
    outputs = {
        "lift": found.lift,
        "crack_pressure": found.crack_pressure,
        "compliance": found.line.compliance,
        "contact_pressure": found.line.contact_pressure if two else None,
        "compliance_after": found.line.compliance_after if two else None,
        **stresses,
    }
    judge(given, work, found, outputs)
    return outputs


SHEET = Sheet(
    name="shim-stack",
    title="Shim stack",
    question="From which pressure on does this stack open, how far, and does it last?",
    page="calculate/shim-stack.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="lift", title="Lift over pressure",
            statement="The stack stays on its seat up to the crack pressure and then opens in a "
                      "straight line; a second stage makes the line flatter.",
            x=Axis("Pressure difference", "pressure_difference", "bar", like="pressure"),
            y=Axis("Lift at the seat", "length", "mm", like="lift"), draw=draw_lift,
        ),
        Chart(
            name="shape", title="Deflection over the radius",
            statement="Flat inside the clamp, the stack bends most near it and runs on almost "
                      "straight to its edge.",
            x=Axis("Radius", "length", "mm"), y=Axis("Deflection from flat", "length", "mm",
                                                     like="lift"),
            draw=draw_shape,
        ),
    ),
    pictures=(
        Picture(
            name="section", title="The stack in section",
            statement="Left at rest, right under the pressure entered. Widths are to scale; all "
                      "heights, lift and bending too, are drawn larger by the factor given in the "
                      "drawing. An arrow points to the place of the highest stress.",
            draw=draw_section_of,
        ),
    ),
    limits=(
        ("Shims slide on each other without friction; real ones are stiffer on the way up and "
        "softer on the way back."),
        ("All shims of a stack share one deflection and touch wherever both reach; none parts from "
        "the next."),
        "Small deflections: up to about the thickness of the thinnest shim.",
        ("The pressure acts all round between the two port diameters; separate ports load the stack "
        "in patches and stress it more between them."),
        "Flow forces, notches, the pressing at the clamp and the impact on closing are left out.",
        ("Two stages touch on one ring; later the contact rolls inwards and the real pair is a "
        "little softer."),
    ),
)  # fmt: skip
