"""What a page may ask, and what it gets whatever it asks."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators import request
from calculators.request import answer
from calculators.sheet import evaluate

if TYPE_CHECKING:
    from calculators.sheet import Result, Sheet

FORM: dict[str, Any] = {"sheet": "critical-damping", "texts": {}, "units": {}, "imperial": False}


def _asked(operation: str, **arguments: Any) -> dict[str, Any]:  # noqa: ANN401  plain JSON
    reply: dict[str, Any] = json.loads(
        answer(operation, json.dumps({**FORM, **arguments})), parse_constant=pytest.fail
    )
    return reply


def _refused(reply: dict[str, Any]) -> bool:
    return bool(reply["error"]) if not reply["ok"] else bool(reply["value"].get("errors"))


def test_typed_texts_are_answered_with_a_result() -> None:
    reply = _asked("evaluate", texts={"spring_rate": "120 000,0 N/m", "damping_ratio": "0.3"})
    assert reply["ok"]
    assert reply["value"]["errors"] == []
    assert reply["value"]["result"]["inputs"]["spring_rate"]["value"] == 120_000.0
    assert reply["value"]["result"]["outputs"]["wheel_rate"]["value"] == 67_500.0


def test_all_faults_come_back_beside_their_inputs() -> None:
    reply = _asked("evaluate", texts={"spring_rate": "x", "split": "99", "mass_given": "<script>"})
    assert reply["ok"]
    assert "result" not in reply["value"]
    assert {tuple(fault["inputs"]) for fault in reply["value"]["errors"]} == {
        ("spring_rate",), ("split",), ("mass_given",)
    }  # fmt: skip


def test_charts_are_answered_in_the_unit_and_width_asked_for() -> None:
    reply = _asked("draw", texts={"split": "1.5"}, width=500)
    charts = reply["value"]["result"]["charts"]
    assert [chart["name"] for chart in charts] == ["step-response", "load-range", "target-line"]
    assert all(chart["spec"]["width"] == 500 for chart in charts)


def test_a_long_calculation_tells_how_far_it_is() -> None:
    shares: list[float] = []
    form = {**FORM, "sheet": "speed-map", "texts": {"factors": "1", "speed": "47"}}
    asked = json.loads(answer("evaluate", json.dumps(form), shares.append))
    assert asked["value"]["errors"] == []
    assert len(shares) > 2
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def test_a_short_calculation_tells_nothing_and_is_answered_alike() -> None:
    shares: list[float] = []
    told = answer("evaluate", json.dumps(FORM), shares.append)
    assert told == answer("evaluate", json.dumps(FORM))
    assert shares == []


def test_charts_and_other_units_need_no_second_calculation_unless_it_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    calls: list[Any] = []

    def counted(sheet: Sheet, values: dict[str, Any], *, progress: None) -> Result:
        calls.append(values)
        return evaluate(sheet, values, progress=progress)

    monkeypatch.setattr(request, "evaluate", counted)
    texts = {"split": "1.37"}
    _asked("evaluate", texts=texts)
    _asked("draw", texts=texts)
    _asked("evaluate", texts=texts, units={"wheel_rate": "lbf/in"})
    assert len(calls) == 1
    _asked("evaluate", texts={"split": "1.38"})
    assert len(calls) == 2
    assert _asked("again", texts={"split": "1.38"}) == _asked("draw", texts={"split": "1.38"})
    assert len(calls) == 3


def test_a_change_of_units_restates_the_form_and_keeps_what_cannot_be_read() -> None:
    texts = {"spring_rate": "120", "axle_mass": "heavy", "mass_given": "axle"}
    reply = _asked("restate", texts=texts, to_units={"spring_rate": "N/m"}, to_imperial=True)
    assert reply["value"]["texts"] == {"spring_rate": "120000", "axle_mass": "heavy"}
    assert reply["value"]["units"]["axle_mass"] == "lb"
    assert reply["value"]["units"]["wheel_rate"] == "lbf/in"


@pytest.mark.parametrize(
    ("operation", "arguments"),
    [
        ("", {}),
        ("__class__", {}),
        ("evaluate", {"sheet": "../errors"}),
        ("evaluate", {"sheet": 5}),
        ("evaluate", {"sheet": ["critical-damping"]}),
        ("evaluate", {"texts": []}),
        ("evaluate", {"texts": None}),
        ("evaluate", {"texts": "spring_rate"}),
        ("evaluate", {"texts": {"spring_rate": {"deep": []}}}),
        ("evaluate", {"texts": {"spring_rate": "9" * 1_000_000}}),
        ("evaluate", {"texts": {"spring_rate": "1e999"}}),
        ("evaluate", {"texts": {"spring_rate": "nan"}}),
        ("evaluate", {"texts": {"nothing of ours": "1"}}),
        ("evaluate", {"texts": {"__class__": "1"}}),
        ("evaluate", {"units": []}),
        ("evaluate", {"units": {"spring_rate": "furlong"}, "texts": {"spring_rate": "1"}}),
        ("evaluate", {"units": {"spring_rate": "furlong"}}),
        ("evaluate", {"units": {"wheel_rate": "furlong"}}),
        ("evaluate", {"units": {"wheel_rate": 7}}),
        ("evaluate", {"more": 1}),
        ("draw", {"width": "wide"}),
        ("draw", {"width": -5}),
        ("draw", {"width": 1e9}),
        ("draw", {"width": None}),
        ("restate", {}),
        ("restate", {"to_units": {"spring_rate": "furlong"}, "to_imperial": False, "texts": []}),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(operation: str, arguments: dict[str, Any]) -> None:
    assert _refused(_asked(operation, **arguments))


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "5", "null", '"text"', "[" * 50_000, '{"sheet": NaN}', "{}"]
)
def test_what_is_no_request_is_refused_in_words(text: str) -> None:
    assert _refused(json.loads(answer("evaluate", text)))


def test_a_width_that_is_no_number_is_refused() -> None:
    request = json.dumps({**FORM, "width": float("nan")})
    assert not json.loads(answer("draw", request))["ok"]


ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=10), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(max_examples=60)
@given(
    operation=st.sampled_from(["evaluate", "draw", "restate"]),
    texts=ANY_JSON
    | st.dictionaries(
        st.sampled_from(["spring_rate", "split", "mass_given"]), st.text() | ANY_JSON
    ),
    units=ANY_JSON | st.dictionaries(st.sampled_from(["spring_rate", "wheel_rate"]), ANY_JSON),
    rest=st.dictionaries(
        st.sampled_from(["width", "imperial", "to_units", "to_imperial"]), ANY_JSON
    ),
)
def test_any_request_gets_an_answer_in_json(
    operation: str, texts: object, units: object, rest: dict[str, Any]
) -> None:
    reply = _asked(operation, texts=texts, units=units, **rest)
    assert reply["ok"] in {True, False}


@settings(max_examples=60)
@given(text=st.text(max_size=80))
def test_any_text_in_a_field_is_a_value_or_a_fault_of_that_field(text: str) -> None:
    reply = _asked("evaluate", texts={"spring_rate": text})
    assert reply["ok"]
    for fault in reply["value"]["errors"]:
        assert fault["inputs"] == ["spring_rate"]
