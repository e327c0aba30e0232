"""Find Chromium for the browser tests, or get it; print its path.

In this order: the environment variable CHROMIUM, the usual names on PATH,
Debian's package when run as root, Playwright's own download.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

__all__ = ["find_chromium", "get_chromium"]

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
ADVICE = "Chromium was not found: install it, or set CHROMIUM to the path of a Chromium or Chrome."


def find_chromium() -> str | None:
    """Return the path of a Chromium on this machine, or None.

    Raises
    ------
    FileNotFoundError
        If CHROMIUM names a file that is not there.
    """
    named = os.environ.get("CHROMIUM")
    if named:
        if not Path(named).is_file():
            message = f"CHROMIUM is {named}, but there is no such file."
            raise FileNotFoundError(message)
        return named
    return next(filter(None, map(shutil.which, NAMES)), None) or _playwrights_own()


def get_chromium() -> str:
    """Return the path of a Chromium, installed if need be.

    Raises
    ------
    FileNotFoundError
        If there is none and none can be had; the message says what to do.
    """
    for install in (_nothing, _install_from_debian, _install_from_playwright):
        install()
        found = find_chromium()
        if found:
            return found
    raise FileNotFoundError(ADVICE)


def _nothing() -> None:
    """Look at what is there before anything is installed."""


def _install_from_debian() -> None:
    if os.geteuid() == 0 and shutil.which("apt-get"):
        _try("apt-get", "update")
        _try("apt-get", "install", "--yes", "--no-install-recommends", "chromium")


def _install_from_playwright() -> None:
    _try(sys.executable, "-m", "playwright", "install", "chromium")


def _playwrights_own() -> str | None:
    from playwright.sync_api import sync_playwright  # noqa: PLC0415  slow, and rarely needed

    with sync_playwright() as playwright:
        path = playwright.chromium.executable_path
    return path if Path(path).is_file() else None


def _try(*command: str) -> None:
    """Run a command that may fail; what it prints goes to standard error."""
    subprocess.run(command, stdin=subprocess.DEVNULL, stdout=sys.stderr, check=False)


if __name__ == "__main__":
    try:
        sys.stdout.write(f"{get_chromium()}\n")
    except FileNotFoundError as error:
        sys.exit(str(error))
