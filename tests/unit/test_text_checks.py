"""The pages are complete, of readable length, plainly written and spelt; and the check sees it."""

from __future__ import annotations

import datetime as dt

import pytest

from site_src.text_checks import (
    WORDS,
    Page,
    faults,
    grade,
    misspelt,
    other_texts,
    pages,
)

META = {
    "kind": "how-to",
    "title": "Oil",
    "description": "Look at oil.",
    "reviewed": dt.date(2026, 11, 25),
}
BODY = "# Oil\n\nLook at it.\n\n## Sources\n\ncommon practice.\n"


def _page(body: str = BODY, name: str = "care/oil.md", **meta: object) -> Page:
    return Page(name, {**META, **meta}, body)


@pytest.mark.parametrize("page", pages(), ids=lambda page: page.name)
def test_a_page_has_no_fault(page: Page) -> None:
    assert faults(page) == []


def test_drawings_questions_and_calculators_are_spelt_as_the_pages_are() -> None:
    found = {name: misspelt(text) for name, text in other_texts()}
    assert {name: words for name, words in found.items() if words} == {}


def test_a_page_in_order_passes() -> None:
    assert faults(_page()) == []


@pytest.mark.parametrize(
    ("page", "said"),
    [
        (_page(kind="essay"), "kind is one of"),
        (_page(title=""), "title is missing"),
        (_page(description=None), "description is missing"),
        (_page(reviewed="lately"), "reviewed is a date"),
        (_page(evidence=["nonsense"]), "evidence names nonsense"),
        (_page("# Oil\n\nLook at it.\n"), "names its evidence"),
        (_page(f"{BODY}\nLook at teh oil."), "unknown word: teh"),
        (_page(title="Recieve"), "unknown word: recieve"),
        (_page(f"{BODY}\n[There](https://example.org/x)"), "outside the site: https://example.org"),
        (
            _page("Characteristic deterioration necessitates investigation.\n## Sources"),
            "reads at grade",
        ),
        (_page(name="understand/oil.md", kind="explanation"), "600 to 1400"),
        (_page(name="understand/oil.md", kind="explanation"), "a drawing or an experiment"),
    ],
)
def test_a_fault_is_told(page: Page, said: str) -> None:
    assert any(said in fault for fault in faults(page))


@pytest.mark.parametrize(
    "apart",
    [
        "```\nteh\n```",
        "`teh`",
        "$teh$",
        "$$teh = 1$$",
        "!calculator(teh)",
        "It is !value(teh.teh).",
        "[oil](teh.md#teh)",
        '<div class="teh">',
        "{ #teh }",
    ],
)
def test_what_is_no_running_text_is_neither_spelt_nor_counted(apart: str) -> None:
    page = _page(f"{BODY}\n{apart}\n\nMore oil.")
    assert faults(page) == []
    assert page.words - _page().words in {2, 3, 4}


def test_a_caption_is_read_too() -> None:
    page = _page(f'{BODY}\n!figure(care-oil "Look at teh oil.")\n')
    assert faults(page) == ["unknown word: teh"]


def test_a_long_word_makes_a_sentence_harder() -> None:
    assert grade("The oil is hot.") < grade("The lubricant is exceedingly hot.")


def test_the_projects_own_words_are_in_order_and_needed() -> None:
    words = WORDS.read_text(encoding="utf-8").split()
    assert words == sorted(set(words))
    assert misspelt(" ".join(words)) == set()
