"""Chromium under remote control, for the browser tests and the measurements."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import contextmanager
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from site_src.places import BuildError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, BrowserContext

__all__ = ["FLAGS", "chromium", "profile", "program"]

FLAGS = (
    "--no-sandbox",  # so that it starts for root, as in a container
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Give a Chromium, the one that the environment variable CHROMIUM names or that is on PATH.

    Raises
    ------
    BuildError
        If there is none.
    """
    path = program()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def profile(browser: Browser) -> Iterator[BrowserContext]:
    """Give a profile kept on the disk, as a reader's is: machine code is kept there too.

    No service worker comes between: what is measured and held back is what the page asks for.
    """
    with (
        tempfile.TemporaryDirectory(prefix="strokebook-profile-") as folder,
        browser.browser_type.launch_persistent_context(
            folder, executable_path=program(), args=list(FLAGS), service_workers="block"
        ) as context,
    ):
        yield context


def program() -> str:
    """Return the path of Chromium: that in the environment variable CHROMIUM, or on PATH."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if path is None:
        message = "No Chromium is named: run it by make, or set CHROMIUM to the path of one."
        raise BuildError(message)
    return path
