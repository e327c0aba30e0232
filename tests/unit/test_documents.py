"""What README.md and DEVELOPERS.md say is true."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

import calculators
from calculators.docstring import qualified_name
from calculators.sheet import evaluate
from calculators.sheets import load, names
from site_src.evidence import all_rows

ROOT = Path(__file__).parents[2]
PAGES = [path.relative_to(ROOT / "docs") for path in sorted((ROOT / "docs").rglob("*.md"))]


def test_the_example_for_developers_is_the_real_file() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    shown = re.search(r"```python\n(.*?)```", text, re.DOTALL)
    assert shown is not None
    real = ROOT / "calculators" / "sheets" / "leaf_friction.py"
    assert shown[1] == real.read_text(encoding="utf-8")


def test_the_package_and_the_project_have_one_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert calculators.__version__ == project["version"]


def test_every_file_that_the_readme_names_exists() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for name in re.findall(r"\]\(([\w./-]+)\)", text):
        assert (ROOT / name).exists(), name


def test_the_tasks_that_are_described_are_in_the_makefile() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    tasks = set(
        re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    )
    assert set(re.findall(r"`make ([a-z]+)`", text)) <= tasks


@pytest.mark.parametrize("sheet", names())
def test_the_page_of_a_calculator_names_the_checks_it_stands_on(sheet: str) -> None:
    checks: dict[str, set[str]] = {}
    for row in all_rows():
        checks.setdefault(row.function, set()).add(row.topic.replace("_", "-"))
    used = {qualified_name(step.source) for step in evaluate(load(sheet)).steps}
    topics = set().union(*(checks.get(name, set()) for name in used))
    page = (ROOT / "docs" / load(sheet).page).read_text(encoding="utf-8")
    named = re.search(r"^evidence: \[(.*)\]$", page, re.MULTILINE)
    assert named is not None
    assert set(named[1].split(", ")) == topics


@pytest.mark.parametrize("page", PAGES, ids=str)
def test_every_page_says_when_it_was_reviewed_and_what_it_stands_on(page: Path) -> None:
    text = (ROOT / "docs" / page).read_text(encoding="utf-8")
    assert re.search(r"^reviewed: \d{4}-\d\d-\d\d$", text, re.MULTILINE)
    home = page == Path("index.md")
    assert home or re.search(r"^(evidence: \[|## Sources)", text, re.MULTILINE)
