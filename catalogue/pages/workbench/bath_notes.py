"""Optimistic lock of the boxes beside a bath's pieces: growth on each, and why it goes in all the same."""

from decimal import Decimal, InvalidOperation

from django.db import transaction
from django.http import HttpRequest

from catalogue.care.chemistry import BadQuantity
from catalogue.care.models import Bath
from catalogue.care.services import leave_out
from catalogue.common.forms.shown_values import WrittenMeanwhile, typed_beside
from catalogue.common.limits import NOTE_LENGTH


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
        growth = "" if member.growth_g is None else str(member.growth_g)
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
    """What was typed as grams of growth; None for nothing. Raises BadQuantity."""
    text = text.strip().replace(",", ".")
    if not text:
        return None
    try:
        value = Decimal(text)
    except InvalidOperation:
        raise BadQuantity("growth_g", "The growth is not a number of grams.") from None
    if not value.is_finite() or not 0 < value <= 5000:
        raise BadQuantity("growth_g", "The growth is more than 0 and at most 5000 g.")
    return value.quantize(Decimal("0.1"))
