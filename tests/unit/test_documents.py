"""What README.md and DEVELOPERS.md say is true."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import calculators

ROOT = Path(__file__).parents[2]


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
