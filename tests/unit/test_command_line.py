"""The command line, as a person and as a program use it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from calculators.__main__ import main
from calculators._terminal import WIDTH, aligned, grid, paragraph
from calculators.sheet import evaluate
from calculators.sheets import load, names
from tests.unit.strategies import SHEETS

ROOT = Path(__file__).parents[2]
COMMAND = [sys.executable, "-m", "calculators"]


def _said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """Return what a command that succeeds writes."""
    assert main(arguments) == 0
    said = capsys.readouterr()
    assert said.err == ""
    return said.out


def _faults(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[str]:
    """Return the lines of a command that refuses."""
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err.splitlines()


def test_list_names_every_calculator_with_its_question(capsys: pytest.CaptureFixture[str]) -> None:
    words = " ".join(_said(capsys, "list").split())
    for sheet in SHEETS:
        assert f"{sheet.name} ({sheet.title}) {sheet.question}" in words


@pytest.mark.parametrize("name", names())
def test_show_describes_every_input_output_and_limit(
    capsys: pytest.CaptureFixture[str], name: str
) -> None:
    words = " ".join(_said(capsys, "show", name).split())
    sheet = load(name)
    for item in sheet.inputs:
        assert f"{item.name}: {item.label}" in words
        assert item.help in words
    for output in sheet.outputs:
        assert f"{output.name}: {output.label}" in words
        assert output.meaning in words
    for limit in sheet.limits:
        assert limit in words


def test_show_gives_symbol_default_unit_and_range(capsys: pytest.CaptureFixture[str]) -> None:
    said = _said(capsys, "show", "critical-damping")
    assert (
        "spring_rate: Spring rate, k_s\n"
        "      default 120 N/mm; allowed: 1 to 2\u2009000\u00a0N/mm\n" in said
    )
    assert "damper_angle: Damper angle, θ\n      default 20°; allowed: 0 to 70°\n" in said
    assert "Asked for with mass_given=corner." in said


@pytest.mark.parametrize("name", names())
def test_run_shows_results_findings_and_tables_within_80_columns(
    capsys: pytest.CaptureFixture[str], name: str
) -> None:
    said = _said(capsys, "run", name, "--working")
    assert max(len(line) for line in said.splitlines()) <= WIDTH
    words = " ".join(said.split())
    result = evaluate(load(name))
    for output in result.sheet.outputs:
        assert f"{output.label}, " in words
        assert output.meaning in words
    for finding in result.findings:
        assert f"{finding.level}: " in words
    for table in result.tables:
        assert table.title in words
    for step in result.steps:
        assert step.label in words


def test_a_result_stands_with_symbol_value_and_unit(capsys: pytest.CaptureFixture[str]) -> None:
    said = _said(
        capsys,
        "run",
        "critical-damping",
        "mass_given=corner",
        "sprung_mass=350",
        "target_at=empty",
        "spring_rate=28000 N/m",
        "spring_motion_ratio=1",
    )
    # 2 √(28 000 · 350) = 2 √9 800 000 = 6 260.990, by hand
    assert "Critical damping at the wheel, c_cr = 6\u2009261\u00a0N·s/m\n" in said
    assert "Working" not in said


def test_the_working_is_plain_text(capsys: pytest.CaptureFixture[str]) -> None:
    said = _said(capsys, "run", "critical-damping", "--working")
    assert (
        "      k_w = k_s · MR_s^2\n"
        "        = 120\u2009000 N/m · 0.75^2\n"
        "        = 67\u2009500 N/m = 67.5\u00a0N/mm" in said
    )


def test_options_may_stand_anywhere(capsys: pytest.CaptureFixture[str]) -> None:
    first = _said(
        capsys, "run", "gas-force", "--json", "stroke=6", "--imperial", "rod_diameter=22 mm"
    )
    assert first == _said(
        capsys, "run", "--imperial", "--json", "gas-force", "stroke=6", "rod_diameter=22 mm"
    )
    assert json.loads(first)["inputs"]["stroke"]["unit"] == "in"


def test_imperial_shows_and_reads_inch_pound_units(capsys: pytest.CaptureFixture[str]) -> None:
    said = _said(capsys, "run", "gas-force", "--imperial", "rod_diameter=1", "stroke=150 mm")
    assert "Rod diameter                  d      1\u00a0in" in said
    assert "150\u00a0mm" in said
    assert "\u00a0lbf\n" in said


def test_json_is_one_object_with_si_values_and_the_text_shown(
    capsys: pytest.CaptureFixture[str],
) -> None:
    said: dict[str, Any] = json.loads(
        _said(capsys, "run", "gas-force", "--json", "--working", "stroke=0,14 m")
    )
    result = evaluate(load("gas-force"), {"stroke": 0.14})
    assert said["calculator"] == "gas-force"
    assert said["inputs"]["stroke"] == {"value": 0.14, "si_unit": "m", "text": "0.14", "unit": "m"}
    assert said["inputs"]["volume_given"] == "chamber"
    assert "gas_volume" not in said["inputs"]
    assert {name: shown["value"] for name, shown in said["outputs"].items()} == dict(result.outputs)
    assert said["outputs"]["charge_at_20"]["si_unit"] == "Pa"
    assert [finding["level"] for finding in said["findings"]] == [
        finding.level for finding in result.findings
    ]
    assert [step["value"] for step in said["working"]] == [
        step.answer.value for step in result.steps
    ]


def test_json_holds_tables_in_si_and_as_shown(capsys: pytest.CaptureFixture[str]) -> None:
    table = json.loads(_said(capsys, "run", "critical-damping", "--json", "--imperial"))["tables"][
        0
    ]
    assert table["columns"][1] == {"label": "Compression, damper", "si_unit": "N", "unit": "lbf"}
    assert table["values"][0][0] == 0.05
    assert len(table["texts"]) == len(table["values"])


def test_a_name_that_is_nearly_right_is_suggested(capsys: pytest.CaptureFixture[str]) -> None:
    assert _faults(capsys, "show", "gas-forse") == [
        "There is no calculator called gas-forse. Did you mean gas-force?"
    ]
    assert _faults(capsys, "run", "gas-force", "strok=1") == [
        "gas-force has no input called strok. Did you mean stroke?"
    ]


def test_a_name_that_is_far_off_is_answered_with_where_to_look(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert _faults(capsys, "run", "zzz") == [
        'There is no calculator called zzz. See "python -m calculators list".'
    ]


def test_every_fault_has_a_line_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    faults = _faults(
        capsys,
        "run",
        "gas-force",
        "wings=2",
        "alone",
        "stroke=abc",
        "stroke=5",
        "rod_diameter=500",
        "charge_pressure=1 kg",
        "volume_given=barrel",
    )
    starts = (
        "gas-force has no input called wings.",
        "alone: write an input as KEY=VALUE",
        "stroke is given twice.",
        'Stroke: "abc"',
        'Gas charge: "1 kg"',
        "Gas volume given as is 'barrel'",
        "Rod diameter is 500\u00a0mm; allowed: 4 to 80\u00a0mm.",
    )
    assert len(faults) == len(starts)
    for fault, start in zip(sorted(faults), sorted(starts), strict=True):
        assert fault.startswith(start)


def test_an_input_that_the_choices_do_not_ask_for_is_refused(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert _faults(capsys, "run", "gas-force", "gas_volume=100") == [
        "Gas volume (gas_volume) is not asked for here; it needs volume_given=volume."
    ]


def test_inputs_that_do_not_fit_together_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    (fault,) = _faults(capsys, "run", "gas-force", "ride_compression=200")
    assert "further than its stroke" in fault


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["fly"],
        ["run"],
        ["run", "gas-force", "--wings"],
        ["list", "more"],
        ["show", "gas-force", "a=1"],
    ],
)
def test_a_command_that_makes_no_sense_ends_with_usage_and_status_2(
    capsys: pytest.CaptureFixture[str], arguments: list[str]
) -> None:
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert capsys.readouterr().err.startswith("usage: python -m calculators")


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252"])
def test_a_console_that_lacks_a_letter_gets_it_spelled_out(encoding: str) -> None:
    done = subprocess.run(
        [*COMMAND, "run", "critical-damping", "--working"],
        capture_output=True,
        check=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"},
    )
    said = done.stdout.decode(encoding)
    assert "zeta_e" in said
    assert "?" not in said.replace("bench?", "")


def test_a_reader_that_stops_early_is_no_error() -> None:
    with subprocess.Popen(
        [*COMMAND, "run", "gas-force", "--json", "--working"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait() == 0


def test_a_paragraph_keeps_to_the_width_and_to_its_words() -> None:
    text = "words " * 40
    lines = paragraph(text, indent=4, first=2).splitlines()
    assert all(len(line) <= WIDTH for line in lines)
    assert " ".join(" ".join(lines).split()) == text.strip()
    assert (lines[0][:3], lines[1][:5]) == ("  w", "    w")


def test_columns_stand_below_one_another() -> None:
    assert aligned([("a", "bb"), ("ccc", "d")]) == ["  a    bb", "  ccc  d"]


def test_a_table_has_its_heads_wrapped_and_its_numbers_flush_right() -> None:
    assert grid([("Rod speed", "v", "[m/s]"), ("F", "", "")], [["0.05", "7"], ["1", "10"]]) == [
        "  Rod speed",
        "          v",
        "      [m/s]   F",
        "  ---------  --",
        "       0.05   7",
        "          1  10",
    ]
