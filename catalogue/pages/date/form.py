"""Everything that can be said at once, with what was said already filled in."""

from dataclasses import dataclass

from django.http import HttpRequest

import dating
from catalogue.pages.parts.choices import arrangements, frames, regions, symbols
from catalogue.pages.parts.evidence_query import Said
from catalogue.pages.parts.feature_groups import FeatureGroup, groups_in_order
from catalogue.pages.parts.known_said import MOST, NAMES, KnownSaid
from catalogue.pages.parts.mark_said import SIDES
from catalogue.pages.parts.said_words import WHERE
from catalogue.specimens.models.words import Contents
from dating.rows import Feature
from dating.schemes import alike

CERTAINTIES = (("certain", "certain"), ("probable", "probable"), ("doubtful", "doubtful"))
BLANK_ROWS = 2
# What else hides behind a heading, so that it is found.
HOLDS = {
    "label": "a painted label, its ghost, a bar code, a ZIP code or two-letter state in an address",
    "inscription": "a law, a permit, a deposit, a patent or a registered design named on it",
    "capacity": "a size stated on it that laws or trades fixed",
}


@dataclass(frozen=True, slots=True)
class Answers:
    """One group of the form."""

    group: FeatureGroup
    ask: str
    rows: tuple[tuple[Feature, bool], ...]

    @property
    def chosen(self) -> str:
        return ", ".join(feature.term for feature, chosen in self.rows if chosen)


def form_of(request: HttpRequest, spoken: Said, reference: dating.Reference) -> dict[str, object]:
    """The context of the form."""
    return {
        "groups": list(answers(spoken, reference)),
        "frames": frames(),
        "symbols": symbols(reference.symbols),
        "arrangements": arrangements(),
        "regions": regions(),
        "contents": [("", "not known"), *((v, w) for v, w in Contents.choices if v in reference.contents)],
        "certainties": CERTAINTIES,
        "sides": [
            {
                "name": side,
                "words": WHERE[side],
                "value": request.GET.get(side, ""),
                "none": side in request.GET.getlist("none"),
            }
            for side in SIDES
        ],
        "known": known_rows(spoken),
        "given": request.GET,
    }


def answers(spoken: Said, reference: dating.Reference) -> list[Answers]:
    """The questions with their answers; rows of another region than the bottle's are not offered."""
    region = alike(spoken.case.get("region", ""))
    out = []
    for group in groups_in_order(list(reference.groups)):
        rows = tuple(
            (feature, feature.id in spoken.features)
            for feature in reference.groups[group.key]
            if not region or feature.region in ("", "any") or alike(feature.region) == region
            or feature.id in spoken.features
        )  # fmt: skip
        if rows:
            out.append(Answers(group, HOLDS.get(group.key, group.ask), rows))
    return out


def known_rows(spoken: Said) -> list[KnownSaid]:
    """What was said of years, and rows that wait."""
    taken = {known.number for known in spoken.known}
    free = [n for n in range(1, MOST + 1) if n not in taken][: BLANK_ROWS if not taken else 1]
    rows = [*spoken.known, *(KnownSaid(n, dict.fromkeys(NAMES, "")) for n in free)]
    return sorted(rows, key=lambda row: row.number)
