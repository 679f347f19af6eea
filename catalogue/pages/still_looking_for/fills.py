"""What finds that were just saved fill: a missing year, a wish. Said beside the notice of saving."""

from collections.abc import Iterable, Sequence

from django.contrib import messages
from django.http import HttpRequest
from django.urls import reverse

from catalogue.common.text import isolated
from catalogue.pages.parts.undo import say_with_offer
from catalogue.specimens.models import Specimen
from catalogue.specimens.services.wishes import wishes_of
from catalogue.specimens.stored_answer import runs

from .missing import makers_looked_for, missing_years, year_runs

# A notice names the first years that are still missing; more stand on the screen.
MOST_YEARS_SAID = 12
# Of many finds saved at once so many say what they fill.
MOST_FILLS_SAID = 8


def said_of(find: Specimen) -> tuple[object, ...]:
    """What decides which gaps it fills: compared before and after a form, so that nothing is said twice."""
    return (
        *(find.maker_id, find.made_spread, find.product_id, find.bottler_id, find.town_id),
        find.made_first,
        find.made_last,
    )


def say_what_they_fill(
    request: HttpRequest, keys: Iterable[int], before: tuple[object, ...] | None = None
) -> None:
    """Say what saved finds fill; nothing of one of which all that counts is as it was `before`.

    A wish is never struck off by itself: its notice has the button for it. Some ten queries, however many.
    """
    rows = Specimen.objects.select_related("maker").filter(pk__in=list(keys)).order_by("pk")
    finds = [find for find in rows if said_of(find) != before]
    for words in gaps_filled(finds)[:MOST_FILLS_SAID]:
        messages.success(request, words)
    for said, (find, each) in enumerate(wishes_of(finds)):
        if said == MOST_FILLS_SAID:
            messages.success(request, "More of them may be what you look for: see Still looking for.")
            break
        sure = "It is" if each.sure else "It may be"
        sure = sure if len(finds) == 1 else f"{find.number} {sure[3:]}"
        strike = f"{reverse('still_looking_for:strike', args=[each.wish.pk])}?found={find.number}"
        say_with_offer(request, f"{sure} what you look for: {isolated(str(each.wish))}.", strike)


def gaps_filled(finds: Sequence[Specimen]) -> list[str]:
    """ "It fills a gap: Tern & Hollis 1936. Still looking for 1938–1940.", for each year filled.

    Only by a find whose years are one year, which its maker's codes allow and no other piece is of.
    """
    years: dict[int, set[int]] = {}
    for find in finds:
        parts = runs(find.made_spread)
        if find.maker is not None and len(parts) == 1 and parts[0][0] == parts[0][1]:
            years.setdefault(find.maker.pk, set()).add(parts[0][0])
    if not years:
        return []
    found = []
    makers = makers_looked_for().filter(pk__in=years)
    for each in missing_years(makers, aside=[find.pk for find in finds]):
        held = {cell.year: cell.held for _, row in each.grid.rows for cell in row if cell is not None}
        filled = {year for year in years[each.maker.pk] if held.get(year) == 0}
        if filled:
            says = "It fills a gap" if len(finds) == 1 else "A gap is filled"
            found.append(
                f"{says}: {isolated(each.maker.name)} {year_runs(filled)}. "
                f"{_still([year for year in each.years if year not in filled])}"
            )
    return found


def _still(years: Sequence[int]) -> str:
    if not years:
        return "None of its years is missing any more."
    more = len(years) - MOST_YEARS_SAID
    return f"Still looking for {year_runs(years[:MOST_YEARS_SAID])}" + (
        f" and {more} more." if more > 0 else "."
    )
