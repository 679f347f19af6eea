"""Towns: where bottlers sold. Never where the glass was made."""

from itertools import groupby

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from catalogue.common.positions import distance_km
from catalogue.common.text import folded
from catalogue.sites.models import Site
from catalogue.specimens.forms import BottlerForm, TownForm
from catalogue.specimens.models import Bottler, Maker, Specimen, Town
from catalogue.specimens.services.towns import keep_bottler, keep_town

from .maker_form.views import phrases
from .series import Series, series_of

LIVE_FINDS = Count("finds", filter=Q(finds__binned_at=None), distinct=True)


@require_safe
def towns(request: HttpRequest) -> HttpResponse:
    """Every town that pieces are marked for, by letter or by number of pieces."""
    rows = list(Town.objects.annotate(pieces=LIVE_FINDS))
    by_count = request.GET.get("by") == "count"
    if by_count:
        rows.sort(key=lambda town: (-town.pieces, folded(town.name)))
        groups = [("", rows)] if rows else []
    else:
        rows.sort(key=lambda town: (folded(town.name), town.region))
        groups = [(letter, list(part)) for letter, part in groupby(rows, key=_letter)]
    context = {
        "groups": groups,
        "by_count": by_count,
        "with_pieces": sum(bool(town.pieces) for town in rows),
        "without": sum(not town.pieces for town in rows),
        "pieces": sum(town.pieces for town in rows),
        "unplaced": Specimen.objects.filter(town=None).count(),
    }
    return render(request, "desk/browse/towns/list.html", context)


@require_safe
def town(request: HttpRequest, slug: str) -> HttpResponse:
    """A town's pieces by year, its bottlers and makers, and how far from it they lay."""
    found = get_object_or_404(Town, slug=slug)
    series = series_of(Specimen.objects.from_town(found))
    live_here = Q(finds__town=found, finds__binned_at=None)
    pieces = Count("finds", filter=live_here, distinct=True)
    context = {
        "town": found,
        "series": series,
        "bottlers": Bottler.objects.filter(Q(town=found) | live_here)
        .annotate(pieces=pieces)
        .distinct()
        .order_by("-pieces", "name"),
        "makers": Maker.objects.filter(live_here)
        .annotate(pieces=pieces)
        .distinct()
        .order_by("-pieces", "name"),
        "distances": distances(found, series),
        "all_address": f"?town={found.slug}",
    }
    return render(request, "desk/browse/towns/town.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def town_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """Name, region, position and notes."""
    found = get_object_or_404(Town, slug=slug)
    name = found.name
    form = TownForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        keep_town(found, form.changed_columns())
        messages.success(request, f"{found.name} is saved.")
        return redirect("desk:town", slug=slug)
    status = 422 if request.method == "POST" else 200
    return render(
        request, "desk/browse/towns/form.html", {"form": form, "slug": slug, "name": name}, status=status
    )


@require_http_methods(["GET", "HEAD", "POST"])
def bottler_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """A bottler's name, and its years in business, which are evidence."""
    found = get_object_or_404(Bottler.objects.select_related("town"), slug=slug)
    name = found.name
    form = BottlerForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        changed = keep_bottler(found, form.changed_columns())
        messages.success(request, f"{found.name} is saved. {phrases(changed)}")
        return redirect(found.town or "desk:towns")
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "bottler": found, "name": name}
    return render(request, "desk/browse/towns/bottler.html", context, status=status)


def distances(town: Town, series: Series) -> list[tuple[Site, float, int]]:
    """Sites that its pieces lay at, kilometres from the town, and how many lay there; nearest first.

    Sites or towns without a position are left out. No query: the pieces carry their sites.
    """
    if town.latitude is None or town.longitude is None:
        return []
    lay: dict[int, tuple[Site, int]] = {}
    for card in series.cards:
        site = card.find.where_found
        if site is not None and site.latitude is not None and site.longitude is not None:
            lay[site.pk] = (site, lay.get(site.pk, (site, 0))[1] + 1)
    here = (town.latitude, town.longitude)
    found = [
        (site, distance_km(here, (float(site.latitude), float(site.longitude))), count)
        for site, count in lay.values()
    ]
    return sorted(found, key=lambda row: row[1])


def _letter(town: Town) -> str:
    first = folded(town.name)[:1].upper()
    return first if first.isalpha() else "#"
