"""The moving drawing of the ride: road, wheel and body, with the load of the tyre."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from calculators.picture import Motion, Sketch, circle, group, line, path, rect, words
from calculators.quantities import format_value
from calculators.sheets._ride_case import profile_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from calculators.formula import Node
    from calculators.physics.ride import Ride
    from calculators.sheet import Given
    from calculators.view import Units

__all__ = ["draw_strip", "window_of"]

_WIDTH, _HEIGHT = 420.0, 350.0  # drawing units
_METRE = 140.0  # drawing units along the road
_AXLE = 170.0  # x of the wheel
_RADIUS = 46.0  # of the tyre
_GROUND, _FLOOR = 270.0, 322.0  # y of the level road, and where its drawing ends
_BODY = 92.0  # y of the body's lower edge at rest
_TUBE = 70.0  # length of the damper's tube
_ENLARGED = 32.0  # drawing units for the largest height, or press of the tyre
_BAR, _BAR_X = 150.0, 370.0  # height at the largest load, and place
_MARGIN = 0.3  # m, of road beyond the left edge
_FRAMES = 160
_MOST_ROAD = 900  # points
_SLOW, _LESS_SLOW = 16.0, 4.0  # for windows below and above a second


def window_of(given: Given, found: Ride) -> range:
    """Return the samples that charts and drawing show.

    The end of a road that goes on, the passage over one that does not.
    """
    kind, count = given.choice("road"), len(found.traces.time)
    if kind in {"corrugation", "class"}:
        seconds = 0.6 if kind == "corrugation" else 1.6
        return range(max(0, count - ceil(seconds / found.step)), count)
    end = given["length"] if kind == "obstacle" else given.rows("profile")[-1][0]
    seconds = min(end / given["speed"] + 1.0, 4.0)
    return range(min(count, max(2, ceil(seconds / found.step))))


def draw_strip(given: Given, found: Ride, units: Units) -> Sketch:
    """Return wheel, road and body, moving through the window."""
    traces, span = found.traces, window_of(given, found)
    frames = [span[0] + (len(span) - 1) * k // (_FRAMES - 1) for k in range(_FRAMES)]
    sag = found.static_load / given["tyre_rate"]
    heights = [column[i] for column in (traces.road, traces.body, traces.wheel) for i in frames]
    # A long slope would push everything out of the picture: count from the mean of the window.
    middle = sum(traces.road[i] for i in frames) / _FRAMES
    most = max(found.static_load, *(traces.tyre_force[i] for i in frames))
    press = most / given["tyre_rate"]
    each = _ENLARGED / max(press, 1e-4, *(abs(h - middle) for h in heights))

    def moved(column: Sequence[float], extra: float = 0.0) -> list[str]:
        return [f"translate(0 {-each * (column[i] - middle - extra):.1f})" for i in frames]

    def show(value: float) -> str:
        unit = units.of("force", "kN")
        return format_value(value, unit=unit, quantity="force", digits=2)

    def said(i: int) -> str:
        away = " · off the ground" if traces.tyre_force[i] == 0.0 else ""
        return f"{traces.time[i]:.2f} s{away}"

    parts: dict[str, dict[str, Sequence[str]]] = {}

    def moving(node: Node, part: str, change: str, values: Sequence[str]) -> Node:
        attributes = node[1]
        assert isinstance(attributes, dict)
        attributes["data-part"] = part
        parts.setdefault(part, {})[change] = values
        if change == "text":
            node[-1] = values[0]
        else:
            attributes[change] = values[0]
        return node

    loads = [traces.tyre_force[i] for i in frames]
    rest = _GROUND - _BAR * found.static_load / most
    bar = rect("sb-p-pressure", _BAR_X, _GROUND, 22.0, 0.0)
    bar = moving(bar, "ride-bar", "y", [f"{_GROUND - _BAR * load / most:.1f}" for load in loads])
    bar = moving(bar, "ride-bar", "height", [f"{_BAR * load / most:.1f}" for load in loads])
    elements = (
        moving(_body(), "ride-body", "transform", moved(traces.body)),
        moving(_wheel(), "ride-wheel", "transform", moved(traces.wheel, sag)),
        _road(given, found, frames, lambda h: _GROUND - each * (h - middle), moving),
        rect("sb-p-bubble", _BAR_X, _GROUND - _BAR, 22.0, _BAR),
        bar,
        line("sb-p-disc", _BAR_X - 8.0, rest, _BAR_X + 30.0, rest),
        words("sb-p-words-middle", _BAR_X + 11.0, 84.0, "Tyre load"),
        moving(words("sb-p-words-middle", _BAR_X + 11.0, 107.0, ""), "ride-load", "text",
               [show(load) for load in loads]),
        moving(words("sb-p-words-strong", 12.0, 24.0, ""), "moment", "text",
               [said(i) for i in frames]),
        words("sb-p-words-soft", 12.0, _HEIGHT - 10.0,
              f"Heights drawn {each / _METRE:.2g} times larger than lengths"),
    )  # fmt: skip
    duration = (frames[-1] - frames[0]) * found.step
    return Sketch(
        _WIDTH, _HEIGHT, elements, Motion(duration, parts, _SLOW if duration < 1.0 else _LESS_SLOW)
    )


def _body() -> Node:
    return group("", (
        rect("sb-p-steel", _AXLE - 120.0, _BODY - 34.0, 240.0, 34.0),
        words("sb-p-words-middle", _AXLE, _BODY - 11.0, "body"),
        rect("sb-p-oil", _AXLE - 11.0, _BODY, 22.0, _TUBE),
    ))  # fmt: skip


def _wheel() -> Node:
    centre = _GROUND - _RADIUS
    return group("", (
        line("sb-p-disc", _AXLE, centre, _AXLE, _BODY + 0.5 * _TUBE),
        rect("sb-p-steel", _AXLE - 9.0, _BODY + 0.5 * _TUBE - 4.0, 18.0, 8.0),
        circle("sb-p-rubber", _AXLE, centre, _RADIUS),
        circle("sb-p-steel", _AXLE, centre, 0.6 * _RADIUS),
        circle("sb-p-rubber", _AXLE, centre, 4.0),
    ))  # fmt: skip


def _road(
    given: Given,
    found: Ride,
    frames: Sequence[int],
    y_of: Callable[[float], float],
    moving: Callable[[Node, str, str, Sequence[str]], Node],
) -> Node:
    """Return the road that slides under the wheel."""
    speed, time = given["speed"], found.traces.time
    start = speed * time[frames[0]] - _AXLE / _METRE
    end = speed * time[frames[-1]] + (_WIDTH - _AXLE) / _METRE
    count = min(_MOST_ROAD, max(60, ceil((end - start) / 0.025)))
    first = start - _MARGIN
    places = [first + (end - first) * k / count for k in range(count + 1)]
    heights = profile_of(given).heights(places=[max(place, 0.0) for place in places])
    line_of = [
        (_METRE * (place - start), y_of(h)) for place, h in zip(places, heights, strict=True)
    ]
    corners = [(line_of[-1][0], _FLOOR), (line_of[0][0], _FLOOR)]
    shifts = [f"translate({-_METRE * speed * (time[i] - time[frames[0]]):.1f} 0)" for i in frames]
    return moving(
        path("sb-p-shim", [*line_of, *corners], closed=True), "ride-road", "transform", shifts
    )
