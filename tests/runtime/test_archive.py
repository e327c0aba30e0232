"""The archive serves the site from any folder, with nothing but Python."""

from __future__ import annotations

import signal
import subprocess
import sys
import urllib.request
from typing import TYPE_CHECKING

import pytest

from site_src.archive import archive
from site_src.places import BuildError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def packed(tmp_path: Path) -> Path:
    """Give an archive of a small site, in a folder of its own."""
    site = tmp_path / "made"
    (site / "care").mkdir(parents=True)
    (site / "index.html").write_text("home", encoding="utf-8")
    (site / "care" / "index.html").write_text("care", encoding="utf-8")
    (site / "a.wasm").write_bytes(b"code")
    target = tmp_path / "elsewhere" / "strokebook.pyz"
    target.parent.mkdir()
    archive(target, site=site)
    return target


def run(packed: Path, *arguments: str) -> subprocess.Popen[str]:
    """Start the archive alone: without our packages, in its own folder."""
    # A shell lets programs in the background ignore Ctrl+C, and so would what they start.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    return subprocess.Popen(
        [sys.executable, "-I", packed.name, *arguments],
        cwd=packed.parent,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.fixture
def address(packed: Path) -> Iterator[str]:
    """Give the address that the running archive tells."""
    with run(packed, "0") as served:
        assert served.stdout is not None
        yield served.stdout.readline().split()[3]
        served.send_signal(signal.SIGINT)  # as Ctrl+C does
        assert served.wait(timeout=10) == 0


@pytest.mark.parametrize(
    ("path", "text", "kind"),
    [
        ("", b"home", "text/html; charset=utf-8"),
        ("care/", b"care", "text/html; charset=utf-8"),
        ("a.wasm", b"code", "application/wasm"),
    ],
)
def test_the_archive_serves_what_it_carries(
    address: str, path: str, text: bytes, kind: str
) -> None:
    with urllib.request.urlopen(address + path) as answer:  # noqa: S310  our own server
        assert (answer.read(), answer.headers["Content-Type"]) == (text, kind)


def test_what_is_no_port_is_told_in_one_line(packed: Path) -> None:
    with run(packed, "here") as served:
        told = served.communicate()[1]
    assert served.returncode == 2
    assert told == "here is no port. Run: python3 strokebook.pyz [PORT]\n"


def test_without_a_site_there_is_nothing_to_pack(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(BuildError, match="no built site"):
        archive(tmp_path / "a.pyz", site=tmp_path / "empty")
    assert not (tmp_path / "a.pyz").exists()
