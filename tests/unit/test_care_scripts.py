"""The log's and the calendar's plain functions, run by Node: files that others can read."""

from __future__ import annotations

import csv
import io

import pytest

from tests.unit.scripts import run

ENTRY = {
    "id": "a1",
    "date": "2026-11-25",
    "vehicle": "Demo trailer, axle 1",
    "position": "rear left",
    "distance": "84200",
    "unit": "km",
    "finding": "Oil mist",
    "note": "",
}
REMINDER = {
    "uid": "0123-strokebook",
    "day": "2026-12-24",
    "months": 3,
    "title": "Look at the dampers",
    "words": "Let them cool.",
}


def calendar(**changed: object) -> str:
    reminder = REMINDER | changed
    code = "it.calendar({...given.reminder, stamp: new Date('2026-11-25T10:30:05.123Z')})"
    return str(run("calendar.js", code, reminder=reminder))


def test_every_line_of_a_calendar_file_ends_with_crlf_and_fits_75_octets() -> None:
    text = calendar(title="Dämpfer prüfen — " * 20, words="Öl; Spiel, Dellen\n" * 20)
    lines = text.encode().split(b"\r\n")
    assert lines.pop() == b""
    assert b"\n" not in b"".join(lines)
    assert max(len(line) for line in lines) <= 75  # octets without the break, RFC 5545, 3.1
    for line in lines:
        line.decode()  # no character is cut in two


def test_a_folded_line_is_whole_again_after_unfolding() -> None:
    title = "ÄÖÜ€😀" * 40
    unfolded = calendar(title=title).replace("\r\n ", "")  # RFC 5545, 3.1
    assert f"SUMMARY:{title}\r\n" in unfolded


def test_text_is_escaped_as_the_standard_shows() -> None:
    # RFC 5545, 3.3.11, the example of a DESCRIPTION of three lines
    lines = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    shown = r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert run("calendar.js", "it.escaped(given.text)", text=lines) == shown
    # the same section: backslash, semicolon and comma are escaped, a colon is not
    assert run("calendar.js", "it.escaped(given.text)", text="a\\b;c,d:e\r\nf\x07") == (
        r"a\\b\;c\,d:e\nf"
    )


def test_a_calendar_file_has_what_the_standard_requires() -> None:
    lines = calendar().splitlines()
    assert lines[0] == "BEGIN:VCALENDAR"  # RFC 5545, 3.4
    assert lines[-1] == "END:VCALENDAR"
    assert lines.count("VERSION:2.0") == 1  # 3.7.4
    assert sum(line.startswith("PRODID:") for line in lines) == 1  # 3.7.3
    assert "UID:0123-strokebook" in lines  # 3.8.4.7
    assert "DTSTAMP:20261125T103005Z" in lines  # 3.8.7.2, UTC
    assert "DTSTART;VALUE=DATE:20261224" in lines  # 3.8.2.4 with 3.3.4
    assert "RRULE:FREQ=MONTHLY;INTERVAL=3" in lines  # 3.8.5.3
    alarm = lines[lines.index("BEGIN:VALARM") : lines.index("END:VALARM")]
    for name in ("ACTION:DISPLAY", "DESCRIPTION:", "TRIGGER:"):  # 3.6.6
        assert sum(line.startswith(name) for line in alarm) == 1


def test_a_reminder_for_once_has_no_repetition() -> None:
    assert "RRULE" not in calendar(months=0)


def test_a_spreadsheet_reads_the_table_back_and_starts_no_formula() -> None:
    notes = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", 'say "so", then\nstop', "Öl", "'x"]
    entries = [ENTRY | {"note": note} for note in notes]
    text = run("log-entry.js", "it.toCsv(given.entries)", entries=entries)
    assert text.startswith("\ufeffdate,vehicle,position,distance,unit,finding,note\r\n")
    rows = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    read = [row["note"] for row in rows]
    assert read == [f"'{note}" for note in notes[:6]] + notes[6:]
    assert {row["vehicle"] for row in rows} == {"Demo trailer, axle 1"}


def test_a_log_is_read_back_as_it_was_written() -> None:
    entries = [ENTRY, ENTRY | {"id": "a2", "note": "<b>bold</b>\n=1"}]
    read = run("log-entry.js", "it.readLog(it.writeLog(given.entries))", entries=entries)
    assert read == {"entries": entries, "reason": ""}


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("{", "not JSON"),
        ("[]", "no inspection log"),
        ('"text"', "no inspection log"),
        ("null", "no inspection log"),
        ('{"format": "strokebook-log", "version": 9, "entries": []}', "version 9"),
        ('{"format": "strokebook-log", "version": 1, "entries": {}}', "a list"),
        ('{"format": "strokebook-log", "version": 1, "entries": [3]}', "Entry 1"),
        ('{"format": "strokebook-log", "version": 1, "entries": [{"date": 3}]}', "of texts"),
        ('{"format": "strokebook-log", "version": 1, "entries": [{"date": "2026-2-3"}]}', "a day"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_log_is_refused_with_the_reason(text: str, reason: str) -> None:
    read = run("log-entry.js", "it.readLog(given.text)", text=text)
    assert read["entries"] == []
    assert reason in read["reason"]


def test_a_file_of_many_megabytes_is_not_read_at_all() -> None:
    read = run("log-entry.js", "it.readLog(' '.repeat(2_000_001))")
    assert read == {"entries": [], "reason": "The file is larger than 2 MB."}


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"date": "25.11.2026"}, "date must be a day"),
        ({"date": "2026-02-30"}, "date must be a day"),
        ({"distance": "many"}, "whole number"),
        ({"distance": "-5"}, "whole number"),
        ({"unit": "ly"}, "km or mi"),
        ({"finding": "  "}, "finding is empty"),
        ({"note": "x" * 2001}, "note has 2001 characters"),
        ({}, ""),
    ],
)
def test_an_entry_with_a_fault_is_refused_with_the_reason(
    changed: dict[str, str], words: str
) -> None:
    fault = run("log-entry.js", "it.faultOf(given.entry)", entry=ENTRY | changed)
    assert words in fault
    assert bool(fault) == bool(words)


def test_a_distance_may_have_its_thousands_parted() -> None:
    typed = ["84 200", "84.200", "84,200", "84\u202f200", "84200", "1'284'200", "84.2"]
    plain = run("log-entry.js", "given.typed.map(it.plainDistance)", typed=typed)
    assert plain == ["84200"] * 5 + ["1284200", "84.2"]  # 84.2 is refused later, not guessed


def test_entries_that_are_there_already_are_not_doubled() -> None:
    other = ENTRY | {"id": "b"}
    code = "it.merged(given.old, given.added).map(({ id }) => id).sort()"
    assert run("log-entry.js", code, old=[ENTRY], added=[ENTRY, other]) == ["a1", "b"]


def test_the_newest_entry_comes_first() -> None:
    dates = ["2026-01-02", "2026-11-25", "2025-12-31"]
    code = "it.sorted(given.entries).map(({ date }) => date)"
    entries = [ENTRY | {"date": date} for date in dates]
    assert run("log-entry.js", code, entries=entries) == sorted(dates, reverse=True)
