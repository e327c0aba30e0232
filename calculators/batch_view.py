"""A batch of units as the page shows it: verdicts, spread, capability, run chart."""

from __future__ import annotations

import json
from math import isfinite
from typing import TYPE_CHECKING, Any

from calculators.batch import demand_name
from calculators.bench_view import Figure, figure_view, percent, table_view
from calculators.chart import Axis, Curve, Drawing, Point
from calculators.quantities import format_number
from calculators.trace_view import verdict_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.batch import Batch
    from calculators.physics.capability import Capability
    from calculators.view import Units

__all__ = ["batch_view"]

_UNIT = Axis("Unit, in the order of making", "count", "1")


def batch_view(batch: Batch, *, demand: int, units: Units, width: int) -> dict[str, Any]:
    """Return everything about a batch; `demand` says of which one the run chart is drawn."""
    capabilities = batch.capabilities()
    names = [demand_name(one) for one in batch.specification.demands]
    chart = _run_chart(batch, demand, capabilities[demand])
    whole = bool(batch.units) and batch.passed == len(batch.units)
    return {
        "title": batch.specification.title,
        "verdict": "pass" if whole else "fail",
        "said": f"{batch.passed} of {len(batch.units)} units pass.",
        "findings": _findings(batch),
        "tables": [_unit_table(batch, units), _spread_table(names, batch, capabilities, units)],
        "demands": names,
        "charts": [] if chart is None else [figure_view(chart, units, width=width)],
        "csv": batch.csv(),
        "json": json.dumps(batch.plain(), ensure_ascii=False, allow_nan=False, indent=2) + "\n",
    }


def _findings(batch: Batch) -> list[dict[str, str]]:
    said = []
    if batch.worst is not None:
        unit, check = batch.worst
        said.append(
            f"Worst unit: {unit.name}, {demand_name(check.demand)}, at {percent(check.deviation)} "
            f"from what is wanted: {format_number(100.0 * check.use, digits=3)} % of the way to "
            "its limit."
        )
    if batch.few:
        said.append(
            f"{len(batch.units)} units are few. Below 25, spread and capability are uncertain: "
            "read their limits, not the figures alone."
        )
    said += [f"{unit.name}: {unit.fault}" for unit in batch.units if unit.verdict is None]
    return [{"level": "look closer", "text": text} for text in said]


def _unit_table(batch: Batch, units: Units) -> dict[str, Any]:
    columns = [
        (label, "", "")
        for label in (
            "Unit", "Verdict", "Demands met", "Furthest off", "Deviation there", "Way to the limit",
        )
    ]  # fmt: skip
    rows: list[list[float | str | None]] = []
    for unit in batch.units:
        verdict = unit.verdict
        worst = None if verdict is None else verdict.worst
        if verdict is None or worst is None:
            rows.append([unit.name, "not measured", None, None, None, None])
            continue
        met = sum(check.passed for check in verdict.checks)
        rows.append(
            [
                unit.name, verdict_words(verdict)[0], f"{met} of {len(verdict.checks)}",
                demand_name(worst.demand), percent(worst.deviation),
                f"{format_number(100.0 * worst.use, digits=3)}\u00a0%",
            ]
        )  # fmt: skip
    return table_view("units", "Verdict on each unit", columns, rows, units)


def _spread_table(
    names: Sequence[str], batch: Batch, capabilities: Sequence[Capability | None], units: Units
) -> dict[str, Any]:
    columns = [
        ("Demand", "", ""), ("At least", "force", "N"), ("At most", "force", "N"),
        ("Units", "", ""), ("Mean", "force", "N"), ("Standard deviation", "force", "N"),
        ("Capability $C_p", "", ""), ("95 % limits of $C_p", "", ""),
        ("Capability $C_pk", "", ""), ("95 % limits of $C_pk", "", ""),
    ]  # fmt: skip
    rows: list[list[float | str | None]] = []
    for name, demand, found in zip(names, batch.specification.demands, capabilities, strict=True):
        low, high = demand.limits
        if found is None:
            rows.append([name, low, high, *[None] * 7])
            continue
        rows.append(
            [
                name, low, high, format_number(found.count), found.mean, found.spread,
                _ratio(found.cp), _range(found.cp_low, found.cp_high),
                _ratio(found.cpk), _range(found.cpk_low, found.cpk_high),
            ]
        )  # fmt: skip
    return table_view("spread", "Mean, spread and capability of each demand", columns, rows, units)


def _ratio(value: float) -> str | None:
    return format_number(round(value, 2)) if isfinite(value) else None


def _range(low: float, high: float) -> str | None:
    if not (isfinite(low) and isfinite(high)):
        return None
    return f"{format_number(round(low, 2))} to {format_number(round(high, 2))}"


def _run_chart(batch: Batch, demand: int, found: Capability | None) -> Figure | None:
    """Return the forces of one demand in the order of making; None if nothing was measured."""
    asked = batch.specification.demands[demand]
    series = [
        (float(number), force)
        for number, unit in enumerate(batch.units, start=1)
        if unit.verdict is not None and (force := unit.verdict.checks[demand].measured) is not None
    ]
    if not series:
        return None
    low, high = asked.limits
    ends = (0.5, len(batch.units) + 0.5)
    curves = [Curve("measured", "accent", *zip(*series, strict=True))]
    if found is not None:
        curves.append(Curve("mean", "steel", ends, (found.mean, found.mean)))
    name = demand_name(asked)
    return Figure(
        name="run",
        title=f"Run chart: {name}",
        statement="One point a unit, in the order of making. The shaded band is what is allowed.",
        x=_UNIT,
        y=Axis("Force", "force", "N"),
        drawing=Drawing(tuple(curves), tuple(Point("", *pair) for pair in series)),
        band=[(at, low, high) for at in ends],
        whole=True,
    )
