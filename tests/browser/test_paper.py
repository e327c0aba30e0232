"""What is printed by a command: the specification of a job, and the whole handbook."""

from __future__ import annotations

import re
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from calculators import demo
from calculators.job import Job
from site_src.handbook import handbook_pdf, leaves
from site_src.paper import print_specification, specification_pdf
from site_src.places import BuildError

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

    from site_src.paper import Paper

# ISO 216: 210 mm by 297 mm. ANSI/ASME Y14.1: 8.5 in by 11 in. In points of 1/72 in.
SIZES: dict[Paper, tuple[float, float]] = {
    "a4": (210 / 25.4 * 72, 297 / 25.4 * 72),
    "letter": (8.5 * 72, 11 * 72),
}


@pytest.mark.parametrize("paper", SIZES)
def test_a_specification_is_printed_on_the_paper_asked_for(
    browser: Browser, address: str, paper: Paper
) -> None:
    job = demo.read("trailer")
    sheets = PdfReader(BytesIO(specification_pdf(browser, address, job, paper=paper))).pages
    assert 2 <= len(sheets) <= 8
    box = sheets[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(SIZES[paper], abs=1.0)
    assert job.title in " ".join(sheets[0].extract_text().split())
    assert sheets[-1].extract_text().rstrip().endswith(f"Page {len(sheets)} of {len(sheets)}")


def test_a_job_with_nothing_in_it_is_printed_as_that(browser: Browser, address: str) -> None:
    made = PdfReader(BytesIO(specification_pdf(browser, address, Job(title="Empty"))))
    assert "Empty" in made.pages[0].extract_text()


def test_the_handbook_has_contents_numbers_bookmarks_and_links(
    browser: Browser, address: str
) -> None:
    chosen = ["", "care/", "care/is-it-leaking/", "evidence/speed/"]
    pages = [leaf for leaf in leaves() if leaf.path in chosen]
    assert [leaf.path for leaf in pages] == chosen
    made = PdfReader(BytesIO(handbook_pdf(browser, address, pages)))
    sheets = [sheet.extract_text() for sheet in made.pages]
    contents = dict(re.findall(r"^(.+?)\s*(\d+)$", sheets[1], re.MULTILINE))
    for leaf in pages:
        number = int(contents[leaf.title])
        assert sheets[number - 1].rstrip().endswith(str(number))
    assert "Is it leaking?" in sheets[int(contents["Is it leaking?"]) - 1]
    outline = made.outline
    assert [str(one["/Title"]) for one in outline if not isinstance(one, list)] == [
        "Home",
        "Care",
        "Evidence",
    ]
    inner = [
        note.get_object()
        for sheet in made.pages
        for note in sheet.get("/Annots") or []
        if "/Dest" in note.get_object()
    ]
    assert inner


def test_every_page_of_the_site_is_in_the_handbook(pages: dict[str, str]) -> None:
    assert {leaf.path for leaf in leaves()} == set(pages) - {"404.html"}


def test_a_file_that_is_no_job_is_refused_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "a.job.json").write_text("{}", encoding="utf-8")
    with pytest.raises(BuildError, match=r"a\.job\.json: "):
        print_specification(tmp_path / "a.job.json", tmp_path / "a.pdf")
    assert not (tmp_path / "a.pdf").exists()
