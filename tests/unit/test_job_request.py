"""What a page may ask about a job: it sends a text and gets a text back."""

from __future__ import annotations

import json
from typing import Any

import pytest

from calculators import demo
from calculators.candidates import CRITERIA
from calculators.job import Job
from calculators.job_file import LARGEST, dumps, loads
from calculators.request import answer
from calculators.sheets import load, names
from site_src.render.job import STEPS

FORM: dict[str, Any] = {"units": {}, "imperial": False}


def asked(operation: str, **arguments: Any) -> dict[str, Any]:  # noqa: ANN401  plain JSON
    reply = json.loads(answer(operation, json.dumps(arguments)), parse_constant=pytest.fail)
    assert reply["ok"], reply["error"]
    value: dict[str, Any] = reply["value"]
    return value


@pytest.fixture(scope="module")
def trailer() -> str:
    return dumps(demo.read("trailer"))


def line(view: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in view["sheets"] if one["name"] == name)
    return found


@pytest.mark.parametrize("name", demo.NAMES)
def test_a_demo_is_complete_and_up_to_date(name: str) -> None:
    made = asked("job.demo", name=name)
    assert made["view"]["late"] == 0
    assert {one["name"] for one in made["view"]["sheets"]} == set(names())
    assert made["text"] == dumps(demo.read(name))


def test_what_a_page_opens_has_the_same_bytes_as_before(trailer: str) -> None:
    assert asked("job.open", text=trailer)["text"] == trailer


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "This is not JSON"),
        ("{}", "This is no job file"),
        ('{"format": "strokebook-job", "version": 99}', "reads up to"),
        ('{"format": "strokebook-job", "version": 1, "sheets": {"x": {}}}', "no calculator"),
        ('{"format": "strokebook-job", "version": 1, "title": "\\u0000"}', "control character"),
        ("[" * 100_000, "nested"),
        (" " * (LARGEST + 1), "at most"),
    ],
)
def test_a_damaged_job_is_refused_with_the_reason(text: str, said: str) -> None:
    assert said in asked("job.open", text=text)["refused"]


def test_an_input_says_what_it_follows_and_where_that_is(trailer: str) -> None:
    held = asked("job.inputs", text=trailer, sheet="bore-choice", **FORM)["inputs"]
    assert held["force_rebound"]["origin"] == "follows"
    assert held["force_rebound"]["from"].startswith("Critical damping: ")
    assert held["force_rebound"]["page"] == "calculate/critical-damping/"
    assert held["altitude"] == held["altitude"] | {"origin": "default", "from": "", "page": ""}


def test_inputs_come_in_the_readers_units(trailer: str) -> None:
    held = asked(
        "job.inputs", text=trailer, sheet="critical-damping",
        units={"axle_mass": "t"}, imperial=True,
    )["inputs"]  # fmt: skip
    assert (held["axle_mass"]["text"], held["axle_mass"]["unit"]) == ("1.15", "t")
    # 120 N/mm / 0.175 126 835 N/mm, by 1 lbf/in = 4.448 221 615 260 5 N / 25.4 mm
    assert held["spring_rate"]["unit"] == "lbf/in"
    assert float(held["spring_rate"]["text"]) == pytest.approx(685.2177, abs=5e-5)


def test_of_a_form_only_what_was_typed_goes_into_the_job() -> None:
    empty = asked("job.new", title="A")["text"]
    texts = {"spring_rate": "100 N/mm", "damping_ratio": "0.9"}
    made = asked(
        "job.capture", text=empty, sheet="critical-damping", texts=texts, typed=["spring_rate"],
        **FORM,
    )  # fmt: skip
    inputs = loads(made["text"]).sheets["critical-damping"].inputs
    assert inputs["spring_rate"] == (100_000.0, "typed")
    assert inputs["damping_ratio"].origin == "default"
    assert line(made["view"], "critical-damping")["state"] == "up to date"


def test_an_own_value_counts_until_the_input_follows_again(trailer: str) -> None:
    sheet = "bore-choice"
    own = asked(
        "job.capture", text=trailer, sheet=sheet, texts={"force_rebound": "2 kN"},
        typed=["force_rebound"], **FORM,
    )  # fmt: skip
    assert own["inputs"]["force_rebound"]["origin"] == "typed"
    assert own["inputs"]["force_rebound"]["from"].startswith("Critical damping: ")
    back = asked("job.follow", text=own["text"], sheet=sheet, names=["force_rebound"], **FORM)
    before = asked("job.inputs", text=trailer, sheet=sheet, **FORM)["inputs"]
    assert back["inputs"]["force_rebound"] == before["force_rebound"]


