"""Digests of files and folders, and the stamps that say that a folder is complete."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

__all__ = ["is_complete", "mark_complete", "sha256_of_file", "sha256_of_files"]

STAMP = ".complete"


def sha256_of_file(path: Path) -> str:
    """Return the SHA-256 digest of one file, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def sha256_of_files(paths: Iterable[Path], *, root: Path) -> str:
    """Return one digest over names (relative to `root`) and contents, whatever the order."""
    lines = sorted(f"{path.relative_to(root).as_posix()} {sha256_of_file(path)}" for path in paths)
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def is_complete(folder: Path, digest: str) -> bool:
    """Return whether `folder` was finished for this very digest."""
    stamp = folder / STAMP
    return stamp.is_file() and stamp.read_text(encoding="utf-8").strip() == digest


def mark_complete(folder: Path, digest: str) -> None:
    """Write the stamp; called last, so that an interrupted run leaves none."""
    (folder / STAMP).write_text(f"{digest}\n", encoding="utf-8")
