"""What the theme forgets is mended at build time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from site_src.mend import mend, mend_pages
from site_src.places import BuildError

if TYPE_CHECKING:
    from pathlib import Path

SEARCH = '<div class="md-search" data-md-component="search" role="dialog"></div>'
ICON = '<span class="md-nav__icon md-icon"></span>'
SECTION = (
    f'<label class="md-nav__link " for="__nav_2" id="__nav_2_label" tabindex="0">{ICON}</label>'
    f'<label class="md-nav__title" for="__nav_2">{ICON} Care</label>'
)


def test_the_search_gets_a_name() -> None:
    assert 'role="dialog" aria-label="Search">' in mend(SEARCH)


def test_a_section_of_the_navigation_is_named_by_its_title() -> None:
    assert f'{ICON}<span class="sb-spoken">Care</span></label>' in mend(SECTION)


def test_the_script_of_the_theme_waits_until_the_page_is_read() -> None:
    script = '<script src="../assets/javascripts/bundle.abc.min.js"></script>'
    assert mend(script) == script.replace("<script src", "<script defer src")
    assert mend('<script src="other.js"></script>') == '<script src="other.js"></script>'


def test_what_is_no_valid_html_is_left_out() -> None:
    toggle = '<input class="md-toggle" type="checkbox" id="__drawer" autocomplete="off">'
    assert "autocomplete" not in mend(toggle)
    assert mend('<label id="x" tabindex="">a</label>') == '<label id="x">a</label>'
    field = '<input type="text" autocomplete="off">'
    assert mend(field) == field


def test_a_page_without_search_stops_the_build(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text("", encoding="utf-8")
    with pytest.raises(BuildError, match="no search"):
        mend_pages(tmp_path)
