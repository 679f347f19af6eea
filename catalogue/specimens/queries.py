"""Questions: of the catalogue as a whole its axis and places; of a find when it came up, and on what grounds
it rests then (EDTF to days, valid time).
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import MAXYEAR, MINYEAR, date
from time import monotonic
from typing import Final

from django.db import connection
from django.db.models import Count, Q

from catalogue.common.drawings.year_axis import YearAxis, axis_of
from catalogue.sites.grounds import DayGrounds, DaySpan, grounds_on
from catalogue.sites.models import Permission
from catalogue.sites.queries import answers_by_site
from catalogue.specimens.clock import this_year
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.stored_answer import extent, pieces_a_year
from dating import edtf

# From so many dated finds on, the axis is asked anew only so often: the query takes a tenth of a second for a
# hundred thousand, and among so many a few finds more move no percentile by a decade.
LARGE_CATALOGUE, AXIS_KEPT_S = 5_000, 60.0
_kept_axes: dict[tuple[str, bool], tuple[float, YearAxis]] = {}


def catalogue_axis(*, visitor: bool = False) -> YearAxis:
    """The one axis that every ruler stands on; a visitor's is made of what visitors may see.

    One query, of an index that holds nothing but how pieces spread over the years; none for a minute after
    it was asked of a large catalogue.
    """
    key = (str(connection.settings_dict["NAME"]), visitor)
    until, axis = _kept_axes.get(key, (0.0, None))
    if axis is not None and monotonic() < until:
        return axis
    whole = Specimen.objects.exclude(made_spread="").order_by().values("made_spread").annotate(n=Count("pk"))
    if visitor:
        seen = Specimen.objects.for_visitors().values("pk")
        whole = whole.annotate(seen=Count("pk", filter=Q(pk__in=seen)))
    rows = list(whole.values_list("made_spread", "n", "seen" if visitor else "n"))
    axis = axis_of_spreads({spread: count for spread, _, count in rows})
    if sum(count for _, count, _ in rows) >= LARGE_CATALOGUE:
        _kept_axes[key] = (monotonic() + AXIS_KEPT_S, axis)
    else:
        _kept_axes.pop(key, None)
    return axis


def axis_of_spreads(counts: Mapping[str, int]) -> YearAxis:
    """The axis from how many finds of the catalogue have each spread. No query.

    Pieces whose years are open on a side, or in conflict, have no end of their own and choose no axis.
    """
    dated = Counter({text: count for text, count in counts.items() if count and extent([text])})
    return axis_of(pieces_a_year(dated), dated.total(), this_year())


def pieces_by_place() -> dict[int, int]:
    """How many pieces stand in each place itself, by its key. One query, of an index."""
    counted = (
        Specimen.objects.filter(place__isnull=False).order_by().values_list("place").annotate(n=Count("pk"))
    )
    return dict(counted)


def unplaced() -> SpecimenQuerySet[Specimen]:
    """Pieces that are still here and have no place."""
    return Specimen.objects.still_here().filter(place__isnull=True)


NO_DAY: Final = DaySpan()


def days_of(find: Specimen) -> DaySpan:
    """The day of its dive, else the days of "recovered about"; no day at all where neither is on record.

    A year said to be about or doubtful bounds nothing, and neither does the clock of the machine.
    """
    if find.dive:
        return DaySpan.of(find.dive.date)
    try:
        years = edtf.parse(find.recovered_edtf) if find.recovered_edtf else None
    except edtf.EdtfError:
        return NO_DAY
    if years is None:
        return NO_DAY
    first = None if years.start_approximate or years.start_uncertain else years.earliest
    last = None if years.end_approximate or years.end_uncertain else years.latest
    return DaySpan(_day(first, 1, 1), _day(last, 12, 31))


def _day(year: int | None, month: int, day: int) -> date | None:
    return date(year, month, day) if year is not None and MINYEAR <= year <= MAXYEAR else None


def grounds_of(find: Specimen) -> DayGrounds[Permission]:
    """No query where the permissions of its site are prefetched."""
    site = find.where_found
    return grounds_on(site.permissions.all() if site else (), days_of(find))


def grounds_by_find(finds: Iterable[Specimen]) -> dict[int, DayGrounds[Permission]]:
    """By the key of each. One query for any number of finds that have dive and site, none for no site."""
    rows = [(find, find.where_found) for find in finds]
    answers = answers_by_site({site.pk for _, site in rows if site})
    return {find.pk: grounds_on(answers[site.pk] if site else (), days_of(find)) for find, site in rows}
