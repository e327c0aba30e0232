"""Put the whole site into one file that any Python can serve: for a stick, or a shelf."""

from __future__ import annotations

import sys
import zipfile
from typing import TYPE_CHECKING

from site_src.places import ROOT, SITE, BuildError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["archive"]

SOURCES = ROOT / "site_src"


def archive(target: Path, *, site: Path = SITE) -> None:
    """Write an archive that serves the site: ``python3 strokebook.pyz``.

    Parameters
    ----------
    target : Path
        The file to write.
    site : Path
        The built site.

    Raises
    ------
    BuildError
        If there is no built site.
    """
    files = sorted(path for path in site.rglob("*") if path.is_file())
    if not files:
        message = "There is no built site to pack: run `make build` first."
        raise BuildError(message)
    unfinished = target.with_suffix(".unfinished")
    with zipfile.ZipFile(unfinished, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.write(SOURCES / "archive_main.py", "__main__.py")
        packed.write(SOURCES / "server.py", "server.py")
        for path in files:
            packed.write(path, f"site/{path.relative_to(site).as_posix()}")
    unfinished.replace(target)
    megabytes = target.stat().st_size / 1e6
    sys.stdout.write(f"{target.name}: {megabytes:.1f} MB, {len(files)} files\n")
