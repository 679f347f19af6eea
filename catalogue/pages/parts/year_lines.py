"""The years of each town's, bottler's or product's pieces as a line on one axis: how a list compares."""

from collections import Counter, defaultdict
from collections.abc import Collection

from django.db.models import Count
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.large_ruler import summed_ruler
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.stored_answer import pieces_a_year


def year_lines(column: str, keys: Collection[int]) -> dict[int, SafeString]:
    """Key of what `column` of a find names -> its line. Two queries."""
    if not keys:
        return {}
    per_row: dict[int, Counter[str]] = defaultdict(Counter)
    rows = Specimen.objects.filter(**{f"{column}__in": keys}).exclude(made_spread="").order_by()
    for key, text, count in rows.values_list(column, "made_spread").annotate(n=Count("pk")):
        per_row[key][text] += count
    if not per_row:
        return {}
    axis = catalogue_axis()
    return {key: _line(axis, counts) for key, counts in per_row.items()}


def _line(axis: YearAxis, counts: Counter[str]) -> SafeString:
    pieces = counts.total()
    words = f"{pieces} dated piece{'' if pieces == 1 else 's'}"
    # safe: numbers and words of ours alone
    return mark_safe(summed_ruler(axis, curve=pieces_a_year(counts), words=words, large=False))
