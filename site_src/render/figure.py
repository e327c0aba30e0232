"""A drawing, inlined so that it takes the page's colours and type."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from markupsafe import Markup

from site_src.render.html import environment

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["figure_html"]

_ID = re.compile(r'(\bid="|url\(#|href="#|aria-labelledby="|aria-describedby=")([\w-]+)')


def figure_html(path: Path, caption: str) -> str:
    """Return a figure with its caption; ids inside are made unique to the drawing."""
    drawing = _ID.sub(rf"\1{path.stem}-\2", path.read_text(encoding="utf-8"))
    return environment().get_template("figure.html").render(
        drawing=Markup(drawing),  # noqa: S704  our own file
        caption=caption,
        name=path.stem,
    )  # fmt: skip
