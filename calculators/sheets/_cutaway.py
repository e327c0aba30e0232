"""Twin-tube and monotube cut open, side by side, moving as the bench computed them.

Both are drawn to one scale from the same sizes as the result: bore, rod, chamber
lengths, reserve and gas. The tube is held and the rod moved, as on a bench.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field
from math import pi, sqrt
from typing import TYPE_CHECKING

from calculators.picture import Motion, Sketch, circle, group, line, path, rect, words
from calculators.quantities import format_value

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from calculators.formula import Node
    from calculators.physics.bench import BenchTrace
    from calculators.view import Units

__all__ = ["draw_cutaways", "frames_of"]

_PANEL = 210.0  # drawing units, width of one damper with its labels
_AXIS = 146.0  # from the left edge of a panel to the middle of the damper
_REACH = 58.0  # from the middle to the outside of the tube
_LONG = 300.0  # length of the chambers and gas together
_TOP = 48.0  # room for the words above
_EYE = 26.0  # room of the rod's eye
_STRIP = 84.0  # height of the force strip
_WALL = 3.0
_PISTON, _PLATE, _PASSAGE = (
    0.016,
    0.010,
    0.006,
)  # m, thickness of piston and valve plate, room below
_FRAMES = 100
_BUBBLES = 8  # in each chamber
_ENLARGED = 4.0  # 1, section of the bubbles over their share of the chamber
_SMALLEST_BUBBLE, _LARGEST_BUBBLE = 0.6, 7.0
_ARROW = 2.4  # scale of an arrow at the largest flow
_SHADE = 0.7  # opacity at the highest pressure


def frames_of(trace: BenchTrace) -> tuple[int, ...]:
    """Return the entries of a trace that are shown: the last cycle, or all of a record.

    A cycle starts in the middle of compression, so that a still picture shows flow.
    """
    last = len(trace.time) - 1
    if trace.cycle_steps:
        steps = trace.cycle_steps
        start = last - steps
        return tuple(
            start + (steps // 4 + number * steps // _FRAMES) % steps for number in range(_FRAMES)
        )
    first, span = trace.time[0], trace.time[-1] - trace.time[0]
    moments = (first + span * number / (_FRAMES - 1) for number in range(_FRAMES))
    return tuple(min(bisect_left(trace.time, moment), last) for moment in moments)


@dataclass(slots=True)
class _Stage:
    """Elements of the drawing, and what changes in them from frame to frame."""

    parts: dict[str, dict[str, list[str]]] = field(default_factory=dict)

    def moving(self, node: Node, part: str, **changes: list[str]) -> Node:
        """Name an element and keep its changes; it is drawn as in the first frame."""
        attributes = node[1]
        assert isinstance(attributes, dict)
        attributes["data-part"] = part
        named = {name.replace("_", "-"): values for name, values in changes.items()}
        for name, values in named.items():
            if name == "text":
                node[-1] = values[0]
            else:
                attributes[name] = values[0]
        self.parts[part] = named
        return node


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where things stand, in drawing units; y runs downward."""

    each: float  # drawing units for one metre
    bore: float  # radius
    rod: float  # radius
    guide: float  # y of the rod guide's lower face
    piston: float  # y of the piston's upper face at displacement zero
    thick: float  # of the piston
    floor: float  # y of the head side's lower end at displacement zero
    outer: float  # inner radius of the twin-tube's outer tube
    base: float  # y of the twin-tube's bottom
    end: float  # y of the monotube's bottom
    inward: float
    outward: float


