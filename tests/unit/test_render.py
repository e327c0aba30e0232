"""HTML of cards, tables and references: well-formed, escaped, one id once."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest

from calculators.sheet import Choice, Finding, Input, Level, Result, Rows, evaluate
from calculators.sheets import load
from site_src.evidence import KINDS, all_rows, compute
from site_src.extension import FIGURES
from site_src.render import card
from site_src.render.card import card_html
from site_src.render.evidence import evidence_html
from site_src.render.figure import figure_html
from site_src.render.formulas import formulas_html
from site_src.render.html import environment, math_html
from site_src.render.licences import licences_html
from tests.unit.strategies import SHEETS

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.formula import Node
    from calculators.sheet import Sheet

VOID = set("area base br col embed hr img input link meta source track wbr".split())
HOSTILE = "<script>alert('x')</script> & \"quoted\""
EVERY_SHEET = pytest.mark.parametrize("sheet", SHEETS, ids=[sheet.name for sheet in SHEETS])


class _Page(HTMLParser):
    """Reads markup strictly: every element is closed where it was opened."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: set[str] = set()
        self.ids: list[str] = []
        self.referred: set[str] = set()
        self.words = ""
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._note(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._note(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words += data

    def _note(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice"
        self.tags.add(tag)
        for name, value in attrs:
            assert not name.startswith("on"), f"<{tag} {name}>"
            if name == "id":
                self.ids.append(value or "")
            if name in {"for", "aria-labelledby", "aria-describedby"}:
                self.referred |= set((value or "").split())


PAGES: dict[str, Callable[[], str]] = {
    **{sheet.name: partial(card_html, sheet.name) for sheet in SHEETS},
    "evidence": evidence_html,
    "formulas": formulas_html,
    "licences": licences_html,
    **{
        f"figure {path.stem}": partial(figure_html, path, "A caption.")
        for path in sorted(FIGURES.glob("*.svg"))
    },
}


@pytest.mark.parametrize("name", PAGES)
def test_markup_is_well_formed_with_one_id_once_and_references_that_lead_somewhere(
    name: str,
) -> None:
    page = _Page(PAGES[name]())
    assert len(page.ids) == len(set(page.ids))
    assert page.referred <= set(page.ids)


def test_cards_of_one_page_share_no_id() -> None:
    ids = [one for sheet in SHEETS for one in _Page(card_html(sheet.name)).ids]
    assert len(ids) == len(set(ids))


def test_figures_of_one_page_share_no_id() -> None:
    ids = [one for path in FIGURES.glob("*.svg") for one in _Page(figure_html(path, "")).ids]
    assert len(ids) == len(set(ids))


@EVERY_SHEET
def test_a_card_holds_every_input_output_and_finding_of_the_worked_example(sheet: Sheet) -> None:
    made = card_html(sheet.name)
    words = " ".join(_Page(made).words.split())
    for item in sheet.inputs:
        assert f'data-input="{item.name}"' in made
        assert item.help in words
    for output in sheet.outputs:
        assert f'data-output="{output.name}"' in made
        assert output.meaning in words
    for finding in evaluate(sheet).findings:
        assert finding.level.value in words
    for limit in sheet.limits:
        assert limit in words


def _hostile(sheet: Sheet) -> Sheet:
    """Return a sheet whose every text is markup."""

    def renamed(item: Input | Choice | Rows) -> Input | Choice | Rows:
        return replace(item, label=HOSTILE, help=HOSTILE)

    return replace(
        sheet, title=HOSTILE, question=HOSTILE, limits=(HOSTILE,),
        inputs=tuple(renamed(item) for item in sheet.inputs),
        outputs=tuple(replace(output, label=HOSTILE, meaning=HOSTILE) for output in sheet.outputs),
        charts=tuple(replace(chart, title=HOSTILE, statement=HOSTILE) for chart in sheet.charts),
    )  # fmt: skip


def test_text_of_a_sheet_is_escaped_wherever_it_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    def hostile_result(sheet: Sheet) -> Result:
        result = evaluate(sheet)
        tables = tuple(replace(table, title=HOSTILE) for table in result.tables)
        steps = tuple(replace(step, label=HOSTILE) for step in result.steps)
        return replace(result, findings=(Finding(Level.FINE, HOSTILE),), tables=tables, steps=steps)

    sheet = _hostile(load("critical-damping"))
    monkeypatch.setattr(card, "load", lambda _: sheet)
    monkeypatch.setattr(card, "evaluate", hostile_result)
    made = card_html("critical-damping")
    page = _Page(made)
    assert "script" not in page.tags
    assert "<script" not in made
    assert page.words.count(HOSTILE) > len(sheet.inputs) + len(sheet.outputs)


def test_the_caption_of_a_figure_is_escaped() -> None:
    made = figure_html(FIGURES / "rod-volume.svg", HOSTILE)
    assert HOSTILE in _Page(made).words
    assert "script" not in _Page(made).tags


def test_a_tree_becomes_markup_with_its_text_escaped() -> None:
    tree: Node = ["mrow", ["mi", {"mathvariant": '<&">'}, "<b>"]]
    assert (
        math_html(tree)
        == '<math><mrow><mi mathvariant="&lt;&amp;&#34;&gt;">&lt;b&gt;</mi></mrow></math>'
    )


def test_templates_escape_by_themselves_and_refuse_what_is_not_there() -> None:
    assert environment().from_string("{{ a }}").render(a="<b>") == "&lt;b&gt;"
    with pytest.raises(Exception, match="undefined"):
        environment().from_string("{{ b }}").render(a=1)


def test_the_evidence_shows_every_row_and_counts_every_kind() -> None:
    made = evidence_html()
    rows = all_rows()
    assert f"{len(rows)} outside checks" in made
    assert made.count('class="sb-evidence__row"') == len(rows)
    for kind in KINDS:
        count = sum(row.kind == kind for row in rows)
        assert re.search(rf'<th scope="row">{kind}</th><td>[^<]*</td><td>{count}</td>', made)


def test_every_function_of_a_row_stands_in_the_reference_of_formulas() -> None:
    ids = set(_Page(formulas_html()).ids)
    assert {row.function for row in all_rows() if row.function.startswith("physics.")} <= ids


def test_every_function_that_a_card_names_stands_in_the_reference_of_formulas() -> None:
    ids = set(_Page(formulas_html()).ids)
    for sheet in SHEETS:
        cited = re.findall(r"@root/evidence/formulas/#([\w.]+)", card_html(sheet.name))
        assert set(cited) <= ids


def test_a_row_is_computed_afresh() -> None:
    row = next(row for row in all_rows() if not row.field)
    assert abs(compute(row) - row.expected) <= row.allowed
