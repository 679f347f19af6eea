"""Fonts beside the standard ones of PDF, each carried by a Python package, embedded only where it is used.

FiraGO (SIL Open Font License 1.1, package pymupdf-fonts): Latin, Greek, Cyrillic, Hebrew, Arabic. Bitstream
Vera (its own free licence, package reportlab): some signs. IPAex Gothic (IPA Font License 1.0, package
matplotlib-fontja, the extra `cjk`): Japanese, and those Chinese letters that Japanese has too.
"""

from collections.abc import Callable
from functools import lru_cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import IO, Final, NamedTuple

import pymupdf_fonts
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import ShapedStr, TTFError, TTFont, shapeStr

# Where the Japanese font lies within its package, which is never imported: that would load all of a plotter.
JAPANESE: Final = ("matplotlib_fontja", "fonts/ipaexg.ttf")


class FontSource(NamedTuple):
    """A font by its name in a PDF, where it comes from, and its size beside the standard fonts."""

    name: str
    scale: float
    source: Callable[[], IO[bytes] | str | None]


def _fira(key: str) -> Callable[[], IO[bytes]]:
    return lambda: BytesIO(pymupdf_fonts.myfont(key))


def _japanese() -> str | None:
    spec = find_spec(JAPANESE[0])
    path = Path(spec.origin).parent / JAPANESE[1] if spec and spec.origin else None
    return str(path) if path and path.is_file() else None


# Asked in this order. The Japanese font has one weight.
_PLAIN: Final = (
    FontSource("LabelFira", 0.96, _fira("figo")),
    FontSource("LabelVera", 0.92, lambda: "Vera.ttf"),
    FontSource("LabelJapanese", 1.0, _japanese),
)
_BOLD: Final = (
    FontSource("LabelFiraBold", 0.96, _fira("figbo")),
    FontSource("LabelVeraBold", 0.92, lambda: "VeraBd.ttf"),
    _PLAIN[2],
)
_SCALES: Final = {font.name: font.scale for font in (*_PLAIN, *_BOLD)}


def font_with(char: str, *, bold: bool) -> str | None:
    """The name of the first font that has the character; None where none has it."""
    for each in _BOLD if bold else _PLAIN:
        if (font := _registered(each)) and ord(char) in font.face.charToGlyph:
            return each.name
    return None


def has_letters(name: str, word: str) -> bool:
    """Whether the font of that name has every letter of a word."""
    each = next(font for font in (*_PLAIN, *_BOLD) if font.name == name)
    font = _registered(each)
    return font is not None and all(ord(char) in font.face.charToGlyph for char in word)


def word_font(word: str, *, bold: bool) -> str | None:
    """The font in which an Arabic word is joined; None where it lacks one of its letters."""
    each = (_BOLD if bold else _PLAIN)[0]
    font = _registered(each)
    return each.name if font and all(ord(char) in font.face.charToGlyph for char in word) else None


def has_japanese() -> bool:
    """Whether the extra font is installed."""
    return _japanese() is not None


def scale_of(name: str) -> float:
    """How much smaller or larger a font is set so that its letters are as high as those of its neighbours."""
    return _SCALES.get(name, 1.0)


@lru_cache(maxsize=2048)
def shaped(word: str, name: str) -> ShapedStr:
    """A word joined by HarfBuzz, its letters from left to right as they are seen."""
    return shapeStr(word, name, 1000, force=True)


def shaped_width(word: ShapedStr, size: float) -> float:
    """Width in points of a joined word at a size."""
    return float(sum(each.x_advance for each in word.__shapeData__)) * size * _PLAIN[0].scale / 1000


@lru_cache(maxsize=8)
def _registered(each: FontSource) -> TTFont | None:
    source = each.source()
    if source is None:
        return None
    try:
        font = TTFont(each.name, source)
    except TTFError:
        return None
    pdfmetrics.registerFont(font)
    return font
