"""What an inscription says besides its mark: a law, a stated size, a country, another language."""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

import dating
from catalogue.pages.parts.reference_rows import REGION_NAMES


@dataclass(frozen=True, slots=True)
class Besides:
    """One phrase, what it says, and the way to dating with it where it points to something."""

    words: str
    says: str
    language: str
    address: str
    act: str


def besides(text: str, carried: str) -> list[Besides]:
    """The phrases of a text; ``carried`` is the address of what was read so far. No query."""
    return [_shown(phrase, carried) for phrase in dating.phrases_in(text)]


def _shown(phrase: dating.Phrase, carried: str) -> Besides:
    words = phrase.words if "#" not in phrase.words and "@" not in phrase.words else ""
    if phrase.feature:
        return Besides(
            words, phrase.says, phrase.language, _dating(carried, f=phrase.feature), "Date with it"
        )
    if phrase.region:
        where = REGION_NAMES.get(phrase.region, phrase.region)
        act = f"Take it as made or sold in {where}"
        return Besides(words, phrase.says, phrase.language, _dating(carried, region=phrase.region), act)
    return Besides(words, phrase.says, phrase.language, "", "")


def _dating(carried: str, **more: str) -> str:
    return f"{reverse('date:date')}?{carried}{'&' if carried else ''}{urlencode(more)}"
