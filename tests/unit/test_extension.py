"""The marks of the handbook in Markdown, and the links that they make."""

from __future__ import annotations

from pathlib import Path

import pytest
from markdown import Markdown

from site_src.extension import FIGURES
from site_src.links import make_relative

DOCS = Path(__file__).parents[2] / "docs"


def _html(text: str) -> str:
    return Markdown(
        extensions=["fenced_code", "tables", "attr_list", "site_src.extension"]
    ).convert(text)


@pytest.mark.parametrize(
    ("mark", "part"),
    [
        ("!calculator(gas-force)", 'data-sheet="gas-force"'),
        ('!figure(rod-volume "Where it goes.")', "<figcaption>Where it goes.</figcaption>"),
        ("!evidence()", "outside checks</caption>"),
        ("!formulas()", 'id="physics.corner.wheel_rate"'),
        ("!licences()", "Third-party parts"),
    ],
)
def test_a_mark_on_a_line_of_its_own_becomes_what_it_names(mark: str, part: str) -> None:
    made = _html(f"Before.\n\n{mark}\n\nAfter.")
    assert part in made
    assert mark not in made
    assert made.startswith("<p>Before.</p>")
    assert made.endswith("<p>After.</p>")


def test_a_value_is_the_default_result_with_its_unit() -> None:
    assert _html("It has !value(critical-damping.wheel_rate).") == (
        '<p>It has <span class="sb-value">67.5\u00a0N/mm</span>.</p>'
    )


def test_a_value_may_have_digits_in_its_name_and_start_a_line() -> None:
    assert "bar</span>" in _html("!value(gas-force.charge_at_20) is the charge.")


def test_mathematics_in_running_text_is_mathml() -> None:
    assert _html("It is $zeta < 1$ here.") == (
        "<p>It is <math><mrow><mi>ζ</mi><mo>&lt;</mo><mn>1</mn></mrow></math> here.</p>"
    )


def test_mathematics_on_a_line_of_its_own_is_a_block_and_may_be_broken() -> None:
    made = _html("$$ c_cr =\n2*sqrt(k_w*m_s) $$")
    assert made.startswith('<div class="sb-formula">\n<math display="block">')
    assert "<msqrt>" in made


def test_a_dollar_that_is_escaped_stays_one() -> None:
    assert _html(r"It costs \$5 or \$6.") == "<p>It costs $5 or $6.</p>"


@pytest.mark.parametrize(
    "text",
    [
        "!calculator(gas-force)",
        "!nonsense(x)",
        "!value(gas-force.nothing)",
        "$zeta <$",
        "$$ open(a) $$",
    ],
)
@pytest.mark.parametrize("fence", ["```", "~~~~"])
def test_inside_a_fence_nothing_is_touched(text: str, fence: str) -> None:
    shown = text.replace("<", "&lt;")
    assert _html(f"{fence}\n{text}\n{fence}") == f"<pre><code>{shown}\n</code></pre>"


@pytest.mark.parametrize("text", ["`!value(gas-force.nothing)`", "`$zeta <$`"])
def test_inside_code_in_running_text_nothing_is_touched(text: str) -> None:
    assert _html(text) == f"<p><code>{text.strip('`').replace('<', '&lt;')}</code></p>"


def test_after_a_fence_marks_count_again() -> None:
    assert "sb-card" in _html("```\ncode\n```\n\n!calculator(gas-force)")


@pytest.mark.parametrize(
    "text",
    [
        "!nonsense()",
        "!calculators(gas-force)",
        "!calculator(nothing)",
        "!calculator(gas-force) and more",
        "!calculator(gas force)",
        '!figure(rod-volume "no end)',
        "    !figure(rod-volume)",
        "!figure(nothing)",
        "It is !value(gas-force.nothing).",
        "It is !value(nothing.stroke).",
        "It is !value(gas-force).",
        "It is $a.b$.",
        "It is $5 or $6.",
        "$$ a = open(b) $$",
    ],
)
def test_a_mark_that_cannot_be_read_stops_the_build(text: str) -> None:
    with pytest.raises((ValueError, KeyError, FileNotFoundError)):
        _html(text)


def test_every_figure_of_the_handbook_is_used() -> None:
    text = "".join(page.read_text(encoding="utf-8") for page in DOCS.rglob("*.md"))
    for figure in FIGURES.glob("*.svg"):
        assert f"!figure({figure.stem}" in text, figure.name


def test_links_from_the_root_become_relative_to_their_page(tmp_path: Path) -> None:
    link = '<a href="@root/evidence/#x">'
    pages = {"index.html": "./", "care/index.html": "../", "care/oil/index.html": "../../"}
    for page in pages:
        (tmp_path / page).parent.mkdir(exist_ok=True)
        (tmp_path / page).write_text(link, encoding="utf-8")
    (tmp_path / "script.js").write_text("@root/", encoding="utf-8")
    make_relative(tmp_path)
    for page, root in pages.items():
        assert (tmp_path / page).read_text(encoding="utf-8") == f'<a href="{root}evidence/#x">'
    assert (tmp_path / "script.js").read_text(encoding="utf-8") == "@root/"
