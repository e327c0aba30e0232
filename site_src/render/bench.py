"""Bench trace, batch and explanation: the tools, with an invented example printed into the page.

The example goes the way of a reader's file, through the requests of the page.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from calculators.trace_request import KINDS, OPERATIONS
from site_src.render.chart import NARROW, WIDE, chart_svg
from site_src.render.html import environment

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["batch_html", "explained_html", "trace_html"]

_NUMBER, _BATCH = 7, 3  # seeds of the examples
_KIND = "bleed"  # the damper of the printed trace
_UNITS = 6  # of the printed batch
_DEMANDED = 7  # demand whose run chart is printed: rebound at the slowest speed


def _ask(operation: str, **arguments: Any) -> Any:  # noqa: ANN401  plain JSON
    answer = OPERATIONS[operation](**arguments)
    if "refused" in answer:
        raise ValueError(answer["refused"])
    return answer


@cache
def _demo() -> Mapping[str, Any]:
    demo: Mapping[str, Any] = _ask("trace.demo")
    return demo


def _measured(
    key: str, number: int = _NUMBER, **kind: Any,  # noqa: ANN401  plain JSON
) -> tuple[str, Mapping[str, Any]]:  # fmt: skip
    """Measure an invented trace under a key, and return its name and its figures."""
    made = _ask("trace.invent", number=number, **kind)
    _ask("trace.begin", id=key, piece=made["text"].encode())
    return made["name"], _ask("trace.finish", id=key)["figures"]


def _drawn(wide: Mapping[str, Any], narrow: Mapping[str, Any]) -> list[dict[str, Any]]:
    return [
        {
            **chart,
            "wide": chart_svg(chart),
            "narrow": chart_svg(phone),
        }
        for chart, phone in zip(wide["charts"], narrow["charts"], strict=True)
    ]


def _explained(key: str) -> Any:  # noqa: ANN401  plain JSON
    return _ask("trace.explain", id=key, job=_demo()["job"])


def trace_html() -> str:
    """Return the tool that reads a bench trace."""
    name, _ = _measured("example", kind=_KIND)
    wide, narrow = (
        _ask(
            "trace.report", id="example", name=name, width=width,
            specification=_demo()["specification"],
        )
        for width in (WIDE, NARROW)
    )  # fmt: skip
    return (
        environment()
        .get_template("bench_trace.html")
        .render(
            kinds={key: words for key, (words, _) in KINDS.items()},
            kind=_KIND,
            report=wide,
            charts=_drawn(wide, narrow),
            explained=_explained("example"),
        )
    )


def batch_html() -> str:
    """Return the tool that judges a batch."""
    units = []
    for unit in range(1, _UNITS + 1):
        name, figures = _measured("example", _BATCH, unit=unit)
        units.append({"name": name.removesuffix(".csv"), "figures": figures})
    wide, narrow = (
        _ask(
            "batch.summary", specification=_demo()["specification"], units=units,
            demand=_DEMANDED, width=width,
        )
        for width in (WIDE, NARROW)
    )  # fmt: skip
    return (
        environment()
        .get_template("bench_batch.html")
        .render(report=wide, charts=_drawn(wide, narrow), demand=_DEMANDED)
    )


def explained_html() -> str:
    """Return what explains each of the invented dampers."""
    cases = []
    for kind, (words, _) in KINDS.items():
        _measured("example", kind=kind)
        cases.append((words, _explained("example")))
    return environment().get_template("bench_explained.html").render(cases=cases)
