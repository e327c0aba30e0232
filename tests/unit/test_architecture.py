"""Which part may know which, and what may stand in one place only."""

from __future__ import annotations

import ast
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from calculators.quantities import QUANTITIES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from _pytest.mark import ParameterSet

ROOT = Path(__file__).parents[2]
CORE = ROOT / "calculators"
SITE = ROOT / "site_src"
SCRIPTS = sorted((SITE / "assets" / "js").glob("*.js"))
MODULES = sorted(CORE.rglob("*.py"))
CONVERTERS = {CORE / f"{name}.py" for name in ("quantities", "_units", "_numbers", "_spelling")}
PLAIN_FACTORS = {10.0**power for power in range(-9, 10)} | {60.0, 3600.0}

HEX = re.compile(r"#(?:[0-9a-fA-F]{8}|[0-9a-fA-F]{6}|[0-9a-fA-F]{3,4})\b(?![-\w])")
ADDRESS = re.compile(r"""(?:href=["'][^"']*|url\()#[\w-]+|&#x?\w+;""")


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _imports(path: Path) -> set[str]:
    """Return the modules that a module imports, also for types alone."""
    found: set[str] = set()
    for node in ast.walk(_tree(path)):
        match node:
            case ast.Import(names=names):
                found |= {alias.name for alias in names}
            case ast.ImportFrom(module=str() as module, names=names):
                # "from package import module" names a module, "from module import name" does not
                package = CORE.parent.joinpath(*module.split(".")).is_dir()
                found |= {f"{module}.{alias.name}" for alias in names} if package else {module}
    return found


def _within(module: str, *packages: str) -> bool:
    return any(module == package or module.startswith(f"{package}.") for package in packages)


def _named(paths: Iterable[Path]) -> list[ParameterSet]:
    return [pytest.param(path, id=str(path.relative_to(ROOT))) for path in paths]


@pytest.mark.parametrize("path", _named(sorted((CORE / "physics").glob("*.py"))))
def test_physics_knows_nothing_of_ours_but_errors_and_physics(path: Path) -> None:
    ours = {
        module for module in _imports(path) if _within(module, "calculators", "site_src", "tests")
    }
    assert all(_within(module, "calculators.errors", "calculators.physics") for module in ours)


@pytest.mark.parametrize("path", _named(MODULES))
def test_the_core_knows_neither_the_site_nor_a_third_party_package_but_numpy(path: Path) -> None:
    for module in _imports(path):
        top = module.partition(".")[0]
        assert top in sys.stdlib_module_names | {"calculators", "numpy"}, module


@pytest.mark.parametrize("path", _named(sorted((CORE / "sheets").glob("*.py"))))
def test_sheets_read_no_text_and_convert_nothing(path: Path) -> None:
    for module in _imports(path):
        assert not _within(
            module, "calculators.request", "calculators.rows", "calculators._units"
        ), module
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.ImportFrom) and node.module == "calculators.quantities":
            # the words of a drawing are in the reader's units
            assert {alias.name for alias in node.names} <= {"format_number", "format_value"}


def test_what_sheets_are_made_of_knows_no_sheet() -> None:
    parts = "chart errors field formula picture quantities rows sheet view visual".split()
    for path in [*(CORE / f"{part}.py" for part in parts), *CORE.glob("physics/*.py")]:
        assert not any(_within(module, "calculators.sheets") for module in _imports(path)), path


@pytest.mark.parametrize("path", _named([path for path in MODULES if path not in CONVERTERS]))
def test_conversion_stands_in_one_place(path: Path) -> None:
    factors = {entry.factor for kind in QUANTITIES.values() for entry in kind.units} - PLAIN_FACTORS
    assert "calculators._units" not in _imports(path)
    for node in ast.walk(_tree(path)):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, float)
            and node.value in factors
        ):
            assert _is_standard(path, node.value), f"line {node.lineno}: {node.value}"


def _is_standard(path: Path, value: float) -> bool:
    """Return whether a number that is also a factor stands for a standard value."""
    standards = {9.80665: "standard acceleration", 101_325.0: "standard atmosphere"}
    return value in standards and path.parent.name == "physics"


def _colour_files() -> list[Path]:
    folders = (
        (SITE, "*.css"),
        (SITE, "*.js"),
        (SITE, "*.html"),
        (SITE, "*.py"),
        (CORE, "*.py"),
        (ROOT / "docs", "*.svg"),
    )
    return sorted(
        path
        for folder, pattern in folders
        for path in folder.rglob(pattern)
        if path.name != "tokens.css"
    )


@pytest.mark.parametrize("path", _named(_colour_files()))
def test_raw_colours_stand_in_the_tokens_alone(path: Path) -> None:
    text = ADDRESS.sub("", path.read_text(encoding="utf-8"))
    assert HEX.findall(text) == []
    assert re.findall(r"\b(?:rgba?|hsla?|oklch|oklab)\(", text) == []


@pytest.mark.parametrize("path", _named(SCRIPTS))
def test_a_script_is_short_and_has_its_types_checked(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "// @ts-check"
    assert len(lines) < 200


@pytest.mark.parametrize("path", _named(SCRIPTS))
def test_a_script_takes_text_as_text_and_offers_names(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for word in (
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "eval(",
        "export default",
    ):
        assert word not in text
