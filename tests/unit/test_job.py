"""A job: what follows from what, what is out of date, and the file it is kept in."""

from __future__ import annotations

import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators import demo, job_file
from calculators.errors import CalculatorError, FileFormatError, InputError
from calculators.field import Choice, Input, Rows
from calculators.handed import CHOICE, HANDED, ROWS
from calculators.job import TYPED, Job, merge, order, upstream
from calculators.job_file import LARGEST, VERSION, dumps, loads, schema
from calculators.links import LINKS, Source
from calculators.sheet import evaluate
from calculators.sheets import load, names
from tests.unit.strategies import values_near_defaults

_ALL = [
    pytest.param(sheet, name, source, id=f"{sheet}.{name}-{source.key}")
    for sheet, follows in LINKS.items()
    for name, several in follows.items()
    for source in several
]


def _fields(sheet: str) -> dict[str, Input | Choice | Rows]:
    return {item.name: item for item in load(sheet).inputs}


def _kind(sheet: str, name: str) -> str:
    """Return the quantity of a value, or choice or rows."""
    item = _fields(sheet).get(name)
    if isinstance(item, Input):
        return item.quantity
    if item is not None:
        return CHOICE if isinstance(item, Choice) else ROWS
    handed = HANDED.get(sheet, {}).get(name)
    return handed.kind if handed is not None else load(sheet).output(name).quantity


@pytest.mark.parametrize(("sheet", "name", "source"), _ALL)
def test_a_link_joins_values_of_one_quantity(sheet: str, name: str, source: Source) -> None:
    assert sheet in names()
    assert _kind(sheet, name) == _kind(source.sheet, source.name)
    if source.when is not None:
        asked = _fields(sheet)[source.when[0]]
        assert source.when[1] in asked.keys if isinstance(asked, Choice) else float(source.when[1])


@pytest.mark.parametrize(("sheet", "name", "source"), _ALL)
def test_what_is_linked_has_ranges_that_overlap(sheet: str, name: str, source: Source) -> None:
    taker, giver = _fields(sheet)[name], _fields(source.sheet).get(source.name)
    if isinstance(taker, Input) and isinstance(giver, Input):
        assert max(taker.minimum, giver.minimum) < min(taker.maximum, giver.maximum)
    elif isinstance(taker, Choice) and isinstance(giver, Choice):
        assert set(giver.keys) <= set(taker.keys)
    elif isinstance(taker, Rows) and isinstance(giver, Rows):
        assert len(taker.columns) == len(giver.columns)


@pytest.mark.parametrize("name", names())
def test_no_calculator_waits_for_itself(name: str) -> None:
    seen: set[str] = set()
    ahead = list(upstream(name))
    while ahead:
        above = ahead.pop()
        if above not in seen:
            seen.add(above)
            ahead += upstream(above)
    assert name not in seen


def test_order_puts_what_gives_before_what_takes() -> None:
    placed = order(names())
    assert sorted(placed) == sorted(names())
    for sheet in placed:
        assert all(placed.index(above) < placed.index(sheet) for above in upstream(sheet))


@pytest.mark.parametrize("sheet", sorted(HANDED))
def test_what_is_handed_on_has_a_name_of_its_own(sheet: str) -> None:
    declaration = load(sheet)
    own = {item.name for item in (*declaration.inputs, *declaration.outputs)}
    assert not own & set(HANDED[sheet])


def _handed_values(sheet: str, choices: dict[str, str]) -> dict[str, object]:
    result = evaluate(load(sheet), dict(choices))
    return {name: handed.read(result) for name, handed in HANDED[sheet].items()}


def test_every_handed_value_arises_somewhere() -> None:
    for sheet, handed in HANDED.items():
        ways: list[dict[str, str]] = [{}]
        if sheet == "valve-sizing":
            ways = [{"foot": "foot"}]
        if sheet == "force-velocity":
            ways = [{}, {"construction": "twin-tube"}]
        found = [_handed_values(sheet, way) for way in ways]
        for name in handed:
            assert any(values[name] is not None for values in found), f"{sheet}.{name}"


def test_a_value_of_one_calculator_is_the_default_of_the_next() -> None:
    job = Job()
    job.enter("critical-damping", "spring_rate", 100_000.0)
    job.enter("critical-damping", "spring_motion_ratio", 0.5)
    job.calculate("critical-damping")
    held = job.resolve("frequency-view")["wheel_rate"]
    assert held.value == 25_000.0  # 100 000 · 0.5², by hand
    assert held.origin == "critical-damping.wheel_rate"


