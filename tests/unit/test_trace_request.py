"""What a page may ask about bench traces, with invented files whose truth is known."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

from calculators import demo, job_file
from calculators.request import answer
from calculators.trace_request import KINDS

PIECE = 200_000  # bytes
RAMP = "".join(f"{n / 100},{(n % 50) / 10},{n % 7}\n" for n in range(200))


def ask(operation: str, piece: bytes | memoryview | None = None, **arguments: Any) -> Any:  # noqa: ANN401  plain JSON
    """Ask as the worker does, and return the value."""
    reply = json.loads(answer(operation, json.dumps(arguments), None, piece))
    assert reply["ok"], reply
    return reply["value"]


@cache
def invented(kind: str = "sound", unit: int = 0) -> str:
    """Return an invented bench file."""
    text = ask("trace.invent", number=7, kind=kind, unit=unit)["text"]
    assert isinstance(text, str)
    return text


@cache
def specified() -> dict[str, Any]:
    """Return the demo specification and its job."""
    found = ask("trace.demo")
    assert isinstance(found, dict)
    return found


def measured(text: str, key: str = "one", corrections: tuple[dict[str, Any], ...] = ()) -> Any:  # noqa: ANN401  plain JSON
    """Read a file in pieces and measure it."""
    data = text.encode()
    first = ask("trace.begin", memoryview(data)[:PIECE], id=key, corrections=list(corrections))
    assert "refused" not in first, first
    for start in range(PIECE, len(data), PIECE):
        ask("trace.feed", data[start : start + PIECE], id=key)
    return ask("trace.finish", id=key)


def report(**more: Any) -> Any:  # noqa: ANN401  plain JSON
    """Return the report of the file that was measured last."""
    given = {"id": "one", "name": "unit", "specification": specified()["specification"], **more}
    return ask("trace.report", **given)


def test_an_invented_file_says_so_in_its_first_line() -> None:
    assert invented().startswith("Invented by the virtual bench: no real damper.")


def test_the_same_number_invents_the_same_file() -> None:
    assert ask("trace.invent", number=7, kind="sound")["text"] == invented()


def test_columns_and_units_are_recognised_and_the_first_lines_shown() -> None:
    layout = ask("trace.layout", invented().encode()[:60_000])
    found = {role["role"]: (role["place"], role["unit"]) for role in layout["roles"]}
    assert found == {
        "time": (0, "s"),
        "displacement": (1, "mm"),
        "force": (2, "N"),
        "temperature": (3, "°C"),
    }
    assert all(len(row) == len(layout["columns"]) for row in layout["sample"])


def test_a_column_that_is_not_recognised_is_left_for_the_reader() -> None:
    layout = ask("trace.layout", ("time,weight,force\n" + RAMP).encode())
    missing = [role["role"] for role in layout["roles"] if role["place"] < 0]
    assert missing == ["displacement", "temperature"]


def test_a_corrected_unit_scales_the_forces() -> None:
    plain = measured(invented())["figures"]
    roles = ask("trace.layout", invented().encode()[:60_000])["roles"]
    names = ("role", "place", "unit", "reverse")
    corrections = [{name: role[name] for name in names} for role in roles]
    corrections[2]["unit"] = "kN"
    wrong = measured(invented(), "two", tuple(corrections))["figures"]
    assert wrong["gas_force"] == pytest.approx(1e3 * plain["gas_force"], rel=1e-9)


def test_one_column_cannot_be_two_things() -> None:
    twice = [
        {"role": role, "place": 0, "unit": unit, "reverse": False}
        for role, unit in (("time", "s"), ("force", "N"))
    ]
    reply = ask("trace.layout", invented().encode()[:60_000], corrections=twice)
    assert "both time and force" in reply["refused"]


def test_a_refusal_names_line_and_column() -> None:
    lines = ["time [s],displacement [mm],force [N]", *RAMP.splitlines()]
    lines[150] = "1.5,oops,3"
    reply = ask("trace.begin", "\n".join([*lines, ""]).encode(), id="bad")
    reply = reply if "refused" in reply else ask("trace.finish", id="bad")
    assert reply["refused"].startswith("line 151, column 2: ")


def test_the_report_has_a_verdict_for_each_demand() -> None:
    measured(invented("bleed"))
    found = report()
    table = found["tables"][0]
    assert found["verdict"] == "fail"
    assert len(table["rows"]) == specified()["demands"]
    assert {row[-1] for row in table["rows"]} == {"pass", "fail"}


def test_without_a_specification_there_is_no_verdict_and_no_band() -> None:
    measured(invented())
    found = report(specification="")
    assert found["verdict"] == ""
    assert [table["name"] for table in found["tables"]] == ["facts", "speeds"]
    assert "band" not in found["charts"][0]["data"]


def test_each_chart_comes_with_its_data_as_a_table() -> None:
    measured(invented())
    for chart in report()["charts"]:
        assert chart["statement"]
        assert chart["table"]["rows"]


def test_a_report_follows_the_reader_into_imperial_units() -> None:
    measured(invented())
    units = [column["unit"] for column in report(imperial=True)["tables"][0]["columns"]]
    assert units[1:6] == ["in/s", "lbf", "lbf", "lbf", "lbf"]


@pytest.mark.parametrize(
    ("kind", "answered"),
    [("sound", "as designed"), ("bleed", "part"), ("charge", "part"), ("two", "none")],
)
def test_what_is_wrong_with_an_invented_damper_is_found_or_said_to_be_open(
    kind: str, answered: str
) -> None:
    measured(invented(kind))
    found = ask("trace.explain", id="one", job=specified()["job"])
    assert found["answer"] == answered
    if answered == "part":
        (part,) = KINDS[kind][1]
        assert part.lower() in found["said"][0]


def test_a_job_gives_its_specification_and_can_explain() -> None:
    text = job_file.dumps(demo.read("pickup"))
    found = ask("trace.specification", text=text)
    assert found["job"] == text
    assert ask("trace.specification", text=found["specification"])["job"] == ""


def test_what_is_no_specification_is_refused() -> None:
    assert "refused" in ask("trace.specification", text="{}")


def test_a_batch_has_a_line_for_each_unit_and_keeps_what_could_not_be_read() -> None:
    units = [
        {"name": f"u{unit}", "figures": measured(invented(unit=unit))["figures"]}
        for unit in (1, 2, 3)
    ]
    units.append({"name": "=broken", "fault": "line 3: no number."})
    found = ask("batch.summary", specification=specified()["specification"], units=units, demand=7)
    assert [row[0] for row in found["tables"][0]["rows"]] == ["u1", "u2", "u3", "=broken"]
    assert found["tables"][0]["rows"][-1][1] == "not measured"
    assert "'=broken" in found["csv"]
    assert json.loads(found["json"])["units"] == 4
    assert len(found["charts"][0]["data"]["points"]) == 3
    assert any("4 units are few" in finding["text"] for finding in found["findings"])


def test_figures_of_a_batch_have_to_be_finite() -> None:
    units = [
        {"name": "u", "figures": {"velocities": [0.1], "compression": [1e999], "rebound": [1.0],
                                  "gas_force": 0.0}}
    ]  # fmt: skip
    reply = ask("batch.summary", specification=specified()["specification"], units=units)
    assert "finite" in reply["refused"]
