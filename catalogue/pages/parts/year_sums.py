"""The years of many finds added up, from what is stored with each: no dating is done for a list."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.ruler import summed_rulers
from catalogue.common.drawings.scale import Curve, YearScale, scale_for
from catalogue.specimens.models import Specimen
from catalogue.specimens.spread import extent, pieces_a_year

from .cards import shared_scale


def finds_per_year(finds: Iterable[Specimen]) -> Curve:
    """How many of these finds each year can expect: candidate years by their chance, a closed window
    evenly, anything else by its curve. Each find adds up to one; undated ones add nothing."""
    return pieces_a_year(Counter(find.made_spread for find in finds))


def summed(finds: Sequence[Specimen], words: str) -> SafeString:
    """The summed ruler of a group of finds in both widths; empty where none of them is dated."""
    curve = finds_per_year(finds)
    if not curve:
        return mark_safe("")
    # safe: the drawing escapes every word it holds
    return mark_safe(summed_rulers(shared_scale(finds), curve=curve, words=words))


def scale_of_spreads(counts: Mapping[str, int], curve: Curve, *, also: Iterable[int] = ()) -> YearScale:
    """A scale that holds every known end and the mass of what has none; `also` single years.

    `curve`: the counts added up, as `pieces_a_year` does.
    """
    return scale_for([curve], windows=extent(counts), years=also, latest=timezone.localdate().year)
