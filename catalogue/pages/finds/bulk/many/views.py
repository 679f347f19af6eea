"""The table's page."""

import secrets
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from catalogue.pages.parts.already import kept_lately, remember
from catalogue.pages.parts.suggest import known_names
from catalogue.shelves.models import Place
from catalogue.specimens.models import Specimen

from .rows import MORE, MOST_ROWS, PREFIX, ForAllForm, ManyRows, ManySet, Places
from .services import keep_many

TOTAL = f"{PREFIX}-TOTAL_FORMS"


@require_http_methods(["GET", "HEAD", "POST"])
def many(request: HttpRequest) -> HttpResponse:
    """Type many finds; post keeps them all, or none where a cell can't be read."""
    places = Places(Place.objects.order_by("path"))
    sent = request.method == "POST"
    more = sent and request.POST.get("act") == "more"
    data = _with_more_rows(request.POST) if more else request.POST
    rows = ManySet(data if sent else None, prefix=PREFIX, form_kwargs={"places": places})
    for_all = ForAllForm(data if sent else None)
    if not sent or more:
        return _page(request, rows, for_all, places)
    once = request.POST.get("once", "")
    if once in kept_lately(request):
        messages.info(request, f"These rows were kept already, from {kept_lately(request)[once]} on.")
        return redirect("finds:find_many")
    sound = rows.is_valid()
    if not for_all.is_valid() or not sound or not rows.entered():
        return _page(request, rows, for_all, places, tried=True)
    finds = keep_many(rows.entered(), for_all)
    remember(request, once, finds[0].number)
    messages.success(request, "1 find is kept." if len(finds) == 1 else f"{len(finds)} finds are kept.")
    kept = urlencode([("kept", find.number) for find in finds])
    return redirect(f"{reverse('finds:find_many')}?{kept}")


def _page(
    request: HttpRequest, rows: ManyRows, for_all: ForAllForm, places: Places, *, tried: bool = False
) -> HttpResponse:
    kept = list(Specimen.objects.filter(number__in=request.GET.getlist("kept")[:MOST_ROWS]).order_by("pk"))
    names = urlencode([("find", find.number) for find in kept])
    context = {
        "rows": rows,
        "for_all": for_all,
        "places": places.known,
        "tried": tried,
        "nothing": tried and not rows.non_form_errors() and not rows.entered(),
        "wrong": sum(bool(form.errors) for form in rows.forms) if tried else 0,
        "kept": kept,
        "labels_url": f"{reverse('labels:labels')}?{names}",
        "known_names": known_names(),
        "once": request.POST.get("once") or secrets.token_urlsafe(12),
    }
    return render(request, "pages/finds/bulk/many.html", context, status=422 if tried else 200)


def _with_more_rows(data: QueryDict) -> QueryDict:
    total = data.get(TOTAL, "")
    if not total.isascii() or not total.isdigit() or len(total) > 4:
        return data
    changed = data.copy()
    changed[TOTAL] = str(min(MOST_ROWS, int(total) + MORE))
    return changed
