"""What is on the giving page."""

from dataclasses import dataclass

from django.db.models import Case, Count, F, IntegerField, QuerySet, When

from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE

from .models import HandOver, PieceRequest, Promise

Standing = Specimen.Standing


def promised() -> QuerySet[Promise]:
    """Open promises, the one longest overdue first, those without an end last."""
    return (
        Promise.objects.filter(ended="", find__binned_at=None)
        .select_related("find__town", "find__place", "find__dive__site", "find__site", "person")
        .order_by(F("until").asc(nulls_last=True), "on", "pk")
    )


def handed_over() -> QuerySet[HandOver]:
    """Hand-overs, the latest first, also of pieces that came back."""
    return HandOver.objects.filter(find__binned_at=None).select_related("find__town", "person")


def to_show() -> QuerySet[Specimen]:
    """What visitors may see, with what their card shows: pieces to take first, then those only shown."""
    free_first = Case(When(standing=Standing.FREE, then=0), default=1, output_field=IntegerField())
    order = ("-number_year", "-number_ordinal", "-number_piece", "number_part")
    return Specimen.objects.for_visitors().with_card_parts().order_by(free_first, *order)


def open_requests() -> QuerySet[PieceRequest]:
    """Requests that nobody answered, of pieces that are still here, in the order of asking."""
    here = PieceRequest.objects.filter(ended="", find__binned_at=None).exclude(
        find__standing__in=STANDINGS_GONE
    )
    return here.order_by("pk")


@dataclass(frozen=True, slots=True)
class AskedFor:
    """A piece with those who ask for it, in the order of asking."""

    find: Specimen
    requests: list[PieceRequest]


def asked_for() -> list[AskedFor]:
    """Pieces that are asked for, those free to take first, then the one asked for longest. One query."""
    by_find: dict[int, list[PieceRequest]] = {}
    for request in open_requests().select_related("find"):
        by_find.setdefault(request.find_id, []).append(request)
    every = [AskedFor(rows[0].find, rows) for rows in by_find.values()]
    return sorted(every, key=lambda asked: asked.find.standing != Standing.FREE)


def waiting_requests() -> tuple[int, int]:
    """How many requests wait for an answer, of how many pieces that are free to take. One query."""
    free = open_requests().filter(find__standing=Standing.FREE)
    counted = free.order_by().aggregate(requests=Count("pk"), pieces=Count("find", distinct=True))
    return counted["requests"], counted["pieces"]