def test_a_value_passes_through_a_calculator_that_is_not_in_use() -> None:
    job = Job()
    job.enter("bore-choice", "bore_diameter", 0.040)
    held = job.resolve("cavitation-margin")["piston_diameter"]
    assert held == (0.040, "force-velocity.piston_diameter")
    assert "force-velocity" not in job.sheets


def test_a_calculator_that_is_not_in_use_gives_no_default_away() -> None:
    assert Job().resolve("lag")["piston_diameter"].origin == "default"


def test_what_is_followed_can_be_overridden_and_followed_again() -> None:
    job = Job()
    job.enter("bore-choice", "bore_diameter", 0.040)
    job.enter("force-velocity", "piston_diameter", 0.050)
    assert job.resolve("force-velocity")["piston_diameter"] == (0.050, TYPED)
    job.follow("force-velocity", "piston_diameter")
    assert job.resolve("force-velocity")["piston_diameter"] == (0.040, "valve-sizing.bore")


def test_a_link_with_a_condition_holds_only_then() -> None:
    job = Job()
    job.enter("bore-choice", "bore_diameter", 0.040)
    job.enter("rod-displacement", "construction", "monotube")
    assert job.resolve("rod-displacement")["chamber_diameter"].value == 0.040
    job.enter("rod-displacement", "construction", "hose")
    assert job.resolve("rod-displacement")["chamber_diameter"].origin == "default"


def test_the_speed_of_the_bore_table_holds_its_forces() -> None:
    job = Job()
    job.calculate("critical-damping")
    assert job.resolve("bore-choice")["force_compression"].followed
    job.enter("bore-choice", "design_speed", 0.4)
    assert not job.resolve("bore-choice")["force_compression"].followed


def test_gas_is_taken_out_of_the_forces_that_are_handed_on() -> None:
    shown = _handed_values("force-velocity", {"gas_shown": "in"})["forces"]
    hidden = _handed_values("force-velocity", {"gas_shown": "out"})["forces"]
    assert isinstance(shown, tuple)
    assert isinstance(hidden, tuple)
    for one, other in zip(shown, hidden, strict=True):
        assert one == pytest.approx(other, rel=1e-9)


def test_a_change_upstream_marks_what_is_out_of_date() -> None:
    job = Job()
    for sheet in ("critical-damping", "frequency-view", "gas-charge"):
        job.add(sheet)
    assert [done.error for done in job.recalculate()] == [None] * 3
    assert all(status.up_to_date for status in job.status().values())
    job.enter("critical-damping", "spring_rate", 130_000.0)
    status = job.status()
    assert status["critical-damping"].never
    assert status["frequency-view"].waits_for == ("critical-damping",)
    assert status["gas-charge"].up_to_date
    job.calculate("critical-damping")
    assert job.status()["frequency-view"].changed == ("wheel_rate", "damping")
    assert [done.sheet for done in job.recalculate()] == ["frequency-view"]


def test_a_calculator_is_left_alone_while_one_above_it_fails() -> None:
    job = Job()
    for sheet in ("critical-damping", "frequency-view"):
        job.add(sheet)
    list(job.recalculate())
    before = dict(job.sheets["frequency-view"].outputs)
    job.enter("critical-damping", "axle_mass", 100.0)
    job.enter("critical-damping", "axle_mass_loaded", 100.0)
    job.enter("critical-damping", "unsprung_mass", 400.0)
    done = {one.sheet: one.error for one in job.recalculate()}
    assert all(isinstance(error, CalculatorError) for error in done.values())
    assert "waits for critical-damping" in str(done["frequency-view"])
    assert job.sheets["frequency-view"].outputs == before
    assert not job.status()["frequency-view"].up_to_date


def test_only_what_is_asked_for_is_recalculated() -> None:
    job = Job()
    for sheet in ("critical-damping", "gas-charge"):
        job.add(sheet)
    assert [done.sheet for done in job.recalculate(["gas-charge"])] == ["gas-charge"]


@pytest.mark.parametrize(
    ("sheet", "name", "value"),
    [
        ("nothing", "spring_rate", 1.0),
        ("critical-damping", "nothing", 1.0),
        ("critical-damping", "spring_rate", -1.0),
        ("critical-damping", "spring_rate", float("nan")),
        ("critical-damping", "spring_rate", "stiff"),
        ("critical-damping", "mass_given", "guessed"),
        ("valve-sizing", "target", ((1.0, 2.0),)),
    ],
)
def test_what_cannot_be_entered_changes_nothing(sheet: str, name: str, value: object) -> None:
    job = Job()
    with pytest.raises(InputError):
        job.enter(sheet, name, value)  # type: ignore[arg-type]
    assert job == Job()


