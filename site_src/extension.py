"""The Markdown extension: the only hook into the site generator.

On a line of its own:

- ``!calculator(critical-damping)``          the card of a sheet
- ``!experiment(lag "damping phase loop")``  that card, cut down to these inputs, results, charts
- ``!figure(twin-tube-section "Caption.")``  a drawing from docs/figures, inline
- ``!evidence()``                            the table of outside checks
- ``!guided-check()``                        all questions of the care section
- ``!inspection-card()``                     the card to print
- ``!inspection-log()``                      the log in the reader's browser
- ``!module(purpose)``                       the questions of a module of the learn path
- ``!modules()``                             all modules, and how far the reader is
- ``!record()``                              the training record
- ``!formulas()``                            the reference of all formulas
- ``!job-path()``                            the steps of a job in order, under the job's bar
- ``!candidates()``                          up to four dampers side by side
- ``!specification()``                       the specification of the open job, to print
- ``!bench-trace()``                        reading a bench trace; ``!bench-batch()`` many units
- ``!bench-explained()``                    invented traces, and what explains each
- ``!licences()``                            what is served with the site, and its licences
- ``$$ c_cr = 2*sqrt(k_w*m_s) $$``           a formula on a line of its own

In running text:

- ``!value(critical-damping.wheel_rate)``    a default result, with its unit
- ``$zeta < 1$``                             a formula in the notation of calculators.formula

The first mention of a term of the glossary becomes a link to it: site_src/glossary.py.

Links in what is made here start with ``@root/``; the build turns them into
relative ones. An unknown mark stops the build.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markdown.blockprocessors import BlockProcessor
from markdown.extensions import Extension
from markdown.inlinepatterns import InlineProcessor
from markdown.preprocessors import Preprocessor
from markdown.util import AtomicString

from calculators.formula import typeset
from calculators.quantities import format_value
from calculators.sheet import evaluate
from calculators.sheets import load
from site_src.glossary import Explained
from site_src.render.bench import batch_html, explained_html, trace_html
from site_src.render.card import card_html
from site_src.render.care import guided_check_html, inspection_card_html, inspection_log_html
from site_src.render.evidence import evidence_html
from site_src.render.experiment import experiment_html
from site_src.render.figure import figure_html
from site_src.render.formulas import formulas_html
from site_src.render.job import (
    candidates_html,
    job_bar_html,
    job_path_html,
    specification_html,
)
from site_src.render.learn import module_html, modules_html, record_html
from site_src.render.licences import licences_html

if TYPE_CHECKING:
    from collections.abc import Callable

    from markdown import Markdown

    from calculators.formula import Node

__all__ = ["StrokebookExtension", "makeExtension"]

FIGURES = Path(__file__).parent.parent / "docs" / "figures"

_MARK = re.compile(
    r'^!(?P<name>[a-z-]+)\((?P<argument>[a-z0-9._-]*)(?:\s+"(?P<words>[^"]*)")?\)\s*$'
)
_START = re.compile(r"^\s*!(?P<name>[a-z-]+)\(")
_FENCE = re.compile(r"^\s*(`{3,}|~{3,})")
_BLOCKS: dict[str, Callable[[str, str], str]] = {
    "calculator": lambda name, _: card_html(name),
    "experiment": experiment_html,
    "figure": lambda name, words: figure_html(FIGURES / f"{name}.svg", words),
    "evidence": lambda _, __: evidence_html(),
    "guided-check": lambda _, __: guided_check_html(),
    "inspection-card": lambda _, __: inspection_card_html(),
    "inspection-log": lambda _, __: inspection_log_html(),
    "module": lambda name, _: module_html(name),
    "modules": lambda _, __: modules_html(),
    "record": lambda _, __: record_html(),
    "formulas": lambda _, __: formulas_html(),
    "licences": lambda _, __: licences_html(),
    "job-path": lambda _, __: job_path_html(),
    "candidates": lambda _, __: candidates_html(),
    "specification": lambda _, __: specification_html(),
    "bench-trace": lambda _, __: trace_html(),
    "bench-batch": lambda _, __: batch_html(),
    "bench-explained": lambda _, __: explained_html(),
}


class _Blocks(Preprocessor):
    def run(self, lines: list[str]) -> list[str]:
        done: list[str] = []
        fence = ""
        self._barred = False  # the job's bar stands above the first calculator of a page
        for line in lines:
            opening = _FENCE.match(line)
            if opening and not fence:
                fence = opening[1]
            elif fence and line.strip().startswith(fence):
                fence = ""
            done += [line] if fence else self._line(line)
        return done

    def _line(self, line: str) -> list[str]:
        start = _START.match(line)
        if start is None or start["name"] == "value":
            return [line]
        if start["name"] not in _BLOCKS:
            message = f"unknown mark !{start['name']}(); known: {', '.join(_BLOCKS)}, value"
            raise ValueError(message)
        mark = _MARK.match(line)
        if mark is None:
            message = (
                f'a mark stands alone on its line, as in !figure(name "Words."): {line.strip()}'
            )
            raise ValueError(message)
        html = _BLOCKS[mark["name"]](mark["argument"], mark["words"] or "")
        if mark["name"] == "calculator" and not self._barred:
            html, self._barred = job_bar_html() + html, True
        return ["", self.md.htmlStash.store(html), ""]


def _math_element(node: Node, *, block: bool = False) -> ET.Element:
    outer = ET.Element("math", {"display": "block"} if block else {})
    outer.append(_element(node))
    return outer


def _element(node: Node) -> ET.Element:
    tag, *rest = node
    attributes = rest.pop(0) if rest and isinstance(rest[0], dict) else {}
    assert isinstance(tag, str)
    assert isinstance(attributes, dict)
    made = ET.Element(tag, attributes)
    for child in rest:
        if isinstance(child, list):
            made.append(_element(child))
        else:
            made.text = AtomicString(child)
    return made


class _FormulaBlock(BlockProcessor):
    _pattern = re.compile(r"^\$\$(.+)\$\$$", re.DOTALL)

    def test(self, parent: ET.Element, block: str) -> bool:
        del parent
        return self._pattern.match(block.strip()) is not None

    def run(self, parent: ET.Element, blocks: list[str]) -> None:
        found = self._pattern.match(blocks.pop(0).strip())
        assert found is not None
        box = ET.SubElement(parent, "div", {"class": "sb-formula"})
        box.append(_math_element(typeset(" ".join(found[1].split())), block=True))


class _FormulaInline(InlineProcessor):
    def handleMatch(self, m: re.Match[str], data: str) -> tuple[ET.Element, int, int]:  # noqa: ARG002, N802
        return _math_element(typeset(m[1])), m.start(0), m.end(0)


class _ValueInline(InlineProcessor):
    def handleMatch(self, m: re.Match[str], data: str) -> tuple[ET.Element, int, int]:  # noqa: ARG002, N802
        sheet_name, _, name = m[1].partition(".")
        sheet = load(sheet_name)
        output = sheet.output(name)
        value = evaluate(sheet).outputs[output.name]
        made = ET.Element("span", {"class": "sb-value"})
        shown = (
            "—"
            if value is None
            else format_value(value, unit=output.unit, quantity=output.quantity)
        )
        made.text = AtomicString(shown)
        return made, m.start(0), m.end(0)


class StrokebookExtension(Extension):
    """All marks of the handbook."""

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802  name fixed by the library
        """Register the marks."""
        md.ESCAPED_CHARS = [*md.ESCAPED_CHARS, "$"]
        md.preprocessors.register(_Blocks(md), "sb-blocks", 27)  # before raw HTML is taken out
        md.parser.blockprocessors.register(_FormulaBlock(md.parser), "sb-formula", 95)
        md.inlinePatterns.register(_FormulaInline(r"(?<![\\$])\$([^$\n]+)\$", md), "sb-math", 185)
        md.inlinePatterns.register(_ValueInline(r"!value\(([^()]*)\)", md), "sb-value", 186)
        md.treeprocessors.register(Explained(md), "sb-explained", -1)  # after all links are made


def makeExtension(**options: Any) -> StrokebookExtension:  # noqa: N802, ANN401  name and form fixed by the library
    """Return the extension; called by the library."""
    return StrokebookExtension(**options)
