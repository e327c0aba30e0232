"""The policy in each page's head allows our scripts and nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from site_src.places import BuildError
from site_src.policy import policy, set_policy

if TYPE_CHECKING:
    from pathlib import Path

# The example of the standard: Content Security Policy Level 3 (W3C), section on hashes.
SCRIPT = "alert('Hello, world.');"
DIGEST = "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
HEAD = '<head><meta charset="utf-8"></head>'


def rules(page: str) -> dict[str, str]:
    return dict(rule.split(" ", 1) for rule in policy(page).split("; "))


def test_a_script_in_the_page_is_allowed_by_its_digest_alone() -> None:
    page = f"<script>{SCRIPT}</script><script data-a='1'>{SCRIPT}</script>"
    assert rules(page)["script-src"] == f"'self' 'wasm-unsafe-eval' {DIGEST}"


def test_files_and_data_need_no_digest() -> None:
    page = '<script src="a.js"></script><script type="application/json">{"a": 1}</script>'
    assert rules(page)["script-src"] == "'self' 'wasm-unsafe-eval'"


def test_nothing_is_allowed_from_elsewhere_or_inline() -> None:
    allowed = policy("")
    assert rules("")["default-src"] == "'none'"
    assert "unsafe-inline" not in allowed
    assert "'unsafe-eval'" not in allowed
    assert "http" not in allowed
    assert "*" not in allowed


def test_the_policy_stands_before_everything_that_it_governs(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    page = tmp_path / "a" / "index.html"
    page.write_text(f"{HEAD}<script>{SCRIPT}</script>", encoding="utf-8")
    set_policy(tmp_path)
    text = page.read_text(encoding="utf-8")
    assert text.index("Content-Security-Policy") < text.index("<script")
    assert DIGEST in text


def test_a_page_of_another_form_stops_the_build(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text("<head></head>", encoding="utf-8")
    with pytest.raises(BuildError, match=r"index\.html"):
        set_policy(tmp_path)
