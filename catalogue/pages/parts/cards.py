"""Finds as cards: picture or outline, words, a small ruler on the catalogue's axis, their years added up."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from catalogue.care.stored_flags import read
from catalogue.common.drawings.large_ruler import summed_ruler
from catalogue.common.drawings.profiles import NO_VESSEL
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.silhouette import silhouette
from catalogue.common.drawings.year_axis import Curve, YearAxis, curve_per_year
from catalogue.giving.told import hold_words_back
from catalogue.photos.models import Photo
from catalogue.sites.grounds import DayGrounds
from catalogue.sites.models import Permission
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.stored_answer import NO_YEARS, pieces_a_year


@dataclass(frozen=True, slots=True)
class Card:
    """One find as a list shows it."""

    find: Specimen
    cover: Photo | None
    ruler: SafeString
    outline: SafeString
    hits: Sequence[object] = ()
    grounds: DayGrounds[Permission] | None = None


def cards_of(
    finds: Iterable[Specimen],
    *,
    visitor: bool = False,
    hits: Mapping[int, Sequence[object]] | None = None,
    grounds: Mapping[int, DayGrounds[Permission]] | None = None,
    axis: YearAxis | None = None,
    labels: bool = True,
) -> list[Card]:
    """Cards of finds already fetched with `with_card_parts`. Two more queries: the cover pictures, the axis.

    `hits`: by a find's key, why a search found it. `grounds`: likewise, on what it was taken, for the owner's
    eyes (`grounds_by_find`). `axis`: the catalogue's, where the page has it already. `labels`: whether each
    ruler has its years in words; not where the axis stands once above all.
    """
    finds = list(finds)
    if visitor:
        hold_words_back(finds)
    photos = Photo.objects.for_visitors() if visitor else Photo.objects
    covers = photos.covers_of([find.pk for find in finds])
    if axis is None and finds:
        axis = catalogue_axis(visitor=visitor)
    return [
        Card(
            find,
            covers.get(find.pk),
            ruler_of(find, axis, labels=labels) if axis else mark_safe(""),
            mark_safe("") if find.pk in covers else outline_of(find),
            (hits or {}).get(find.pk, ()),
            (grounds or {}).get(find.pk),
        )
        for find in finds
    ]


def ruler_of(find: Specimen, axis: YearAxis, *, labels: bool = True) -> SafeString:
    """The small ruler of a find from its stored answer; empty where nothing dates it."""
    if find.made_words in NO_YEARS:
        return mark_safe("")
    stored = find.made_ruler or {}
    curve, years = stored.get("curve", ()), stored.get("years")
    return _drawn(
        axis,
        tuple(tuple(point) for point in curve),
        tuple(years) if years else None,
        (find.made_from, find.made_to),
        find.made_words,
        labels,
    )


@lru_cache(maxsize=4096)  # about two thousand letters each
def _drawn(
    axis: YearAxis,
    curve: tuple[tuple[float, ...], ...],
    years: tuple[int, ...] | None,
    window: tuple[int | None, int | None],
    words: str,
    labels: bool,
) -> SafeString:
    """Pieces dated alike have the same ruler, and so has a piece each time its page is turned to."""
    # safe: the drawing escapes every text it is given
    drawn = small_ruler(
        axis, curve=curve_per_year(curve), years=years, window=window, words=words, labels=labels
    )
    return mark_safe(drawn)


def outline_of(find: Specimen) -> SafeString:
    """A drawn outline of its kind, to its own sizes where they are known (`outline_kind`)."""
    return mark_safe(
        silhouette(
            outline_kind(find),
            height_mm=float(find.height_mm) if find.height_mm else None,
            diameter_mm=float(find.diameter_mm) if find.diameter_mm else None,
        )
    )


def finds_per_year(finds: Iterable[Specimen]) -> Curve:
    """How many of these finds each year can expect: candidate years by their chance, a closed window
    evenly, anything else by its curve. Each find adds up to one; undated ones add nothing."""
    return pieces_a_year(Counter(find.made_spread for find in finds))


def summed(finds: Sequence[Specimen], words: str, axis: YearAxis) -> SafeString:
    """The summed ruler of a group of finds, without its axis; empty where none of them is dated."""
    # safe: the drawing escapes every word it holds
    return mark_safe(summed_ruler(axis, curve=finds_per_year(finds), words=words, labels=False))


# Of these the outline of a bottle would say what nobody said: it may be anything.
NO_BOTTLES = frozenset({"munition", "remains"})


def outline_kind(find: Specimen) -> str:
    """The kind whose outline is drawn. No query.

    A jar that holds ashes is a jar: only where nobody said what kind of vessel it is, none is drawn.
    """
    kind = find.kind or "other"
    return NO_VESSEL if kind == "other" and NO_BOTTLES & read(find.care_flags) else kind
