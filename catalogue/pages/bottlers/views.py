"""The list of bottlers, and the form of one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.lettered import lettered
from catalogue.pages.parts.look_alikes import alike_in
from catalogue.pages.parts.undo import say_saved
from catalogue.pages.parts.years_changed import phrases
from catalogue.specimens.models import Bottler
from catalogue.specimens.services.trade import keep_bottler

from .form import BottlerForm
from .merging import BOTTLER_MERGING


@require_safe
def bottlers(request: HttpRequest) -> HttpResponse:
    """Every bottler, those with pieces first; two of one name are told apart by their towns."""
    rows = Bottler.objects.select_related("town")
    context = lettered(request, rows, "bottler", _beside)
    context["alike"] = alike_in(BOTTLER_MERGING)
    return render(request, "pages/bottlers/list.html", context)


@GET_OR_POST
@kept_once
def bottler_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """A bottler's name and town, and its years in business, which are evidence."""
    found = record_to_edit(request, Bottler.everything.select_related("town"), slug=slug)
    name = found.name
    form = BottlerForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        changed = keep_bottler(found, form.changed_columns())
        say_saved(request, found, f"{found.name} is saved. {phrases(changed)}")
        return redirect(found)
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "name": name, "back": found.get_absolute_url(), "suggests": "town"}
    return render(request, "pages/parts/edit_page.html", context, status=status)


def _beside(bottler: Bottler) -> str:
    return ", ".join(filter(None, [str(bottler.town) if bottler.town else "", bottler.business_words]))
