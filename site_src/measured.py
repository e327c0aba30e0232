"""Put what was measured into its page, between two marks."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

__all__ = ["write_measured"]

_PLACE = re.compile(r"(?<=<!-- measured -->\n).*?(?=<!-- end -->)", re.DOTALL)


def write_measured(page: Path, lines: Sequence[str]) -> None:
    """Replace what stands between the marks of a page."""
    text = "\n".join(lines)
    before = page.read_text(encoding="utf-8")
    page.write_text(_PLACE.sub(lambda _: f"\n{text}\n\n", before, count=1), encoding="utf-8")
