"""The table of outside checks, ours beside theirs."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from typing import Any

from calculators.quantities import format_number, format_value
from site_src.evidence import KINDS, Row, all_rows, compute
from site_src.render.html import environment

__all__ = ["evidence_html"]

_DIGITS = 8


def _shown(row: Row, number: int) -> dict[str, Any]:
    ours = compute(row)
    deviation = abs(ours - row.expected)
    return {
        "anchor": f"{row.function}-{number}",
        "used": deviation / row.allowed if row.allowed else 0.0,
        "function": row.function,
        "field": row.field,
        "inputs": ", ".join(f"{name} = {_short(value)}" for name, value in row.inputs.items()),
        "expected": format_number(row.expected, digits=_DIGITS),
        "ours": format_number(ours, digits=_DIGITS),
        "deviation": format_number(ours - row.expected, digits=2),
        "allowed": format_number(row.allowed, digits=2),
        "unit": "" if row.unit == "1" else row.unit,
        "kind": row.kind,
        "source": row.source,
        "note": row.note,
    }


def _topic(name: str, rows: list[dict[str, Any]]) -> dict[str, Any]:
    worst = format_value(max(row["used"] for row in rows), unit="%", quantity="percent", digits=2)
    return {"name": name.replace("_", " "), "entries": rows, "worst": worst}


def _short(value: object) -> str:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return format_number(float(value), digits=6)
    if isinstance(value, list):
        return f"[{', '.join(_short(item) for item in value)}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{name}: {_short(item)}' for name, item in value.items())}}}"
    return str(value)


def evidence_html() -> str:
    """Return all rows as tables by topic, with a count by kind."""
    rows = all_rows()
    counts = Counter(row.kind for row in rows)
    seen: Counter[str] = Counter()
    shown = []
    for row in rows:
        seen[row.function] += 1
        shown.append((row.topic, _shown(row, seen[row.function])))
    topics = [
        _topic(topic, [item for _, item in group])
        for topic, group in groupby(shown, key=lambda pair: pair[0])
    ]
    kinds = [(kind, words, counts[kind]) for kind, words in KINDS.items()]
    return (
        environment()
        .get_template("evidence.html")
        .render(topics=topics, kinds=kinds, total=len(rows))
    )
