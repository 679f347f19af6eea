"""The years of many finds added up, from what is stored with each: no dating is done for a list."""

from collections.abc import Iterable, Sequence

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.ruler import summed_rulers
from catalogue.common.drawings.scale import Curve
from catalogue.specimens.models import Specimen
from catalogue.specimens.ruler import per_year

from .cards import shared_scale


def finds_per_year(finds: Iterable[Specimen]) -> Curve:
    """How many of these finds each year can expect: candidate years by their chance, a closed window
    evenly, anything else by its stored curve. Each find adds up to one; undated ones add nothing."""
    total: dict[int, float] = {}
    for find in finds:
        shares = _shares(find)
        whole = sum(shares.values())
        for year, share in shares.items():
            total[year] = total.get(year, 0.0) + share / whole
    return sorted(total.items())


def summed(finds: Sequence[Specimen], words: str) -> SafeString:
    """The summed ruler of a group of finds in both widths; empty where none of them is dated."""
    curve = finds_per_year(finds)
    if not curve:
        return mark_safe("")
    # safe: the drawing escapes every word it holds
    return mark_safe(summed_rulers(shared_scale(finds), curve=curve, words=words))


def _shares(find: Specimen) -> dict[int, float]:
    stored = find.made_ruler or {}
    curve = {year: height for year, height in per_year(stored.get("curve", ())) if height > 0}
    candidates = stored.get("years")
    if candidates:
        heights = {year: curve.get(year, 0.0) for year in candidates}
        return heights if sum(heights.values()) else dict.fromkeys(candidates, 1.0)
    if find.made_from is not None and find.made_to is not None:
        return dict.fromkeys(range(find.made_from, find.made_to + 1), 1.0)
    return curve
