"""Audit the built site: pages on a phone, and what is known against the packages we use."""

from __future__ import annotations

import json
import os
import shutil
import statistics
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from site_src.chromium import FLAGS, program
from site_src.measured import write_measured
from site_src.places import ROOT, SITE, BuildError
from site_src.runtime.fetch import audit_packages
from site_src.runtime.node import run
from site_src.runtime.tools import DECLARED
from site_src.serve import serving

__all__ = ["advisories", "audit"]

PAGES = (
    "",
    "understand/lag/",
    "design/",
    "learn/purpose/",
    "calculate/critical-damping/",
    "bench/trace/",
    "care/is-it-leaking/",
    "evidence/quality/",
)
KINDS = ("performance", "accessibility", "best-practices", "seo")
RUNS = 3  # of each page; the median counts
QUALITY = ROOT / "docs" / "evidence" / "quality.md"
MEGABYTE = 1e6


def audit() -> None:
    """Audit a page of each section on a phone's profile, and write the scores into their page.

    Raises
    ------
    BuildError
        If the site is not built, no Chromium is named, or an audit fails.
    """
    if not (SITE / "index.html").is_file():
        message = "There is no built site to audit: run `make audit`."
        raise BuildError(message)
    packages = audit_packages()
    lines = [
        f"| Page | {' | '.join(kind.replace('-', ' ') for kind in KINDS)} |",
        f"|---|{'---|' * len(KINDS)}",
    ]
    with serving(SITE) as address:
        for page in PAGES:
            scores = [_scores(packages, address + page) for _ in range(RUNS)]
            middle = [round(statistics.median(values)) for values in zip(*scores, strict=True)]
            lines.append(f"| {page or 'home'} | {' | '.join(map(str, middle))} |")
            sys.stdout.write(f"{lines[-1]}\n")
    files = [path for path in SITE.rglob("*") if path.is_file()]
    size = sum(path.stat().st_size for path in files) / MEGABYTE
    lines += ["", f"The built site has {len(files)} files of {size:.0f} MB together."]
    write_measured(QUALITY, [f"Audited on {datetime.now(UTC):%Y-%m-%d}.", "", *lines])


def _scores(packages: Path, address: str) -> list[float]:
    """Return the scores of one run, of 100, in the order of `KINDS`."""
    with tempfile.TemporaryDirectory(prefix="strokebook-") as folder:
        report = Path(folder) / "report.json"
        arguments = [
            str(packages / "lighthouse" / "cli" / "index.js"),
            address,
            "--quiet",
            "--output=json",
            f"--output-path={report}",
            f"--only-categories={','.join(KINDS)}",
            f"--chrome-flags={' '.join(('--headless=new', *FLAGS))}",
        ]
        os.environ["CHROME_PATH"] = program()
        run("node", arguments, folder=Path(folder), task=f"Audit of {address}")
        found = json.loads(report.read_text(encoding="utf-8"))["categories"]
    return [100.0 * found[kind]["score"] for kind in KINDS]


def advisories() -> None:
    """Ask npm's registry what is known against the locked packages of npm.

    Raises
    ------
    BuildError
        If something is known, or the registry does not answer such questions.
    """
    for declared in DECLARED:
        with tempfile.TemporaryDirectory(prefix="strokebook-") as folder:
            for name in ("package.json", "package-lock.json"):
                shutil.copy(declared / name, folder)
            run("npm", ["audit"], folder=Path(folder), task=f"npm audit of {declared.name}")
        sys.stdout.write(f"{declared.relative_to(ROOT)}: nothing known\n")
