"""Terms of the glossary, explained where they first stand on a page.

The glossary page is the only list of terms. The first mention of each on another
page becomes a link to its entry, and every link to an entry carries the entry's
words, for a pointer that rests on it and for a keyboard that reaches it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element

from markdown.treeprocessors import Treeprocessor

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["GLOSSARY", "Entry", "Explained", "read_glossary"]

GLOSSARY = Path(__file__).parent.parent / "docs" / "understand" / "glossary.md"

# Words with an everyday meaning too: explained only where a page's author links them.
_EVERYDAY = {"eye", "eyes", "intake", "leak", "leaks", "matching", "port", "ports", "split"}
_APART = {"a", "code", "dt", "figure", "math", "pre", "summary", "th"}
_APART |= {f"h{level}" for level in range(1, 7)}

_ENTRY = re.compile(r"^(?P<term>\S.*?) \{ #(?P<anchor>[\w-]+) \}\n: +(?P<text>.+)$", re.MULTILINE)
_ALSO = re.compile(r"\*Also:\*([^.]*)\.")
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_TO_ENTRY = re.compile(r"(?:.*\bglossary(?:\.md|/))?#([\w-]+)")


@dataclass(frozen=True, slots=True)
class Entry:
    """One term: its name, its place on the glossary page, what it means, and its synonyms."""

    term: str
    anchor: str
    meaning: str
    synonyms: tuple[str, ...]

    @property
    def words(self) -> Iterator[str]:
        """The spellings that stand for this term in running text, in small letters.

        A synonym of one word is left out: the handbook keeps to its own word, and
        "bump" or "boot" mean something else in most sentences.
        """
        for name in (self.term, *(name for name in self.synonyms if " " in name)):
            for form in (name.lower(), _plural(name.lower())):
                if form not in _EVERYDAY:
                    yield form


def _plural(word: str) -> str:
    if word.endswith("y") and word[-2] not in "aeiou":
        return f"{word[:-1]}ies"
    return f"{word}es" if word.endswith(("s", "sh", "ch")) else f"{word}s"


def read_glossary(text: str) -> tuple[Entry, ...]:
    """Return the entries of a glossary page."""
    return tuple(_entry(found) for found in _ENTRY.finditer(text))


def _entry(found: re.Match[str]) -> Entry:
    text = found["text"]
    also = _ALSO.search(text)
    names = also[1].split(",") if also else ()
    return Entry(
        term=found["term"],
        anchor=found["anchor"],
        meaning=_plain(_ALSO.sub("", text)),
        synonyms=tuple(_plain(name.partition(", if ")[0]) for name in names),
    )


def _plain(text: str) -> str:
    return " ".join(_LINK.sub(r"\1", text).replace("*", "").split())


@cache
def _entries() -> Mapping[str, Entry]:
    return {entry.anchor: entry for entry in read_glossary(GLOSSARY.read_text(encoding="utf-8"))}


@cache
def _anchors() -> Mapping[str, str]:
    return {word: entry.anchor for entry in _entries().values() for word in entry.words}


@cache
def _mention() -> re.Pattern[str]:
    """Return what finds any of the words, the longest first."""
    words = sorted(_anchors(), key=len, reverse=True)
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, words))})(?![\w-])", re.IGNORECASE)


class Explained(Treeprocessor):
    """Give links to entries their words, and link what has none yet, once a page.

    Headings, links, code, formulas and the heads of tables are left alone; cards and
    drawings are not in the tree at all. The glossary itself gets no further links.
    """

    def run(self, root: Element) -> None:
        """Change the tree of a page in place."""
        known = {element.get("id", "") for element in root.iter("dt")}
        for link in root.iter("a"):
            target = _TO_ENTRY.fullmatch(link.get("href", ""))
            if target and target[1] in _entries() and link.get("class") != "headerlink":
                known.add(target[1])
                link.set("title", _entries()[target[1]].meaning)
                link.set("class", "sb-term")
        self._explain(root, known)

    def _explain(self, element: Element, known: set[str]) -> None:
        if element.tag in _APART:
            return
        place = 0
        text = element.text
        while text and (link := _first_mention(text, known)):
            start, made, rest = link
            if place:
                element[place - 1].tail = start
            else:
                element.text = start
            made.tail = text = rest
            element.insert(place, made)
            place += 1
        for child in list(element)[place:]:
            self._explain(child, known)
            self._explain_tail(element, child, known)

    @staticmethod
    def _explain_tail(parent: Element, child: Element, known: set[str]) -> None:
        place = list(parent).index(child) + 1
        before, text = child, child.tail
        while text and (link := _first_mention(text, known)):
            start, made, rest = link
            before.tail = start
            made.tail = text = rest
            parent.insert(place, made)
            before, place = made, place + 1


def _first_mention(text: str, known: set[str]) -> tuple[str, Element, str] | None:
    """Return the text before the first term that is not known yet, its link, and the rest."""
    for found in _mention().finditer(text):
        anchor = _anchors()[found[0].lower()]
        if anchor not in known:
            known.add(anchor)
            entry = _entries()[anchor]
            link = Element(
                "a",
                {
                    "class": "sb-term",
                    "href": f"@root/understand/glossary/#{anchor}",
                    "title": entry.meaning,
                },
            )
            link.text = found[0]
            return text[: found.start()], link, text[found.end() :]
    return None
