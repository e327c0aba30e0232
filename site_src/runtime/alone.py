"""Let one build at a time work in this folder; others wait for it."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING, TextIO

from site_src.places import CACHE

if TYPE_CHECKING:
    from collections.abc import Iterator

try:
    import fcntl
except ImportError:  # on Windows: there two builds at a time must be avoided by hand
    fcntl = None  # type: ignore[assignment]

__all__ = ["alone"]

LOCK = CACHE / "lock"
_held = False


@contextmanager
def alone() -> Iterator[None]:
    """Wait until no other process builds here, and keep others waiting meanwhile.

    A function that holds the lock may call others that ask for it too. The system
    lets go of the lock when the process ends, however it ends.
    """
    global _held  # noqa: PLW0603  one process, one lock
    if _held:
        yield
        return
    LOCK.parent.mkdir(parents=True, exist_ok=True)
    with LOCK.open("a", encoding="utf-8") as file:
        _lock(file)
        _held = True
        try:
            yield
        finally:
            _held = False


def _lock(file: TextIO) -> None:
    if fcntl is None:
        return
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        sys.stderr.write("Another build is at work in this folder: waiting until it is done\n")
        fcntl.flock(file, fcntl.LOCK_EX)
