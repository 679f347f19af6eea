"""Finds as cards: picture or outline, words, a small ruler on one scale for all, and their years added up."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.large_ruler import summed_rulers
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.scale import Curve, YearScale, curve_per_year, scale_for
from catalogue.common.drawings.silhouette import silhouette
from catalogue.photos.models import Photo
from catalogue.sites.grounds import DayGrounds
from catalogue.sites.models import Permission
from catalogue.specimens.models import Specimen
from catalogue.specimens.stored_answer import extent, pieces_a_year

TALL = 1.7


@dataclass(frozen=True, slots=True)
class Card:
    """One find as a list shows it."""

    find: Specimen
    cover: Photo | None
    ruler: SafeString
    outline: SafeString
    hits: Sequence[object] = ()
    grounds: DayGrounds[Permission] | None = None

    @property
    def tall(self) -> bool:
        """A picture much taller than a card: cut to fit it, only a neck would be seen."""
        return bool(self.cover and self.cover.height > TALL * self.cover.width)


def cards_of(
    finds: Iterable[Specimen],
    *,
    visitor: bool = False,
    hits: Mapping[int, Sequence[object]] | None = None,
    grounds: Mapping[int, DayGrounds[Permission]] | None = None,
    ruler_width: float = 180.0,
    scale: YearScale | None = None,
) -> list[Card]:
    """Cards of finds already fetched with `with_card_parts`. One more query: the cover pictures.

    `hits`: by a find's key, why a search found it. `grounds`: likewise, on what it was taken, for the owner's
    eyes (`grounds_by_find`). `ruler_width`: in the drawing's units, of which a card
    is about 180 wide. `scale`: the years to draw them on, where the page has some already.
    """
    finds = list(finds)
    photos = Photo.objects.for_visitors() if visitor else Photo.objects
    covers = photos.covers_of([find.pk for find in finds])
    scale = scale.resized(ruler_width) if scale else shared_scale(finds, ruler_width)
    return [
        Card(
            find,
            covers.get(find.pk),
            ruler_of(find, scale),
            mark_safe("") if find.pk in covers else outline_of(find),
            (hits or {}).get(find.pk, ()),
            (grounds or {}).get(find.pk),
        )
        for find in finds
    ]


def shared_scale(finds: Iterable[Specimen], width: float = 180.0) -> YearScale:
    """One scale for a page, so that the eye compares from card to card."""
    curves, windows = [], []
    for find in finds:
        curves.append(curve_per_year(find.made_ruler.get("curve", ())) if find.made_ruler else [])
        windows.append((find.made_from, find.made_to))
    return scale_for(curves, windows=windows, width=width, latest=timezone.localdate().year)


def ruler_of(find: Specimen, scale: YearScale, *, labels: bool = True) -> SafeString:
    """The small ruler of a find from its stored answer; every text in it is escaped by the drawing."""
    stored = find.made_ruler or {}
    curve, years = stored.get("curve", ()), stored.get("years")
    return _drawn(
        scale,
        tuple(tuple(point) for point in curve),
        tuple(years) if years else None,
        (find.made_from, find.made_to),
        find.made_words or "not yet dated",
        labels,
    )


@lru_cache(maxsize=4096)  # about two thousand letters each
def _drawn(
    scale: YearScale,
    curve: tuple[tuple[float, ...], ...],
    years: tuple[int, ...] | None,
    window: tuple[int | None, int | None],
    words: str,
    labels: bool,
) -> SafeString:
    """Pieces dated alike have the same ruler, and so has a piece each time its page is turned to."""
    drawn = small_ruler(
        scale, curve=curve_per_year(curve), years=years, window=window, words=words, labels=labels
    )
    return mark_safe(drawn)


def outline_of(find: Specimen) -> SafeString:
    """A drawn outline of its kind, to its own sizes where they are known."""
    return mark_safe(
        silhouette(
            find.kind or "other",
            height_mm=float(find.height_mm) if find.height_mm else None,
            diameter_mm=float(find.diameter_mm) if find.diameter_mm else None,
        )
    )


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
