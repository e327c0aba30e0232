"""The charts and the section of the shim-stack sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calculators.chart import Curve, Drawing, Point, grid
from calculators.sheets._shim_found import (
    BAR,
    find,
    shape_of,
    worst_of,
)
from calculators.sheets._shim_picture import Section, Stage, draw_section

if TYPE_CHECKING:
    from calculators.picture import Sketch
    from calculators.sheet import Result
    from calculators.view import Units

__all__ = ["draw_lift", "draw_section_of", "draw_shape"]


def draw_lift(result: Result) -> Drawing:
    given = result.given
    found = find(given, given["pressure"])
    top = max(1.4 * given["pressure"], 1.5 * found.crack_pressure, BAR)
    bends = {found.crack_pressure, found.line.contact_pressure}
    pressures = sorted({0.0, top, *(bend for bend in bends if bend < top), *grid(0.0, top, 21)})
    curve = Curve(
        "lift",
        "accent",
        tuple(pressures),
        tuple(found.line.lift(pressure) for pressure in pressures),
    )
    return Drawing((curve,), (Point("here", given["pressure"], found.lift),))


def draw_shape(result: Result) -> Drawing:
    given = result.given
    found = find(given, given["pressure"])
    first, *second = shape_of(given, found, given["pressure"])
    clearance = found.contact.clearance if found.contact else 0.0
    curves = [Curve("first stage" if second else "stack", "accent", first.radii, first.deflections)]
    curves += [
        Curve("second stage, counted from its clearance up", "rebound", stage.radii,
              tuple(clearance + deflection for deflection in stage.deflections))
        for stage in second
    ]  # fmt: skip
    seat = given["preload"] + found.lift
    return Drawing(tuple(curves), (Point("seat", given["seat_diameter"] / 2.0, seat),))


def draw_section_of(result: Result, units: Units) -> Sketch:
    given = result.given
    found, rest = find(given, given["pressure"]), find(given, 0.0)
    loaded, still = shape_of(given, found, given["pressure"]), shape_of(given, rest, 0.0)
    stacks = [(given.rows("shims"), given["clamp_diameter"])]
    if found.second:
        stacks.append((given.rows("second_shims"), given["second_clamp_diameter"]))
    stages: list[Stage] = []
    foot, before, hardest = 0.0, 0, worst_of(found)
    for (rows, clamp), now, then in zip(stacks, loaded, still, strict=True):
        foot += given["gap"] if stages else 0.0
        stages.append(
            Stage(
                clamp / 2.0,
                tuple((diameter / 2.0, thickness) for diameter, thickness in rows),
                foot,
                tuple(index - before for index in hardest if before <= index < before + len(rows)),
                (then.radii, then.deflections),
                (now.radii, now.deflections),
            )
        )
        foot += sum(row[1] for row in rows)
        before += len(rows)
    names = ("port_inner_diameter", "port_outer_diameter", "seat_diameter")
    inner, outer, seat = (given[name] / 2.0 for name in names)
    return draw_section(
        Section(
            tuple(stages),
            inner,
            outer,
            seat,
            given["preload"],
            given["pressure"],
            found.lift,
            found.shims[hardest[0]].peak_radius,
        ),
        units,
    )
