"""The damper of a job as a drawing with dimensions, to scale along its axis and across it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.picture import Sketch, circle, line, path, rect, words
from calculators.quantities import format_value

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.formula import Node
    from calculators.view import Units

__all__ = ["Damper", "Reservoir", "sketch"]

_WIDTH, _HEIGHT = 720.0, 384.0
_LEFT, _RIGHT, _MIDDLE = 60.0, 660.0, 165.0  # eyes of the extended damper; its axis
_EYE, _PIN = 16.0, 8.0  # radii
_TOP, _FOOT, _LEAST = 344.0, 134.0, 120.0  # above, below and left of a reservoir
_ARROW, _OVER, _TEXT = 9.0, 6.0, 7.0  # arrow head, extension line beyond it, words above the line


@dataclass(frozen=True, slots=True, kw_only=True)
class Reservoir:
    """A reservoir beside the damper, in SI.

    Attributes
    ----------
    diameter, length : float
        Of its tube, outside [m].
    fins : int
        Number of round fins on it [1]; 0 for a plain tube.
    fin_diameter, fin_thickness : float
        Over the tips, and of one fin [m].
    hose : bool
        Whether a hose leads to it; else it sits on the damper's body.
    """

    diameter: float
    length: float
    fins: int = 0
    fin_diameter: float = 0.0
    fin_thickness: float = 0.0
    hose: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Damper:
    """What the drawing shows, in SI.

    Attributes
    ----------
    closed_length, extended_length, stroke, body_length : float
        Along the axis, lengths between the centres of the eyes [m].
    body_diameter, bore, rod_diameter : float
        Across it [m].
    twin : bool
        Whether there is a second tube around the one the piston runs in.
    reservoir : Reservoir or None
        What stands beside it.
    """

    closed_length: float
    extended_length: float
    stroke: float
    body_length: float
    body_diameter: float
    bore: float
    rod_diameter: float
    twin: bool
    reservoir: Reservoir | None = None


def _along(x1: float, x2: float, y: float, text: str) -> list[Node]:
    """Return a dimension along the axis: line, arrow heads, words."""
    return [
        line("sb-p-dim", x1, y, x2, y),
        _head(x1, y, _ARROW, 0.0),
        _head(x2, y, -_ARROW, 0.0),
        words("sb-p-words-middle", (x1 + x2) / 2.0, y - _TEXT, text),
    ]


def _across(
    x: float, half: float, label: str, *, below: float, axis: float = _MIDDLE
) -> list[Node]:
    """Return a dimension across an axis, its words on a line below the part."""
    top, bottom = axis - half, axis + half
    return [
        line("sb-p-dim", x, top - 2.0 * _ARROW, x, below),
        _head(x, top, 0.0, -_ARROW),
        _head(x, bottom, 0.0, _ARROW),
        words("sb-p-words-middle", x, below + 18.0, label),
    ]


def _head(x: float, y: float, along: float, across: float) -> Node:
    """Return an arrow head with its tip at a point, its body in the direction given."""
    wide = _ARROW / 3.0
    if across == 0.0:
        points = [(x, y), (x + along, y - wide), (x + along, y + wide)]
    else:
        points = [(x, y), (x - wide, y + across), (x + wide, y + across)]
    return path("sb-p-dim-head", points, closed=True)


def _eye(x: float) -> list[Node]:
    return [circle("sb-p-steel", x, _MIDDLE, _EYE), circle("sb-p-bubble", x, _MIDDLE, _PIN)]


def _sizes(reservoir: Reservoir) -> tuple[float, float, float]:
    """Return length, diameter, and diameter over the tips of the fins."""
    tip = reservoir.fin_diameter if reservoir.fins else 0.0
    return reservoir.length, reservoir.diameter, max(tip, reservoir.diameter)


def _beside(
    reservoir: Reservoir, scale: float, foot: tuple[float, float], said: Callable[[float], str]
) -> list[Node]:
    """Return a reservoir below the damper, and the way of its oil from the damper's foot."""
    long, half, tip = (0.5 * size * scale for size in _sizes(reservoir))
    start = max(_LEAST, min(200.0, _RIGHT - 2.0 * long))
    end, axis = start + 2.0 * long, _TOP + tip
    x, y = foot
    way = [(x, y), (x, axis), (start, axis)]
    pitch = (end - start) / max(reservoir.fins, 1)
    thick = max(reservoir.fin_thickness * scale, 1.0)
    fins = [
        rect(
            "sb-p-steel",
            start + (number + 0.5) * pitch - 0.5 * thick,
            axis - tip,
            thick,
            2.0 * tip,
        )
        for number in range(reservoir.fins)
    ]
    below = axis + tip + 36.0
    tips = (
        _across(start + 0.75 * (end - start), tip, f"⌀ {said(reservoir.fin_diameter)} fins",
                below=below, axis=axis)
        if reservoir.fins else []
    )  # fmt: skip
    return [
        path("sb-p-hidden" if not reservoir.hose else "sb-p-line", way),
        *fins,
        rect("sb-p-steel", start, axis - half, end - start, 2.0 * half),
        line("sb-p-centre", start - 24.0, axis, end + 24.0, axis),
        *(line("sb-p-dim", at, axis - half - 2.0, at, axis - tip - 20.0) for at in (start, end)),
        *_along(start, end, axis - tip - 14.0, f"reservoir {said(reservoir.length)}"),
        *_across(start + 0.25 * (end - start), half, f"⌀ {said(reservoir.diameter)}",
                 below=below, axis=axis),
        *tips,
    ]  # fmt: skip


