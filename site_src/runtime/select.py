"""Choose the files that go to the browser, and check that the choice is enough."""

from __future__ import annotations

import ast
import tempfile
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

from pyodide_build.common import make_zip_archive

from site_src.places import BuildError
from site_src.runtime.kept import (
    BUILT_IN,
    CODECS,
    CORE_LEFT_OUT,
    NUMPY_LEFT_OUT,
    NUMPY_SUFFIXES,
    STANDARD_LIBRARY,
    STDLIB_LEFT_OUT,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

__all__ = ["core_file", "imported", "numpy_file", "require_kept_imports", "select", "stdlib_file"]

CORE_MAY_IMPORT = STANDARD_LIBRARY | BUILT_IN | {"calculators", "numpy"}


def stdlib_file(name: str) -> bool:
    """Return whether a file of the standard library goes to the browser."""
    top, _, rest = name.partition("/")
    if top.removesuffix(".py") not in STANDARD_LIBRARY or not name.endswith(".py"):
        return False
    if top == "encodings":
        return rest.removesuffix(".py") in CODECS
    return not name.startswith(STDLIB_LEFT_OUT)


def numpy_file(name: str) -> bool:
    """Return whether a file of the numpy wheel goes to the browser."""
    wanted = name.startswith("numpy/") and name.endswith(NUMPY_SUFFIXES)
    return wanted and not any(part in name for part in NUMPY_LEFT_OUT)


def core_file(name: str) -> bool:
    """Return whether a file of the core's wheel goes to the browser."""
    return name.startswith("calculators/") and name not in CORE_LEFT_OUT


def select(source: Path, target: Path, wanted: Callable[[str], bool]) -> None:
    """Bundle the wanted files of a wheel or another zip archive into a new archive."""
    with tempfile.TemporaryDirectory(prefix="strokebook-") as folder:
        with zipfile.ZipFile(source) as given:
            names = [name for name in given.namelist() if not name.endswith("/") and wanted(name)]
            given.extractall(folder, names)
        make_zip_archive(target, Path(folder), compression_level=0)


def require_kept_imports(core: Path) -> None:
    """Raise BuildError if the core imports a module that the browser does not get.

    Parameters
    ----------
    core : Path
        A zip archive with the sources of the core.
    """
    missing = []
    with zipfile.ZipFile(core) as archive:
        for name in sorted(archive.namelist()):
            if name.endswith(".py"):
                modules = imported(archive.read(name).decode(), name)
                missing += [f"{name} imports {m}" for m in modules if m not in CORE_MAY_IMPORT]
    if missing:
        message = (
            f"{'; '.join(missing)}: not in the browser's standard library. Do without it, "
            "or name it in site_src/runtime/kept.py."
        )
        raise BuildError(message)


def imported(source: str, name: str) -> list[str]:
    """Return the top-level names of all modules that a source text imports, sorted."""
    return sorted(set(_imported(ast.parse(source, name))))


def _imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.partition(".")[0]
