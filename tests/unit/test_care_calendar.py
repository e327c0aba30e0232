"""The calendar file, read by a general-purpose library."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar

from tests.unit.test_care_scripts import calendar

TITLE = "Look at the dampers; front, rear — Öl?"
WORDS = "Let them cool.\nBackslash \\, semicolon; comma, " + "long " * 40


def test_a_calendar_library_reads_what_was_meant() -> None:
    parsed = Calendar.from_ical(calendar(title=TITLE, words=WORDS))
    (event,) = parsed.walk("VEVENT")
    (alarm,) = parsed.walk("VALARM")
    assert parsed.errors == []
    assert event.errors == []
    assert str(event["SUMMARY"]) == TITLE
    assert str(event["DESCRIPTION"]) == WORDS
    assert event.decoded("DTSTART") == date(2026, 12, 24)
    assert event.decoded("DTSTAMP") == datetime(2026, 11, 25, 10, 30, 5, tzinfo=UTC)
    assert event["RRULE"] == {"FREQ": ["MONTHLY"], "INTERVAL": [3]}
    assert alarm.decoded("TRIGGER") == timedelta(hours=9)
