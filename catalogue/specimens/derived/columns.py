"""A finding as the derived columns of a find. Free of the database, as processes beside this one use it."""

from collections.abc import Iterable
from typing import Any

import dating
from catalogue.specimens.ruler import ruler_curve
from catalogue.specimens.spread import spread_of


def columns_of(finding: dating.Finding, informed: bool) -> dict[str, Any]:
    """All that is stored of it but the maker. `informed`: whether there was anything to go by."""
    first, last = finding.window if finding.window else (None, None)
    curve = ruler_curve(finding.axis[0], finding.posterior) if informed else []
    decades = _decades(finding, informed)
    spread = spread_of((first, last), finding.years, curve, decades)
    return {
        "made_from": first,
        "made_to": last,
        "made_best": finding.best,
        "made_words": finding.words,
        "made_edtf": finding.edtf or "",
        "made_ruler": {"years": list(finding.years) if finding.years else None, "curve": curve},
        "made_decades": "".join(f"|{decade}" for decade in decades) + "|" if decades else "",
        "made_first": spread.first,
        "made_last": spread.last,
        "made_spread": spread.text,
        "made_in": finding.this_year,
    }


def _decades(finding: dating.Finding, informed: bool) -> list[int]:
    """Every decade its years touch: candidate years where a code leaves several, else the window,
    else (a side unbounded, or the evidence in conflict) the likely years."""
    first, last = finding.window if finding.window else (None, None)
    if finding.years:
        years: Iterable[int] = finding.years
    elif first is not None and last is not None:
        years = range(first, last + 1)
    elif informed:
        years = (year for run in finding.likely for year in range(run.start, run.end + 1))
    else:
        return []
    return sorted({year // 10 * 10 for year in years})
