"""The bar of the job, the guided path, the comparison of candidates and the specification."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators import demo
from calculators.candidates import CHANGES, CRITERIA, MOST
from calculators.field import Choice, Input
from calculators.quantities import QUANTITIES
from calculators.sheets import load
from site_src.render.html import environment

if TYPE_CHECKING:
    from calculators.sheet import Sheet

__all__ = ["STEPS", "candidates_html", "job_bar_html", "job_path_html", "specification_html"]

_DEMOS = {"trailer": "Water-testing trailer", "pickup": "Fire-patrol pickup"}


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the guided path: a heading, what is decided in it, its calculators."""

    key: str
    title: str
    does: str
    sheets: tuple[str, ...]
    aside: tuple[str, ...] = ()


# Each calculator stands in one step; those in `aside` answer a question on the way.
STEPS = (
    Step("corner", "The vehicle corner",
         "Where the damper stands, and how far the wheel moves. Everything later leans on these "
         "two ratios and lengths.",
         ("mount-geometry",), ("bounce-test",)),
    Step("spring", "Spring and travel",
         "Masses empty and loaded and the spring rate give the wheel rate and the body "
         "frequency. Load and leaf friction move both.",
         ("critical-damping", "load-range"), ("leaf-friction",)),
    Step("target", "Damping target",
         "The damping ratio and the split that you choose become a table of forces. Look at "
         "what body, wheel and tyre make of it before you build it.",
         ("frequency-view",)),
    Step("construction", "Construction and gas",
         "Bore and rod for the forces, oil for the temperatures, room for the rod, and the "
         "charge. Compare twin-tube and monotube below before you go on.",
         ("oil-viscosity", "bore-choice", "rod-displacement", "gas-force")),
    Step("valves", "Valves",
         "Bleed, ports, preload and shims that give the target, in sizes that can be made.",
         ("valve-sizing", "force-velocity"), ("shim-stack", "flow-element")),
    Step("cavitation", "Cavitation and lag",
         "Up to which speed the oil holds together, how late the force comes, and what the "
         "bench would draw.",
         ("cavitation-margin", "lag", "virtual-bench")),
    Step("road", "Road and heat",
         "The job's own road: grip, travel, rod speeds, heat, and the minutes to the limit of "
         "the seals.",
         ("ride-run", "speed-map", "heat-and-fade")),
    Step("limits", "Limits",
         "What holds the damper, and what the bench accepts: rod, bolts, and the charge with its "
         "tolerance. The limits of the forces follow from the target and the deviation allowed.",
         ("rod-and-bolt", "gas-charge")),
)  # fmt: skip


def job_bar_html() -> str:
    """Return the bar of the job; the script shows it."""
    demos = [(name, _DEMOS[name]) for name in demo.NAMES]
    return environment().get_template("job_bar.html").render(demos=demos)


def job_path_html() -> str:
    """Return the steps of the whole job, in order; the script adds how far the reader's job is."""

    def sheets(names: tuple[str, ...]) -> list[Sheet]:
        return [load(name) for name in names]

    steps = [(step, sheets(step.sheets), sheets(step.aside)) for step in STEPS]
    bar = job_bar_html()
    return bar + environment().get_template("job_path.html").render(steps=steps)


def candidates_html() -> str:
    """Return the form and the table in which candidates stand side by side."""
    changes = []
    for key, (sheet, name) in CHANGES.items():
        item = load(sheet).input(name)
        assert isinstance(item, Choice | Input)
        options = item.options if isinstance(item, Choice) else ()
        units = QUANTITIES[item.quantity].units if isinstance(item, Input) else ()
        unit = item.unit if isinstance(item, Input) else ""
        changes.append(
            {"key": key, "label": item.label, "options": options, "units": units, "unit": unit}
        )
    return (
        environment()
        .get_template("job_candidates.html")
        .render(changes=changes, criteria=CRITERIA, most=MOST)
    )


def specification_html() -> str:
    """Return the empty specification, which the script fills from the open job."""
    return job_bar_html() + environment().get_template("job_specification.html").render()