def _plan(traces: Sequence[BenchTrace], frames: Sequence[int], reserve_oil: float) -> _Plan:
    twin, mono = traces
    damper, filling = twin.specimen.damper, twin.specimen.filling
    area = damper.piston_area
    rod_side, head_side = filling.rod_volume / damper.annulus_area, filling.head_volume / area
    reserve = (reserve_oil + filling.gas_volume) / (
        rod_side + head_side + _PISTON + _PLATE + _PASSAGE
    )
    outer = sqrt(damper.piston_diameter**2 / 4.0 + reserve / pi)
    column = mono.specimen.filling.gas_volume / area
    long = rod_side + head_side + _PISTON + _PLATE + max(column, _PASSAGE)
    path_of = [twin.displacement[index] for index in frames]
    inward, outward = max(0.0, *path_of), max(0.0, *(-x for x in path_of))
    each = min(_LONG / long, (_REACH - 2.0 * _WALL) / outer)
    guide = _TOP + _EYE + 14.0 + each * (inward + outward)
    floor = guide + each * (rod_side + _PISTON + head_side)
    return _Plan(
        each=each, bore=each * damper.piston_diameter / 2.0, rod=each * damper.rod_diameter / 2.0,
        guide=guide, piston=guide + each * rod_side, thick=each * _PISTON, floor=floor,
        outer=each * outer + _WALL, base=floor + each * (_PLATE + _PASSAGE),
        end=floor + each * (_PLATE + column), inward=each * inward, outward=each * outward,
    )  # fmt: skip


def _number(value: float) -> str:
    return f"{round(value, 1) or 0.0:g}"


def _series(values: Iterable[float]) -> list[str]:
    return [_number(value) for value in values]


def _down(values: Iterable[float]) -> list[str]:
    return [f"translate(0 {_number(value)})" for value in values]


