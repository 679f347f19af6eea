"""The collection as the first page shows it: on a ground line, to one scale, in the order of years."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q, QuerySet
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.large_ruler import summed_ruler
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.pages.parts.cards import ruler_of
from catalogue.pages.parts.elevations import Elevation, ScaleBar, elevations_of
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE
from catalogue.specimens.queries import axis_of_spreads
from catalogue.specimens.stored_answer import middle_year, pieces_a_year

from .year_groups import AlikeDated, YearGroup, year_groups

MOST_SHOWN = 60
# Among so many at the beginning is the one that is named before anybody touches one: they are in sight.
IN_SIGHT = 4
NO_WINDOW = Q(made_from=None, made_to=None)
Alike = tuple[str, bool]


@dataclass(frozen=True, slots=True)
class NamedPiece:
    """A piece on the plate and what is said when it is touched; its ruler has no years in words: all of a
    catalogue have the same ones, which stand in the page once.
    """

    elevation: Elevation
    ruler: SafeString

    @property
    def find(self) -> Specimen:
        return self.elevation.find


@dataclass(frozen=True, slots=True)
class CaptionedPieces:
    """What stands under one caption, and how many more there are."""

    group: YearGroup
    standing: list[NamedPiece]


@dataclass(frozen=True, slots=True)
class Collection:
    """All of it in numbers, the pieces that are shown, and all their years added up on the catalogue's axis.

    `waiting`: undated ones that are still here.
    """

    pieces: int
    dated: int
    waiting: int
    bar: ScaleBar
    captioned: list[CaptionedPieces]
    axis: YearAxis
    years: str

    def named_on(self, day: date) -> NamedPiece | None:
        """The piece that is named first: the same all day, another tomorrow."""
        first = [piece for each in self.captioned for piece in each.standing][:IN_SIGHT]
        return first[day.toordinal() % len(first)] if first else None


def collection() -> Collection:
    """Five queries for any number of finds: counts by spread, undated, finds shown, their cuts, units."""
    counted, windowless, waiting = _counts()
    groups = year_groups(counted, MOST_SHOWN)
    finds = _fetched(groups)
    plate = elevations_of([find for of_group in finds for find in of_group])
    spreads = Counter[str]()
    for each in counted:
        spreads[each.spread] += each.count
    axis = axis_of_spreads(spreads)
    pieces = iter([NamedPiece(each, ruler_of(each.find, axis, labels=False)) for each in plate.standing])
    captioned = [
        CaptionedPieces(group, [next(pieces) for _ in of_group])
        for group, of_group in zip(groups, finds, strict=True)
    ]
    total = sum(each.count for each in counted)
    dated = total - windowless
    words = f"Pieces made in each year, of the {dated} that are dated"
    # safe: the drawing escapes every word it holds
    years = mark_safe(summed_ruler(axis, curve=pieces_a_year(spreads), words=words)) if dated else ""
    return Collection(total, dated, waiting, plate.bar, captioned, axis, years)


def _counts() -> tuple[list[AlikeDated], int, int]:
    """How many finds are dated alike; of all how many have no window; of these how many are still here.

    Two queries: the first reads one index alone, the second the rows of the undated.
    """
    finds = Specimen.objects.order_by()
    counts = dict(finds.values_list("made_spread").annotate(n=Count("pk")))
    windowless: Counter[str] = Counter()
    waiting = 0
    rows = finds.filter(NO_WINDOW).values_list("made_spread", "standing").annotate(n=Count("pk"))
    for spread, standing, n in rows:
        windowless[spread] += n
        waiting += 0 if standing in STANDINGS_GONE else n
    counted = []
    for spread, n in counts.items():
        # Years without a window are those of evidence that contradicts itself.
        conflict = windowless[spread] if spread else 0
        counted += [AlikeDated(spread, odd, m) for odd, m in ((False, n - conflict), (True, conflict)) if m]
    return counted, windowless.total(), waiting


def _fetched(groups: Sequence[YearGroup]) -> list[list[Specimen]]:
    """The finds shown of each group, in the order of years and of numbers. One query."""
    finds = Specimen.objects.defer("notes", "story")
    if any(group.more for group in groups):
        wanted = Q()
        for group in groups:
            for alike in group.shown():
                wanted |= Q(pk__in=_last_written(alike))
        finds = finds.filter(wanted) if wanted else finds.none()
    place: dict[Alike, int] = {
        (alike.spread, alike.conflict): at for at, group in enumerate(groups) for alike in group.alike
    }
    found: list[list[Specimen]] = [[] for _ in groups]
    for find in sorted(finds.order_by(), key=_in_years):
        found[place[_alike(find)]].append(find)
    return found


def _alike(find: Specimen) -> Alike:
    conflict = bool(find.made_spread) and find.made_from is None and find.made_to is None
    return find.made_spread, conflict


def _in_years(find: Specimen) -> tuple[int, str, int, int, int, str]:
    number = (find.number_year, find.number_ordinal, find.number_piece, find.number_part)
    return (middle_year(find.made_spread) or 0, find.made_spread, *number)


def _last_written(alike: AlikeDated) -> QuerySet[Specimen, int]:
    """Keys of so many of those that are dated alike, the last written first: an index's end, and no more."""
    keys = Specimen.objects.filter(made_spread=alike.spread)
    if alike.spread:
        keys = keys.filter(NO_WINDOW) if alike.conflict else keys.exclude(NO_WINDOW)
    return keys.order_by("-pk").values_list("pk", flat=True)[: alike.count]
