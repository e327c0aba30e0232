"""Where things are in the repository, and the one error that building raises on purpose."""

from __future__ import annotations

from pathlib import Path

__all__ = ["ASSETS", "CACHE", "CORE", "MKDOCS_YML", "ROOT", "RUNTIME", "SITE", "BuildError"]

ROOT = Path(__file__).resolve().parent.parent
CORE = ROOT / "calculators"
RUNTIME = ROOT / "site_src" / "runtime"
ASSETS = ROOT / "site_src" / "assets"
MKDOCS_YML = ROOT / "mkdocs.yml"
CACHE = ROOT / ".cache"  # may be deleted at any time: everything in it can be fetched or made again
SITE = ROOT / "site"


class BuildError(Exception):
    """Something outside the code is missing or damaged; the message says what to do."""