@dataclass(frozen=True, slots=True)
class _Panel:
    """One damper in its half of the drawing."""

    trace: BenchTrace
    frames: tuple[int, ...]
    plan: _Plan
    stage: _Stage
    mark: str
    left: float
    highest: float  # Pa, deepest shade
    fastest: float  # m³/s, thickest arrow
    show: Callable[[float, str, str], str]

    @property
    def axis(self) -> float:
        return self.left + _AXIS

    def at(self, values: Sequence[float]) -> list[float]:
        """Return the shown entries of a trace's column."""
        return [values[index] for index in self.frames]

    def part(self, name: str) -> str:
        return f"{self.mark}-{name}"

    @property
    def path(self) -> list[float]:
        """Displacement of the rod in drawing units, downward."""
        return [self.plan.each * x for x in self.at(self.trace.displacement)]

    @property
    def gas_volumes(self) -> list[float]:
        filling = self.trace.specimen.filling
        return [
            filling.gas_volume * (filling.gas_pressure / p) ** (1.0 / filling.gas_exponent)
            for p in self.at(self.trace.pressure_gas)
        ]

    @property
    def floors(self) -> list[float]:
        """Lower end of the head side: the foot valve, or the dividing piston where it stands."""
        if self.mark == "twin":
            return [self.plan.floor] * len(self.frames)
        full = self.trace.specimen.filling.gas_volume
        to_length = self.plan.each / self.trace.specimen.damper.piston_area
        return [self.plan.floor + to_length * (full - volume) for volume in self.gas_volumes]

    # Oil, gas and bubbles

    def chambers(self) -> list[Node]:
        plan, axis = self.plan, self.axis
        ends = [plan.piston + x for x in self.path]
        below = [y + plan.thick for y in ends]
        shown = []
        for name, tops, bottoms, pressures in (
            ("rod", [plan.guide] * len(ends), ends, self.at(self.trace.pressure_rod)),
            ("head", below, self.floors, self.at(self.trace.pressure_head)),
        ):
            heights = [max(0.0, end - top) for top, end in zip(tops, bottoms, strict=True)]
            place = {"y": _series(tops), "height": _series(heights)}
            shades = [f"{_SHADE * p / self.highest:.2f}" for p in pressures]
            for kind, part, extra in (
                ("sb-p-oil-plain", f"{name}-oil", {}),
                ("sb-p-pressure", f"{name}-shade", {"fill_opacity": shades}),
            ):
                node = rect(kind, axis - plan.bore, 0.0, 2.0 * plan.bore, 0.0)
                shown.append(self.stage.moving(node, self.part(part), **place, **extra))
            shown += self.bubbles(name, heights)
        return shown

    def bubbles(self, chamber: str, heights: list[float]) -> list[Node]:
        """Draw the free gas of a chamber as bubbles, their section four times their share."""
        plan, trace = self.plan, self.trace
        on_rod = chamber == "rod"
        gas = self.at(trace.free_gas_rod if on_rod else trace.free_gas_head)
        area = trace.specimen.damper.annulus_area if on_rod else trace.specimen.damper.piston_area
        width = 2.0 * (plan.bore - (plan.rod if on_rod else 0.0))
        radii = []
        for volume, height in zip(gas, heights, strict=True):
            whole = area * height / plan.each
            share = min(1.0, volume / whole) if whole > 0.0 else 0.0
            radius = sqrt(_ENLARGED * share * width * height / (_BUBBLES * pi))
            radii.append(min(radius, _LARGEST_BUBBLE) if radius >= _SMALLEST_BUBBLE else 0.0)
        if on_rod:
            start, room = plan.guide, plan.piston - plan.guide - plan.outward
            inner = plan.rod
        else:
            room = plan.floor - plan.piston - plan.thick - plan.inward
            start, inner = plan.floor - room, 0.0
        part, drawn = self.part(f"{chamber}-bubble"), []
        for number in range(_BUBBLES):
            side = 1.0 if number % 2 else -1.0
            across = inner + (plan.bore - inner) * (0.3 + 0.4 * (number * 0.618 % 1.0))
            y = start + room * (number + 0.5) / _BUBBLES
            drawn.append(circle("sb-p-bubble", self.axis + side * across, y, 0.0))
        for node in drawn:
            self.stage.moving(node, part, r=_series(radii))
        return drawn

    # Steel

    def rod(self) -> Node:
        """Draw rod, piston, ports, discs and flow, which move together."""
        plan, axis = self.plan, self.axis
        top = plan.guide - 14.0 - plan.inward
        half, slot = plan.bore, 0.16 * plan.bore
        middle = 0.5 * (plan.rod + plan.bore)
        bottom = plan.piston + plan.thick
        parts = [
            rect("sb-p-steel", axis - plan.rod, top, 2.0 * plan.rod, bottom - top),
            circle("sb-p-steel", axis, top - 10.0, 11.0),
            circle("sb-p-rubber", axis, top - 10.0, 5.0),
            rect("sb-p-steel", axis - half, plan.piston, 2.0 * half, plan.thick),
        ]
        for side in (-1.0, 1.0):
            x = axis + side * middle
            parts.append(rect("sb-p-oil-plain", x - slot, plan.piston, 2.0 * slot, plan.thick))
        parts.append(
            line(
                "sb-p-disc",
                axis + plan.rod,
                plan.piston - 2.0,
                axis + half - 3.0,
                plan.piston - 2.0,
            )
        )
        parts.append(
            line("sb-p-disc", axis - plan.rod, bottom + 2.0, axis - half + 3.0, bottom + 2.0)
        )
        parts += self.arrows(
            "piston",
            plan.piston + plan.thick / 2.0,
            middle,
            self.at(self.trace.piston_flow),
            up=True,
        )
        return self.stage.moving(
            group("sb-p-group", parts), self.part("rod"), transform=_down(self.path)
        )

    def arrows(
        self, name: str, y: float, apart: float, flow: list[float], *, up: bool
    ) -> list[Node]:
        """Draw the flow through a valve: right as in compression, left as in rebound, thick as it is strong."""
        drawn = []
        for way, side, sign in (("compression", 1.0, 1.0), ("rebound", -1.0, -1.0)):
            tip = -1.0 if up == (way == "compression") else 1.0
            points = [(-2.0, -17.0 * tip), (2.0, -17.0 * tip), (2.0, 6.0 * tip), (6.0, 6.0 * tip),
                      (0.0, 19.0 * tip), (-6.0, 6.0 * tip), (-2.0, 6.0 * tip)]  # fmt: skip
            place = f"translate({_number(self.axis + side * apart)} {_number(y)})"
            sizes = [max(0.0, _ARROW * sign * q / self.fastest) for q in flow]
            arrow = path(f"sb-p-arrow-{way}", points, closed=True)
            drawn.append(
                self.stage.moving(
                    arrow, self.part(f"{name}-{way}"),
                    transform=[f"{place} scale({size:.2f} 1)" for size in sizes],
                )
            )  # fmt: skip
        return drawn

    def guide(self, radius: float) -> list[Node]:
        plan, axis = self.plan, self.axis
        wide = radius - plan.rod
        return [
            rect(
                "sb-p-steel",
                axis + (plan.rod if side > 0.0 else -radius),
                plan.guide - 12.0,
                wide,
                12.0,
            )
            for side in (-1.0, 1.0)
        ]

    def wall(self, radius: float, top: float, bottom: float) -> list[Node]:
        return [
            rect(
                "sb-p-steel",
                self.axis + (radius if side > 0.0 else -radius - _WALL),
                top,
                _WALL,
                bottom - top,
            )
            for side in (-1.0, 1.0)
        ]

    def twin(self, reserve_oil: float) -> list[Node]:
        """Draw reserve with its oil level, both tubes, foot valve and base."""
        plan, axis = self.plan, self.axis
        inner = plan.bore + _WALL
        filling = self.trace.specimen.filling
        whole, tall = reserve_oil + filling.gas_volume, plan.base - plan.guide
        heights = [tall * (whole - gas) / whole for gas in self.gas_volumes]
        level = {"y": _series(plan.base - h for h in heights), "height": _series(heights)}
        drawn: list[Node] = []
        for side in (-1.0, 1.0):
            x = axis + (inner if side > 0.0 else -plan.outer)
            drawn.append(rect("sb-p-gas", x, plan.guide, plan.outer - inner, tall))
            oil = rect("sb-p-oil", x, 0.0, plan.outer - inner, 0.0)
            drawn.append(self.stage.moving(oil, self.part("level"), **level))
        drawn.append(
            rect("sb-p-oil-plain", axis - inner, plan.floor, 2.0 * inner, plan.base - plan.floor)
        )
        plate, slot = plan.each * _PLATE, 0.16 * plan.bore
        foot = [rect("sb-p-steel", axis - plan.bore, plan.floor, 2.0 * plan.bore, plate)]
        foot += [
            rect(
                "sb-p-oil-plain",
                axis + side * 0.55 * plan.bore - slot,
                plan.floor,
                2.0 * slot,
                plate,
            )
            for side in (-1.0, 1.0)
        ]
        return [
            *drawn, *self.chambers(), *self.wall(plan.bore, plan.guide, plan.floor + plate),
            *self.wall(plan.outer, plan.guide - 12.0, plan.base),
            rect("sb-p-steel", axis - plan.outer - _WALL, plan.base, 2.0 * (plan.outer + _WALL), 6.0),
            *self.guide(plan.outer), *foot, self.rod(),
            *self.arrows("foot", plan.floor + plate / 2.0, 0.55 * plan.bore, self.at(self.trace.reserve_flow), up=False),
        ]  # fmt: skip

    def mono(self) -> list[Node]:
        """Draw the tube with dividing piston and gas."""
        plan, axis = self.plan, self.axis
        plate = plan.each * _PLATE
        tops = [y + plate for y in self.floors]
        gas = self.stage.moving(
            rect("sb-p-gas", axis - plan.bore, 0.0, 2.0 * plan.bore, 0.0), self.part("gas"),
            y=_series(tops), height=_series(max(0.0, plan.end - y) for y in tops),
        )  # fmt: skip
        divider = self.stage.moving(
            rect("sb-p-steel", axis - plan.bore, 0.0, 2.0 * plan.bore, plate),
            self.part("divider"), y=_series(self.floors),
        )  # fmt: skip
        return [
            gas, *self.chambers(), divider, *self.wall(plan.bore, plan.guide - 12.0, plan.end),
            rect("sb-p-steel", axis - plan.bore - _WALL, plan.end, 2.0 * (plan.bore + _WALL), 6.0),
            *self.guide(plan.bore), self.rod(),
        ]  # fmt: skip

    # Words and force

    def pressure(self, name: str, label: str, y: float, values: list[float]) -> list[Node]:
        shown = [self.show(p, "pressure_absolute", "bar") for p in values]
        x = self.left + 2.0
        return [
            words("sb-p-words-soft", x, y, label),
            self.stage.moving(words("sb-p-words", x, y + 19.0, ""), self.part(name), text=shown),
        ]

    def labels(self) -> list[Node]:
        plan, trace = self.plan, self.trace
        middle = 0.5 * (plan.piston + plan.thick + plan.floor) - 4.0
        rod, head = plan.guide + 16.0, max(middle, plan.guide + 62.0)
        shown: list[Node] = []
        if self.mark == "twin":  # its gas stands at the top, beside the rod side
            gas = rod + 50.0
            head = max(head, gas + 46.0)
            edge = self.axis - plan.outer + 3.0
            shown.append(line("sb-p-dim", self.left + 34.0, gas - 5.0, edge, gas - 5.0))
        else:
            gas = max(plan.floor + 20.0, head + 46.0)
        return [
            *shown,
            *self.pressure("p-rod", "rod side", rod, self.at(trace.pressure_rod)),
            *self.pressure("p-gas", "gas", gas, self.at(trace.pressure_gas)),
            *self.pressure("p-head", "head side", head, self.at(trace.pressure_head)),
        ]

    def force(self, top: float, largest: float) -> list[Node]:
        """Draw force over time with a marker that runs along."""
        left, wide = self.left + 6.0, _PANEL - 22.0
        middle, count = top + _STRIP / 2.0, len(self.frames)
        xs = [left + wide * number / max(1, count - 1) for number in range(count)]
        forces = self.at(self.trace.force)
        ys = [middle - 0.46 * _STRIP * force / largest for force in forces]
        dot = circle("sb-p-marker", 0.0, 0.0, 5.0)
        shown = [self.show(force, "force", "N") for force in forces]
        return [
            line("sb-p-dim", left, middle, left + wide, middle),
            path("sb-p-line", list(zip(xs, ys, strict=True))),
            self.stage.moving(dot, self.part("marker"), cx=_series(xs), cy=_series(ys)),
            words("sb-p-words-soft", left, top - 8.0, "force"),
            self.stage.moving(
                words("sb-p-words", left + 48.0, top - 8.0, ""), self.part("force"), text=shown
            ),
        ]


