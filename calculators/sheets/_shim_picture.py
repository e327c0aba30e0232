"""The drawing of a shim stack in section: at rest on the left, under pressure on the right."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from calculators.picture import Sketch, line, path, rect, words
from calculators.quantities import format_value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.formula import Node
    from calculators.view import Units

__all__ = ["Section", "Stage", "draw_section"]

Shape: TypeAlias = "tuple[Sequence[float], Sequence[float]]"

_WIDTH = 440.0
_MIDDLE = _WIDTH / 2.0
_HALF = 186.0  # drawing units for the outermost radius
_TALL = 150.0  # drawing units that the heights should not exceed
_TOP = 74.0  # room above the stack for the clamp and its words
_PISTON = 52.0  # height of the piston as drawn
_DIMENSION = 24.0  # distance of the dimension lines
_FACTORS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)


@dataclass(frozen=True, slots=True)
class Stage:
    """One stack: radii and thicknesses from below, where it stands, and its shape at rest and loaded."""

    clamp_radius: float
    shims: tuple[tuple[float, float], ...]
    foot: float
    worst: tuple[int, ...]
    rest: Shape
    loaded: Shape


@dataclass(frozen=True, slots=True)
class Section:
    """What is drawn: stages from below, ports, seat, dish of the piston, and what the pressure does."""

    stages: tuple[Stage, ...]
    port_inner: float
    port_outer: float
    seat: float
    preload: float
    pressure: float
    lift: float
    peak: float  # radius of the highest stress


def _between(shape: Shape, radius: float) -> float:
    """Return the deflection at a radius; flat inside the clamp."""
    radii, heights = shape
    if radius <= radii[0]:
        return heights[0]
    for (left, low), (right, high) in pairwise(zip(radii, heights, strict=True)):
        if radius <= right:
            return low + (high - low) * (radius - left) / (right - left)
    return heights[-1]


@dataclass(frozen=True, slots=True)
class _Scale:
    """From metres to drawing units; heights count `factor` times as much as widths."""

    each: float
    factor: float
    ground: float  # drawing height of the face under the clamp

    def x(self, radius: float, side: float) -> float:
        return _MIDDLE + side * self.each * radius

    def y(self, height: float) -> float:
        return self.ground - self.each * self.factor * height


def _scale(section: Section) -> _Scale:
    radius = max(shim[0] for stage in section.stages for shim in stage.shims)
    top = section.stages[-1]
    height = top.foot + sum(thickness for _, thickness in top.shims)
    height += max(0.0, *top.loaded[1], *section.stages[0].loaded[1])
    each = _HALF / radius
    fitting = [factor for factor in _FACTORS if each * factor * height <= _TALL]
    factor = fitting[-1] if fitting else _FACTORS[0]
    if not fitting:  # a stack taller than wide: all of it smaller
        each = _TALL / height
    return _Scale(each, factor, _TOP + each * factor * height)


def _shim(
    kind: str, scale: _Scale, side: float, shape: Shape, foot: float, shim: tuple[float, float]
) -> Node:
    radius, thickness = shim
    places = [0.0, *(place for place in shape[0] if place < radius), radius]

    def run(height: float) -> list[tuple[float, float]]:
        return [
            (scale.x(place, side), scale.y(height + _between(shape, place))) for place in places
        ]

    return path(kind, [*run(foot), *reversed(run(foot + thickness))], closed=True)


def _stage(stage: Stage, scale: _Scale) -> list[Node]:
    drawn: list[Node] = []
    for side, shape in ((-1.0, stage.rest), (1.0, stage.loaded)):
        foot = stage.foot
        for index, shim in enumerate(stage.shims):
            marked = side > 0.0 and index in stage.worst and len(stage.worst) < len(stage.shims)
            drawn.append(
                _shim("sb-p-shim-worst" if marked else "sb-p-shim", scale, side, shape, foot, shim)
            )
            foot += shim[1]
    return drawn


def _clamps(section: Section, scale: _Scale) -> list[Node]:
    """Draw the gap shim and the washer above the stack."""
    drawn: list[Node] = []
    for below, above in pairwise(section.stages):
        end = below.foot + sum(thickness for _, thickness in below.shims)
        drawn.append(_block(scale, below.clamp_radius, scale.y(above.foot), scale.y(end)))
    last = section.stages[-1]
    end = scale.y(last.foot + sum(thickness for _, thickness in last.shims))
    drawn.append(_block(scale, last.clamp_radius, end - 22.0, end))
    return drawn


def _pointer(section: Section, scale: _Scale) -> list[Node]:
    """Draw an arrow to the place of the highest stress, from the right above."""
    stage = next(stage for stage in section.stages if stage.worst)
    height = stage.foot + _between(stage.loaded, section.peak)
    height += sum(thickness for _, thickness in stage.shims[: stage.worst[-1] + 1])
    x, y = scale.x(section.peak, 1.0) + 1.0, scale.y(height) - 1.0
    start = min(x + 40.0, _WIDTH - 8.0)
    return [
        line("sb-p-line", start, 44.0, x, y),
        path("sb-p-line", [(x + 2.0, y - 11.0), (x, y), (x + 10.0, y - 6.0)]),
        words("sb-p-words-end", _WIDTH - 8.0, 40.0, "highest stress"),
    ]


def _block(scale: _Scale, radius: float, top: float, bottom: float) -> Node:
    return rect("sb-p-steel", scale.x(radius, -1.0), top, 2.0 * scale.each * radius, bottom - top)


def _piston(section: Section, scale: _Scale) -> list[Node]:
    """Draw the piston: middle part, ports full of oil, and the ring that carries the seat."""
    ground, bottom = scale.ground, scale.ground + _PISTON
    seat = scale.y(section.preload)
    drawn = [
        rect(
            "sb-p-steel",
            scale.x(section.port_inner, -1.0),
            ground,
            2.0 * scale.each * section.port_inner,
            _PISTON,
        )
    ]
    for side in (-1.0, 1.0):
        inner, outer = (
            scale.x(radius, side) for radius in (section.port_inner, section.port_outer)
        )
        drawn.append(rect("sb-p-oil", min(inner, outer), ground, abs(outer - inner), _PISTON))
        edge = scale.x(section.seat, side)
        foot = scale.x(section.seat * 1.08, side)
        drawn.append(
            path(
                "sb-p-steel",
                [
                    (outer, bottom),
                    (outer, seat),
                    (edge, seat),
                    (edge, seat + 14.0),
                    (foot, seat + 22.0),
                    (foot, bottom),
                ],
                closed=True,
            )
        )
    if section.pressure > 0.0:
        middle = scale.x((section.port_inner + section.port_outer) / 2.0, 1.0)
        drawn.append(
            path("sb-p-flow-compression", [(middle, bottom - 6.0), (middle, ground + 10.0)])
        )
        drawn.append(
            path(
                "sb-p-flow-compression",
                [
                    (middle - 6.0, ground + 19.0),
                    (middle, ground + 10.0),
                    (middle + 6.0, ground + 19.0),
                ],
            )
        )
    return drawn


def _dimension(scale: _Scale, radius: float, y: float, text: str, start: float) -> list[Node]:
    """Draw a diameter below the piston: extension lines, dimension line, its words."""
    left, right = scale.x(radius, -1.0), scale.x(radius, 1.0)
    drawn = [line("sb-p-dim", x, start, x, y + 4.0) for x in (left, right)]
    drawn += [line("sb-p-dim", left, y, right, y)]
    drawn += [line("sb-p-dim", x - 4.0, y + 4.0, x + 4.0, y - 4.0) for x in (left, right)]
    return [*drawn, words("sb-p-words-middle", _MIDDLE, y - 5.0, text)]


def draw_section(section: Section, units: Units) -> Sketch:
    """Return the stack in section with clamp, seat, ports and dimensions."""
    scale = _scale(section)
    bottom = scale.ground + _PISTON

    def length(value: float, name: str) -> str:
        return format_value(value, unit=units.of("length", "mm", name), quantity="length", digits=3)

    first = section.stages[0]
    largest = max(shim[0] for stage in section.stages for shim in stage.shims)
    sizes = (
        (first.clamp_radius, "clamp", "clamp_diameter"),
        (section.port_inner, "ports from", "port_inner_diameter"),
        (section.port_outer, "ports to", "port_outer_diameter"),
        (section.seat, "seat", "seat_diameter"),
        (largest, "largest shim", ""),
    )
    drawn = [
        *_piston(section, scale),
        *(node for stage in section.stages for node in _stage(stage, scale)),
        *_clamps(section, scale),
    ]
    y = bottom
    for radius, label, name in sizes:
        y += _DIMENSION
        drawn += _dimension(
            scale, radius, y, f"{label} ⌀ {length(2.0 * radius, name)}", bottom + 2.0
        )
    drawn += _pointer(section, scale) if section.pressure > 0.0 else []
    drawn.append(line("sb-p-centre", _MIDDLE, 34.0, _MIDDLE, bottom + 6.0))
    pressure = format_value(
        section.pressure,
        unit=units.of("pressure_difference", "bar", "pressure"),
        quantity="pressure_difference",
        digits=3,
    )
    drawn += [
        words("sb-p-words", 8.0, 20.0, "at rest"),
        words(
            "sb-p-words-end",
            _WIDTH - 8.0,
            20.0,
            f"at {pressure}: lift {length(section.lift, 'lift')}",
        ),
        words("sb-p-words-middle", _MIDDLE, y + 26.0, _height_words(scale.factor)),
    ]
    return Sketch(_WIDTH, y + 38.0, tuple(drawn))


def _height_words(factor: float) -> str:
    return (
        "heights and widths to one scale"
        if factor == 1.0
        else f"all heights drawn {factor:g} times larger"
    )
