"""Make the site usable without a signal, and installable: list what a device is to keep.

The service worker (``assets/js/sw-worker.js``) gets the list of all files with their digests as
its first line. A new edition is another list: only files that changed are fetched again, and
no page is ever put together from two editions.
"""

from __future__ import annotations

import json
import re
from hashlib import sha256
from typing import TYPE_CHECKING

import vl_convert

from site_src.places import ASSETS
from site_src.runtime.digest import sha256_of_file

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["edition", "make_offline"]

WORKER = "sw.js"
# Kept when they are first used, or when the reader asks for everything.
LATER = ("app/vega/", "app/python/numpy.zip")
# Of no use on a device: for people who look into the scripts, and for search engines.
LEFT_OUT = (".map", "sitemap.xml", "sitemap.xml.gz", "objects.inv", WORKER)
SIZES = (192, 512)  # px, of the icons that devices ask for
COLOUR = re.compile(r"--sb-(paper|ink|accent): (#\w+);")


def make_offline(site: Path) -> None:
    """Write the manifest with its icons, and the service worker with its list of files."""
    _write_manifest(site)
    worker = site / "app" / "js" / "sw-worker.js"
    text = worker.read_text(encoding="utf-8")
    worker.unlink()
    listed = json.dumps(edition(site), separators=(",", ":"))
    (site / WORKER).write_text(f"self.EDITION = {listed};\n{text}", encoding="utf-8")


def edition(site: Path) -> dict[str, object]:
    """Return the list of an edition.

    Parameters
    ----------
    site : Path
        The built site.

    Returns
    -------
    dict
        version : digest over all that follows; files, later : path below the site to
        [digest, bytes], of what is kept at once and of what is kept when it is used.
    """
    found = {
        path.relative_to(site).as_posix(): [sha256_of_file(path)[:16], path.stat().st_size]
        for path in sorted(site.rglob("*"))
        if path.is_file() and not path.name.endswith(LEFT_OUT)
    }
    later = {name: held for name, held in found.items() if name.startswith(LATER)}
    files = {name: held for name, held in found.items() if name not in later}
    version = sha256(json.dumps([files, later]).encode()).hexdigest()[:16]
    return {"version": version, "files": files, "later": later}


def _write_manifest(site: Path) -> None:
    colours = _colours()
    icons: list[dict[str, str]] = []
    for size in SIZES:
        name = f"app/img/icon-{size}.png"
        (site / name).write_bytes(vl_convert.svg_to_png(_icon(size, colours)))
        icons.append({"src": name, "sizes": f"{size}x{size}", "type": "image/png"})
    manifest = {
        "name": "Strokebook: vehicle dampers explained and calculated",
        "short_name": "Strokebook",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": colours["paper"],
        "theme_color": colours["paper"],
        "icons": icons,
    }
    text = json.dumps(manifest, indent=1)
    (site / "manifest.webmanifest").write_text(f"{text}\n", encoding="utf-8")


def _colours() -> dict[str, str]:
    """Return the colours of the light scheme, which the tokens name first."""
    tokens = (ASSETS / "css" / "tokens.css").read_text(encoding="utf-8")
    return dict(reversed(COLOUR.findall(tokens)))


def _icon(size: int, colours: dict[str, str]) -> str:
    """Return the sign of the site on paper, with a margin that a device may cut off."""
    drawing = (ASSETS / "img" / "favicon.svg").read_text(encoding="utf-8").strip()
    shapes = drawing.removesuffix("</svg>").partition("</style>")[2]
    for mark, colour in (("i", "ink"), ("a", "accent")):
        shapes = shapes.replace(f'class="{mark}"', f'fill="{colours[colour]}"')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" '
        f'viewBox="-8 -8 40 40"><rect x="-8" y="-8" width="40" height="40" '
        f'fill="{colours["paper"]}"/>{shapes}</svg>'
    )
