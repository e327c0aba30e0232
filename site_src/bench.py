"""Measure how fast a calculator comes and answers, and write the table into the speed page.

Starting times are given as ratios to a bare load of the same runtime, measured in
turn with it in the same run: a ratio says something on another machine too.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from site_src.bench_solvers import solver_lines
from site_src.chromium import chromium, profile
from site_src.measured import write_measured
from site_src.places import ROOT, SITE, BuildError
from site_src.runtime.fetch import site_packages
from site_src.runtime.node import run
from site_src.serve import serving
from site_src.server import serving_folder
from site_src.slow_link import slow_link

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from playwright.sync_api import Browser, Page, Request

__all__ = ["bench"]

PAGE = "calculate/critical-damping/"
NUMPY_PAGE = "calculate/speed-map/"
SPEED = ROOT / "docs" / "evidence" / "speed.md"
RUNS = 7  # of each way of starting
SLOW_RUNS = 5
SLOW_LINE = {"rate": 20e6 / 8, "delay": 0.04}  # 20 Mbit/s, 40 ms there and back
CHANGES = 100  # keystrokes
WAIT = 60_000  # ms, for anything
MEGABYTE = 1e6

BARE = (
    "pyodide.mjs",
    "pyodide.asm.mjs",
    "pyodide.asm.wasm",
    "pyodide-lock.json",
    "python_stdlib.zip",
)
BARE_PAGE = """<!doctype html><title>bare</title><link rel="icon" href="data:,">
<script type="module">
  import { loadPyodide } from "./pyodide.mjs";
  const python = await loadPyodide({ indexURL: "./" });
  if (python.runPython("1 + 1") === 2) document.body.dataset.painted = performance.now();
</script><body></body>
"""
PAINTED = "() => Number(document.querySelector('[data-painted]')?.dataset.painted ?? 0)"
READY = """() => document.querySelector("[data-painted], [data-sheet] [data-state=ready]")
  && performance.now()"""

# Comes into a field, and changes it again and again: ms from the event to new numbers, to the
# next frame after them, and to new charts.
CHANGE = """async ({ changes }) => {
  const card = document.querySelector("[data-sheet]");
  const fields = [...card.querySelectorAll("[data-part=value]")];
  const field = fields.find((one) => Number(one.value) > 0);
  const start = Number(field.value);
  const change = (name) => new Promise((resolve) => {
    const observer = new MutationObserver(() => {
      observer.disconnect();
      resolve(performance.now());
    });
    observer.observe(card, { attributeFilter: [`data-${name}`] });
  });
  const frame = () => new Promise((resolve) => {
    requestAnimationFrame(() => resolve(performance.now()));
  });
  const times = { numbers: [], frames: [], charts: [] };
  field.focus();
  await new Promise((resolve) => { setTimeout(resolve, 1500); });
  for (let index = 0; index <= changes; index += 1) {
    await frame();
    await frame();
    field.value = String(start * (1 + (index + 1) / 1000));
    const [painted, drawn] = [change("painted"), change("drawn")];
    const begin = performance.now();
    field.dispatchEvent(new Event("input", { bubbles: true }));
    const [numbers, next, charts] = [await painted, await frame(), await drawn];
    if (index === 0) continue;  // the first one fetches the chart library
    times.numbers.push(numbers - begin);
    times.frames.push(next - begin);
    times.charts.push(charts - begin);
  }
  return times;
}"""

COMPRESS = """
const { readFileSync } = require("node:fs");
const { brotliCompressSync, constants, gzipSync } = require("node:zlib");
const params = { [constants.BROTLI_PARAM_QUALITY]: 9 };
const sizes = process.argv.slice(1).map((path) => {
  const content = readFileSync(path);
  const packed = [gzipSync(content, { level: 9 }), brotliCompressSync(content, { params })];
  return [content, ...packed].map((one) => one.length);
});
console.log(JSON.stringify(sizes));
"""


def bench() -> None:
    """Measure the built site, print the table and write it into the speed page.

    Raises
    ------
    BuildError
        If the site is not built, or no Chromium is named.
    """
    if not (SITE / PAGE / "index.html").is_file():
        message = "There is no built site to measure: run `make bench`."
        raise BuildError(message)
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="strokebook-")))
        site = shutil.copytree(SITE, folder / "site")  # a build meanwhile disturbs nothing
        ours = stack.enter_context(serving(site)) + PAGE
        bare = stack.enter_context(serving(_bare_site(folder / "bare")))
        browser = stack.enter_context(chromium())
        numpy_page = ours.removesuffix(PAGE) + NUMPY_PAGE
        lines = [
            *_starts(browser, {"bare": bare, "ours": ours, "numpy": numpy_page}),
            *_slow_starts(browser, stack, folder / "bare", site),
            "",
            *_answers(browser, ours),
            "",
            *_transfers(browser, ours, site),
            *solver_lines(site / "app" / "python"),
        ]
        version = browser.version
    where = f"Chromium {version}, {os.cpu_count()} processor cores, served from the same machine"
    lines = [f"Measured on {datetime.now(UTC):%Y-%m-%d}: {where}.", "", *lines]
    sys.stdout.writelines(f"{line}\n" for line in lines)
    write_measured(SPEED, lines)


def _bare_site(folder: Path) -> Path:
    """Make a site of one page that loads the runtime as its package ships it."""
    folder.mkdir()
    for name in BARE:
        shutil.copy(site_packages() / "pyodide" / name, folder)
    (folder / "index.html").write_text(BARE_PAGE, encoding="utf-8")
    return folder


def _starts(browser: Browser, addresses: Mapping[str, str]) -> list[str]:
    """Start both ways in turn, each first without and then with a filled cache."""
    times: dict[tuple[str, int], list[float]] = {
        (name, visit): [] for name in addresses for visit in (0, 1)
    }
    for _ in range(RUNS):
        for name, address in addresses.items():
            with profile(browser) as context:
                for visit in (0, 1):
                    page = context.new_page()
                    times[name, visit].append(_start(page, address))
                    page.close()
    rows = []
    for name, words in (
        ("ours", "Navigation to first live result"),
        ("numpy", "Navigation until a calculator with numpy is ready"),
    ):
        for visit, which in enumerate(("first visit", "second visit")):
            rows.append(_ratio(f"{words}, {which}", times[name, visit], times["bare", visit]))
    return ["| Start | this page | bare runtime | ratio |", "|---|---|---|---|", *rows]


def _ratio(words: str, ours: Sequence[float], bare: Sequence[float]) -> str:
    ratios = [one / other for one, other in zip(ours, bare, strict=True)]
    return (
        f"| {words} | {median(ours) / 1000:.2f} s | {median(bare) / 1000:.2f} s "
        f"| **{median(ours) / median(bare):.2f}** ({min(ratios):.2f} to {max(ratios):.2f}) |"
    )


def _slow_starts(browser: Browser, stack: ExitStack, bare: Path, site: Path) -> list[str]:
    """Start both ways over a slow line, from a server that compresses as hosts do."""
    addresses = {}
    for name, folder in (("bare", bare), ("ours", site)):
        near = stack.enter_context(serving_folder(folder, far=True))
        addresses[name] = stack.enter_context(slow_link(near, **SLOW_LINE))
    addresses["ours"] += PAGE
    times: dict[str, list[float]] = {"bare": [], "ours": []}
    for run_number in range(SLOW_RUNS + 1):
        for name, address in addresses.items():
            with profile(browser) as context:
                took = _start(context.new_page(), address)
            if run_number:  # in the first the server still compresses
                times[name].append(took)
    words = "Navigation to first live result, first visit at 20 Mbit/s and 40 ms"
    return [_ratio(words, times["ours"], times["bare"])]


def _start(page: Page, address: str) -> float:
    """Return the ms from navigation to the first result in the page, on the page's clock."""
    page.goto(address, wait_until="commit")
    ready = float(page.wait_for_function(READY, timeout=WAIT).json_value())
    return float(page.evaluate(PAINTED)) or ready


