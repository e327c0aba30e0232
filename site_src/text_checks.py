"""What the pages say, held to rules: front matter, length, readability, spelling, addresses.

``python -m site_src text`` prints a table of the pages and all faults. Links within the
site are checked elsewhere: by the strict build, and on the built pages by the tests.
"""

from __future__ import annotations

import datetime as dt
import re
import sys
import tomllib
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import readability
from mkdocs.utils.meta import get_data
from spellchecker import SpellChecker

from calculators.sheet import Choice
from calculators.sheets import load, names
from site_src.evidence import ROWS_FOLDER
from site_src.places import ROOT, BuildError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

__all__ = ["DOCS", "WORDS", "Page", "check", "faults", "grade", "misspelt", "pages", "read_page"]

DOCS = ROOT / "docs"
WORDS = ROOT / "site_src" / "words.txt"

KINDS = {"tutorial", "how-to", "reference", "explanation"}
LENGTH = range(600, 1401)  # words of an explaining page
CARE_GRADE = 8.0  # school grade of the United States, highest for pages of the care section
OUTSIDE = frozenset[str]()  # addresses outside the site that a page may name: none so far

_APART = re.compile(
    r"^(```|~~~).*?^\1$|^![a-z-]+\([^\n]*|^!!![^\n]*|\$\$.*?\$\$|</?[a-z][^>\n]*>|!value\([^)]*\)",
    re.MULTILINE | re.DOTALL,
)
_INLINE = re.compile(r"`[^`]*`|(?<![\\$])\$[^$\n]+\$|\{[^}\n]*\}|\]\([^)]*\)|\w+://\S+")
_MARK = re.compile(r"^!([a-z-]+)\([^\n]*$", re.MULTILINE)
_CAPTION = re.compile(r'^!figure\([\w-]+ "([^"]*)"\)$', re.MULTILINE)
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
_SVG_TEXT = re.compile(r"<(?:title|desc|text|tspan)\b[^>]*>([^<]*)")


@dataclass(frozen=True, slots=True)
class Page:
    """A page: where it is below docs/, its front matter, its Markdown."""

    name: str
    meta: dict[str, Any]
    body: str

    @property
    def section(self) -> str:
        """The folder of the page, or nothing for the home page."""
        return self.name.rpartition("/")[0]

    @property
    def explains(self) -> bool:
        """Whether the page is one of those that explain, whose length is held."""
        return self.section == "understand" and self.meta.get("kind") == "explanation"

    @property
    def prose(self) -> str:
        """What is read as running text: no headings, tables, marks, formulas or addresses."""
        lines = [line for line in self.text.splitlines() if not re.match(r"\s*[|#]", line)]
        shown = [re.sub(r"^\s*(?:[-*:]|\d+\.) +", "", line).strip(" *") for line in lines]
        return " ".join(line if line[-1] in ".?!:" else f"{line}." for line in shown if line)

    @property
    def text(self) -> str:
        """All words of the page, with its captions."""
        captions = "\n\n".join(_CAPTION.findall(self.body))
        return _INLINE.sub(" ", _APART.sub("", self.body)).replace("[", "") + f"\n\n{captions}"

    @property
    def words(self) -> int:
        """How many words a reader reads."""
        return len(_WORD.findall(self.text))


def read_page(path: Path) -> Page:
    """Return a page of docs/."""
    body, meta = get_data(path.read_text(encoding="utf-8"))
    return Page(path.relative_to(DOCS).as_posix(), dict(meta), body)


@cache
def pages() -> tuple[Page, ...]:
    """Return all pages, in the order of their names."""
    return tuple(read_page(path) for path in sorted(DOCS.rglob("*.md")))


def grade(text: str) -> float:
    """Return the highest of three school grades: one counts syllables, two count letters."""
    sentences = re.split(r"(?<=[.?!:;])\s+", text)
    lines = [" ".join(re.findall(r"[\w'’-]+", sentence)) for sentence in sentences]
    grades = readability.getmeasures([line for line in lines if line], lang="en")
    measures = ("Kincaid", "ARI", "Coleman-Liau")
    return max(float(grades["readability grades"][measure]) for measure in measures)


