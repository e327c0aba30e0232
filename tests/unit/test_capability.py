"""A batch in figures, the verdict on a unit, and tables that cannot start a formula."""

from __future__ import annotations

import csv
import io
import json
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from calculators import demo, specification
from calculators.batch import Batch, demand_name
from calculators.errors import ConflictError, FileFormatError, InputError, OutOfRangeError
from calculators.job import Job
from calculators.physics.acceptance import (
    Band,
    Demand,
    Specification,
    accept,
    measured_at,
)
from calculators.physics.capability import capability, chi_square_share, chi_square_value
from calculators.physics.trace import Loop, SpeedPoint, TraceReport
from calculators.table_file import csv_text, safe_text

BAND = Band(share=0.1, force=20.0)
SPEC = Specification(
    "Test",
    (
        Demand("compression", 0.26, 500.0, BAND),
        Demand("rebound", 0.26, 1_000.0, BAND),
        Demand("gas", 0.0, 300.0, BAND),
    ),
)


def _report(compression: float, rebound: float, gas: float) -> TraceReport:
    """Return a report of one speed with these forces."""
    loop = Loop((0.0,), (0.0,), (0.0,))
    point = SpeedPoint(
        0.26, compression, rebound, 0.0, 0.0, 3, 1.0, 0.025, 1.0, 0.0, 0.0, 0.0, 0.0, None, loop
    )
    return TraceReport((point,), gas, "slow cycle", 0.0, 1_000.0, 0, 0.0, 0, None, None, "", ())


@given(st.floats(0.001, 0.999), st.floats(0.5, 500.0))
def test_chi_square_there_and_back(share: float, freedom: float) -> None:
    value = chi_square_value(share=share, freedom=freedom)
    assert chi_square_share(value=value, freedom=freedom) == pytest.approx(share, abs=1e-10)


@given(st.floats(0.0, 1000.0), st.floats(0.5, 500.0))
def test_chi_square_is_that_of_scipy(value: float, freedom: float) -> None:
    ours = chi_square_share(value=value, freedom=freedom)
    assert ours == pytest.approx(stats.chi2.cdf(value, freedom), abs=1e-10)


def test_a_batch_off_its_middle_has_a_lower_cpk_than_cp() -> None:
    found = capability(values=(10.0, 11.0, 12.0), lower=4.0, upper=14.0)
    assert found.cp == pytest.approx(10.0 / 6.0)
    assert found.cpk == pytest.approx(1.0)
    assert found.cp_low < found.cp < found.cp_high
    assert found.cpk_low < found.cpk < found.cpk_high
    assert found.few


def test_limits_draw_together_with_more_units() -> None:
    short = capability(values=(9.0, 10.0, 11.0) * 3, lower=5.0, upper=15.0)
    long = capability(values=(9.0, 10.0, 11.0) * 30, lower=5.0, upper=15.0)
    assert long.cpk_high - long.cpk_low < short.cpk_high - short.cpk_low
    assert not long.few


@pytest.mark.parametrize(
    ("value", "cpk"), [(10.0, inf), (20.0, -inf), (15.0, 0.0)], ids=["inside", "outside", "on"]
)
def test_units_without_spread_are_all_in_or_all_out(value: float, cpk: float) -> None:
    found = capability(values=(value, value), lower=5.0, upper=15.0)
    assert found.cp == inf
    assert found.cpk == cpk


def test_what_is_no_batch_is_refused() -> None:
    with pytest.raises(ConflictError):
        capability(values=(1.0,), lower=0.0, upper=2.0)
    with pytest.raises(ConflictError):
        capability(values=(1.0, 2.0), lower=2.0, upper=1.0)
    with pytest.raises(OutOfRangeError):
        capability(values=(1.0, inf), lower=0.0, upper=2.0)
    with pytest.raises(OutOfRangeError):
        capability(values=(1.0, 2.0), lower=0.0, upper=2.0, confidence=1.0)


@pytest.mark.parametrize(
    ("compression", "passes"),
    [(450.0, True), (550.0, True), (449.9, False), (550.1, False)],
)
def test_a_force_on_the_limit_passes(compression: float, passes: bool) -> None:  # noqa: FBT001
    verdict = accept(
        specification=SPEC, velocities=(0.26,), compression=(compression,), rebound=(1_000.0,),
        gas_force=300.0,
    )  # fmt: skip
    assert verdict.passed is passes
    assert verdict.complete


def test_the_wider_of_share_and_force_counts() -> None:
    assert Band(share=0.1, force=20.0).around(100.0) == (80.0, 120.0)
    assert Band(share=0.1, force=20.0).around(1_000.0) == (900.0, 1_100.0)
    with pytest.raises(ConflictError):
        Band(share=0.0)


def test_what_was_not_measured_does_not_pass() -> None:
    verdict = accept(
        specification=SPEC, velocities=(1.0,), compression=(500.0,), rebound=(1_000.0,),
        gas_force=None,
    )  # fmt: skip
    assert not verdict.passed
    assert not verdict.complete
    assert [check.measured for check in verdict.checks] == [None, None, None]
    assert verdict.worst is None


