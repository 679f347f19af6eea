"""What can be tapped: words with a small drawing beside them."""

from collections.abc import Iterable
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_shapes import frame_drawing, symbol_drawing
from catalogue.common.drawings.svg import esc
from catalogue.specimens.models.specimen_words import Colour

Choices = list[tuple[str, str | SafeString]]
NOT_LOOKED = ("", "not looked")
FRAME_WORDS = {
    "none": "no frame",
    "inverted-triangle": "triangle, point down",
    "other": "another shape",
}
ARRANGEMENT_WORDS = {
    "plain": "side by side",
    "stacked": "one above the other",
    "with-ampersand": "with an & between",
    "monogram": "as a monogram",
    "interlaced": "interlaced",
    "script": "in script",
    "separate": "set apart",
    "other": "another way",
}
REGION_WORDS = {"US": "United States", "UK": "Britain"}


@lru_cache(maxsize=1)
def frames() -> Choices:
    """Frames of the tables, drawn; not looked first, then no frame."""
    rest = [frame for frame in dating.reference().frames if frame not in ("none", "other")]
    return [
        NOT_LOOKED,
        ("none", FRAME_WORDS["none"]),
        *((frame, drawn(frame_drawing(frame), FRAME_WORDS.get(frame, frame))) for frame in rest),
        ("other", drawn(frame_drawing("other"), FRAME_WORDS["other"])),
    ]


def symbols(own: Iterable[str] = ()) -> Choices:
    """Symbols of the tables and of `own` marks, drawn; not looked first, then no symbol."""
    known = sorted({*dating.reference().symbols, *own})
    return [
        NOT_LOOKED,
        ("none", "no symbol"),
        *((symbol, drawn(symbol_drawing(symbol), symbol.replace("-", " "))) for symbol in known),
    ]


@lru_cache(maxsize=1)
def arrangements() -> Choices:
    """How letters stand to each other, in words."""
    found = [word for word in ARRANGEMENT_WORDS if word in dating.reference().arrangements]
    return [NOT_LOOKED, *((word, ARRANGEMENT_WORDS[word]) for word in found)]


@lru_cache(maxsize=1)
def regions() -> Choices:
    """Regions that the table of features speaks of."""
    found = sorted({f.region for f in dating.reference().features.values()} - {"", "any"})
    return [("", "not known"), *((region, REGION_WORDS.get(region, region)) for region in found)]


@lru_cache(maxsize=1)
def colours() -> Choices:
    """Colours of glass, each with a swatch; its fill comes from the style sheet."""
    circle = '<circle cx="10" cy="10" r="9"/>'
    swatch = f'<svg class="swatch swatch-{{}}" viewBox="0 0 20 20" aria-hidden="true">{circle}</svg>'
    return [
        ("", "not said"),
        *((value, drawn(swatch.format(value), str(label))) for value, label in Colour.choices),
    ]


def drawn(svg: str, words: str) -> SafeString:
    """A drawing of ours followed by its word, which is escaped."""
    return mark_safe(f"{svg} {esc(words)}")
