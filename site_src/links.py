"""Links that the marks make, from the root of the site to where each page stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["make_relative"]

_ROOT = "@root/"


def make_relative(site: Path) -> None:
    """Turn ``@root/…`` in every page into a relative address, so the site works under any path."""
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        if _ROOT in text:
            depth = len(page.relative_to(site).parts) - 1
            page.write_text(text.replace(_ROOT, "../" * depth or "./"), encoding="utf-8")
