"""The year ruler of everything a list leaves, all its pages together, on which years are chosen."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.brush import brush_ruler
from catalogue.common.drawings.scale import YearScale
from catalogue.pages.parts.year_sums import scale_of_spreads
from catalogue.specimens.spread import pieces_a_year

from .spans import YEARS, Slider, Span


@dataclass(frozen=True, slots=True)
class YearSum:
    """The drawing, its scale, where its handles stand, and how many finds are in it and not in it."""

    drawing: SafeString
    scale: YearScale
    slider: Slider
    dated: int
    undated: int


def year_sum(counts: Mapping[str, int], span: Span | None) -> YearSum | None:
    """From how many finds have each spread (`counts_beside`); None where none has years. No query."""
    curve = pieces_a_year(counts)
    if not curve and not span:
        return None
    chosen = [year for year in (span.first, span.last) if year is not None] if span else []
    scale = scale_of_spreads(counts, curve, also=chosen)
    slider = Slider(YEARS, scale.first, scale.last - 1, span)
    undated = counts.get("", 0)
    dated = sum(counts.values()) - undated
    # safe: the drawing escapes every word it holds
    drawing = mark_safe(
        brush_ruler(
            scale, curve, chosen=(slider.first, slider.last) if span else None, words=_words(curve, dated)
        )
    )
    return YearSum(drawing, scale, slider, dated, undated)


def _words(curve: list[tuple[int, float]], dated: int) -> str:
    if not curve:
        return "Year ruler: no find here has years yet"
    most = max(curve, key=lambda point: point[1])[0]
    return f"Year ruler: the years of {dated} find{'' if dated == 1 else 's'} added up, most in {most}"
