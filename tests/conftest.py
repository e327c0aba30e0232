"""What holds for all tests: repeatable examples, and no network where none is needed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

OFFLINE = tuple(Path(__file__).parent / name for name in ("unit", "evidence"))

settings.register_profile("repeatable", derandomize=True, deadline=None, max_examples=40)
settings.load_profile("repeatable")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Block sockets for unit tests and evidence."""
    for item in items:
        if any(item.path.is_relative_to(folder) for folder in OFFLINE):
            item.add_marker(pytest.mark.disable_socket)
