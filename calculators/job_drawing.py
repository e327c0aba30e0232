"""The damper of a job as a drawing with dimensions, to scale along its axis and across it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.picture import Sketch, circle, line, path, rect, words
from calculators.quantities import format_value

if TYPE_CHECKING:
    from calculators.formula import Node
    from calculators.view import Units

__all__ = ["Damper", "sketch"]

_WIDTH, _HEIGHT = 720.0, 360.0
_LEFT, _RIGHT, _MIDDLE = 60.0, 660.0, 165.0  # eyes of the extended damper; its axis
_EYE, _PIN = 16.0, 8.0  # radii
_ARROW, _OVER, _TEXT = 9.0, 6.0, 7.0  # arrow head, extension line beyond it, words above the line


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
    """

    closed_length: float
    extended_length: float
    stroke: float
    body_length: float
    body_diameter: float
    bore: float
    rod_diameter: float
    twin: bool


def _along(x1: float, x2: float, y: float, text: str) -> list[Node]:
    """Return a dimension along the axis: line, arrow heads, words."""
    return [
        line("sb-p-dim", x1, y, x2, y),
        _head(x1, y, _ARROW, 0.0),
        _head(x2, y, -_ARROW, 0.0),
        words("sb-p-words-middle", (x1 + x2) / 2.0, y - _TEXT, text),
    ]


def _across(x: float, half: float, label: str, *, below: float) -> list[Node]:
    """Return a dimension across the axis, its words on a line below the part."""
    top, bottom = _MIDDLE - half, _MIDDLE + half
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


def sketch(damper: Damper, units: Units) -> Sketch:
    """Return the damper extended, in side view, with its dimensions in the reader's unit."""
    unit = units.of("length", "mm")

    def said(value: float) -> str:
        return format_value(value, unit=unit, quantity="length", digits=4)

    scale = (_RIGHT - _LEFT) / damper.extended_length
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
        words("sb-p-words-middle", _WIDTH / 2.0, _HEIGHT - 12.0,
              f"{'Twin-tube' if damper.twin else 'Single tube'}, stroke {said(damper.stroke)}. "
              "Drawn extended, to scale; dashed lines are inside."),
    ]  # fmt: skip
    return Sketch(_WIDTH, _HEIGHT, tuple(elements))
