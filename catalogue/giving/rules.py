"""Why a piece can't be marked, promised or handed over: the rules of one, asked for one and for many."""

from collections.abc import Iterable
from datetime import date

from django.utils import timezone

from catalogue.common.localisation import day_words
from catalogue.giving.models import HandOver, Promise
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE
from catalogue.specimens.models.words import Standing

# Standings that one tap sets; a promise and a hand-over need to know to whom.
BY_ONE_TAP = (Standing.KEPT, Standing.FREE, Standing.RETURNED, Standing.LEFT, Standing.LOST)

# Gone without anybody's having it from us: when and why is asked.
GONE_UNGIVEN = (Standing.RETURNED, Standing.LEFT, Standing.LOST)


def why_not_marked(standing: str, promise: Promise | None, given: HandOver | None) -> str:
    """Why a standing can't be set by one tap, whatever its hazards say; empty where it can."""
    if standing not in BY_ONE_TAP:
        return "That is no standing that can be set alone."
    if promise:
        return f"It is promised to {promise.person}. Withdraw the promise or hand it over first."
    if given:
        return "It has been handed over. Say that it came back first."
    return ""


def why_not_here(find: Specimen) -> str:
    """Why it can't be given: it is gone. Empty where it is here."""
    if find.standing not in STANDINGS_GONE:
        return ""
    shown = find.get_standing_display()
    return f"It is not here any more: {shown}. Where it is here again, mark it kept first."


def why_not_promised(find: Specimen, promise: Promise | None) -> str:
    """Why it can't be promised, but for its hazards; empty where it can."""
    return why_not_here(find) or (f"It is already promised to {promise.person}." if promise else "")


def why_not_until(on: date, until: date | None) -> str:
    """Why a promise can't be given until that day; empty where it can."""
    if until and until < on:
        return "The promise would end before it begins."
    if until and until < timezone.localdate():
        past = f"{day_words(until)} is past already: give a later day, or none. If it is still to come"
        return f"{past}, check this machine's clock, which says {day_words(timezone.localdate())}."
    return ""


def open_promises(keys: Iterable[int]) -> dict[int, Promise]:
    """By the key of a find the promise of it that is neither kept nor withdrawn. One query."""
    rows = Promise.objects.filter(find__in=keys, ended="").select_related("person")
    return {promise.find_id: promise for promise in rows}


def open_handovers(keys: Iterable[int]) -> dict[int, HandOver]:
    """By the key of a find the hand-over from which it has not come back. One query."""
    rows = HandOver.objects.filter(find__in=keys, came_back_on=None).select_related("person")
    return {given.find_id: given for given in rows}
