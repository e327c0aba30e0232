"""Print pages of the built site as PDF, with the Chromium that the tests use."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Literal

from playwright.sync_api import expect

from calculators.errors import FileFormatError
from calculators.job_file import dumps, loads
from site_src.chromium import chromium
from site_src.places import SITE, BuildError
from site_src.render.html import environment
from site_src.serve import serving

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

    from calculators.job import Job

__all__ = ["Paper", "print_specification", "specification_pdf"]

Paper = Literal["a4", "letter"]

PAGE = "design/specification/"
WAIT = 60_000  # ms that Python may take in the page
MARGINS = {"top": "12mm", "bottom": "16mm", "left": "14mm", "right": "14mm"}
# The job as the page itself keeps it: see job-store.js.
STORE = """({ id, title, text }) => {
  localStorage.setItem("strokebook.job." + id, text);
  localStorage.setItem("strokebook.jobs", JSON.stringify({ open: id, jobs: [{ id, title }] }));
}"""


def print_specification(job: Path, output: Path, *, paper: Paper = "a4") -> None:
    """Write the specification of a job file as PDF.

    Raises
    ------
    BuildError
        If the file is no job, the site is not built, there is no Chromium, or the
        page can't make the specification; the message says which.
    """
    if not (SITE / PAGE / "index.html").is_file():
        message = "There is no built site to print from: run `make build` first."
        raise BuildError(message)
    try:
        read = loads(job.read_bytes())
    except (OSError, FileFormatError) as error:
        message = f"{job}: {error}"
        raise BuildError(message) from error
    with serving(SITE) as address, chromium() as browser:
        output.write_bytes(specification_pdf(browser, address, read, paper=paper))
    sys.stdout.write(f"{output}: specification of “{read.title}”\n")


def specification_pdf(browser: Browser, address: str, job: Job, *, paper: Paper = "a4") -> bytes:
    """Return the printed specification of a job, made by the page at `address`.

    Raises
    ------
    BuildError
        If the page says that it can't make one.
    """
    with browser.new_context(service_workers="block") as context:
        page = context.new_page()
        page.goto(address)
        page.evaluate(STORE, {"id": "printed", "title": job.title, "text": dumps(job)})
        page.goto(address + PAGE)
        sheet = page.locator("[data-job=specification]")
        said = sheet.locator("[data-part=said]")
        try:
            expect(sheet.locator("[data-part=mark]")).not_to_be_empty(timeout=WAIT)
        except AssertionError as error:
            message = f"The page made no specification. It says: {said.inner_text() or 'nothing'}"
            raise BuildError(message) from error
        page.emulate_media(media="print", color_scheme="light")
        return page.pdf(
            format=paper,
            margin=MARGINS,  # type: ignore[arg-type]  # a plain dict
            print_background=True,
            display_header_footer=True,
            header_template="<span></span>",
            footer_template=environment().get_template("paper_foot.html").render(),
            outline=True,
            tagged=True,
        )
