"""What a device is to keep: the list of an edition."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import TYPE_CHECKING

import pytest

from site_src.offline import edition, make_offline

if TYPE_CHECKING:
    from pathlib import Path

FILES = {
    "index.html": "home",
    "care/index.html": "care",
    "app/js/site.js": "script",
    "app/js/site.js.map": "for people who look into the script",
    "app/js/sw-worker.js": "answer();",
    "app/img/favicon.svg": "<svg></svg>",
    "app/python/numpy.zip": "arrays",
    "app/vega/vega.min.js": "charts",
    "sitemap.xml": "<urlset></urlset>",
}


@pytest.fixture
def site(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_pages_are_kept_at_once_and_heavy_parts_later(site: Path) -> None:
    made = edition(site)
    files, later = made["files"], made["later"]
    assert isinstance(files, dict)
    assert isinstance(later, dict)
    assert files["care/index.html"] == [sha256(b"care").hexdigest()[:16], 4]
    assert set(later) == {"app/python/numpy.zip", "app/vega/vega.min.js"}
    assert not {"sitemap.xml", "app/js/site.js.map"} & {*files, *later}


def test_another_content_is_another_edition(site: Path) -> None:
    before = edition(site)["version"]
    assert edition(site)["version"] == before
    (site / "care" / "index.html").write_text("more care", encoding="utf-8")
    assert edition(site)["version"] != before


def test_the_worker_opens_with_the_list_and_lists_all_but_itself(site: Path) -> None:
    make_offline(site)
    first, rest = (site / "sw.js").read_text(encoding="utf-8").split("\n", 1)
    assert rest == "answer();"
    listed = json.loads(first.removeprefix("self.EDITION = ").removesuffix(";"))
    assert listed["files"] == edition(site)["files"]
    assert "app/js/sw-worker.js" not in listed["files"]
    assert "sw.js" not in listed["files"]


def test_the_manifest_names_icons_that_are_there(site: Path) -> None:
    make_offline(site)
    manifest = json.loads((site / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert manifest["start_url"] == manifest["scope"] == "./"
    for icon in manifest["icons"]:
        content = (site / icon["src"]).read_bytes()
        width = int.from_bytes(content[16:20])  # of the header of a PNG file (ISO/IEC 15948)
        assert (content[:4], f"{width}x{width}") == (b"\x89PNG", icon["sizes"])
