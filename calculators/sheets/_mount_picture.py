"""The drawing of damper and spring in their linkage, moving over the travel."""

from __future__ import annotations

from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from calculators.physics.linkage import BeamAxle, Strut, TrailingArm, element_state
from calculators.picture import Motion, Sketch, circle, line, path, words
from calculators.quantities import format_value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.formula import Node
    from calculators.physics.linkage import Linkage, Point
    from calculators.sheet import Given
    from calculators.sheets._mount_form import Mounts
    from calculators.view import Units

__all__ = ["draw_mounts", "place"]

_WIDTH, _HEIGHT = 440.0, 340.0
_EDGE, _TOP = 22.0, 58.0
_FRAMES = 49  # from full droop to full bump and back
_FAR_UP = 1e3  # m, a point so far up that it serves to find where another one is
_COILS = 7
_TUBE, _ROD, _SPRING = 0.024, 0.009, 0.045  # m, half widths as drawn
_BODY_SHARE = 0.82  # of the closed length, drawn as tube


def place(linkage: Linkage, moving: Point, travel: float) -> Point:
    """Return where a point of the moving part is at a wheel travel."""
    above = (moving[0], moving[1] + _FAR_UP)
    state = element_state(linkage=linkage, moving=moving, fixed=above, travel=travel)
    return (
        above[0] - state.length * sin(state.lean),
        above[1] - state.length * cos(state.lean),
    )


def _box(start: Point, end: Point, half: float) -> list[Point]:
    """Return the corners of a bar between two points."""
    length = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    across = (half * (start[1] - end[1]) / length, half * (end[0] - start[0]) / length)
    return [
        (point[0] + side * across[0], point[1] + side * across[1])
        for point, side in ((start, 1.0), (end, 1.0), (end, -1.0), (start, -1.0))
    ]


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _coils(start: Point, end: Point) -> list[Point]:
    length = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    across = (_SPRING * (start[1] - end[1]) / length, _SPRING * (end[0] - start[0]) / length)
    points = [start]
    for index in range(2 * _COILS):
        middle = _between(start, end, (index + 0.5) / (2.0 * _COILS))
        side = 1.0 if index % 2 else -1.0
        points.append((middle[0] + side * across[0], middle[1] + side * across[1]))
    return [*points, end]


class _View:
    """One position of everything that moves, in metres."""

    def __init__(self, parts: Mounts, closed_length: float, travel: float) -> None:
        linkage = parts.linkage
        self.wheel = place(linkage, parts.wheel, travel)
        lower = place(linkage, parts.lower, travel)
        seat = place(linkage, parts.spring_lower, travel)
        state = element_state(linkage=linkage, moving=parts.lower, fixed=parts.upper, travel=travel)
        self.state = state
        share = min(1.0, _BODY_SHARE * closed_length / state.length)
        self.lower = lower
        self.shapes: dict[str, list[Point]] = {
            "rod": _box(_between(lower, parts.upper, 0.5 * share), parts.upper, _ROD),
            "tube": _box(lower, _between(lower, parts.upper, share), _TUBE),
            "spring": _coils(seat, parts.spring_upper),
            "carrier": self._carrier(linkage, lower, seat),
        }

    def _carrier(self, linkage: Linkage, lower: Point, seat: Point) -> list[Point]:
        match linkage:
            case TrailingArm():
                return [linkage.pivot, seat, lower, self.wheel, linkage.pivot]
            case Strut():
                return [linkage.pivot, lower, self.wheel]
            case BeamAxle():
                middle = (0.0, self.wheel[1])
                return [middle, self.wheel, lower, seat, middle]


class _Scale:
    """From metres to drawing units, all points in view."""

    def __init__(self, points: Sequence[Point]) -> None:
        xs, ys = [x for x, _ in points], [y for _, y in points]
        wide, tall = max(xs) - min(xs) or 1.0, max(ys) - min(ys) or 1.0
        self.each = min((_WIDTH - 2.0 * _EDGE) / wide, (_HEIGHT - _TOP - _EDGE) / tall)
        self.left = 0.5 * (_WIDTH - self.each * wide) - self.each * min(xs)
        self.base = _HEIGHT - _EDGE + self.each * min(ys)

    def __call__(self, point: Point) -> Point:
        return self.left + self.each * point[0], self.base - self.each * point[1]

    def run(self, points: Sequence[Point]) -> list[Point]:
        return [self(point) for point in points]


def _outline(node: Node) -> str:
    """Return the course of a path that was drawn."""
    attributes = node[1]
    return attributes["d"] if isinstance(attributes, dict) else ""


