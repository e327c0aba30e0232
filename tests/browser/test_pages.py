"""Every page of the site: on a phone, in light and dark, for everyone, without faults."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import pytest

from site_src.runtime.fetch import tool_packages
from site_src.serve import serving

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import (
        Browser,
        ConsoleMessage,
        Error,
        Page,
        Request,
        Response,
        ViewportSize,
    )

PHONE: ViewportSize = {"width": 390, "height": 844}
DESK: ViewportSize = {"width": 1366, "height": 768}
ZOOMED: ViewportSize = {"width": 683, "height": 384}  # a screen of 1366 by 768 at 200 %
BAD_REQUEST = 400  # the first status that means failure
UNFOLD = "() => document.querySelectorAll('details').forEach(one => { one.open = true; })"
# What reaches beyond the right edge, unless it scrolls inside a box of its own.
WIDE = """() => {
  const width = document.documentElement.scrollWidth;
  if (width <= innerWidth) return [];
  const scrolls = (one) =>
    one && (getComputedStyle(one).overflowX !== "visible" || scrolls(one.parentElement));
  const name = (one) => `${one.tagName.toLowerCase()}.${one.className.baseVal ?? one.className}`;
  return [...document.querySelectorAll("body *")]
    .filter((one) => one.getBoundingClientRect().right > innerWidth + 1)
    .filter((one) => !scrolls(one.parentElement))
    .map(name).slice(0, 5).concat(`${width} px wide`);
}"""
# Large parts are laid out when they come near: here all at once.
ALL_LAID_OUT = """() => document.querySelectorAll(".sb-far").forEach(
  (part) => part.classList.remove("sb-far"))"""
# A worker that never says anything.
IDLE = "window.Worker = class extends EventTarget { postMessage() {} terminate() {} };"
# A change of the device's scheme reaches the page with the next frame.
PAPER = """() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(
  () => resolve(getComputedStyle(document.body).backgroundColor))))"""

INJECT = """() => {
  const made = document.createElement("script");
  made.textContent = "window.ran = true";
  document.body.append(made);
  document.body.insertAdjacentHTML("beforeend", "<img src='none:' onerror='window.ran = true'>");
}"""
SEND = """async (elsewhere) => {
  const refused = () => "refused";
  const fetched = await fetch(elsewhere, { mode: "no-cors" }).then(() => "sent", refused);
  const picture = new Image();
  picture.src = `${elsewhere}app/img/favicon.svg`;
  return { fetched, pictured: await picture.decode().then(() => "sent", refused) };
}"""

# Said of a font that is fetched early, where the look for barriers holds up its use.
UNUSED = "was preloaded using link preload but not used"
# What keeps people out, by the rules of WCAG 2.2 A and AA and by good practice.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
BARRIERS = """async (runOnly) => {
  const { violations } = await axe.run(document, { runOnly, resultTypes: ["violations"] });
  const first = (nodes) => nodes.slice(0, 3).map((node) => node.target.join(" "));
  return violations.map(({ id, nodes }) => `${id}: ${first(nodes)}`);
}"""


@dataclass
class Visit:
    """What happened on one page."""

    path: str
    foreign: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    wide: list[str] = field(default_factory=list)
    papers: set[str] = field(default_factory=set)
    barriers: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def visits(browser: Browser, pages: dict[str, str], address: str) -> list[Visit]:
    """Visit every page once, before Python is there; cards have their own tests."""
    axe = (tool_packages() / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
    with browser.new_context(
        service_workers="block",
        viewport=PHONE,
        has_touch=True,
        is_mobile=True,
        reduced_motion="reduce",  # no colour is on its way to another
    ) as context:
        page = context.new_page()
        page.add_init_script(IDLE)
        page.add_init_script(axe)
        made = [Visit(path) for path in pages]
        for visit in made:
            with watched(page, visit, address):
                look_at(page, visit, address)
    return made


def look_at(page: Page, visit: Visit, address: str) -> None:
    """Open a page and look at it folded, in light and dark, and unfolded."""
    page.goto(address + visit.path, wait_until="load")
    page.evaluate(ALL_LAID_OUT)
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        visit.papers.add(page.evaluate(PAPER))
    page.emulate_media(color_scheme="light")
    page.evaluate(PAPER)
    visit.barriers += [f"phone, light, folded: {what}" for what in page.evaluate(BARRIERS, RULES)]
    for folded in ("folded", "unfolded"):
        visit.wide += [f"{folded}: {what}" for what in page.evaluate(WIDE)]
        page.evaluate(UNFOLD)
    page.set_viewport_size(DESK)
    page.emulate_media(color_scheme="dark")
    page.wait_for_timeout(300)  # the theme looks at widths a moment later
    visit.barriers += [f"desk, dark, unfolded: {what}" for what in page.evaluate(BARRIERS, RULES)]
    page.set_viewport_size(ZOOMED)
    visit.wide += [f"zoomed: {what}" for what in page.evaluate(WIDE)]
    page.set_viewport_size(PHONE)


@contextmanager
def watched(page: Page, visit: Visit, address: str) -> Iterator[None]:
    """Note foreign requests, failed ones and console errors while the block runs."""

    def request(one: Request) -> None:
        if not one.url.startswith((address, "data:", "blob:")):
            visit.foreign.append(one.url)

    def response(one: Response) -> None:
        if one.status >= BAD_REQUEST:
            visit.faults.append(f"{one.status} {one.url}")

    def console(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and UNUSED not in message.text:
            visit.faults.append(message.text)

    def fault(error: Error) -> None:
        visit.faults.append(str(error))

    heard = {"request": request, "response": response, "console": console, "pageerror": fault}
    for event, listener in heard.items():
        page.on(event, listener)  # type: ignore[call-overload]  # each name with its own kind
    yield
    for event, listener in heard.items():
        page.remove_listener(event, listener)


def test_no_page_asks_another_origin_for_anything(visits: list[Visit]) -> None:
    assert {visit.path: visit.foreign for visit in visits if visit.foreign} == {}


def test_no_page_has_a_console_error_or_a_missing_file(visits: list[Visit]) -> None:
    assert {visit.path: visit.faults for visit in visits if visit.faults} == {}


def test_no_page_scrolls_sideways_on_a_phone(visits: list[Visit]) -> None:
    assert {visit.path: visit.wide for visit in visits if visit.wide} == {}


def test_every_page_is_light_or_dark_as_the_device_says(visits: list[Visit]) -> None:
    assert {visit.path: visit.papers for visit in visits if len(visit.papers) != 2} == {}


def test_no_page_keeps_anybody_out(visits: list[Visit]) -> None:
    assert {visit.path: visit.barriers for visit in visits if visit.barriers} == {}


def test_a_script_that_is_not_ours_does_not_run(stranger: Page, address: str) -> None:
    stranger.goto(address)
    stranger.evaluate(INJECT)
    assert stranger.evaluate("() => window.ran ?? null") is None


def test_a_page_can_send_nothing_elsewhere(stranger: Page, address: str, folder: Path) -> None:
    stranger.goto(address)
    with serving(folder) as elsewhere:
        told = stranger.evaluate(SEND, elsewhere)
    assert told == {"fetched": "refused", "pictured": "refused"}