def test_a_fault_comes_back_beside_its_input_and_changes_nothing(trailer: str) -> None:
    reply = asked(
        "job.capture", text=trailer, sheet="critical-damping", texts={"damping_ratio": "99"},
        typed=["damping_ratio"], **FORM,
    )  # fmt: skip
    assert reply["errors"][0]["inputs"] == ["damping_ratio"]
    assert "text" not in reply


def test_a_change_marks_what_stands_behind_it_and_recalculating_mends_it(trailer: str) -> None:
    changed = asked(
        "job.capture", text=trailer, sheet="critical-damping", texts={"spring_rate": "130 N/mm"},
        typed=["spring_rate"], **FORM,
    )  # fmt: skip
    late = line(changed["view"], "valve-sizing")
    assert (late["state"], late["why"]) == ("out of date", "changed: Critical damping: forces.")
    assert changed["view"]["needs"] == ["numpy"]
    shares: list[float] = []
    request = json.dumps({"text": changed["text"]})
    mended = json.loads(answer("job.recalculate", request, shares.append))["value"]
    assert mended["view"]["late"] == 0
    assert mended["faults"] == []
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def test_what_cannot_be_calculated_is_named(trailer: str) -> None:
    job = loads(trailer)
    job.enter("rod-displacement", "construction", "twin-tube")
    # a tube of 46 mm with walls of 2 mm has no room in a body of 50 mm
    faults = asked("job.recalculate", text=dumps(job))["faults"]
    assert faults[0]["title"] == "Heat and fade"
    assert "does not fit" in faults[0]["message"]


def test_what_is_shared_gives_the_whole_job_again(trailer: str) -> None:
    shared = asked("job.share", text=trailer)["text"]
    assert len(shared) < len(trailer) / 4
    assert asked("job.recalculate", text=shared)["text"] == trailer


def test_two_jobs_become_one_and_a_conflict_is_told() -> None:
    mine, theirs = Job(title="A"), Job(title="B")
    mine.enter("critical-damping", "spring_rate", 100_000.0)
    theirs.enter("critical-damping", "spring_rate", 120_000.0)
    theirs.enter("critical-damping", "tyre_rate", 300_000.0)
    merged = asked("job.merge", text=dumps(mine), other=dumps(theirs))
    assert loads(merged["text"]).resolve("critical-damping")["tyre_rate"].value == 300_000.0
    assert merged["conflicts"] == [
        "Critical damping: spring rate: 100\u00a0N/mm kept, 120\u00a0N/mm left out"
    ]


def test_a_title_is_one_line_and_a_calculator_can_be_left_out(trailer: str) -> None:
    named = asked("job.name", text=trailer, title=" <b>A\n title</b> ")
    assert named["view"]["title"] == "<b>A title</b>"
    left = asked("job.remove", text=trailer, sheet="lag")
    assert "lag" not in {one["name"] for one in left["view"]["sheets"]}


def test_a_specification_holds_dimensions_limits_margins_and_cautions(trailer: str) -> None:
    found = asked("job.spec", text=trailer)
    rows = {row["label"]: row["text"] for group in found["build"] for row in group["rows"]}
    assert rows["Bore"] == "46\u00a0mm"
    assert rows["Stroke"] == "150\u00a0mm"
    least, wanted, most = (float(cell) for cell in found["forces"][0][1:4])
    assert least < wanted < most
    assert found["late"] == []
    assert {one["sheet"] for one in found["margins"]} >= {"Lag", "Heat and fade"}
    assert "physics.corner.wheel_rate" in found["evidence"][1]["functions"]
    assert json.loads(found["json"])["format"] == "strokebook-specification"
    drawn = " ".join(str(element[-1]) for element in found["drawing"]["elements"])
    for dimension in ("extended 480", "reservoir 160", "⌀ 46", "with 16 fins; stroke 150"):
        assert dimension in drawn
    assert rows["Reservoir"] == "with fins"
    assert rows["Bore of the chamber"] == "44\u00a0mm"


