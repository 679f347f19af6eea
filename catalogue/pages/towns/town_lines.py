"""The years of each town's pieces as a line, all on one scale: how a list of towns compares."""

from collections import Counter, defaultdict
from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import Count
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.scale import strip
from catalogue.pages.parts.cards import scale_of_spreads
from catalogue.specimens.models import Specimen
from catalogue.specimens.stored_answer import pieces_a_year

MOST_TOWN_LINES = 150  # towns: more lines make a page heavy, and nobody compares so many


@dataclass(frozen=True, slots=True)
class TownLines:
    """Key of a town -> its line; and the years between which all of them run."""

    first: int
    last: int
    lines: dict[int, SafeString]


def town_lines(towns: Collection[int]) -> TownLines | None:
    """One query. None where there are no dated pieces, or too many towns to compare."""
    if not towns or len(towns) > MOST_TOWN_LINES:
        return None
    per_town: dict[int, Counter[str]] = defaultdict(Counter)
    whole: Counter[str] = Counter()
    rows = Specimen.objects.filter(town__isnull=False).exclude(made_spread="").order_by()
    for town, text, count in rows.values_list("town", "made_spread").annotate(n=Count("pk")):
        per_town[town][text] += count
        whole[text] += count
    if not whole:
        return None
    scale = scale_of_spreads(whole, pieces_a_year(whole))
    lines = {}
    for town, counts in per_town.items():
        words = f"Year ruler of {sum(counts.values())} dated piece{'' if sum(counts.values()) == 1 else 's'}"
        # safe: numbers and words of ours alone
        lines[town] = mark_safe(strip(scale, pieces_a_year(counts), words=words))
    return TownLines(scale.first, scale.last - 1, lines)
