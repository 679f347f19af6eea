"""What to do today, what came up lately, and how to begin."""

from datetime import date

from django.db.models import Count, Exists, OuterRef, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.pages.parts.cards import Card, cards_of
from catalogue.photos.models import Photo
from catalogue.specimens import clock
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE

from .to_do import to_do

STAGE_WORDS = {
    "wet": "wet, waiting for fresh water",
    "soaking": "soaking the salt out",
    "cleaning": "being cleaned",
    "drying": "drying",
}


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """The owner's first page."""
    numbers = Specimen.objects.aggregate(
        pieces=Count("pk"),
        towns=Count("town", distinct=True),
        makers=Count("maker", distinct=True),
        dated=Count("pk", filter=Q(made_from__isnull=False) | Q(made_to__isnull=False)),
        undated=Count("pk", filter=Q(made_from=None, made_to=None) & ~Q(standing__in=STANDINGS_GONE)),
        free=Count("pk", filter=Q(standing="free")),
    )
    if not numbers["pieces"]:
        return render(request, "pages/home/begin.html")
    bench = dict(
        Specimen.objects.on_the_bench().values_list("stage").annotate(n=Count("pk")).order_by("stage")
    )
    waiting = [
        {"stage": stage, "n": bench[stage], "words": words}
        for stage, words in STAGE_WORDS.items()
        if stage in bench
    ]
    lately = Specimen.objects.with_card_parts().in_order()[:8]
    return render(
        request,
        "pages/home/home.html",
        {
            "clock": clock.sentence(),
            "numbers": numbers,
            "waiting": waiting,
            "to_do": to_do(undated=numbers["undated"]),
            "cards": cards_of(lately),
            "of_the_day": piece_of_the_day(timezone.localdate()),
        },
    )


def piece_of_the_day(day: date) -> Card | None:
    """A finished piece that is the same all day and another tomorrow; dated ones with a picture first."""
    done = Specimen.objects.still_here().filter(stage="done")
    # asked piece by piece: a join would have every picture's row sorted to find each piece once
    pictured = done.filter(Exists(Photo.objects.filter(find=OuterRef("pk"))))
    pool = pictured if pictured.exists() else done
    count = pool.count()
    if not count:
        return None
    return cards_of(pool.with_card_parts().order_by("pk")[day.toordinal() % count :][:1])[0]