def _said(damper: Damper, said: Callable[[float], str]) -> str:
    """Return what the line below the drawing says of the construction."""
    kind = "Twin-tube" if damper.twin else "Single tube"
    if damper.reservoir is not None:
        kind += ", reservoir on a hose" if damper.reservoir.hose else ", reservoir on the body"
        if damper.reservoir.fins:
            kind += f" with {damper.reservoir.fins} fins"
    return f"{kind}; stroke {said(damper.stroke)}."


def sketch(damper: Damper, units: Units) -> Sketch:
    """Return the damper extended, in side view, with its dimensions in the reader's unit."""
    unit = units.of("length", "mm")

    def said(value: float) -> str:
        return format_value(value, unit=unit, quantity="length", digits=4)

    scale = (_RIGHT - _LEFT) / damper.extended_length
    width, height = _WIDTH, _HEIGHT
    if damper.reservoir is not None:
        longest, _, widest = _sizes(damper.reservoir)
        width = max(_WIDTH, _LEAST + longest * scale + 40.0)
        height = _TOP + widest * scale + _FOOT
    start = _LEFT + _EYE
    end = min(start + damper.body_length * scale, _RIGHT - _EYE)
    body, bore, rod = (
        0.5 * size * scale for size in (damper.body_diameter, damper.bore, damper.rod_diameter)
    )
    piston = end - min(0.25 * damper.body_length * scale, 40.0)
    below = _MIDDLE + body + 42.0
    closed = _RIGHT - (damper.extended_length - damper.closed_length) * scale
    far = min(closed, _RIGHT - 1.0)
    elements = [
        rect("sb-p-steel", piston, _MIDDLE - rod, _RIGHT - _EYE - piston, 2.0 * rod),
        rect("sb-p-steel", start, _MIDDLE - body, end - start, 2.0 * body),
        line("sb-p-hidden", start, _MIDDLE - bore, end, _MIDDLE - bore),
        line("sb-p-hidden", start, _MIDDLE + bore, end, _MIDDLE + bore),
        line("sb-p-hidden", piston, _MIDDLE - bore, piston, _MIDDLE + bore),
        line("sb-p-hidden", piston - 14.0, _MIDDLE - bore, piston - 14.0, _MIDDLE + bore),
        line("sb-p-hidden", piston, _MIDDLE - rod, end, _MIDDLE - rod),
        line("sb-p-hidden", piston, _MIDDLE + rod, end, _MIDDLE + rod),
        *_eye(_LEFT),
        *_eye(_RIGHT),
        line("sb-p-centre", _LEFT - 34.0, _MIDDLE, _RIGHT + 34.0, _MIDDLE),
        *(line("sb-p-dim", x, _MIDDLE - _EYE, x, 26.0 - _OVER) for x in (_LEFT, _RIGHT)),
        *_along(_LEFT, _RIGHT, 26.0, f"extended {said(damper.extended_length)}"),
        line("sb-p-dim", far, _MIDDLE - body - 4.0, far, 62.0 - _OVER),
        *_along(_LEFT, far, 62.0, f"closed {said(damper.closed_length)}"),
        *_across(start + 0.22 * (end - start), body, f"⌀ {said(damper.body_diameter)} body",
                 below=below),
        *_across(start + 0.62 * (end - start), bore, f"⌀ {said(damper.bore)} bore",
                 below=below + 28.0),
        *_across(0.5 * (end + _RIGHT - _EYE), rod, f"⌀ {said(damper.rod_diameter)} rod",
                 below=below),
        words("sb-p-words-middle", _WIDTH / 2.0, height - 36.0, _said(damper, said)),
        words("sb-p-words-middle", _WIDTH / 2.0, height - 12.0,
              "Drawn extended, to scale; dashed lines are inside."),
    ]  # fmt: skip
    if damper.reservoir is not None:
        elements = [
            *_beside(damper.reservoir, scale, (start + 16.0, _MIDDLE + body), said),
            *elements,
        ]
    return Sketch(width, height, tuple(elements))
