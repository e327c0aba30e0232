"""The browser tests find the Chromium that they are told to use."""

from __future__ import annotations

import sys

import pytest

from tests.browser import chromium


def test_the_chromium_named_in_the_environment_wins(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHROMIUM", sys.executable)
    assert chromium.get_chromium() == sys.executable


def test_a_named_chromium_that_is_not_there_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHROMIUM", "/nowhere/chromium")
    with pytest.raises(FileNotFoundError, match="CHROMIUM is /nowhere/chromium"):
        chromium.get_chromium()


def test_without_any_chromium_the_advice_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chromium, "find_chromium", lambda: None)
    monkeypatch.setattr(chromium, "_try", lambda *_command: None)
    with pytest.raises(FileNotFoundError, match="install it, or set CHROMIUM"):
        chromium.get_chromium()
