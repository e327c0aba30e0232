"""Tell the browser in every page what it may load and run: our own files, and nothing else."""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256
from typing import TYPE_CHECKING

from site_src.places import BuildError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["policy", "set_policy"]

RULES = {
    "default-src": "'none'",
    "script-src": "'self' 'wasm-unsafe-eval'",  # and the short scripts in the page, by digest
    "worker-src": "'self'",
    "connect-src": "'self'",
    "style-src": "'self'",
    "font-src": "'self'",
    "img-src": "'self' data:",  # the theme's signs are drawings inside its style sheet
    "manifest-src": "'self'",
    "base-uri": "'none'",
    "form-action": "'none'",
}
_HEAD = '<meta charset="utf-8">'
_SCRIPT = re.compile(r"<script(?P<kind>[^>]*)>(?P<text>.*?)</script>", re.DOTALL)
_NO_SCRIPT = ("src=", "application/json")


def set_policy(site: Path) -> None:
    """Put a content security policy into the head of every page.

    Raises
    ------
    BuildError
        If a page opens in another way than expected.
    """
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        if text.count(_HEAD) != 1:
            message = f"{page.relative_to(site)} has no single {_HEAD}: look at site_src/policy.py."
            raise BuildError(message)
        meta = f'<meta http-equiv="Content-Security-Policy" content="{policy(text)}">'
        page.write_text(text.replace(_HEAD, _HEAD + meta), encoding="utf-8")


def policy(page: str) -> str:
    """Return the policy of a page: the rules, and a digest of each script that it holds."""
    scripts = [
        found["text"]
        for found in _SCRIPT.finditer(page)
        if not any(mark in found["kind"] for mark in _NO_SCRIPT)
    ]
    digests = [b64encode(sha256(text.encode()).digest()).decode() for text in scripts]
    allowed = "".join(f" 'sha256-{digest}'" for digest in dict.fromkeys(digests))
    rules = RULES | {"script-src": RULES["script-src"] + allowed}
    return "; ".join(f"{name} {value}" for name, value in rules.items())
