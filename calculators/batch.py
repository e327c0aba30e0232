"""A batch of made dampers: one verdict each, and what all of them say of the making.

Units are added one by one, so a large batch needs no more memory than its table.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isfinite
from typing import TYPE_CHECKING, Any

from calculators.physics.acceptance import accept
from calculators.physics.capability import FEW, capability
from calculators.table_file import csv_text

if TYPE_CHECKING:
    from calculators.physics.acceptance import Check, Demand, Specification, Verdict
    from calculators.physics.capability import Capability
    from calculators.physics.trace import TraceReport
    from calculators.table_file import TableValue

__all__ = ["Batch", "Unit", "check_plain", "demand_name", "verdict_plain"]


@dataclass(frozen=True, slots=True)
class Unit:
    """One damper of a batch: its verdict, or why it has none."""

    name: str
    verdict: Verdict | None
    fault: str = ""


def demand_name(demand: Demand) -> str:
    """Return a demand in words: "rebound at 0.26 m/s"."""
    return "gas force" if demand.side == "gas" else f"{demand.side} at {demand.velocity:g} m/s"


def check_plain(check: Check) -> dict[str, Any]:
    """Return a check as plain data, in SI."""
    low, high = check.demand.limits
    return {
        "demand": demand_name(check.demand),
        "side": check.demand.side,
        "velocity_m_s": check.demand.velocity,
        "wanted_N": check.demand.force,
        "lowest_N": low,
        "highest_N": high,
        "measured_N": check.measured,
        "deviation": check.deviation,
        "passed": check.passed,
    }


def verdict_plain(verdict: Verdict) -> dict[str, Any]:
    """Return a verdict as plain data."""
    return {
        "passed": verdict.passed,
        "complete": verdict.complete,
        "checks": [check_plain(check) for check in verdict.checks],
    }


@dataclass(slots=True)
class Batch:
    """Units against one specification, in the order in which they were made."""

    specification: Specification
    units: list[Unit] = field(default_factory=list)

    def add(self, name: str, report: TraceReport) -> Unit:
        """Judge one unit by its bench trace, and keep the verdict."""
        verdict = accept(
            specification=self.specification,
            velocities=report.velocities,
            compression=report.compression,
            rebound=report.rebound,
            gas_force=report.gas_force,
        )
        return self._keep(Unit(name, verdict))

    def refuse(self, name: str, fault: str) -> Unit:
        """Keep a unit whose trace could not be read, with the reason."""
        return self._keep(Unit(name, None, fault))

    def _keep(self, unit: Unit) -> Unit:
        self.units.append(unit)
        return unit

    @property
    def passed(self) -> int:
        """Number of units that passed."""
        return sum(unit.verdict is not None and unit.verdict.passed for unit in self.units)

    @property
    def few(self) -> bool:
        """Whether there are too few units for their spread to say much."""
        return len(self.units) < FEW

    def series(self, place: int) -> list[tuple[str, float]]:
        """Return the run chart of a demand: unit and force, in the order of making."""
        found = []
        for unit in self.units:
            if unit.verdict is not None:
                measured = unit.verdict.checks[place].measured
                if measured is not None:
                    found.append((unit.name, measured))
        return found

    def capabilities(self, *, confidence: float = 0.95) -> list[Capability | None]:
        """Return one capability for each demand; None where fewer than two units were measured."""
        found: list[Capability | None] = []
        for place, demand in enumerate(self.specification.demands):
            values = [force for _, force in self.series(place)]
            low, high = demand.limits
            found.append(
                capability(values=values, lower=low, upper=high, confidence=confidence)
                if len(values) > 1
                else None
            )
        return found

    @property
    def worst(self) -> tuple[Unit, Check] | None:
        """The unit that uses most of its band, and where."""
        worst = None
        for unit in self.units:
            check = unit.verdict.worst if unit.verdict is not None else None
            if check is not None and (worst is None or check.use > worst[1].use):
                worst = (unit, check)
        return worst

    def csv(self) -> str:
        """Return the units as CSV: verdict, forces [N] and deviations."""
        heads = ["unit", "verdict", "fault"]
        for demand in self.specification.demands:
            name = demand_name(demand)
            heads += [f"{name} [N]", f"{name} deviation [1]"]
        rows = []
        for unit in self.units:
            row: list[TableValue] = [unit.name, _word(unit), unit.fault]
            for place in range(len(self.specification.demands)):
                check = unit.verdict.checks[place] if unit.verdict is not None else None
                row += [check.measured, check.deviation] if check is not None else [None, None]
            rows.append(row)
        return csv_text(heads, rows)

    def plain(self) -> dict[str, Any]:
        """Return the batch as plain data, in SI."""
        worst = self.worst
        return {
            "specification": self.specification.title,
            "units": len(self.units),
            "passed": self.passed,
            "few": self.few,
            "worst": None
            if worst is None
            else {"unit": worst[0].name, "demand": demand_name(worst[1].demand)},
            "demands": [
                {
                    "demand": demand_name(demand),
                    "lowest_N": demand.limits[0],
                    "highest_N": demand.limits[1],
                    "capability": None if found is None else _capability_plain(found),
                    "run_chart": self.series(place),
                }
                for place, (demand, found) in enumerate(
                    zip(self.specification.demands, self.capabilities(), strict=True)
                )
            ],
            "table": [
                {
                    "unit": unit.name,
                    "verdict": _word(unit),
                    "fault": unit.fault,
                    "checks": [] if unit.verdict is None else verdict_plain(unit.verdict)["checks"],
                }
                for unit in self.units
            ],
        }


def _capability_plain(found: Capability) -> dict[str, Any]:
    names = "count mean spread lowest highest cp cp_low cp_high cpk cpk_low cpk_high few"
    values = {name: getattr(found, name) for name in names.split()}
    # JSON has no infinity: without spread a capability does not arise
    return {
        name: value if not isinstance(value, float) or isfinite(value) else None
        for name, value in values.items()
    }


def _word(unit: Unit) -> str:
    if unit.verdict is None:
        return "not measured"
    if unit.verdict.passed:
        return "pass"
    return "fail" if unit.verdict.complete else "incomplete"
