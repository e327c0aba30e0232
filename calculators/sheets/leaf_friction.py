"""Leaf friction: how much damping the rubbing leaves of a spring amount to."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.physics import corner
from calculators.sheet import Input, Level, Output, Sheet

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]


def _damping(given: Given, amplitude: float) -> float:
    return corner.friction_damping(
        friction_force=given["friction"],
        angular_frequency=2.0 * pi * given["frequency"],
        amplitude=amplitude,
    )


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    damping = work.step(
        "Equivalent damping, with ω = 2πf",
        "c_eq = 4*F_f/(pi*2*pi*f*X)",
        _damping(given, given["amplitude"]),
        quantity="damping",
        source=corner.friction_damping,
    )
    work.finding(
        Level.LOOK_CLOSER,
        "Friction damps small motion most: at twice the amplitude this falls to half, and the "
        "wheel stays stuck where the spring's force cannot overcome {friction}.",
    )
    return {"damping": damping}


def _draw(result: Result) -> Drawing:
    given, here = result.given, result.given["amplitude"]
    amplitudes = grid(here / 4.0, here * 4.0, 61)
    damping = tuple(_damping(given, amplitude) for amplitude in amplitudes)
    curve = Curve("damping", "accent", amplitudes, damping)
    return Drawing((curve,), (Point("here", here, _damping(given, here)),))


SHEET = Sheet(
    name="leaf-friction",
    title="Leaf-spring friction",
    question="How much damping does the friction between the leaves amount to?",
    page="calculate/leaf-friction.md",
    inputs=(
        Input(
            name="friction", label="Friction force", symbol="F_f", quantity="force", unit="N",
            default=400.0, minimum=1.0, maximum=20_000.0, group="Spring",
            reason="Half the gap between the loading and the unloading line.",
            help="At the wheel: half the difference of the forces on the way in and out.",
        ),
        Input(
            name="amplitude", label="Amplitude", symbol="X", quantity="length", unit="mm",
            default=0.012, minimum=0.000_5, maximum=0.3, group="Motion",
            reason="Half the travel from end to end, at the wheel.",
            help="Of the wheel against the body.",
        ),
        Input(
            name="frequency", label="Frequency", symbol="f", quantity="frequency", unit="Hz",
            default=1.5, minimum=0.1, maximum=50.0, group="Motion",
            reason="The body swings at 1 to 2 Hz, the wheel at 10 to 15 Hz.",
            help="Of the motion that is to be damped.",
        ),
    ),
    outputs=(
        Output(
            name="damping", label="Equivalent damping", symbol="c_eq", quantity="damping",
            unit="N·s/m", headline=True,
            meaning="A damper at the wheel that takes the same energy from each cycle.",
        ),
    ),
    calculate=_calculate,
    charts=(
        Chart(
            name="over-amplitude", title="Equivalent damping over amplitude",
            statement="Friction damps small motion strongly and large motion hardly at all.",
            x=Axis("Amplitude", "length", "mm", like="amplitude"),
            y=Axis("Equivalent damping", "damping", "N·s/m", like="damping"), draw=_draw,
        ),
    ),
    limits=(
        "Dry friction of constant force; one frequency, one amplitude.",
        "Below the breakaway force nothing moves, and the formula does not apply.",
    ),
)  # fmt: skip
