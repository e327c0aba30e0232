"""Terms of the glossary are explained where they first stand on a page."""

from __future__ import annotations

import re

import pytest
from markdown import Markdown

from site_src.glossary import GLOSSARY, Entry, read_glossary

ENTRIES = read_glossary(GLOSSARY.read_text(encoding="utf-8"))
MEANINGS = {entry.anchor: entry.meaning for entry in ENTRIES}
LINK = re.compile(r'<a class="sb-term" href="@root/understand/glossary/#([\w-]+)" title="([^"]*)">')


def _html(text: str) -> str:
    extensions = ["attr_list", "def_list", "fenced_code", "tables", "toc", "site_src.extension"]
    return Markdown(extensions=extensions).convert(text)


def _explained(text: str) -> list[str]:
    return [found[1] for found in LINK.finditer(_html(text))]


def test_the_first_mention_of_a_term_is_a_link_with_its_meaning() -> None:
    made = _html("Mind the rod guide. A rod guide wears.")
    assert made.count("sb-term") == 1
    assert made.startswith(
        '<p>Mind the <a class="sb-term" href="@root/understand/glossary/#rod-guide" '
        f'title="{MEANINGS["rod-guide"]}">rod guide</a>. A rod guide wears.'
    )


@pytest.mark.parametrize(
    ("text", "anchors"),
    [
        ("A rod, a piston and a rod.", ["rod", "piston"]),
        ("Both *pistons* and **rods** move.", ["piston", "rod"]),
        ("- one shim\n- two shims", ["shim"]),
        ("A rod guide holds the rod.", ["rod-guide", "rod"]),
        ("A `rod` is code; the rod is steel.", ["rod"]),
        ("The floating piston is steel.", ["dividing-piston"]),
        ("A dust\nguard covers it.", []),
    ],
)
def test_each_term_is_explained_once_and_the_longest_wins(text: str, anchors: list[str]) -> None:
    assert _explained(text) == anchors


@pytest.mark.parametrize(
    "text",
    [
        "## The rod",
        "`the rod`",
        "```\nthe rod\n```",
        "[the rod](rod-and-body.md)",
        "$rod$",
        "!figure(rod-volume)",
        "| rod |\n|---|\n| x |",
        "The rodless one, and the rod-like one.",
        "It catches the eye. The ports leak over a bump.",
    ],
)
def test_what_is_apart_from_running_text_is_left_alone(text: str) -> None:
    assert _explained(text) == []


def test_a_link_by_hand_carries_the_meaning_and_stands_for_all_mentions() -> None:
    made = _html("The rod is the [rod](../understand/glossary.md#rod), no other rod.")
    assert made.count("sb-term") == 1
    assert f'href="../understand/glossary.md#rod" title="{MEANINGS["rod"]}"' in made


def test_a_page_does_not_explain_what_it_defines_itself() -> None:
    assert _explained("Rod { #rod }\n:   A bar of steel, like any rod.") == []


def test_an_entry_is_read_with_its_synonyms_and_as_plain_text() -> None:
    text = "Bush { #bush }\n:   A sleeve in the [eye](#eye). *Also:* bushing, rubber sleeve.\n"
    assert read_glossary(text) == (
        Entry("Bush", "bush", "A sleeve in the eye.", ("bushing", "rubber sleeve")),
    )
    assert {"bush", "bushes", "rubber sleeve"} <= set(ENTRIES and read_glossary(text)[0].words)


def test_every_entry_of_the_glossary_is_read() -> None:
    text = GLOSSARY.read_text(encoding="utf-8")
    assert len(ENTRIES) == len(re.findall(r"^: ", text, re.MULTILINE)) > 60


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.anchor)
def test_a_meaning_is_short_plain_text(entry: Entry) -> None:
    assert 20 < len(entry.meaning) < 260
    assert not re.search(r"[\[\]*{}<>]", entry.meaning)
    assert entry.meaning[-1] in ".)"


def test_no_word_stands_for_two_entries() -> None:
    words = [word for entry in ENTRIES for word in entry.words]
    assert sorted(words) == sorted(set(words))
