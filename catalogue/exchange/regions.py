"""Where a bottle was made or sold, as a spreadsheet says it: the name of a country."""

from functools import lru_cache

import dating
from dating.places import alike

NOT_BY_CODE = {"UK": "Britain"}


@lru_cache(maxsize=1)
def countries_by_code() -> dict[str, str]:
    """The code that is stored → its name."""
    countries = dating.reference().countries
    codes = {alike(code): code for code in countries}
    return {stored: NOT_BY_CODE.get(stored, countries[code].name) for stored, code in codes.items()}


def country_words(code: str) -> str:
    """A stored region in words; one that no table names as it is."""
    return countries_by_code().get(code, code)