@pytest.mark.parametrize(
    ("velocity", "force"),
    [(0.1, 100.0), (0.15, 150.0), (0.095, 95.0), (0.21, 210.0), (0.08, None), (0.3, None)],
)
def test_a_force_is_read_between_the_speeds_and_a_little_beyond(
    velocity: float, force: float | None
) -> None:
    found = measured_at(velocity=velocity, velocities=(0.1, 0.2), forces=(100.0, 200.0))
    assert found == (None if force is None else pytest.approx(force))


def _batch(count: int = 5) -> Batch:
    batch = Batch(SPEC)
    for number in range(count):
        batch.add(f"unit-{number + 1}", _report(500.0 + 5.0 * number, 1_000.0, 300.0))
    return batch


def test_a_batch_counts_passes_and_names_the_worst_unit() -> None:
    batch = _batch()
    batch.add("=soft", _report(380.0, 1_000.0, 300.0))
    batch.refuse("@lost", "line 7: cut off")
    assert batch.passed == 5
    assert batch.few
    worst = batch.worst
    assert worst is not None
    assert (worst[0].name, demand_name(worst[1].demand)) == ("=soft", "compression at 0.26 m/s")
    assert batch.series(0)[0] == ("unit-1", 500.0)
    assert len(batch.series(0)) == 6


def test_a_batch_of_25_is_not_few() -> None:
    assert _batch(24).few
    assert not _batch(25).few


def test_the_table_of_a_batch_cannot_start_a_formula() -> None:
    batch = _batch(2)
    batch.add('=HYPERLINK("x")', _report(380.0, 1_000.0, 300.0))
    batch.refuse("@lost", "+1: cut off")
    rows = list(csv.reader(io.StringIO(batch.csv())))
    assert len({len(row) for row in rows}) == 1
    assert [row[1] for row in rows[1:]] == ["pass", "pass", "fail", "not measured"]
    for row in rows:
        for cell in row:
            assert not cell.startswith(("=", "+", "@", "\t"))
            if cell.startswith("-"):
                float(cell)


def test_a_batch_as_data_is_json() -> None:
    plain = json.loads(json.dumps(_batch().plain(), allow_nan=False))
    assert plain["passed"] == 5
    assert plain["demands"][0]["capability"]["count"] == 5
    assert plain["demands"][1]["capability"]["cp"] is None  # no spread, no capability
    assert plain["table"][0]["checks"][0]["passed"] is True


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\u00a0=1", "\uff1d1", "\n=1"],
)
def test_a_text_that_starts_like_a_formula_is_marked(text: str) -> None:
    assert safe_text(text) == f"'{text}"


def test_other_texts_and_numbers_stay_as_they_are() -> None:
    assert safe_text("unit 7") == "unit 7"
    assert csv_text(("a", "b", "c", "d"), [(-1.5, 7, None, inf)]) == "a,b,c,d\n-1.5,7,,\n"


def test_a_specification_comes_from_a_job_and_back() -> None:
    job = demo.read("trailer")
    spec = specification.from_job(job, share=0.12, force=25.0)
    assert len(spec.demands) == 15  # seven speeds, two directions, gas
    text = specification.dumps(spec, job)
    assert specification.loads(text) == spec
    plain = json.loads(text)
    bore = next(item for item in plain["design"] if item["key"] == "force-velocity.piston_diameter")
    assert bore["value"] == 0.046
    assert bore["from"] == "valve-sizing.bore"


def test_the_forces_of_a_specification_are_the_targets_of_the_job() -> None:
    job = demo.read("pickup")
    rows = job.resolve("force-velocity")["target_forces"].value
    assert isinstance(rows, tuple)
    spec = specification.from_job(job)
    assert [one.force for one in spec.demands if one.side == "rebound"] == [row[2] for row in rows]
    assert {one.band.share for one in spec.demands if one.side != "gas"} == {0.15}


def test_a_job_without_forces_has_no_specification() -> None:
    with pytest.raises(InputError):
        specification.from_job(Job())


_DEMAND = '{"side": "rebound", "velocity": 0.1, "force": 9, "band": {"share": 0.1, "force": 0}}'


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("{", "["), "not JSON"),
        (('"version": 1', '"version": 2'), '"version" is 2'),
        (("strokebook-specification", "other"), "no specification"),
        (('"demands": [', '"demands": 7, "x": ['), "list"),
        ((_DEMAND, ""), "1 to 200 demands"),
        (("rebound", "sideways"), 'needs a "side"'),
        (('"band": {"share": 0.1, "force": 0}', '"band": 1'), 'needs a "band"'),
        (('"force": 9', '"force": "9"'), "numbers"),
        (('"force": 9', '"force": -9'), "Demand 1: Force is -9 N"),
        (('"force": 9', '"force": NaN'), "Demand 1"),
        (('"share": 0.1', '"share": 7'), "Demand 1: Band is 7"),
        (('"velocity": 0.1', '"velocity": true'), "numbers"),
    ],
    ids=lambda item: str(item[1])[:20],
)
def test_a_damaged_specification_is_refused(change: tuple[str, str], words: str) -> None:
    text = (
        '{"format": "strokebook-specification", "version": 1, "title": "", '
        f'"demands": [{_DEMAND}]}}'
    )
    assert len(specification.loads(text).demands) == 1
    with pytest.raises(FileFormatError, match=words):
        specification.loads(text.replace(*change, 1))
