"""Give every page one style sheet: what it can use of the theme's, then ours.

The browser shows nothing before it has all style sheets of the head, so each one
costs a reader on a slow line the time of a request, and each rule the time of matching.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from site_src.places import CORE, ROOT, BuildError
from site_src.runtime import node
from site_src.runtime.fetch import site_packages

__all__ = ["merge_styles"]

SHEETS = ("main", "palette")  # of the theme, in the order in which pages ask for them
_LINK = re.compile(r'\s*<link rel="stylesheet" href="[^"]*assets/stylesheets/[^"]*">')
# While the colours are set, nothing may fade from one to another. The theme says so of everything,
# and the browser looks at each element twice; we say it of what has such a fade.
_SWITCHING = re.compile(r"\[data-md-color-switching\] \*[^{}]*(?=\{)")
_FADING = "a,button,code,label,pre,summary,tr,.md-icon,.md-search__form"
_NAMED = re.compile(r"(--[\w-]+)\s*:")
_ASKED = re.compile(r"var\((--[\w-]+)")
_MAP = re.compile(r"/\*# sourceMappingURL=[^*]*\*/")


def merge_styles(site: Path) -> None:
    """Merge the style sheets of a built site into ``app/css/site.css``.

    Raises
    ------
    BuildError
        If the theme has other style sheets than expected, or a page asks for others.
    """
    folder = site / "assets" / "stylesheets"
    sheets = [str(path) for name in SHEETS for path in folder.glob(f"{name}.*.min.css")]
    arguments = [str(ROOT / "site_src" / "styles.mjs"), str(site_packages() / "purgecss")]
    theirs = node.run(
        "node",
        [*arguments, str(site), str(CORE), *sheets],
        folder=ROOT,
        task="Merging style sheets",
    )
    lost = _lost("".join(Path(path).read_text(encoding="utf-8") for path in sheets), theirs)
    if lost:
        message = f"{', '.join(lost)}: left out, but asked for; name it in site_src/styles.mjs."
        raise BuildError(message)
    theirs, switching = _SWITCHING.subn(f"[data-md-color-switching] :is({_FADING})", theirs)
    if len(sheets) != len(SHEETS) or switching != 1:
        message = "The theme's style sheets aren't what they were: look at site_src/styles.py."
        raise BuildError(message)
    for page in site.rglob("*.html"):
        text, links = _LINK.subn("", page.read_text(encoding="utf-8"))
        if links != len(SHEETS):
            message = f"{page.relative_to(site)} has {links} style sheets of the theme's."
            raise BuildError(message)
        page.write_text(text, encoding="utf-8")
    ours = site / "app" / "css" / "site.css"
    for useless in ours.parent.glob("*.map"):  # it says where lines stood before
        useless.unlink()
    text = _MAP.sub("", ours.read_text(encoding="utf-8"))
    ours.write_text(f"{theirs}\n{text}", encoding="utf-8")
    shutil.rmtree(folder)


def _lost(given: str, left: str) -> list[str]:
    """Return the variables that were named, are still asked for, and are named no more."""
    named, still = (set(_NAMED.findall(text)) for text in (given, left))
    return sorted((named - still) & set(_ASKED.findall(left)))
