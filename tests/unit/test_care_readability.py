"""The care pages can be read by most adults: school grade 8 or below."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from site_src.care import CHECK_FILE
from site_src.text_checks import grade

if TYPE_CHECKING:
    from collections.abc import Iterator

CARE = Path(__file__).parents[2] / "docs" / "care"
HIGHEST = 8.0  # school grade of the United States
TEXTS = {"ask", "help", "say", "why", "next", "apart", "tell", "name", "caption", "card", "hint"}


def plain(page: str) -> str:
    """Return a page's prose: no front matter, headings, tables, marks or targets of links."""
    text = page.partition("\n---\n")[2]
    text = re.sub(r"^(?:[|#!].*|\s*[-\d]+\.? )", "\n", text, flags=re.MULTILINE)
    text = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text)
    lines = [line.strip(" *") for line in re.sub(r"[*`]", "", text).splitlines()]
    return " ".join(line if line[-1] in ".?!" else f"{line}." for line in lines if line)


def texts(data: object, key: str = "") -> Iterator[str]:
    """Yield all that a reader sees of the guided check."""
    if isinstance(data, dict):
        for name, value in data.items():
            yield from texts(value, f"{key}.{name}")
    elif isinstance(data, list):
        for value in data:
            yield from texts(value, key)
    elif isinstance(data, str) and ("cautions." in key or key.rpartition(".")[2] in TEXTS):
        yield data if data[-1] in ".?!" else f"{data}."


@pytest.mark.parametrize("page", sorted(CARE.glob("*.md")), ids=lambda path: path.stem)
def test_a_care_page_is_at_grade_eight_or_below(page: Path) -> None:
    assert grade(plain(page.read_text(encoding="utf-8"))) <= HIGHEST


def test_the_guided_check_is_at_grade_eight_or_below() -> None:
    data = tomllib.loads(CHECK_FILE.read_text(encoding="utf-8"))
    assert grade(" ".join(texts(data))) <= HIGHEST


def test_a_hard_sentence_is_found_hard() -> None:
    assert grade("Characteristic deterioration necessitates comprehensive investigation.") > HIGHEST
