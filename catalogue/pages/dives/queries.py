"""Questions of the dives and sites pages."""

from django.db.models import Count, Max, Q, QuerySet

from catalogue.sites.models import Dive, Site

LIVE_FINDS = Count("finds", filter=Q(finds__binned_at=None), distinct=True)


def dives_with_counts() -> QuerySet[Dive]:
    """Dives, latest first, each with its site and the number of its finds."""
    return Dive.objects.select_related("site").annotate(pieces=LIVE_FINDS).latest_first()


def sites_with_counts() -> QuerySet[Site]:
    """Sites by name, each with its dives, its finds and the day of its last dive."""
    return (
        Site.objects.prefetch_related("permissions")
        .annotate(
            dived=Count("dives", filter=Q(dives__binned_at=None), distinct=True),
            pieces=Count("dives__finds", filter=Q(dives__finds__binned_at=None), distinct=True)
            + Count("loose_finds", filter=Q(loose_finds__binned_at=None), distinct=True),
            last=Max("dives__date", filter=Q(dives__binned_at=None)),
        )
        .order_by("name")
    )
