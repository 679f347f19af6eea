"""A town's own page, and notes on it written there."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

import dating
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merges_into
from catalogue.common.positions import distance_km
from catalogue.pages.makers.queries import marks_by_maker
from catalogue.pages.makers.year_grid import YearGrid, year_grid, years_allowed
from catalogue.pages.parts.merging import page_or_kept
from catalogue.pages.parts.notes import notes_page
from catalogue.pages.parts.series import Series, series_of
from catalogue.pages.parts.wishes import wishes_here
from catalogue.pages.parts.with_pieces import with_pieces
from catalogue.sites.models import Site
from catalogue.specimens.forms import TownNotesForm
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town, Works
from catalogue.specimens.tables import current_reference

from .which import choices_of


@dataclass(frozen=True, slots=True)
class MakerYears:
    """The years of one maker's pieces for this town."""

    maker: Maker
    grid: YearGrid
    query: str


@require_safe
def town(request: HttpRequest, slug: str) -> HttpResponse:
    """Its pieces by year, the years still missing, who filled and who made them, how far they came."""
    found = page_or_kept(Town.objects.all(), Town.everything.all(), slug=slug)
    if isinstance(found, HttpResponse):
        return found
    series = series_of(Specimen.objects.from_town(found))
    live_here = Q(finds__town=found, finds__binned_at=None)
    bottlers = with_pieces(Bottler.objects.filter(Q(town=found) | live_here), live_here).select_related(
        "town"
    )
    makers = list(with_pieces(Maker.objects.filter(live_here), live_here))
    ref = current_reference()
    context = {
        "town": found,
        "series": series,
        "bottlers": bottlers,
        "products": with_pieces(Product.objects.filter(live_here), live_here).select_related("bottler"),
        "makers": makers,
        "grids": grids_of(found, makers, list(bottlers), ref),
        "works": Works.objects.filter(town=found, maker__binned_at=None).select_related("maker"),
        "distances": distances(found, series),
        "notes_form": TownNotesForm(instance=found),
        "all_address": f"?town={found.slug}",
        "merges": merges_into(found),
        "wishes": wishes_here(found),
        "choices": choices_of(found, series),
    }
    return render(request, "pages/towns/town.html", context)


@require_POST
@kept_once
def town_notes(request: HttpRequest, slug: str) -> HttpResponse:
    """Write the notes; from the page itself."""
    found = get_object_or_404(Town, slug=slug)
    form = TownNotesForm(request.POST, instance=found)
    return notes_page(request, form)


def grids_of(
    town: Town, makers: list[Maker], bottlers: list[Bottler], ref: dating.Reference
) -> list[MakerYears]:
    """For each maker whose codes say years: those in which its pieces for this town's bottlers may be made.

    Two queries. A code bound to a bottler elsewhere does not count; the years are those in which some
    bottler whose years are on record was in business, if all of the maker's pieces here are of such.
    """
    spreads: dict[int, Counter[str]] = defaultdict(Counter)
    filled: dict[int, set[int | None]] = defaultdict(set)
    rows = Specimen.objects.from_town(town).filter(maker__isnull=False).order_by()
    for maker, bottler, text, count in rows.values_list("maker", "bottler", "made_spread").annotate(
        n=Count("pk")
    ):
        spreads[maker][text] += count
        filled[maker].add(bottler)
    marks = marks_by_maker(makers, ref)
    by_key: dict[int | None, Bottler] = {bottler.pk: bottler for bottler in bottlers}
    names = {bottler.name.casefold() for bottler in bottlers}
    found = []
    for maker in makers:
        codes = {
            code.id: code
            for mark in marks[maker.pk]
            for code in ref.codes_of.get(mark.id, ())
            if not code.bottler or {name.strip().casefold() for name in code.bottler.split(";")} & names
        }
        allowed = years_allowed(codes.values(), marks[maker.pk], timezone.localdate().year)
        allowed &= _in_business([by_key.get(key) for key in filled[maker.pk] if key], allowed)
        if grid := year_grid(allowed, spreads[maker.pk]):
            found.append(MakerYears(maker, grid, f"?town={town.slug}&maker={maker.slug}"))
    return found


def distances(town: Town, series: Series) -> list[tuple[Site, float, int]]:
    """Sites that its pieces lay at, kilometres from the town, and how many lay there; nearest first.

    Sites or towns without a position are left out. No query: the pieces carry their sites.
    """
    if town.latitude is None or town.longitude is None:
        return []
    lay: dict[int, tuple[Site, tuple[float, float], int]] = {}
    for card in series.cards:
        site = card.find.where_found
        if site is not None and site.latitude is not None and site.longitude is not None:
            there = (float(site.latitude), float(site.longitude))
            before = lay[site.pk][2] if site.pk in lay else 0
            lay[site.pk] = (site, there, before + 1)
    here = (town.latitude, town.longitude)
    found = [(site, distance_km(here, there), count) for site, there, count in lay.values()]
    return sorted(found, key=lambda row: row[1])


def _in_business(bottlers: list[Bottler | None], years: set[int]) -> set[int]:
    """Of these years those in which one of the bottlers was there; all, where one's years are not known."""
    spans = [(b.from_year, b.to_year) if b else (None, None) for b in bottlers]
    if not spans or any(first is None and last is None for first, last in spans):
        return years
    return {y for y in years for first, last in spans if (first or 0) <= y <= (last or 9999)}
