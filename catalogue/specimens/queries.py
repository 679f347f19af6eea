"""Questions about the catalogue as a whole."""

from collections import Counter
from collections.abc import Mapping

from django.db.models import Count

from catalogue.common.drawings.year_axis import YearAxis, axis_of
from catalogue.specimens.clock import this_year
from catalogue.specimens.models import Specimen
from catalogue.specimens.stored_answer import extent, pieces_a_year


def catalogue_axis(*, visitor: bool = False) -> YearAxis:
    """The one axis that every ruler stands on; a visitor's is made of what visitors may see.

    One query, of an index that holds nothing but how pieces spread over the years.
    """
    finds = Specimen.objects.for_visitors() if visitor else Specimen.objects.all()
    rows = finds.exclude(made_spread="").order_by().values_list("made_spread").annotate(n=Count("pk"))
    return axis_of_spreads(dict(rows))


def axis_of_spreads(counts: Mapping[str, int]) -> YearAxis:
    """The axis from how many finds of the catalogue have each spread. No query.

    Pieces whose years are open on a side, or in conflict, have no end of their own and choose no axis.
    """
    dated = Counter({text: count for text, count in counts.items() if extent([text])})
    return axis_of(pieces_a_year(dated), dated.total(), this_year())
