"""Programs that are only needed to check and to maintain the front end."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from site_src.places import ASSETS, ROOT, RUNTIME, SITE, BuildError
from site_src.runtime import node
from site_src.runtime.alone import alone
from site_src.runtime.fetch import tool_packages

__all__ = ["DECLARED", "check_html", "check_scripts", "lock_npm_packages"]

PROJECTS = ("tsconfig.json", "tsconfig.worker.json")  # scripts of the page, and of the worker
HTML_RULES = ROOT / "tests" / "tools" / "html-validate.json"
DECLARED = (RUNTIME, ROOT / "tests" / "tools", ROOT / "tests" / "audit")


def check_scripts() -> None:
    """Check the types of the site's scripts, as ``site_src/assets/tsconfig*.json`` say.

    Raises
    ------
    BuildError
        If the compiler finds a fault; the message holds its findings.
    """
    with alone():
        compiler = tool_packages() / "typescript" / "bin" / "tsc"
    for project in PROJECTS:
        arguments = [str(compiler), "--project", str(ASSETS / project)]
        node.run("node", arguments, folder=ROOT, task=f"Type check by {project}")


def check_html() -> None:
    """Check that every page of the built site is valid HTML.

    Raises
    ------
    BuildError
        If a page is not; the message holds what was found.
    """
    with alone():
        validator = tool_packages() / "html-validate" / "bin" / "html-validate.mjs"
    arguments = [str(validator), "--config", str(HTML_RULES), f"{SITE}/**/*.html"]
    node.run("node", arguments, folder=ROOT, task="HTML check")


def lock_npm_packages() -> None:
    """Write each package-lock.json anew, without the addresses packages came from."""
    for declared in DECLARED:
        with tempfile.TemporaryDirectory(prefix="strokebook-") as temporary:
            folder = Path(temporary)
            shutil.copy(declared / "package.json", folder)
            options = ["--package-lock-only", "--omit-lockfile-registry-resolved"]
            task = f"Locking {declared.name}"
            node.run("npm", ["install", *options, "--ignore-scripts"], folder=folder, task=task)
            lock = folder / "package-lock.json"
            if '"resolved"' in lock.read_text(encoding="utf-8"):
                message = f"{task}: npm wrote addresses of its registry into the lock file."
                raise BuildError(message)
            shutil.copy(lock, declared)
