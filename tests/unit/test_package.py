"""What the package promises to whoever imports it."""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import pytest

import calculators
from calculators.sheets import load, names
from tests.unit.strategies import SHEETS

ROOT = Path(calculators.__file__).parent
MODULES = [module.name for module in walk_packages([str(ROOT)], "calculators.")]

# Prints the top-level packages that code loads beyond the standard library and our own.
LOADED = """
import sys
before = set(sys.modules)
{code}
loaded = {{name.partition(".")[0] for name in set(sys.modules) - before}}
print(*sorted(loaded - set(sys.stdlib_module_names) - {{"calculators"}}))
"""


def _third_party(code: str) -> set[str]:
    """Return what a fresh Python loads beyond the standard library when it runs code."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED.format(code=code)],
        capture_output=True, text=True, check=True, cwd=ROOT.parent,
    )  # fmt: skip
    return set(done.stdout.split())


def test_importing_the_package_loads_no_third_party_package() -> None:
    assert _third_party("import calculators") == set()


def test_sheets_load_only_what_they_say_they_need() -> None:
    plain = [sheet.name for sheet in SHEETS if not sheet.needs]
    calls = "; ".join(f"evaluate(load({name!r}))" for name in plain)
    code = f"from calculators.sheet import evaluate; from calculators.sheets import load; {calls}"
    assert _third_party(code) == set()
    for sheet in SHEETS:
        if sheet.needs:
            code = f"from calculators.sheets import load; load({sheet.name!r})"
            assert _third_party(code) <= set(sheet.needs)


def test_the_command_line_loads_no_third_party_package() -> None:
    code = "import calculators.__main__ as m; m.main(['run', 'critical-damping', '--json'])"
    assert (
        _third_party(
            f"import io, sys\nout, sys.stdout = sys.stdout, io.StringIO()\n{code}\nsys.stdout = out"
        )
        == set()
    )


@pytest.mark.parametrize("name", MODULES)
def test_a_module_says_what_it_offers_and_has_it(name: str) -> None:
    module = import_module(name)
    assert module.__doc__
    if not name.rpartition(".")[2].startswith("_") and name != "calculators.physics":
        assert module.__all__
    for offered in getattr(module, "__all__", ()):
        assert hasattr(module, offered)
        assert not offered.startswith("_") or offered == "__version__"


def test_types_are_shipped() -> None:
    assert (ROOT / "py.typed").exists()


def test_a_sheet_is_found_by_the_name_of_its_file() -> None:
    assert names() == tuple(sorted(names()))
    for name in names():
        assert load(name).name == name


@pytest.mark.parametrize("name", ["", "nothing", "_gas", "gas_force", "../sheet", "__init__"])
def test_a_sheet_that_does_not_exist_is_refused_with_those_that_do(name: str) -> None:
    with pytest.raises(KeyError, match="gas-force"):
        load(name)
