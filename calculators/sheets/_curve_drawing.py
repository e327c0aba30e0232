"""The charts of the force-velocity sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from calculators.chart import Curve, Drawing, Point, grid
from calculators.sheets._curve_state import adjusted, reached, scales_of, shown, state_at

if TYPE_CHECKING:
    from collections.abc import Iterable

    from calculators.chart import Side
    from calculators.physics.network import OperatingPoint
    from calculators.sheet import Given, Result
    from calculators.sheets._curve_state import State

__all__ = ["draw_curve", "draw_pressures"]

_FAMILY = 4  # curves of the adjuster that are drawn at most


def _velocities(result: Result) -> tuple[float, ...]:
    """Return speeds for drawing, close together where the curve bends, and where it ends."""
    most = result.given["greatest_speed"]
    ends = [
        sign * speed * (1.0 - 1e-7)
        for name, sign in (("cavitation_compression", 1.0), ("cavitation_rebound", -1.0))
        if (speed := result.outputs[name]) is not None
    ]
    return tuple(sorted([*ends, *(most * share * abs(share) for share in grid(-1.0, 1.0, 61))]))


def _drawn(result: Result, state: State, label: str, role: str) -> Curve:
    return _curve(result.given, label, role, [state.at(speed) for speed in _velocities(result)])


def _curve(given: Given, label: str, role: str, points: Iterable[OperatingPoint]) -> Curve:
    """Return the part of a curve that is reached without cavitation."""
    whole = [point for point in points if reached(given, point)]
    return Curve(
        label,
        role,
        [point.velocity for point in whole],
        [shown(given, point) for point in whole],
    )


def _marks(result: Result, state: State) -> tuple[Point, ...]:
    """Return the places where the regime changes or cavitation begins, as far as they are reached."""
    given = result.given
    points = []
    marks: tuple[tuple[str, float, str, Side], ...] = (
        ("opening_compression", 1.0, "disc opens", "below right"), ("opening_rebound", -1.0, "disc opens", "above left"),
        ("port_compression", 1.0, "ports", "below right"), ("port_rebound", -1.0, "ports", "below right"),
        ("cavitation_compression", 1.0, "limit", "above left"), ("cavitation_rebound", -1.0, "limit", "below right"),
    )  # fmt: skip
    for name, sign, label, side in marks:
        speed = result.outputs[name]
        if speed is None or not 0.0 < speed <= given["greatest_speed"]:
            continue
        point = state.at(sign * speed)
        if label == "limit" or reached(given, point):
            points.append(Point(label, point.velocity, shown(given, point), side))
    return tuple(points)


def draw_curve(result: Result) -> Drawing:
    given = result.given
    state = state_at(given, given["temperature"])
    family = given.choice("family")
    usual = _drawn(result, state, "damper", "accent")
    if family == "temperature":
        hot, cold = (
            _drawn(result, state_at(given, given[f"temperature_{word}"]), word, role)
            for word, role in (("hot", "look"), ("cold", "rebound"))
        )
        curves: tuple[Curve, ...] = (_drawn(result, state, "usual", "accent"), hot, cold)
    elif family == "clicks":
        curves = (replace(usual, label="as given"), *_click_curves(result, state))
    elif family == "tolerance":
        curves = (usual, *_band_curves(result))
    else:
        curves = (usual, *_target_curve(given, state))
    return Drawing(curves, _marks(result, state))


def _click_curves(result: Result, state: State) -> list[Curve]:
    """Return the curves of the clicks, from closed to open, and of some where there are many."""
    given, scales = result.given, scales_of(result.given)
    last = len(scales) - 1
    drawn = sorted({round(last * place / (_FAMILY - 1)) for place in range(_FAMILY)})
    curves = []
    family = adjusted(state, tuple(scales[click] for click in drawn), _velocities(result))
    for click, points in zip(drawn, family, strict=True):
        words = {0: "click 0, closed", last: f"click {last}, open"}.get(click, f"click {click}")
        role = {0: "look", last: "rebound"}.get(click, "steel")
        curves.append(_curve(given, words, role, points))
    return curves


def _band_curves(result: Result) -> tuple[Curve, ...]:
    (table,) = (table for table in result.tables if table.name == "band")
    ends = []
    for speed, words, low, _, high, _ in table.rows:
        assert isinstance(speed, float)
        assert isinstance(low, float)
        assert isinstance(high, float)
        sign = 1.0 if words == "compression" else -1.0
        ends.append((sign * speed, *sorted((sign * low, sign * high))))
    speeds, lows, highs = zip(*ends, strict=True)
    return Curve("least", "rebound", speeds, lows), Curve("greatest", "look", speeds, highs)


def _target_curve(given: Given, state: State) -> tuple[Curve, ...]:
    rows = sorted(row for row in given.rows("target_forces") if row[0] <= given["greatest_speed"])
    if not rows:
        return ()
    rest = state.at(0.0).gas_force if given.choice("gas_shown") == "in" else 0.0
    speeds = (*(-row[0] for row in reversed(rows)), 0.0, *(row[0] for row in rows))
    forces = (*(rest - row[2] for row in reversed(rows)), rest, *(rest + row[1] for row in rows))
    return (Curve("target", "ink", speeds, forces),)


def draw_pressures(result: Result) -> Drawing:
    given = result.given
    state = state_at(given, given["temperature"])
    speeds = _velocities(result)
    points = [point for speed in speeds if reached(given, point := state.at(speed))]
    drawn = [point.velocity for point in points]
    release = given["release_pressure"]
    marks = tuple(
        Point("limit", sign * speed, release)
        for name, sign in (("cavitation_compression", 1.0), ("cavitation_rebound", -1.0))
        if (speed := result.outputs[name]) is not None
    )
    return Drawing(
        (
            Curve("rod side", "rebound", drawn, [point.pressure_rod for point in points]),
            Curve("head side", "compression", drawn, [point.pressure_head for point in points]),
            Curve("release pressure", "stop", (speeds[0], speeds[-1]), (release, release)),
        ),
        marks,
    )
