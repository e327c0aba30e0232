"""Build the site and serve it on this machine."""

from __future__ import annotations

import errno
import sys
import threading
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

from site_src.build import build
from site_src.places import SITE, BuildError
from site_src.server import serving_folder

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

__all__ = ["serve", "serving"]


@contextmanager
def serving(folder: Path, *, port: int = 0) -> Iterator[str]:
    """Serve a folder as `serving_folder` does; a port that can't be had is a BuildError."""
    with ExitStack() as stack:
        try:
            address = stack.enter_context(serving_folder(folder, port=port))
        except (OSError, OverflowError) as error:
            raise BuildError(_port_message(port, error)) from error
        yield address


def serve(*, port: int) -> None:
    """Build the site and serve it until Ctrl+C."""
    with serving(SITE, port=port) as address:  # first, so that a taken port is told at once
        build()
        sys.stdout.write(f"Strokebook is at {address} (Ctrl+C stops it)\n")
        sys.stdout.flush()
        threading.Event().wait()


def _port_message(port: int, error: Exception) -> str:
    if isinstance(error, OSError) and error.errno == errno.EADDRINUSE:
        return f"Port {port} is taken by another program; choose one: make serve PORT={port + 1}"
    return f"Port {port} cannot be used ({error}); choose one from 1024 to 65535."
