"""What is on the giving page."""

from django.db.models import Case, IntegerField, QuerySet, When

from catalogue.specimens.models import Specimen

from .models import HandOver, Promise

Standing = Specimen.Standing


def promised() -> QuerySet[Promise]:
    """Open promises, the one longest overdue first."""
    return (
        Promise.objects.filter(ended="", find__binned_at=None)
        .select_related("find__town", "find__place", "find__dive__site", "find__site", "person")
        .order_by("until", "on", "pk")
    )


def handed_over() -> QuerySet[HandOver]:
    """Hand-overs, the latest first, also of pieces that came back."""
    return HandOver.objects.filter(find__binned_at=None).select_related("find__town", "person")


def to_show() -> QuerySet[Specimen]:
    """What visitors may see, with what their card shows: pieces to take first, then those only shown."""
    free_first = Case(When(standing=Standing.FREE, then=0), default=1, output_field=IntegerField())
    order = ("-number_year", "-number_ordinal", "-number_piece", "number_part")
    return Specimen.objects.for_visitors().with_card_parts().order_by(free_first, *order)
