"""The cut font for formulas has every sign that a formula on the site shows."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

from site_src.fonts import SIGNS
from site_src.places import SITE

if TYPE_CHECKING:
    from collections.abc import Iterator

_FORMULA = re.compile(r"<math.*?</math>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")


def _signs() -> Iterator[str]:
    for page in SITE.rglob("*.html"):
        for formula in _FORMULA.findall(page.read_text(encoding="utf-8")):
            yield from unescape(_TAG.sub("", formula))


def test_every_sign_of_a_formula_is_in_the_font() -> None:
    missing = {sign for sign in _signs() if sign.isprintable() and ord(sign) not in SIGNS}
    assert not missing