def test_a_calculator_that_is_removed_gives_nothing_any_more() -> None:
    job = Job()
    job.enter("bore-choice", "bore_diameter", 0.040)
    job.remove("bore-choice")
    assert job.resolve("lag")["piston_diameter"].origin == "default"


def test_merging_keeps_both_and_names_what_differs() -> None:
    mine, theirs = Job(title="mine"), Job(title="theirs", notes="of theirs")
    mine.enter("lag", "damping", 5_000.0)
    theirs.enter("lag", "damping", 6_000.0)
    theirs.enter("bore-choice", "bore_diameter", 0.040)
    whole, conflicts = merge(mine, theirs)
    assert conflicts == (("lag", "damping", 5_000.0, 6_000.0),)
    assert whole.title == "mine"
    assert whole.notes == "of theirs"
    assert whole.sheets["lag"].inputs["damping"].value == 5_000.0
    assert whole.sheets["bore-choice"].inputs["bore_diameter"].value == 0.040
    other, _ = merge(mine, theirs, prefer_theirs=True)
    assert other.sheets["lag"].inputs["damping"].value == 6_000.0
    assert mine.sheets["lag"].inputs["damping"].value == 5_000.0


@settings(deadline=None, max_examples=25)
@given(data=st.data())
def test_a_job_comes_back_byte_for_byte(data: st.DataObject) -> None:
    job = Job(title=data.draw(st.text("abcäö ζ", max_size=20)), notes="1\n\t2")
    sheets = st.lists(st.sampled_from(["lag", "bounce-test", "gas-force"]), unique=True)
    for name in data.draw(sheets):
        for key, value in data.draw(values_near_defaults(load(name))).items():
            job.enter(name, key, value)
    text = dumps(job)
    assert dumps(loads(text)) == text
    assert loads(text.encode()) == loads(text)


@pytest.mark.parametrize("name", demo.NAMES)
def test_an_invented_job_is_complete_marked_and_comes_back_byte_for_byte(name: str) -> None:
    job = demo.read(name)
    assert "nvented" in job.title
    assert "All figures are invented." in job.notes
    assert set(job.sheets) == set(names())
    text = (demo.FOLDER / f"{name}.job.json").read_bytes().decode()
    assert dumps(job) == text


@pytest.mark.parametrize("name", demo.NAMES)
def test_the_command_makes_the_invented_job_that_is_shipped(name: str) -> None:
    made, shipped = demo.make(name), demo.read(name)
    for sheet, entry in made.sheets.items():
        there = shipped.sheets[sheet]
        assert {key: held.origin for key, held in entry.inputs.items()} == {
            key: held.origin for key, held in there.inputs.items()
        }
        for key, value in entry.outputs.items():
            assert there.outputs[key] == (
                None if value is None else pytest.approx(value, rel=1e-6, abs=1e-15)
            ), key


def test_what_was_typed_in_the_invented_jobs_is_typed_once() -> None:
    """The same value of one quantity is not typed again where a link could carry it."""
    for name in demo.NAMES:
        job = demo.read(name)
        for sheet, entry in job.sheets.items():
            for key, held in entry.inputs.items():
                if held.origin == TYPED and key in LINKS.get(sheet, {}):
                    other = Job(sheets={n: e for n, e in job.sheets.items() if n != sheet})
                    assert other.resolve(sheet)[key].value != held.value, f"{sheet}.{key}"


_SOUND = '{"format": "strokebook-job", "version": 1, "title": "", "notes": "", "sheets": {}}'


def _with(**parts: object) -> str:
    return json.dumps({**json.loads(_SOUND), **parts})


_YES: object = True