def draw_mounts(given: Given, parts: Mounts, units: Units) -> Sketch:
    """Return wheel, arm, damper and spring to scale, moving between droop and bump."""
    bump, droop, radius = given["bump_travel"], given["droop_travel"], given["tyre_radius"]
    middle, half = 0.5 * (bump - droop), 0.5 * (bump + droop)
    travels = [middle - half * cos(2.0 * pi * index / (_FRAMES - 1)) for index in range(_FRAMES)]
    # The far ends exactly as given: a linkage may just reach them.
    travels = [max(-droop, min(bump, travel)) for travel in travels]
    closed = given["closed_length"]
    views = [_View(parts, closed, travel) for travel in travels]
    still = _View(parts, closed, 0.0)
    side = radius if isinstance(parts.linkage, TrailingArm) else 0.3 * radius
    seen = [point for view in (still, *views) for run in view.shapes.values() for point in run]
    seen += [
        (view.wheel[0] + across * side, view.wheel[1] + up * radius)
        for view in views
        for across, up in ((-1.0, -1.0), (1.0, 1.0))
    ]
    scale = _Scale(seen)

    def said(view: _View) -> str:
        travel, length = (
            format_value(value, unit=units.of("length", "mm", name), quantity="length", digits=3)
            for value, name in ((view.state.travel, "bump_travel"), (view.state.length, "shortest"))
        )
        ratio = format_value(view.state.motion_ratio, unit="1", quantity="ratio", digits=3)
        return f"travel {travel}: damper {length}, ratio {ratio}"

    def tyre(view: _View) -> list[Point]:
        x, y = view.wheel
        return [
            (x + across * side, y + up * radius)
            for across, up in ((-1.0, -1.0), (-1.0, 1.0), (1.0, 1.0), (1.0, -1.0))
        ]

    arm = "sb-p-disc" if isinstance(parts.linkage, Strut) else "sb-p-steel"

    def drawn(view: _View) -> dict[str, Node]:
        nodes = {
            "carrier": path(arm, scale.run(view.shapes["carrier"]), part="carrier"),
            "spring": path("sb-p-line", scale.run(view.shapes["spring"]), part="spring"),
            "rod": path("sb-p-steel", scale.run(view.shapes["rod"]), closed=True, part="rod"),
            "tube": path("sb-p-oil", scale.run(view.shapes["tube"]), closed=True, part="tube"),
        }
        if side < radius:
            nodes["tyre"] = path("sb-p-line", scale.run(tyre(view)), closed=True, part="tyre")
        return nodes

    frames = [drawn(view) for view in views]
    motion: dict[str, dict[str, list[str]]] = {
        name: {"d": [_outline(frame[name]) for frame in frames]} for name in frames[0]
    }
    motion["moment"] = {"text": [said(view) for view in views]}
    wheels = [scale(view.wheel) for view in views]
    lowers = [scale(view.lower) for view in views]
    for name, places in (("hub", wheels), ("lower", lowers), *(
        (("tyre", wheels),) if side == radius else ()
    )):  # fmt: skip
        motion[name] = {axis: [f"{spot[index]:.2f}" for spot in places]
                        for index, axis in enumerate(("cx", "cy"))}  # fmt: skip
    elements = list(drawn(still).values())
    hub = scale(still.wheel)
    if side == radius:
        elements.append(circle("sb-p-line", *hub, scale.each * radius, part="tyre"))
    elements.append(circle("sb-p-marker", *hub, 5.0, part="hub"))
    elements += _fixed(parts, scale, still)
    elements.append(words("sb-p-words", 10.0, 22.0, said(still), part="moment"))
    return Sketch(_WIDTH, _HEIGHT, tuple(elements), Motion(4.0, motion))


def _fixed(parts: Mounts, scale: _Scale, still: _View) -> list[Node]:
    """Draw the mounts; those on the body stand still and carry a short hatch."""
    linkage = parts.linkage
    on_body = [parts.upper, parts.spring_upper]
    on_body += [] if isinstance(linkage, BeamAxle) else [linkage.pivot]
    drawn: list[Node] = [circle("sb-p-bubble", *scale(still.lower), 4.0, part="lower")]
    for spot in dict.fromkeys(on_body):
        x, y = scale(spot)
        drawn += [
            line("sb-p-disc", x - 12.0, y - 7.0, x + 12.0, y - 7.0),
            circle("sb-p-bubble", x, y, 4.0),
        ]
    return drawn
