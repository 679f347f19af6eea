"""The years of each town's pieces as a line on the catalogue's axis: how a list of towns compares."""

from collections import Counter, defaultdict
from collections.abc import Collection

from django.db.models import Count
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.large_ruler import summed_ruler
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.stored_answer import pieces_a_year


def town_lines(towns: Collection[int]) -> dict[int, SafeString]:
    """Key of a town -> its line. Two queries."""
    if not towns:
        return {}
    per_town: dict[int, Counter[str]] = defaultdict(Counter)
    rows = Specimen.objects.filter(town__in=towns).exclude(made_spread="").order_by()
    for town, text, count in rows.values_list("town", "made_spread").annotate(n=Count("pk")):
        per_town[town][text] += count
    if not per_town:
        return {}
    axis = catalogue_axis()
    return {town: _line(axis, counts) for town, counts in per_town.items()}


def _line(axis: YearAxis, counts: Counter[str]) -> SafeString:
    pieces = counts.total()
    words = f"{pieces} dated piece{'' if pieces == 1 else 's'}"
    # safe: numbers and words of ours alone
    return mark_safe(summed_ruler(axis, curve=pieces_a_year(counts), words=words, large=False))
