"""Questions about the catalogue as a whole."""

from collections import Counter

from django.db.models import Count

from catalogue.common.drawings.year_axis import YearAxis, axis_of
from catalogue.specimens.clock import this_year
from catalogue.specimens.models import Specimen
from catalogue.specimens.stored_answer import extent, pieces_a_year


def catalogue_axis(*, visitor: bool = False) -> YearAxis:
    """The one axis that every ruler stands on; a visitor's is made of what visitors may see.

    Pieces whose years are open on a side, or in conflict, have no end of their own and choose no axis. One
    query, of an index that holds nothing but how pieces spread over the years.
    """
    finds = Specimen.objects.for_visitors() if visitor else Specimen.objects.all()
    rows = finds.exclude(made_spread="").order_by().values_list("made_spread").annotate(n=Count("pk"))
    dated = Counter({text: count for text, count in rows if extent([text])})
    return axis_of(pieces_a_year(dated), dated.total(), this_year())
