"""Questions about the catalogue as a whole."""

from collections import Counter
from collections.abc import Mapping
from time import monotonic

from django.db import connection
from django.db.models import Count, Q

from catalogue.common.drawings.year_axis import YearAxis, axis_of
from catalogue.specimens.clock import this_year
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.stored_answer import extent, pieces_a_year

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