@cache
def _speller() -> SpellChecker:
    speller = SpellChecker(distance=1)
    speller.word_frequency.load_words(WORDS.read_text(encoding="utf-8").split())
    return speller


def misspelt(text: str) -> set[str]:
    """Return the words of a text that neither the dictionary nor the project's list has."""
    found = {word.replace("’", "'").lower() for word in _WORD.findall(text)}
    plain = {word.removesuffix("'s").removesuffix("'") for word in found}
    return {word for word in _speller().unknown(plain) if len(word) > 1 and word.isascii()}


def faults(page: Page) -> list[str]:
    """Return what is wrong with a page."""
    found = list(_front_matter_faults(page))
    if page.explains and page.words not in LENGTH:
        found.append(f"{page.words} words; an explaining page has {LENGTH[0]} to {LENGTH[-1]}")
    if page.explains and not set(_MARK.findall(page.body)) & {"figure", "experiment", "calculator"}:
        found.append("an explaining page has a drawing or an experiment")
    if page.section == "care" and grade(page.prose) > CARE_GRADE:
        found.append(f"reads at grade {grade(page.prose):.1f}; at most {CARE_GRADE:g}")
    found += [
        f"names an address outside the site: {address}"
        for address in re.findall(r"\bhttps?://[^\s)>\"]+", page.body)
        if address not in OUTSIDE
    ]
    found += [f"unknown word: {word}" for word in sorted(misspelt(_said(page)))]
    return found


def _front_matter_faults(page: Page) -> Iterator[str]:
    if page.meta.get("kind") not in KINDS:
        yield f"kind is one of {', '.join(sorted(KINDS))}"
    for name in ("title", "description"):
        if not page.meta.get(name):
            yield f"{name} is missing"
    if not isinstance(page.meta.get("reviewed"), dt.date):
        yield "reviewed is a date, as in 2026-11-25"
    topics = {path.stem.replace("_", "-") for path in ROWS_FOLDER.glob("*.toml")}
    for topic in page.meta.get("evidence", ()):
        if topic not in topics:
            yield f"evidence names {topic}, which no file of tests/evidence holds"
    if not page.meta.get("evidence") and "\n## Sources" not in page.body and page.section:
        yield "a page names its evidence, or has a section Sources"


def _said(page: Page) -> str:
    return f"{page.meta.get('title', '')}. {page.meta.get('description', '')}. {page.text}"


def _strings(data: object) -> Iterator[str]:
    if isinstance(data, dict):
        for name, value in data.items():
            if name not in {"key", "format", "page", "link", "figure"}:
                yield from _strings(value)
    elif isinstance(data, list):
        for value in data:
            yield from _strings(value)
    elif isinstance(data, str) and " " in data:
        yield data


def other_texts() -> Iterator[tuple[str, str]]:
    """Yield what readers see besides the pages: drawings, questions, and the calculators' words."""
    for path in sorted(DOCS.rglob("*.svg")):
        yield path.name, " ".join(_SVG_TEXT.findall(path.read_text(encoding="utf-8")))
    for path in sorted(DOCS.rglob("*.toml")):
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        yield path.name, _INLINE.sub(" ", " ".join(_strings(data)))
    for name in names():
        sheet = load(name)
        said = [sheet.title, sheet.question, *sheet.limits]
        for item in sheet.inputs:
            said += [item.label, item.help, item.group]
            if isinstance(item, Choice):
                said += [option.label for option in item.options]
        for output in sheet.outputs:
            said += [output.label, output.meaning]
        said += [f"{chart.title} {chart.statement}" for chart in sheet.charts]
        yield f"sheet {name}", " ".join(said)


def check() -> None:
    """Print length and grade of every page, then all faults.

    Raises
    ------
    BuildError
        If there is a fault.
    """
    found = []
    for page in pages():
        sys.stdout.write(f"{page.words:6} words  grade {grade(page.prose):4.1f}  {page.name}\n")
        found += [f"{page.name}: {fault}" for fault in faults(page)]
    for name, text in other_texts():
        found += [f"{name}: unknown word: {word}" for word in sorted(misspelt(text))]
    if found:
        raise BuildError("\n".join([*found, f"{len(found)} faults; new words: {WORDS.name}"]))
