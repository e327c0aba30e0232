"""The site's own server: right types, nothing stale, this machine alone."""

from __future__ import annotations

import gzip
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from typing import TYPE_CHECKING

import pytest

from site_src.build import publish
from site_src.places import ROOT, BuildError
from site_src.runtime import alone
from site_src.serve import serving

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("a.wasm", "application/wasm"),
        ("a.mjs", "text/javascript; charset=utf-8"),
        ("a.js", "text/javascript; charset=utf-8"),
        ("a.json", "application/json; charset=utf-8"),
        ("a.zip", "application/zip"),
        ("a.svg", "image/svg+xml"),
        ("a.woff2", "font/woff2"),
        ("a.html", "text/html; charset=utf-8"),
        ("a.unknown", "application/octet-stream"),
    ],
)
def test_each_file_has_its_type(tmp_path: Path, name: str, kind: str) -> None:
    (tmp_path / name).write_bytes(b"x")
    with serving(tmp_path) as address, urllib.request.urlopen(address + name) as answer:  # noqa: S310  our own server
        assert answer.headers["Content-Type"] == kind
        assert answer.headers["Cache-Control"] == "no-cache"


def test_a_file_that_did_not_change_is_not_sent_again(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("x")
    with serving(tmp_path) as address:
        with urllib.request.urlopen(f"{address}a.txt") as answer:  # noqa: S310  our own server
            when = answer.headers["Last-Modified"]
        again = urllib.request.Request(f"{address}a.txt", headers={"If-Modified-Since": when})  # noqa: S310  our own server
        with pytest.raises(urllib.error.HTTPError) as caught:
            urllib.request.urlopen(again)  # noqa: S310  our own server
        assert caught.value.code == 304
        caught.value.close()


@pytest.mark.parametrize("path", ["care/", "care/index.html"])
def test_a_text_is_sent_compressed_to_who_asks_for_that(tmp_path: Path, path: str) -> None:
    (tmp_path / "care").mkdir()
    (tmp_path / "care" / "index.html").write_text("oil " * 100)
    packed = {"Accept-Encoding": "gzip, br"}
    with serving(tmp_path) as address:
        asked = urllib.request.Request(address + path, headers=packed)  # noqa: S310  our own server
        with urllib.request.urlopen(asked) as answer:  # noqa: S310  our own server
            content = answer.read()
            assert answer.headers["Content-Encoding"] == "gzip"
            assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
            assert answer.headers["Content-Length"] == str(len(content))
            when = answer.headers["Last-Modified"]
        assert gzip.decompress(content) == b"oil " * 100
        known = packed | {"If-Modified-Since": when}
        with pytest.raises(urllib.error.HTTPError) as caught:
            urllib.request.urlopen(urllib.request.Request(address + path, headers=known))  # noqa: S310  our own server
        assert caught.value.code == 304
        caught.value.close()


def test_a_damaged_date_does_not_stop_the_server(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text("oil")
    headers = {"Accept-Encoding": "gzip", "If-Modified-Since": "yesterday"}
    with serving(tmp_path) as address:
        asked = urllib.request.Request(f"{address}a.html", headers=headers)  # noqa: S310  our own server
        with urllib.request.urlopen(asked) as answer:  # noqa: S310  our own server
            assert gzip.decompress(answer.read()) == b"oil"


def test_a_port_that_is_taken_is_told_in_one_sentence(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(BuildError, match=f"Port {port} is taken"), serving(tmp_path, port=port):
            pass


def test_the_server_listens_on_this_machine_alone(tmp_path: Path) -> None:
    with serving(tmp_path) as address:
        assert address.startswith("http://127.0.0.1:")


def test_a_new_site_replaces_the_served_one_as_a_whole(tmp_path: Path) -> None:
    made, place = tmp_path / "made", tmp_path / "site"
    for folder, text in ((place, "old"), (made, "new")):
        folder.mkdir()
        (folder / f"{text}.txt").write_text(text)
    with serving(place) as address:
        publish(made, place)
        with urllib.request.urlopen(f"{address}new.txt") as answer:  # noqa: S310  our own server
            assert answer.read() == b"new"
    assert [path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*")] == [
        "site",
        "site/new.txt",
    ]


BUILD_BESIDE = """
import sys
from pathlib import Path
from site_src.runtime import alone
alone.LOCK = Path(sys.argv[1])
with alone.alone(), alone.alone():
    print("its turn", flush=True)
"""


def test_a_second_build_says_that_it_waits_and_goes_on_after_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(alone, "LOCK", tmp_path / "lock")
    with alone.alone():
        beside = subprocess.Popen(
            [sys.executable, "-c", BUILD_BESIDE, str(tmp_path / "lock")],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert beside.stderr is not None
        assert "waiting until it is done" in beside.stderr.readline()
        assert beside.poll() is None
    assert beside.communicate(timeout=20) == ("its turn\n", "")
