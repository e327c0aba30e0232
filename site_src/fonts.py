"""The font for formulas, cut down to the signs that formulas here can contain.

The whole font has thousands of signs and weighs 400 kB; what a formula of this
handbook needs is letters, digits, Greek, operators, and the shapes that grow.
"""

from __future__ import annotations

import string
from typing import TYPE_CHECKING

from fontTools import subset

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["SIGNS", "cut"]

_ITALIC = range(0x1D434, 0x1D468)  # mathematical italic A to z: what a browser shows for <mi>x</mi>
_ITALIC_GREEK = range(0x1D6E2, 0x1D71C)
_GREEK = range(0x391, 0x3D7)
SIGNS = frozenset(
    {ord(sign) for sign in string.printable if sign.isprintable()}
    | {ord(sign) for sign in "  ·×÷±−√∞∆∂≈≠≤≥→⋅°′″\u210e⁻⁰¹²³⁴⁵⁶⁷⁸⁹µ–—…|‖¼½¾"}
    | set(_ITALIC) | set(_ITALIC_GREEK) | set(_GREEK)
)  # fmt: skip


def cut(source: Path, target: Path) -> None:
    """Write the font with these signs only, its mathematical measures kept."""
    options = subset.Options(flavor="woff2", layout_features=["*"], notdef_outline=True)
    with subset.load_font(str(source), options) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=SIGNS)
        cutter.subset(font)
        subset.save_font(font, str(target), options)
