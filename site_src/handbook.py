"""The whole handbook as one PDF: contents with page numbers, links that work, running numbers."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from mkdocs.config import load_config
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, NameObject

from site_src.chromium import chromium
from site_src.paper import MARGINS
from site_src.places import MKDOCS_YML, SITE, BuildError
from site_src.render.html import environment
from site_src.serve import serving

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from playwright.sync_api import Browser, Page
    from pypdf import PageObject

__all__ = ["Leaf", "handbook_pdf", "leaves", "print_handbook"]


# Formulas are unfolded; of the evidence the line that sums up each topic is enough on paper.
UNFOLD = "() => { for (const one of document.querySelectorAll('.sb-entry')) one.open = true; }"


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page of the site: the section it stands in, its title, and its path below the site."""

    section: str
    title: str
    path: str


def print_handbook(output: Path) -> None:
    """Write every page of the built site, in the order of its navigation, as one PDF.

    Raises
    ------
    BuildError
        If the site is not built, or there is no Chromium.
    """
    if not (SITE / "index.html").is_file():
        message = "There is no built site to print: run `make build` first."
        raise BuildError(message)
    with serving(SITE) as address, chromium() as browser:
        output.write_bytes(handbook_pdf(browser, address, leaves()))
    count = len(PdfReader(output).pages)
    sys.stdout.write(f"{output}: {count} pages, {output.stat().st_size / 1e6:.1f} MB\n")


def leaves() -> list[Leaf]:
    """Return all pages in the order of the navigation."""
    return list(_walk(load_config(str(MKDOCS_YML)).nav or [], ""))


def _walk(nav: Sequence[Any], section: str) -> Iterator[Leaf]:
    for item in nav:
        if isinstance(item, str):
            yield Leaf(section, section, _path(item))
            continue
        for title, what in item.items():
            if isinstance(what, str):
                yield Leaf(section or title, title, _path(what))
            else:
                yield from _walk(what, title)


def _path(source: str) -> str:
    """Return where the site has the page of a source file."""
    return source.removesuffix("index.md").removesuffix(".md") + (
        "" if source.endswith("index.md") else "/"
    )


def handbook_pdf(browser: Browser, address: str, pages: Sequence[Leaf]) -> bytes:
    """Return a PDF of these pages: title, contents, pages, with numbers and bookmarks.

    Worked examples print as the build made them: without JavaScript, as on paper.
    """
    with browser.new_context(java_script_enabled=False, service_workers="block") as context:
        page = context.new_page()
        printed = [_printed(page, address + leaf.path) for leaf in pages]
        counts = [len(one.pages) for one in printed]
        page = context.new_page()  # the policy of the site's pages would allow no style
        front = _front(page, pages, counts, 2)
        front = _front(page, pages, counts, len(front.pages))  # now it knows its own length
        total = len(front.pages) + sum(counts)
        numbers = _number_sheets(page, total)
    writer = PdfWriter()
    for one in (front, *printed):
        for sheet in one.pages:
            writer.add_page(sheet)
    starts = _starts(counts, len(front.pages))
    for sheet, number in zip(writer.pages[1:], numbers.pages[1:total], strict=True):
        sheet.merge_page(number)
    _bookmark(writer, pages, starts)
    places = {address + leaf.path: start for leaf, start in zip(pages, starts, strict=True)}
    for sheet in writer.pages:
        _turn_links(writer, sheet, places)
    writer.add_metadata({"/Title": "Strokebook: vehicle dampers explained and calculated"})
    writer.compress_identical_objects()
    made = BytesIO()
    writer.write(made)
    return made.getvalue()


def _printed(page: Page, address: str) -> PdfReader:
    page.goto(address, wait_until="load")
    page.evaluate(UNFOLD)
    return _pdf(page)


def _pdf(page: Page, margin: dict[str, str] | None = None) -> PdfReader:
    page.emulate_media(media="print", color_scheme="light")
    made = page.pdf(format="a4", margin=margin or MARGINS, print_background=True)  # type: ignore[arg-type]  # a plain dict
    return PdfReader(BytesIO(made))


def _starts(counts: Sequence[int], first: int) -> list[int]:
    """Return on which sheet each page of the site begins, counted from 0."""
    return [first + sum(counts[:index]) for index in range(len(counts))]


def _front(page: Page, pages: Sequence[Leaf], counts: Sequence[int], length: int) -> PdfReader:
    """Return the title and the contents, for a front of so many sheets."""
    numbers = [start + 1 for start in _starts(counts, length)]
    page.set_content(
        environment()
        .get_template("handbook_front.html")
        .render(lines=list(zip(pages, numbers, strict=True)), date=f"{datetime.now(UTC):%Y-%m-%d}")
    )
    return _pdf(page)


def _number_sheets(page: Page, count: int) -> PdfReader:
    """Return sheets that are empty but for their numbers."""
    page.set_content(environment().get_template("handbook_numbers.html").render(count=count))
    return _pdf(page, dict.fromkeys(MARGINS, "0"))


def _bookmark(writer: PdfWriter, pages: Sequence[Leaf], starts: Sequence[int]) -> None:
    section, parent = "", None
    for leaf, start in zip(pages, starts, strict=True):
        if leaf.section != section:
            section = leaf.section
            parent = writer.add_outline_item(title=section, page_number=start)
        if leaf.title != section:
            writer.add_outline_item(title=leaf.title, page_number=start, parent=parent)


def _turn_links(writer: PdfWriter, sheet: PageObject, places: dict[str, int]) -> None:
    """Turn links to pages of the site into links to sheets of this file."""
    for held in sheet.get("/Annots") or []:
        link = held.get_object()
        action = link.get("/A")
        address = str(action.get_object().get("/URI", "")) if action else ""
        start = places.get(address.partition("#")[0])
        if start is not None:
            target = writer.pages[start].indirect_reference
            link[NameObject("/Dest")] = ArrayObject([target, NameObject("/Fit")])
            del link["/A"]
