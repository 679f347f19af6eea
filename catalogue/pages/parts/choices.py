"""Choices that several pages offer: regions, and colours with a swatch."""

from functools import lru_cache

import dating
from catalogue.specimens.models.words import Colour
from catalogue.specimens.reading.value import Choices, with_drawing

REGION_WORDS = {"US": "United States", "UK": "Britain", "GB": "Britain", "any": "anywhere", "": "anywhere"}


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
        *((value, with_drawing(swatch.format(value), str(label))) for value, label in Colour.choices),
    ]