def test_the_largest_reservoir_stays_inside_the_drawing(trailer: str) -> None:
    job = loads(trailer)
    sizes = {"reservoir_diameter": 0.15, "reservoir_length": 0.6, "fin_diameter": 0.25}
    for name, value in sizes.items():
        job.enter("heat-and-fade", name, value)
    drawn = asked("job.spec", text=dumps(job))["drawing"]
    boxes = [one[1] for one in drawn["elements"] if one[0] == "rect"]
    places = [{name: float(one[name]) for name in ("x", "y", "width", "height")} for one in boxes]
    assert max(one["x"] + one["width"] for one in places) < drawn["width"]
    assert max(one["y"] + one["height"] for one in places) < drawn["height"] - 48.0
    reservoir = [one for one in places if one["height"] > 180.0]  # 0.15 m at 600 a 0.48 m
    assert reservoir
    assert min(one["y"] for one in reservoir) >= 340.0


def test_a_damper_without_reservoir_is_drawn_without(trailer: str) -> None:
    held = asked("job.spec", text=dumps(demo.read("pickup")))["drawing"]
    assert "reservoir" not in str(held)
    assert held["height"] < asked("job.spec", text=trailer)["drawing"]["height"]


def test_an_empty_job_has_a_specification_that_says_what_is_missing() -> None:
    found = asked("job.spec", text=dumps(Job()))
    assert found["drawing"] is None
    assert found["forces"] is None
    assert "force-velocity" in found["forces_missing"]
    assert len(found["cautions"]) == 4


def test_the_mark_of_a_specification_changes_with_the_job(trailer: str) -> None:
    job = loads(trailer)
    job.enter("lag", "force_share", 0.3)
    marks = {asked("job.spec", text=text)["mark"] for text in (trailer, trailer, dumps(job))}
    assert len(marks) == 2


TWIN = {"construction": "twin-tube", "charge": "5 bar", "body": "60 mm"}


def compared(trailer: str, weights: dict[str, str]) -> dict[str, Any]:
    candidates = [{"text": trailer, "cost": "3"}, {"text": trailer, "cost": "2", **TWIN}]
    return asked("job.compare", candidates=candidates, weights=weights)


def test_candidates_have_every_criterion_and_without_weights_no_score(trailer: str) -> None:
    found = compared(trailer, {})
    assert [row["key"] for row in found["rows"]] == [*(one.key for one in CRITERIA), "cost"]
    assert all(cell["text"] != "—" for row in found["rows"] for cell in row["cells"])
    assert found["totals"] == []
    assert all(cell["points"] == "" for row in found["rows"] for cell in row["cells"])


def test_weights_give_the_mean_of_points(trailer: str) -> None:
    # the single tube is cooler, the twin-tube has the lower class of cost: (3·1 + 1·0)/4 = 0.75
    assert compared(trailer, {"heat": "3", "cost": "1"})["totals"] == ["0.75", "0.25"]


@pytest.mark.parametrize(
    ("changed", "weights", "said"),
    [
        ({"rod": "abc"}, {}, "abc"),
        ({"cost": "9"}, {}, "allowed: 0 to 5"),
        ({}, {"heat": "-1"}, "allowed: 0 to 100"),
    ],
)
def test_a_candidate_or_weight_that_cannot_be_used_is_refused(
    trailer: str, changed: dict[str, str], weights: dict[str, str], said: str
) -> None:
    candidates = [{"text": trailer, **changed}]
    refused = asked("job.compare", candidates=candidates, weights=weights)["refused"]
    assert said in refused.replace("\u2212", "-")


def test_a_missing_value_has_its_reason_in_the_comparison() -> None:
    job = Job(title="half")
    job.add("lag")
    rows = asked("job.compare", candidates=[{"text": dumps(job)}], weights={})["rows"]
    cells = {row["key"]: row["cells"][0] for row in rows}
    assert cells["heat"]["reason"] == "Heat and fade is not in this job."
    assert cells["lag"]["reason"] == ""


def test_every_calculator_stands_in_one_step_of_the_path() -> None:
    placed = [name for step in STEPS for name in (*step.sheets, *step.aside)]
    assert sorted(placed) == sorted(names())
    assert all(load(name).page for name in placed)