def _input(value: object, origin: object = "typed") -> str:
    return _with(sheets={"lag": {"inputs": {"damping": {"value": value, "from": origin}}}})


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not JSON"),
        ("{", "line 1, column 2"),
        ('{"format": "strokebook-job",\n "version": 1,,}', "line 2, column 15"),
        (b"\xff\xfe{}", "line 1, column 1"),
        (b'{\n"format": "\xe4"}', "line 2, column 12"),
        ("[]", "JSON object"),
        ("null", "JSON object"),
        ("7", "JSON object"),
        ("{}", "no job file"),
        ('{"format": "strokebook-job"}', '"version" is missing'),
        (_with(version=2), "version 2"),
        (_with(version=10**30), "version 1000"),
        (_with(version=0), "whole number from 1"),
        (_with(version=True), "whole number"),
        (_with(version="1"), "whole number"),
        (_with(format="other"), "no job file"),
        (_with(extra=1), "'extra'"),
        (_with(title=7), '"title"'),
        (_with(title="x" * 201), "at most 200"),
        (_with(title="two\nlines"), "U+000A"),
        (_with(title="\ud800"), "U+D800"),
        (_with(notes="\x00"), "U+0000"),
        (_with(notes="x" * 20_001), "at most 20,000"),
        (_with(sheets=[]), "JSON object"),
        (_with(sheets={"nothing": {}}), "no calculator called 'nothing'"),
        (_with(sheets={"lag": 1}), "lag has to be a JSON object"),
        (_with(sheets={"lag": {"what": 1}}), "'what'"),
        (_with(sheets={"lag": {"current": 1}}), "true or false"),
        (_with(sheets={"lag": {"inputs": {"nothing": {}}}}), "'nothing'"),
        (_with(sheets={"lag": {"inputs": {"damping": 5}}}), "lag.damping has to be"),
        (_with(sheets={"lag": {"inputs": {"damping": {"from": "typed"}}}}), 'no "value"'),
        (_with(sheets={"lag": {"outputs": {"nothing": 1}}}), "'nothing'"),
        (_with(sheets={"lag": {"outputs": {"phase": "late"}}}), "it is a number"),
        (_with(sheets={"lag": {"handed": {"x": 1}}}), "'x'"),
        (_input("7"), "it is a number"),
        (_input(_YES), "it is a number"),
        (_input(None), "it is a number"),
        (_input([[1]]), "it is a number"),
        (_input(10**400), "too large"),
        (_input(1.0).replace("1.0", "1e999"), "too large"),
        (_input(1.0).replace("1.0", "NaN"), "NaN"),
        (_input(1.0).replace("1.0", "-Infinity"), "-Infinity"),
        (_input(1.0).replace("1.0", "9" * 5000), "cannot be read"),
        (_input(1.0, "guessed"), '"from"'),
        (_input(1.0, "nothing.value"), '"from"'),
        (_input(1.0, 7), '"from"'),
        (_SOUND.replace('"notes"', '"title"'), "twice"),
        ("[" * 100_000, "nested too deeply"),
        (" " * (LARGEST + 1), "at most 5,000,000"),
        (
            _with(sheets={"valve-sizing": {"inputs": {"target": {"value": 1, "from": "typed"}}}}),
            "list of at most",
        ),
        (
            _with(
                sheets={"valve-sizing": {"inputs": {"target": {"value": [[1]], "from": "typed"}}}}
            ),
            "row 1",
        ),
        (
            _with(sheets={"lag": {"inputs": {"motion": {"value": "x", "from": "typed"}}}}),
            "allowed: road, bench",
        ),
    ],
)
def test_a_damaged_file_is_refused_with_the_place_and_the_reason(
    text: str | bytes, words: str
) -> None:
    with pytest.raises(FileFormatError, match=re.escape(words)):
        loads(text)


def test_a_file_with_a_byte_order_mark_is_read() -> None:
    assert loads("\ufeff" + _SOUND) == Job()


def test_an_old_version_is_brought_up_step_by_step(monkeypatch: pytest.MonkeyPatch) -> None:
    def rename(data: dict[str, object]) -> dict[str, object]:
        return {**{k: v for k, v in data.items() if k != "name"}, "title": data["name"]}

    monkeypatch.setattr(job_file, "VERSION", 2)
    monkeypatch.setattr(job_file, "_MIGRATIONS", {1: rename})
    assert loads('{"format": "strokebook-job", "version": 1, "name": "old"}').title == "old"


def test_the_schema_describes_what_is_written() -> None:
    published = schema()
    assert published["properties"]["version"]["const"] == VERSION
    written = json.loads(dumps(demo.read("trailer")))
    assert set(written) == set(published["properties"])
    sheet = published["$defs"]["sheet"]["properties"]
    origin = re.compile(published["$defs"]["input"]["properties"]["from"]["pattern"])
    for name, entry in written["sheets"].items():
        assert re.match(published["properties"]["sheets"]["propertyNames"]["pattern"], name)
        assert set(entry) == set(sheet)
        assert all(origin.match(held["from"]) for held in entry["inputs"].values())


@pytest.mark.parametrize("name", demo.NAMES)
def test_the_body_of_an_invented_damper_is_shorter_than_the_closed_damper(name: str) -> None:
    sheets = demo.read(name).sheets
    body = sheets["heat-and-fade"].inputs["body_length"].value
    closed = sheets["mount-geometry"].inputs["closed_length"].value
    assert isinstance(body, float)
    assert isinstance(closed, float)
    assert body < closed
