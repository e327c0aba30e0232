"""Reading bench files: what is recognised, and what a malformed file is answered with."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from calculators import bench_file
from calculators._bench_head import recognise
from calculators.bench_file import Reader, layout_of, read
from calculators.errors import FileFormatError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.bench_file import Record

COUNT = 40
HEAD = "time [s],displacement [mm],force [N]"


def _rows(separator: str = ",", decimal: str = ".", *, count: int = COUNT) -> list[str]:
    """Return lines of a sine: 20 mm at 1 Hz, 40 samples a second, 500 N."""
    lines = []
    for i in range(count):
        angle = 2.0 * math.pi * i / 40.0
        cells = (
            f"{i / 40.0:.4f}",
            f"{20.0 * math.sin(angle):.4f}",
            f"{500.0 * math.cos(angle):.3f}",
        )
        lines.append(separator.join(cell.replace(".", decimal) for cell in cells))
    return lines


def _text(head: str = HEAD, rows: list[str] | None = None, end: str = "\n") -> str:
    return end.join([head, *(rows if rows is not None else _rows())]) + end


def _with(number: int, line: str) -> str:
    """Return a sound file with one line of numbers replaced; the first is 0."""
    rows = _rows()
    rows[number] = line
    return _text(rows=rows)


def _check(record: Record, *, count: int = COUNT) -> None:
    assert len(record.time) == count
    assert record.time[1] - record.time[0] == pytest.approx(0.025)
    assert record.displacement.max() == pytest.approx(0.020, rel=1e-3)
    assert record.force.max() == pytest.approx(500.0, rel=1e-3)


def _pieces(data: bytes, size: int) -> Iterator[bytes]:
    return (data[i : i + size] for i in range(0, len(data), size))


SOUND: dict[str, str | bytes] = {
    "commas": _text(),
    "semicolons": _text(HEAD.replace(",", ";"), _rows(";")),
    "semicolons and decimal commas": _text(HEAD.replace(",", ";"), _rows(";", ",")),
    "tabs": _text(HEAD.replace(",", "\t"), _rows("\t")),
    "tabs and decimal commas": _text(HEAD.replace(",", "\t"), _rows("\t", ",")),
    "strokes": _text(HEAD.replace(",", "|"), _rows("|")),
    "blanks": _text("time displacement force", _rows("   ")),
    "blanks before the cells": _text(rows=[line.replace(",", ", ") for line in _rows()]),
    "lines of Windows": _text(end="\r\n"),
    "lines of old Macs": _text(end="\r"),
    "no last line end": _text().rstrip("\n"),
    "a byte order mark": b"\xef\xbb\xbf" + _text().encode(),
    "UTF-16, little end first": b"\xff\xfe" + _text().encode("utf-16-le"),
    "UTF-16, big end first": b"\xfe\xff" + _text().encode("utf-16-be"),
    "Windows-1252": _text(f"{HEAD},Öl [°C]", [f"{row},25" for row in _rows()]).encode("cp1252"),
    "no headings": "\n".join(_rows()),
    "quotation marks": _text(rows=['"' + row.replace(",", '","') + '"' for row in _rows()]),
    "decimal commas in quotation marks": _text(
        rows=['"' + row.replace(";", '","') + '"' for row in _rows(";", ",")]
    ),
    "units in their own line": _text("time,displacement,force\ns,mm,N"),
    "units in brackets in their own line": _text("time,displacement,force\n[s],[mm],[N]"),
    "German headings": _text("Zeit (s);Weg (mm);Kraft (N)", _rows(";", ",")),
    "capital letters": _text("TIME [s],DISPLACEMENT [mm],FORCE [N]"),
    "units behind a stroke": _text("Time/s,Travel/mm,Load/N"),
    "units behind an underscore": _text("time_s,disp_mm,force_N"),
    "words before the headings": _text(f"Bench 3\nUnit;17\n\n{HEAD}"),
    "no units": _text("time,position,load"),
    "unknown units": _text("time [ticks],position [mm],load [N]"),
    "another order": _text(
        "force [N],time [s],displacement [mm]",
        [f"{c},{a},{b}" for a, b, c in (row.split(",") for row in _rows())],
    ),
    "more columns": _text(f"{HEAD},velocity,step", [f"{row},0.1,7" for row in _rows()]),
    "a column of words": _text(f"{HEAD},state", [f"{row},ok" for row in _rows()]),
    "a separator at the end": _text(f"{HEAD},", [f"{row}," for row in _rows()]),
    "empty lines": _text(rows=[line for row in _rows() for line in (row, "")]),
    "notes between": _text(rows=["# started", *_rows(), "# stopped"]),
    "real minus signs": _text(rows=[row.replace("-", "\u2212") for row in _rows()]),
    "powers of ten": _text(
        rows=[",".join(f"{float(cell):.6e}" for cell in row.split(",")) for row in _rows()]
    ),
    "plus signs": _text(rows=[f"+{row}" for row in _rows()]),
    "kN": _text(
        "time [s],displacement [mm],force [kN]",
        [f"{a},{b},{float(c) / 1e3:.6f}" for a, b, c in (row.split(",") for row in _rows())],
    ),
    "milliseconds and inches": _text(
        "time [ms],displacement [in],force [lbf]",
        [
            f"{1e3 * float(a):.2f},{float(b) / 25.4:.7f},{float(c) / 4.4482216152605:.6f}"
            for a, b, c in (row.split(",") for row in _rows())
        ],
    ),
    "one gap": _with(5, "0.1250,,0"),
    "a word for a gap": _with(5, "0.1250,NaN,0"),
}


@pytest.mark.parametrize("kind", SOUND)
def test_a_file_is_read_however_it_is_written(kind: str) -> None:
    data = SOUND[kind]
    _check(read([data]), count=COUNT - ("gap" in kind))


@pytest.mark.parametrize("size", [1, 7, 64, 1000])
@pytest.mark.parametrize(
    "kind", ["commas", "lines of Windows", "a byte order mark", "Windows-1252", "real minus signs"]
)
def test_a_file_may_be_cut_anywhere(kind: str, size: int) -> None:
    data = SOUND[kind]
    data = data if isinstance(data, bytes) else data.encode()
    _check(read(_pieces(data, size)))


NUL_TEXT = b"time,disp,force\n1,2,\x003\n"
BROKEN: dict[str, tuple[str | bytes, str]] = {
    "nothing": ("", "no samples"),
    "blank lines": ("\n\n\n", "No columns of numbers"),
    "a heading alone": (HEAD + "\n", "No columns of numbers"),
    "one row": (_text(rows=_rows(count=1)), "1 samples; at least 16"),
    "few rows": (_text(rows=_rows(count=8)), "8 samples; at least 16"),
    "words": ("The quick brown fox\njumps over\nthe lazy dog\n", "No columns of numbers"),
    "a web page": ("<html><body>404</body></html>", "No columns of numbers"),
    "one column": ("\n".join(f"{i}.5" for i in range(50)), "No columns of numbers"),
    "zero bytes": (NUL_TEXT, "binary data"),
    "binary junk": (bytes(range(256)) * 20, "binary data"),
    "a picture": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" * 9, "binary data"),
    "UTF-16 without mark": (_text().encode("utf-16-le"), "binary data"),
    "no force": (_text("time [s],displacement [mm],current [A]"), "No column for force"),
    "no time": (_text("angle,displacement [mm],force [N]"), "No column for time"),
    "two columns": (
        _text("time [s],force [N]", [f"{a},{c}" for a, _, c in (r.split(",") for r in _rows())]),
        "No column for displacement",
    ),
    "no headings, no rising time": (
        "\n".join(f"{i % 3},{i % 5},{i % 7}" for i in range(60)),
        "No column for time",
    ),
    "a word": (_with(5, "0.125,abc,7"), "line 7, column 2: displacement is 'abc'"),
    "a formula": (_with(5, "0.125,=1+1,7"), "line 7, column 2: displacement is '=1+1'"),
    "hexadecimal": (_with(5, "0.125,0x1F,7"), "line 7, column 2"),
    "an underscore": (_with(5, "0.125,1_0,7"), "line 7, column 2"),
    "two points": (_with(5, "0.125,1.2.3,7"), "line 7, column 2"),
    "digits of another script": (_with(5, "0.125,١٢,7"), "line 7, column 2"),
    "a unit in the cell": (_with(5, "0.125,3 mm,7"), "line 7, column 2"),
    "infinity": (_with(5, "0.125,inf,7"), "line 7, column 2: displacement is 'inf'"),
    "minus infinity": (_with(5, "0.125,1,-Infinity"), "line 7, column 3: force is '-Infinity'"),
    "beyond any number": (_with(5, "0.125,1,1e999"), "line 7, column 3: force is inf"),
    "a gigantic force": (_with(5, "0.125,1,1e30"), "line 7, column 3: force is 1e+30 N"),
    "a gigantic travel": (_with(5, "0.125,1e9,7"), "line 7, column 2: displacement is 1e+09 mm"),
    "a gigantic time": (_with(COUNT - 1, "1e300,1,7"), "line 41, column 1: time is 1e+300 s"),
    "too few cells": (_with(5, "0.125,1"), "line 7, column 2: 2 cells; the others have 3"),
    "too many cells": (_with(5, "0.125,1,2,3"), "line 7, column 3: 4 cells"),
    "decimal commas between commas": (
        _text(rows=[row.replace(".", ",") for row in _rows()]),
        "commas part the cells and are decimal signs too",
    ),
    "a cell in quotation marks cut off": (_with(5, '0.125,"1,7'), "line 7, column 2"),
    "a line of another file": (_with(5, "PK\x03\x04"), "line 7"),
    "a heading again": (_text(rows=[*_rows()[:20], HEAD, *_rows()[20:]]), "line 22, column 1"),
    "words at the end": (_text(rows=[*_rows(), "end of test"]), "line 42"),
    "a time that falls": (_with(5, "0.01,1,7"), "line 7, column 1: The time falls"),
    "a record that starts again": (_text(rows=_rows() + _rows()), "line 42, column 1: The time"),
    "time backwards": (_text(rows=_rows()[::-1]), "The time falls"),
    "a time that stands still": (
        _text(rows=[f"0.1,{row.split(',', 1)[1]}" for row in _rows()]),
        "the time is written too coarsely",
    ),
    "many gaps": (
        _text(rows=[f"{row.split(',')[0]},,1" if i % 4 else row for i, row in enumerate(_rows())]),
        "30 rows lack a number",
    ),
    "a line without end": ("1," * 40_000, "A line is longer"),
    "a late line without end": (_text() + "9" * 30_000, "A line is longer"),
    "cut in a letter": (_text().encode() + b"\xc3", "line 42: The file ends in the middle"),
    "numbers of another alphabet alone": ("ж,ю,я\nш,щ,ц\n" * 20, "No columns of numbers"),
    "only separators": (",,,\n" * 40, "No columns of numbers"),
    "nested JSON": ("[" * 5000, "No columns of numbers"),
    "a job file": ('{\n  "format": "strokebook-job",\n  "version": 1\n}\n', "No columns"),
}  # fmt: skip


@pytest.mark.parametrize("kind", BROKEN)
def test_a_malformed_file_is_refused_with_the_place_and_the_reason(kind: str) -> None:
    data, words = BROKEN[kind]
    with pytest.raises(FileFormatError, match=re.escape(words)):
        read([data])


def test_the_suite_tries_at_least_sixty_kinds_of_file() -> None:
    assert len(SOUND) + len(BROKEN) >= 60


def test_repeated_times_are_left_out_and_counted() -> None:
    rows = [line for row in _rows() for line in (row, row)]
    rows = [*_rows()[:10], _rows()[9], *_rows()[10:]]
    record = read([_text(rows=rows)])
    assert record.repeated == 1
    assert any("1 rows with the time" in notice for notice in record.notices)
    _check(record)


def test_gaps_are_counted_and_told() -> None:
    record = read([SOUND["one gap"]])
    assert record.gaps == 1
    assert any("1 rows without a number" in notice for notice in record.notices)


def test_what_was_assumed_is_told() -> None:
    record = read([SOUND["no headings"]])
    assert any("no headings" in notice for notice in record.notices)
    record = read([SOUND["unknown units"]])
    assert any('"ticks" is not known' in notice for notice in record.notices)


@pytest.mark.parametrize(
    ("cells", "unit"),
    [("0.5", "kN"), ("500", "N")],
)
def test_a_unit_that_is_not_written_is_taken_from_the_size_of_the_numbers(
    cells: str, unit: str
) -> None:
    rows = [f"{i * 0.01},{i % 20},{cells}" for i in range(40)]
    assert recognise(["time,travel,force", *rows]).columns["force"].unit == unit


def test_temperature_is_read_where_it_is_recorded() -> None:
    text = _text(f"{HEAD},temperature [°F]", [f"{row},77" for row in _rows()])
    record = read([text])
    assert record.temperature is not None
    assert record.temperature[0] == pytest.approx(298.15)  # 77 °F = 25 °C, by hand


def test_columns_units_and_signs_can_be_corrected() -> None:
    text = _text("a,b,c")
    layout = layout_of(text)
    assert layout.columns == {}
    layout = layout.with_column("time", place=0).with_column("force", place=1, unit="kN")
    layout = layout.with_column("displacement", place=2, unit="mm", reverse=True)
    record = read([text], layout=layout)
    assert record.force.max() == pytest.approx(20_000.0, rel=1e-3)
    assert record.displacement.min() == pytest.approx(-0.5, rel=1e-3)


@pytest.mark.parametrize(
    ("role", "change"),
    [
        ("mood", {}),
        ("time", {"place": 9}),
        ("temperature", {}),
        ("force", {"unit": "mm"}),
    ],
    ids=["role", "place", "nowhere", "unit"],
)
def test_a_correction_that_cannot_be_is_refused(role: str, change: dict[str, Any]) -> None:
    with pytest.raises(FileFormatError):
        layout_of(_text()).with_column(role, **change)


def test_progress_can_be_followed() -> None:
    reader = Reader()
    data = _text(rows=_rows(count=8000)).encode()
    seen = []
    for piece in _pieces(data, 20_000):
        reader.feed(piece)
        seen.append((reader.size, reader.rows))
    assert seen == sorted(seen)
    assert seen[-1][1] > 0
    assert len(reader.finish().time) == 8000


def test_a_file_that_is_too_large_is_refused_before_it_is_read(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(bench_file, "LARGEST", 500)
    with pytest.raises(FileFormatError, match="larger than"):
        read([_text()])


def test_too_many_rows_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bench_file, "MOST_ROWS", 30)
    with pytest.raises(FileFormatError, match="more than 30 rows"):
        read([_text()])


def test_a_fault_deep_in_a_large_file_is_told_with_its_line() -> None:
    rows = [f"{i / 1000:.3f},{i % 50},{i % 70}" for i in range(60_000)]
    rows[59_000] = "59.000,x,1"
    reader = Reader()
    with pytest.raises(FileFormatError) as caught:  # noqa: PT012  the fault comes with a piece
        for piece in _pieces(_text(rows=rows).encode(), 65_536):
            reader.feed(piece)
        reader.finish()
    assert (caught.value.line, caught.value.column) == (59_002, 2)


def test_clean_lines_and_lines_with_marks_give_the_same_numbers() -> None:
    plain = read([_text()])
    marked = read([_text(rows=["# slow", *_rows()])])
    assert np.array_equal(plain.force, marked.force)
