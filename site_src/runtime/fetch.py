"""Fetch what the site needs from outside, and accept it only if its digest is right.

npm packages come through ``npm ci``, which checks the integrity values of the
lock file; the numpy wheel for the browser is the business of ``wheel.py``.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from site_src.places import CACHE, ROOT, RUNTIME
from site_src.runtime import node
from site_src.runtime.digest import is_complete, mark_complete, sha256_of_files

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["audit_packages", "npm_packages", "site_packages", "tool_packages"]


def site_packages() -> Path:
    """Return the ``node_modules`` folder of what the site serves, fetched if need be."""
    return npm_packages(RUNTIME, CACHE / "npm" / "site")


def tool_packages() -> Path:
    """Return the ``node_modules`` folder of what only the checks use."""
    return npm_packages(ROOT / "tests" / "tools", CACHE / "npm" / "tools")


def audit_packages() -> Path:
    """Return the ``node_modules`` folder of the page audit."""
    return npm_packages(ROOT / "tests" / "audit", CACHE / "npm" / "audit")


def npm_packages(declared: Path, cache: Path) -> Path:
    """Return a folder with the packages that ``declared/package-lock.json`` locks.

    Each lock file has its own folder in `cache`, which appears there when it is
    whole: two builds at the same time do not disturb each other. A folder with
    parts missing is removed and made again.
    """
    wanted = [declared / "package.json", declared / "package-lock.json"]
    digest = sha256_of_files(wanted, root=declared)
    folder = cache / digest[:16]
    if not _is_whole(folder, digest):
        if folder.exists():
            _say(f"{_shown(folder)} is incomplete: fetched again")
            shutil.rmtree(folder)
        _install(wanted, folder, digest)
    return folder / "node_modules"


def _is_whole(folder: Path, digest: str) -> bool:
    """Return whether the folder was finished and still has each package asked for."""
    if not is_complete(folder, digest):
        return False
    declared = json.loads((folder / "package.json").read_text(encoding="utf-8"))
    names = [*declared.get("dependencies", ()), *declared.get("devDependencies", ())]
    return all((folder / "node_modules" / name / "package.json").is_file() for name in names)


def _install(wanted: Iterable[Path], folder: Path, digest: str) -> None:
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="making-", dir=folder.parent) as temporary:
        made = Path(temporary) / folder.name
        made.mkdir()
        for path in wanted:
            shutil.copy(path, made)
        options = ["--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"]
        node.run("npm", ["ci", *options], folder=made, task="Fetching npm packages")
        mark_complete(made, digest)
        if not is_complete(folder, digest):  # another build may have been quicker
            made.rename(folder)


def _shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix() if path.is_relative_to(ROOT) else str(path)


def _say(text: str) -> None:
    sys.stderr.write(f"fetch: {text}\n")