def _moment(velocity: float, show: Callable[[float, str, str], str]) -> str:
    if velocity == 0.0:
        return "reversal"
    return f"{'compression' if velocity > 0.0 else 'rebound'}, {show(abs(velocity), 'velocity', 'm/s')}"


def draw_cutaways(twin: BenchTrace, mono: BenchTrace, reserve_oil: float, units: Units) -> Sketch:
    """Return both dampers in section, moving through the last cycle or the whole record."""
    frames, stage = frames_of(twin), _Stage()
    plan = _plan((twin, mono), frames, reserve_oil)

    def show(value: float, quantity: str, unit: str) -> str:
        return format_value(value, unit=units.of(quantity, unit), quantity=quantity, digits=3)

    def over_both(columns: Callable[[BenchTrace], Iterable[Sequence[float]]]) -> float:
        return max(
            abs(column[index])
            for trace in (twin, mono)
            for column in columns(trace)
            for index in frames
        )

    highest = over_both(lambda trace: (trace.pressure_head, trace.pressure_rod))
    fastest = over_both(lambda trace: (trace.piston_flow, trace.reserve_flow)) or 1.0
    largest = over_both(lambda trace: (trace.force,)) or 1.0
    panels = [
        _Panel(trace, frames, plan, stage, mark, number * _PANEL, highest, fastest, show)
        for number, (mark, trace) in enumerate((("twin", twin), ("mono", mono)))
    ]
    strip = max(plan.base, plan.end) + 46.0
    moment = stage.moving(
        words("sb-p-words-middle", _PANEL, 18.0, ""), "moment",
        text=[_moment(twin.velocity[index], show) for index in frames],
    )  # fmt: skip
    drawn: list[Node] = [moment]
    for panel, name in zip(panels, ("Twin-tube", "Monotube"), strict=True):
        drawn.append(words("sb-p-words-strong", panel.left + 2.0, 44.0, name))
        drawn += panel.twin(reserve_oil) if panel.mark == "twin" else panel.mono()
        drawn += [*panel.labels(), *panel.force(strip, largest)]
    first, last = (
        (twin.time[-1 - twin.cycle_steps], twin.time[-1])
        if twin.cycle_steps
        else (twin.time[0], twin.time[-1])
    )
    duration = last - first
    slow = next((factor for factor in (1.0, 4.0, 16.0, 64.0) if factor * duration >= 2.0), 64.0)  # noqa: PLR2004  s, to follow by eye
    return Sketch(
        2.0 * _PANEL, strip + _STRIP + 8.0, tuple(drawn), Motion(duration, stage.parts, slow)
    )