def _answers(browser: Browser, address: str) -> list[str]:
    """Change an input often and return how long numbers and charts take to follow."""
    with browser.new_context(service_workers="block") as context:
        page = context.new_page()
        _start(page, address)
        page.wait_for_selector('[data-part="state"][data-state="live"]', timeout=WAIT)
        times: dict[str, list[float]] = page.evaluate(CHANGE, {"changes": CHANGES})
    words = {
        "numbers": "Change of an input to new numbers in the page",
        "frames": "the same, to the next frame",
        "charts": "Change of an input to all charts redrawn",
    }
    rows = [
        f"| {words[name]} | {_share(one, 50):.0f} ms | {_share(one, 95):.0f} ms |"
        for name, one in times.items()
    ]
    return [f"| Answer, {CHANGES} changes | half within | 95 % within |", "|---|---|---|", *rows]


def _share(times: Sequence[float], percent: int) -> float:
    return quantiles(times, n=100)[percent - 1]


def _transfers(browser: Browser, address: str, site: Path) -> list[str]:
    """Return the bytes that a page takes: before Python, to go live, for its charts."""
    taken: set[str] = set()

    def finished(request: Request) -> None:
        taken.add(urlsplit(request.url).path.lstrip("/"))

    with browser.new_context(service_workers="block") as context:
        page = context.new_page()
        page.on("requestfinished", finished)
        _start(page, address)
        page.wait_for_selector('[data-part="state"][data-state="live"]', timeout=WAIT)
        page.evaluate(CHANGE, {"changes": 1})
        page.wait_for_load_state("networkidle")
    parts: dict[str, Callable[[str], bool]] = {
        "The page, useful as a worked example": lambda path: (
            not path.startswith(("app/python/", "app/vega/"))
        ),
        "Python and the core, to go live": lambda path: path.startswith("app/python/"),
        "Chart library, at the first change": lambda path: path.startswith("app/vega/"),
    }
    rows = []
    for words, belongs in parts.items():
        paths = sorted(filter(belongs, taken))
        sizes = " | ".join(map(_mb, _compressed(site, paths)))
        rows.append(f"| {words} | {len(paths)} | {sizes} |")
    head = "| Transfer, first visit | files | as served here | gzip 9 | brotli 9 |"
    return [head, "|---|---|---|---|---|", *rows]


def _compressed(site: Path, paths: Iterable[str]) -> tuple[int, int, int]:
    """Return the bytes of files as they are, with gzip and with brotli, each file by itself."""
    files = [
        str(site / path / "index.html" if path.endswith("/") else site / path) for path in paths
    ]
    sizes: list[list[Any]] = json.loads(
        run("node", ["-e", COMPRESS, *files], folder=site, task="Compressing")
    )
    plain, gzip, brotli = (sum(column) for column in zip(*sizes, strict=True))
    return plain, gzip, brotli


def _mb(size: int) -> str:
    return f"{size / MEGABYTE:.2f} MB"
