"""Countries as people type and read them: two letters (ISO 3166-1), a name, or a usual short form of one."""

from functools import lru_cache
from typing import Any

from django import forms

import dating
from dating.checks import CaseError
from dating.places import alike, region_given

BRITAIN = "Britain"
NOT_BY_CODE = {"UK": BRITAIN}
# Beside the names in the tables; Britain's countries are one there.
COUNTRIES_ALSO = {
    **dict.fromkeys(("usa", "u.s.", "u.s.a.", "america", "united states"), "US"),
    **dict.fromkeys(
        ("gb", "britain", "great britain", "united kingdom", "england", "scotland", "wales"), "UK"
    ),
    "holland": "NL",
}


def country_code(text: str) -> str | None:
    """The letters of a country, by these or by its name; None where no table names it."""
    word = " ".join(text.split())
    try:
        return region_given(word, "", dating.reference().countries) or None
    except CaseError:
        return COUNTRIES_ALSO.get(word.casefold())


@lru_cache(maxsize=1)
def countries_by_code() -> dict[str, str]:
    """The code that is stored as a find's region → its name."""
    countries = dating.reference().countries
    codes = {alike(code): code for code in countries}
    return {stored: NOT_BY_CODE.get(stored, countries[code].name) for stored, code in codes.items()}


def country_words(code: str) -> str:
    """A stored region in words; one that no table names as it is."""
    return countries_by_code().get(code, code)


class CountryField(forms.CharField):
    """A country by its two letters, which stay as they are, or by its name."""

    def __init__(self, **given: Any) -> None:
        given.setdefault("help_text", "Its name, or two letters such as US or GB.")
        super().__init__(max_length=60, **given)

    def clean(self, value: Any) -> str:
        """Two letters or nothing. Raises ValidationError."""
        word = str(super().clean(value)).strip()
        if not word or (len(word) == 2 and word.isascii() and word.isalpha()):
            return word.upper()
        if code := country_code(word):
            return {"UK": "GB", "any": ""}.get(code, code)
        raise forms.ValidationError(
            "No country of that name is known here. Give two letters, such as US or GB, or leave it empty."
        )
