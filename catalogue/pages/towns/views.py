"""Towns: where bottlers sold. Never where the glass was made."""

from itertools import groupby

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.text import folded
from catalogue.pages.makers.form.views import phrases
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.paging import page_of
from catalogue.specimens.forms import BottlerForm, TownForm
from catalogue.specimens.models import Bottler, Specimen, Town
from catalogue.specimens.services.towns import keep_bottler, keep_town

from .town_lines import town_lines

TOWNS_PER_PAGE = 48
TOWN_FINDS = Count("finds", filter=Q(finds__binned_at=None), distinct=True)


@require_safe
def towns(request: HttpRequest) -> HttpResponse:
    """Every town that pieces are marked for, by letter or by number of pieces."""
    rows = list(Town.objects.annotate(pieces=TOWN_FINDS))
    by_count = request.GET.get("by") == "count"
    if by_count:
        rows.sort(key=lambda town: (-town.pieces, folded(town.name)))
    else:
        rows.sort(key=lambda town: (folded(town.name), town.region))
    page, complaint = page_of(Paginator(rows, TOWNS_PER_PAGE), request.GET.get("page", ""))
    if complaint:
        messages.warning(request, complaint)
    here = list(page.object_list)
    lines = town_lines([town.pk for town in here if town.pieces])
    for town in here:
        town.line = lines.get(town.pk)  # for the template
    letters: dict[str, int] = {}
    for n, town in enumerate(() if by_count else rows):
        letters.setdefault(_letter(town), n // TOWNS_PER_PAGE + 1)
    context = {
        "page": page,
        "groups": [
            (letter, list(part))
            for letter, part in groupby(here, key=lambda t: "" if by_count else _letter(t))
        ],
        "letters": letters,
        "by_count": by_count,
        "with_pieces": sum(bool(town.pieces) for town in rows),
        "without": sum(not town.pieces for town in rows),
        "pieces": sum(town.pieces for town in rows),
        "unplaced": Specimen.objects.filter(town=None).count(),
        "lines": lines,
    }
    return render(request, "pages/towns/list.html", context)


@GET_OR_POST
@kept_once
def town_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """Name, region, position and notes."""
    found = record_to_edit(request, Town.everything.all(), slug=slug)
    name = found.name
    form = TownForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        keep_town(found, form.changed_columns())
        messages.success(request, f"{found.name} is saved.")
        return redirect("towns:town", slug=slug)
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/towns/form.html", {"form": form, "slug": slug, "name": name}, status=status)


@GET_OR_POST
@kept_once
def bottler_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """A bottler's name, and its years in business, which are evidence."""
    found = record_to_edit(request, Bottler.everything.select_related("town"), slug=slug)
    name = found.name
    form = BottlerForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        changed = keep_bottler(found, form.changed_columns())
        messages.success(request, f"{found.name} is saved. {phrases(changed)}")
        return redirect(found.town or "towns:towns")
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "bottler": found, "name": name}
    return render(request, "pages/towns/bottler.html", context, status=status)


def _letter(town: Town) -> str:
    first = folded(town.name)[:1].upper()
    return first if first.isalpha() else "#"
