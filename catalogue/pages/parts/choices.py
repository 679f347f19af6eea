"""What several pages offer to choose from: regions, colours with a swatch, questions about the making."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

import dating
from catalogue.common.words import GAP_WORDS
from catalogue.specimens.countries import BRITAIN, country_code
from catalogue.specimens.models.words import Colour
from catalogue.specimens.reading.value import Choices, with_drawing
from dating.places import alike
from dating.tables import LIP, LIP_SHAPES, Feature, lip_parts

ANYWHERE = {"any": "anywhere", "": "anywhere"}


def region_words(region: str) -> str:
    """A country as a person says it."""
    countries = dating.reference().countries
    names = {**ANYWHERE, "UK": BRITAIN, "GB": BRITAIN}
    return names.get(region) or (countries[region].name if region in countries else region)


@lru_cache(maxsize=1)
def usual_regions() -> frozenset[str]:
    """The countries with rows of their own in the tables."""
    ref = dating.reference()
    rows = {f.region for f in ref.features.values()} | {m.country for m in ref.marks.values()}
    return frozenset(map(alike, rows))


@lru_cache(maxsize=1)
def regions() -> Choices:
    """Every country: first those with rows of their own in the tables, then the others, by name."""
    known = usual_regions()
    codes = [alike(code) for code in dating.reference().countries]  # Britain is stored as UK
    listed = sorted(codes, key=lambda code: (code not in known, region_words(code)))
    return [("", GAP_WORDS), *((code, region_words(code)) for code in listed)]


@lru_cache(maxsize=1)
def colours() -> Choices:
    """Colours of glass, each with a swatch; its fill comes from the style sheet."""
    circle = '<circle r="9"/>'
    swatch = f'<svg class="swatch swatch-{{}}" viewBox="-10 -10 20 20" aria-hidden="true">{circle}</svg>'
    return [
        ("", "not said"),
        *((value, with_drawing(swatch.format(value), str(label))) for value, label in Colour.choices),
    ]


@dataclass(frozen=True, slots=True)
class FeatureGroup:
    """One question; `several` where more than one answer can be true of a bottle."""

    key: str
    title: str
    ask: str
    several: bool = False


GROUPS = (
    FeatureGroup("finish", "The lip (finish)", "How does the lip look?"),
    FeatureGroup("mould-seam", "Seams", "Where do the seams run?"),
    FeatureGroup("base-scar", "Scar on the base", "What did the making leave on the base?"),
    FeatureGroup("pontil", "Pontil scar", "Is there a rough scar where a rod held it?"),
    FeatureGroup("base-surface", "Surface of the base", "Dots or ridges where it stands?"),
    FeatureGroup("venting", "Air vents", "Are there tiny raised pimples?"),
    FeatureGroup("glass-quality", "The glass", "How does the glass itself look?"),
    FeatureGroup("closure", "Closure", "What closed it?"),
    FeatureGroup("wine-form", "Old wine bottles", "Is it one of these forms of wine bottle?"),
    FeatureGroup("body", "Shape of the body", "Does one of these shapes fit?", several=True),
    FeatureGroup("colour", "Colours that date", "Is it one of these?", several=True),
    FeatureGroup("label", "Label", "What of a label is left?", several=True),
    FeatureGroup("inscription", "Wording", "Does one of these stand on it?", several=True),
    FeatureGroup("contents", "Contents statement", "Does it state what it holds?", several=True),
    FeatureGroup("capacity", "Size stated", "Is its size one of these?", several=True),
    FeatureGroup("copy", "Signs of a later copy", "Does it show what gives a copy away?", several=True),
)


def group_of(key: str) -> FeatureGroup:
    """The words for a group of the table; a new one gets its own name and allows several answers."""
    known = next((group for group in GROUPS if group.key == key), None)
    return known or FeatureGroup(key, key.replace("-", " ").capitalize(), "Which of these fit?", several=True)


def groups_in_order(keys: list[str]) -> list[FeatureGroup]:
    """The groups of a table in the order above, unknown ones last."""
    order = {group.key: place for place, group in enumerate(GROUPS)}
    return [group_of(key) for key in sorted(keys, key=lambda key: order.get(key, len(order)))]


# The lip, one group of the tables, is asked as two questions: how it was finished, and which shape it has.
FINISH = FeatureGroup(LIP, "The lip: finish", "How was the lip made?")
LIP_SHAPE = FeatureGroup(LIP_SHAPES, "The lip: shape", "Which shape does the lip have?")
# So many shapes fill a phone's screen; the others come at a touch.
SHAPES_AT_ONCE = 12
# The years in which most bottles that the sea gives up were made: an open side ends there.
FROM_YEAR, TO_YEAR = 1800, 1985


def lip_questions(features: Iterable[Feature]) -> list[tuple[FeatureGroup, list[Feature]]]:
    """Both questions with their answers; of the shapes first what was made for longest: it is met most."""
    made, shapes = lip_parts(features)
    return [(FINISH, made), (LIP_SHAPE, sorted(shapes, key=how_common, reverse=True))]


def how_common(feature: Feature) -> float:
    """Its years, times the share of bottles of its country; every country's counts in full."""
    anywhere = feature.region in ("", "any")
    return years_common(feature) * (1 if anywhere else dating.reference().share_of(feature.region))


def years_common(feature: Feature) -> float:
    """The years under its trapezoid, between 1800 and 1985: the ramps count half."""
    first = max(FROM_YEAR, feature.common_from or feature.earliest or FROM_YEAR)
    last = min(TO_YEAR, feature.common_to or feature.latest or TO_YEAR)
    rise = first - max(FROM_YEAR, feature.earliest or first)
    fall = min(TO_YEAR, feature.latest or last) - last
    return max(0, last - first) + max(0, rise) / 2 + max(0, fall) / 2


OTHER = "-other"


class CountrySelect(forms.Select):
    """A select of the countries with rows of their own; another one is typed, by its name or two letters."""

    def optgroups(self, name: str, value: list[str], attrs: dict[str, Any] | None = None) -> list[Any]:
        """The options shown: every country would weigh more than the rest of the page."""
        shown = {"", *usual_regions(), *value}
        return [group for group in super().optgroups(name, value, attrs) if group[1][0]["value"] in shown]

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """What was typed comes before what was chosen."""
        typed = str(data.get(name + OTHER) or "").strip()
        return country_typed(typed) if typed else super().value_from_datadict(data, files, name)

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        """The select and the line beside it."""
        typed = value if value and country_typed(value) not in dating.reference().regions else ""
        line = format_html(
            '<label for="id_{0}{1}">Or another country</label>'
            '<input type="text" name="{0}{1}" id="id_{0}{1}" value="{2}" maxlength="60">',
            name,
            OTHER,
            typed,
        )
        return super().render(name, value, attrs, renderer) + line


def country_typed(text: str) -> str:
    """The code of a country by its name or letters; what is none stays as it is, for the field to refuse."""
    code = country_code(text)
    return text if code is None else alike(code)
