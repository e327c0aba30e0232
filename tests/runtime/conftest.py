"""What the tests of the packed runtime share: one packing, one running Python."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from site_src.runtime.pack import pack
from tests.runtime.node import BrowserPython

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture(scope="session")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with everything that the browser's Python gets."""
    folder = tmp_path_factory.mktemp("packed") / "python"
    pack(folder)
    return folder


@pytest.fixture(scope="session")
def browser_python(packed: Path) -> Iterator[BrowserPython]:
    """Give the packed Python, running under Node, with the core and numpy."""
    with BrowserPython(packed) as python:
        yield python
