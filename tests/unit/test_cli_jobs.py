"""Jobs, sweeps and the bench on the command line, as a person and as a script use them."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from calculators import demo
from calculators.__main__ import main
from calculators.job import Job
from calculators.job_file import dumps, loads


def _run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Return exit status, output and error output of a command."""
    status = main(arguments)
    said = capsys.readouterr()
    return status, said.out, said.err


def _good(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    status, out, err = _run(capsys, *arguments)
    assert (status, err) == (0, "")
    return out


@pytest.fixture
def small_job(tmp_path: Path) -> str:
    """Write a job of two calculators and return its path."""
    job = Job(title="Small")
    job.enter("critical-damping", "spring_rate", 100_000.0)
    job.add("frequency-view")
    list(job.recalculate())
    path = tmp_path / "small.job.json"
    path.write_text(dumps(job), encoding="utf-8")
    return str(path)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Write a job, its specification and three invented traces; return their paths."""
    folder = tmp_path_factory.mktemp("bench")
    job = str(demo.FOLDER / "trailer.job.json")
    spec, unit, soft = (str(folder / name) for name in ("spec.json", "unit.csv", "soft.csv"))
    speeds = ("--speeds", "0.01 0.05 0.1 0.13 0.26 0.39 0.52 1.0")
    assert main(["spec", job, "--band", "20 %", "--band-force", "60 N", "--out", spec]) == 0
    assert main(["invent-trace", job, unit, *speeds]) == 0
    assert main(["invent-trace", job, soft, *speeds, "--part", "rebound stack=2"]) == 0
    return {"job": job, "spec": spec, "unit": unit, "soft": soft, "folder": str(folder)}


def test_a_job_is_brought_up_to_date_and_shown(
    capsys: pytest.CaptureFixture[str], small_job: str
) -> None:
    out = _good(capsys, "run-job", small_job, "--set", "critical-damping.spring_rate=120 N/mm")
    assert out.startswith("Small\n=====\n")
    assert "Critical damping (critical-damping)" in out
    assert "Typed: Spring rate" in out


def test_a_job_stays_as_it_is_unless_it_is_saved(
    capsys: pytest.CaptureFixture[str], small_job: str, tmp_path: Path
) -> None:
    before = loads((tmp_path / "small.job.json").read_bytes())
    change = ("--set", "critical-damping.spring_rate=120 N/mm")
    _good(capsys, "run-job", small_job, *change)
    assert loads((tmp_path / "small.job.json").read_bytes()) == before
    _good(capsys, "run-job", small_job, *change, "--save", small_job)
    after = loads((tmp_path / "small.job.json").read_bytes())
    assert after.sheets["critical-damping"].inputs["spring_rate"].value == 120_000.0
    assert after.status()["frequency-view"].up_to_date
    # 120 N/mm · 0.75², by hand
    assert after.sheets["frequency-view"].inputs["wheel_rate"].value == 67_500.0


def test_what_is_out_of_date_is_told(capsys: pytest.CaptureFixture[str], small_job: str) -> None:
    out = _good(capsys, "run-job", small_job, "--status")
    assert out == "critical-damping: up to date\nfrequency-view: up to date\n"
    change = ("--set", "critical-damping.spring_rate=120 N/mm", "--status")
    out = _good(capsys, "run-job", small_job, *change)
    assert "frequency-view: out of date; waits for critical-damping" in out
    plain = json.loads(_good(capsys, "run-job", small_job, *change, "--json"))
    assert plain["frequency-view"]["up_to_date"] is False


def test_a_job_as_json_holds_what_was_calculated(
    capsys: pytest.CaptureFixture[str], small_job: str
) -> None:
    plain = json.loads(_good(capsys, "run-job", small_job, "--all", "--json"))
    assert plain["calculated"] == ["critical-damping", "frequency-view"]
    assert plain["faults"] == {}
    assert plain["sheets"]["critical-damping"]["outputs"]["wheel_rate"] == 56_250.0


def test_a_typed_value_can_be_taken_back(
    capsys: pytest.CaptureFixture[str], small_job: str
) -> None:
    follow = ("--follow", "critical-damping.spring_rate", "--json")
    plain = json.loads(_good(capsys, "run-job", small_job, *follow))
    held = plain["sheets"]["critical-damping"]["inputs"]["spring_rate"]
    assert held == {"value": 120_000.0, "from": "default"}


def test_a_calculator_that_refuses_gives_status_2_and_saves_nothing(
    capsys: pytest.CaptureFixture[str], small_job: str, tmp_path: Path
) -> None:
    out = tmp_path / "out.job.json"
    light = [
        word
        for name, mass in (("axle_mass", 100), ("axle_mass_loaded", 100), ("unsprung_mass", 400))
        for word in ("--set", f"critical-damping.{name}={mass}")
    ]
    status, _, err = _run(capsys, "run-job", small_job, *light, "--save", str(out))
    assert status == 2
    assert "critical-damping: " in err
    assert "frequency-view: Frequency view waits for critical-damping." in err
    assert not out.exists()


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (("--set", "spring_rate=1"), "write CALCULATOR.INPUT"),
        (("--set", "critical-damping.spring_rate"), "write CALCULATOR.INPUT=VALUE"),
        (("--set", "critical-damping.nothing=1"), "no input called nothing"),
        (("--set", "critical-damping.spring_rate=stiff"), "critical-damping.spring_rate"),
        (("--set", "critical-damping.spring_rate=-1"), "critical-damping.spring_rate"),
        (("--set", "critical-damping.mass_given=x"), "allowed: axle, corner"),
        (("--follow", "nothing.at_all"), "write CALCULATOR.INPUT"),
        (("--only", "lag"), "does not use lag"),
    ],
    ids=str,
)
def test_what_a_job_cannot_take_is_told(
    capsys: pytest.CaptureFixture[str], small_job: str, words: tuple[str, ...], fault: str
) -> None:
    status, out, err = _run(capsys, "run-job", small_job, *words)
    assert (status, out) == (2, "")
    assert fault in err


def test_a_file_that_is_no_job_is_refused_by_name(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "broken.job.json"
    path.write_text('{"format":', encoding="utf-8")
    status, _, err = _run(capsys, "run-job", str(path))
    assert status == 2
    assert "broken.job.json: line 1, column 11" in err
    status, _, err = _run(capsys, "run-job", str(tmp_path / "nowhere.job.json"))
    assert status == 2
    assert "cannot be read" in err


def test_the_schema_and_the_invented_jobs_come_out(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert json.loads(_good(capsys, "schema"))["title"] == "Strokebook job"
    out = _good(capsys, "demo", str(tmp_path / "new"))
    assert out.count("invented") == len(demo.NAMES)
    for name in demo.NAMES:
        assert loads((tmp_path / "new" / f"{name}.job.json").read_bytes()).title


def _table(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[dict[str, str]]:
    status, out, _ = _run(capsys, *arguments)
    assert status == 0
    return list(csv.DictReader(io.StringIO(out)))


def test_a_sweep_answers_line_by_line_and_goes_on_after_a_bad_one(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "cases.csv"
    path.write_text(
        "friction,amplitude [mm],frequency\n"
        "400,12,1.5\n400,abc,1.5\n400,12\n-1,12,1.5\n800,12,1.5\n",
        encoding="utf-8",
    )
    rows = _table(capsys, "sweep", "leaf-friction", str(path), "--processes", "2")
    dampings = [row["damping [N·s/m]"] for row in rows]
    # 4 · 400 / (π · 2π · 1.5 · 0.012) = 1600 / 0.355306, by hand
    assert float(dampings[0]) == pytest.approx(4_503.16, abs=0.01)
    assert float(dampings[4]) == pytest.approx(2.0 * float(dampings[0]))
    assert dampings[1:4] == ["", "", ""]
    assert "amplitude [mm]" in rows[1]["fault"]
    assert "Friction force is -1 N" in rows[3]["fault"]
    assert rows[4]["fault"] == ""


def test_a_sweep_reads_semicolons_decimal_commas_and_choices(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "cases.csv"
    path.write_text(
        "motion;frequency_given;damping [N·s/m]\nbench;1,5;5000\n", encoding="utf-8-sig"
    )
    rows = _table(capsys, "sweep", "lag", str(path), "--processes", "1")
    assert float(rows[0]["frequency [Hz]"]) == 1.5


def test_a_sweep_runs_through_a_job(
    capsys: pytest.CaptureFixture[str], small_job: str, tmp_path: Path
) -> None:
    path = tmp_path / "cases.csv"
    path.write_text("critical-damping.spring_rate [N/mm]\n100\n120\nx\n", encoding="utf-8")
    only = ("--only", "frequency-view", "--processes", "1")
    rows = _table(capsys, "sweep", small_job, str(path), *only)
    first, second = (float(row["frequency-view.body_frequency [Hz]"]) for row in rows[:2])
    assert first < second
    assert rows[2]["fault"]
    assert not any(head.startswith("critical-damping.wheel_rate") for head in rows[0])


@pytest.mark.parametrize(
    ("head", "fault"),
    [
        ("nothing", "no input called nothing"),
        ("friction [mm]", "friction [mm]"),
        ("friction,friction", "two columns"),
        ("friction force!", "is no heading"),
    ],
)
def test_a_heading_that_means_nothing_stops_the_sweep(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, head: str, fault: str
) -> None:
    path = tmp_path / "cases.csv"
    path.write_text(f"{head}\n1\n", encoding="utf-8")
    status, _, err = _run(capsys, "sweep", "leaf-friction", str(path))
    assert status == 2
    assert fault in err


def test_a_sweep_of_what_is_neither_calculator_nor_job_is_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    status, _, err = _run(capsys, "sweep", "leaf", str(tmp_path / "x.csv"))
    assert (status, "no job file" in err) == (2, True)
    status, _, err = _run(capsys, "sweep", "lag", str(tmp_path / "x.csv"))
    assert (status, "cannot be read" in err) == (2, True)


def test_a_good_trace_passes_with_status_0(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str]
) -> None:
    capsys.readouterr()
    out = _good(capsys, "trace", bench["unit"], "--spec", bench["spec"])
    assert "Verdict: pass" in out
    assert "fail" not in out


def test_a_bad_trace_fails_with_status_1_and_names_its_part(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str]
) -> None:
    arguments = ("trace", bench["soft"], "--spec", bench["spec"], "--explain", bench["job"])
    status, out, err = _run(capsys, *arguments)
    assert (status, err) == (1, "")
    assert "Verdict: fail" in out
    words = " ".join(out.split())
    assert "rebound stack, 2 times the design" in words or "rebound stack, 1.9" in words
    status, out, _ = _run(capsys, *arguments, "--json")
    plain = json.loads(out)
    assert status == 1
    assert plain["verdict"]["passed"] is False
    assert plain["explanation"]["candidates"] == ["rebound stack"]


def test_a_trace_without_specification_is_measured(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str]
) -> None:
    plain: dict[str, Any] = json.loads(_good(capsys, "trace", bench["unit"], "--json"))
    assert plain["verdict"] is None
    assert len(plain["speeds"]) == 8
    assert plain["gas_force_from"] == "slow cycle"


def test_columns_units_and_signs_can_be_named(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str], tmp_path: Path
) -> None:
    path = tmp_path / "odd.csv"
    lines = Path(bench["unit"]).read_text(encoding="utf-8").splitlines()[2:]
    path.write_text("\n".join(["a,b,c,d", *lines]), encoding="utf-8")
    columns = [
        f"--column={role}={n}" for n, role in enumerate(("time", "displacement", "force"), 1)
    ]
    plain = json.loads(_good(capsys, "trace", str(path), *columns, "--unit=force=kN", "--json"))
    same = json.loads(_good(capsys, "trace", bench["unit"], "--json"))
    assert plain["gas_force_N"] == pytest.approx(1e3 * same["gas_force_N"], rel=1e-6)
    for wrong in ("--column=time", "--column=time=x", "--column=time=9", "--unit=force=mm"):
        status, _, err = _run(capsys, "trace", str(path), *columns, wrong)
        assert (status, bool(err)) == (2, True)


def test_a_trace_that_cannot_be_read_has_status_2(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str], tmp_path: Path
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("time [s],displacement [mm],force [N]\n0,0,0\n0.1,x,0\n", encoding="utf-8")
    status, out, err = _run(capsys, "trace", str(path), "--spec", bench["spec"])
    assert (status, out) == (2, "")
    assert "bad.csv: line 3, column 2" in err
    status, _, err = _run(capsys, "trace", bench["unit"], "--spec", bench["unit"])
    assert status == 2


def test_a_batch_is_judged_and_written_as_a_table(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str], tmp_path: Path
) -> None:
    table, bad = tmp_path / "units.csv", tmp_path / "bad.csv"
    bad.write_text("nothing", encoding="utf-8")
    arguments = ("batch", bench["spec"], bench["unit"], bench["soft"], str(bad))
    status, out, _ = _run(capsys, *arguments, "--csv", str(table))
    assert status == 1
    assert "1 of 3 units pass." in out
    assert "Fewer than 25 units are few" in out
    assert "Worst: soft" in out
    rows = csv.DictReader(io.StringIO(table.read_text(encoding="utf-8")))
    assert [row["verdict"] for row in rows] == ["pass", "fail", "not measured"]
    status, out, _ = _run(capsys, *arguments, "--json")
    assert json.loads(out)["passed"] == 1
    status, _, _ = _run(capsys, "batch", bench["spec"], bench["unit"])
    assert status == 0


def test_invented_traces_say_so_and_differ_from_unit_to_unit(
    capsys: pytest.CaptureFixture[str], bench: dict[str, str], tmp_path: Path
) -> None:
    arguments = ("invent-trace", bench["job"], str(tmp_path / "u.csv"), "--speeds", "0.05 0.5")
    _good(capsys, *arguments, "--units", "2")
    one, two = ((tmp_path / f"u-0{n}.csv").read_text(encoding="utf-8") for n in (1, 2))
    assert one.startswith("Invented by the virtual bench: no real damper.")
    assert one.splitlines()[2:] != two.splitlines()[2:]
    _good(capsys, *arguments, "--units", "2")
    assert (tmp_path / "u-01.csv").read_text(encoding="utf-8") == one
    for wrong in ("--part=glue=2", "--part=bleed=x", "--speeds=fast", "--units=-1"):
        status, _, err = _run(capsys, *arguments, wrong)
        assert (status, bool(err)) == (2, True)


@pytest.mark.parametrize(
    "command", ["run-job", "sweep", "trace", "batch", "spec", "invent-trace", "demo", "schema"]
)
def test_every_command_has_help_within_80_columns(
    capsys: pytest.CaptureFixture[str], command: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    with pytest.raises(SystemExit) as left:
        main([command, "--help"])
    assert left.value.code == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    assert command in out
