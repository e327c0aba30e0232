"""Mend what the theme forgets: names for screen readers, valid HTML, a script that can wait."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from site_src.places import BuildError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["mend", "mend_pages"]

_DIALOG = '<div class="md-search" data-md-component="search" role="dialog">'
_ICON = r'<span class="md-nav__icon md-icon"></span>'
_TITLE = re.compile(
    rf'<label class="md-nav__title" for="(__nav_\d+)">\s*{_ICON}\s*([^<]+?)\s*</label>'
)
_OPENER = re.compile(rf'(<label [^>]*id="(__nav_\d+)_label"[^>]*>\s*{_ICON})(?=\s*</label>)')
_TOGGLE = re.compile(r'(<input class="md-toggle"[^>]*?) autocomplete="off"')  # main.js does it
_BUNDLE = re.compile(r'<script (?=src="[^"]*assets/javascripts/bundle)')


def mend_pages(site: Path) -> None:
    """Mend every page of a site.

    Raises
    ------
    BuildError
        If a page has no search where the theme used to put it.
    """
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        if _DIALOG not in text:
            message = f"{page.relative_to(site)} has no search: look at site_src/mend.py."
            raise BuildError(message)
        page.write_text(mend(text), encoding="utf-8")


def mend(page: str) -> str:
    """Return a page whose search and navigation have names, shown before it is alive."""
    titles = dict(_TITLE.findall(page))
    named = _OPENER.sub(
        lambda found: f'{found[1]}<span class="sb-spoken">{titles[found[2]]}</span>', page
    )
    named = _BUNDLE.sub("<script defer ", named)
    named = _TOGGLE.sub(r"\1", named).replace(' tabindex=""', "")
    return named.replace(_DIALOG, f'{_DIALOG[:-1]} aria-label="Search">')
