"""Optimistic lock of the boxes beside a bath's pieces: growth on each, and why it goes in all the same."""

from decimal import Decimal

from django.db import transaction
from django.http import HttpRequest

from catalogue.care.chemistry import BadQuantity
from catalogue.care.models import Bath
from catalogue.care.services import leave_out
from catalogue.common.forms.optimistic_lock import WrittenMeanwhile, typed_beside
from catalogue.common.limits import NOTE_LENGTH
from catalogue.common.localisation import said, units_shown
from catalogue.common.quantities import MASS, QuantityError, in_words, read_quantity

MOST_GROWTH_G = 5000


@transaction.atomic
def keep_notes(request: HttpRequest, bath: Bath) -> list[str]:
    """Keep growth and reasons of the pieces that wait, those that were typed on this page.

    Gives a sentence for each that can't be kept: no number of grams, or another page wrote it meanwhile.
    """
    wrong = []
    for member in bath.members.filter(in_at=None).select_related("find"):
        if request.POST.get("leave") == str(member.pk):
            leave_out(member)
            continue
        growth = "" if member.growth_g is None else in_words(member.growth_g, MASS, units_shown())
        columns = []
        try:
            typed = typed_beside(request.POST, f"growth-{member.pk}", growth)
            if typed is not None:
                member.growth_g = grams(typed)
                columns.append("growth_g")
            typed = typed_beside(request.POST, f"reason-{member.pk}", member.override_reason)
            if typed is not None:
                member.override_reason = typed[:NOTE_LENGTH]
                columns.append("override_reason")
        except (BadQuantity, WrittenMeanwhile) as error:
            wrong.append(f"{member.find.number}: {error}")
        if columns:
            member.save(update_fields=columns)
    return wrong


def grams(text: str) -> Decimal | None:
    """What was typed as growth, in any unit of mass; None for nothing. Raises BadQuantity."""
    if not text.strip():
        return None
    try:
        value = read_quantity(text, MASS, units_shown())
    except QuantityError as error:
        raise BadQuantity("growth_g", f"The growth: {error}") from None
    if not 0 < value <= MOST_GROWTH_G:
        raise BadQuantity("growth_g", f"The growth is more than 0 and at most {said(MOST_GROWTH_G, MASS)}.")
    return value
