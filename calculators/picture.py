"""Drawings made from numbers: a tree of SVG elements, drawn to scale by a sheet.

A tree is ``[tag, attributes, child, …]`` with text as strings, like the formulas'
trees, so no markup travels as text. Colours come from classes of the style sheet
(``sb-p-oil``, ``sb-p-gas`` …). A picture may move: it then carries frames, each
saying which attributes of which named parts change.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from calculators.formula import Node
    from calculators.sheet import Result
    from calculators.view import Units

__all__ = ["Motion", "Picture", "Sketch", "circle", "group", "line", "path", "rect", "words"]


@dataclass(frozen=True, slots=True)
class Motion:
    """How a drawing moves.

    Attributes
    ----------
    duration : float
        Length of the whole motion in real time [s].
    parts : mapping
        For each ``data-part`` of the drawing, for each attribute (or ``text`` for its
        words), one value for each frame; frames are evenly spaced in time.
    slow : float
        How many times slower than real it is first played.
    """

    duration: float
    parts: Mapping[str, Mapping[str, Sequence[str]]]
    slow: float = 1.0


@dataclass(frozen=True, slots=True)
class Sketch:
    """What a picture shows for one result: size in drawing units, elements, motion."""

    width: float
    height: float
    elements: tuple[Node, ...]
    motion: Motion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing of a sheet: declared once, drawn for each result.

    `statement` says in words what the reader should see; it is the caption and
    the text alternative.
    """

    name: str
    title: str
    statement: str
    draw: Callable[[Result, Units], Sketch] = field(repr=False)


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _attributes(kind: str, part: str, **values: float) -> dict[str, str]:
    named = {name.replace("_", "-"): _number(value) for name, value in values.items()}
    return {"class": kind, **({"data-part": part} if part else {}), **named}


def rect(kind: str, x: float, y: float, width: float, height: float, *, part: str = "") -> Node:
    """Return a rectangle of a class; negative sizes count as none."""
    return [
        "rect",
        _attributes(kind, part, x=x, y=y, width=max(width, 0.0), height=max(height, 0.0)),
    ]


def line(kind: str, x1: float, y1: float, x2: float, y2: float, *, part: str = "") -> Node:
    """Return a straight line of a class."""
    return ["line", _attributes(kind, part, x1=x1, y1=y1, x2=x2, y2=y2)]


def circle(kind: str, x: float, y: float, radius: float, *, part: str = "") -> Node:
    """Return a circle of a class."""
    return ["circle", _attributes(kind, part, cx=x, cy=y, r=radius)]


def path(
    kind: str, points: Sequence[tuple[float, float]], *, closed: bool = False, part: str = ""
) -> Node:
    """Return a run of straight lines of a class, through the points."""
    steps = " L".join(f"{_number(x)},{_number(y)}" for x, y in points)
    return ["path", {**_attributes(kind, part), "d": f"M{steps}{' Z' if closed else ''}"}]


def words(kind: str, x: float, y: float, text: str, *, part: str = "") -> Node:
    """Return a line of text of a class, its anchor at the point."""
    return ["text", _attributes(kind, part, x=x, y=y), text]


def group(kind: str, elements: Sequence[Node], *, part: str = "") -> Node:
    """Return elements as one group of a class."""
    return ["g", _attributes(kind, part), *elements]
