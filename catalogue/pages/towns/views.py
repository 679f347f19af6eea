"""Towns: where bottlers sold. Never where the glass was made."""

from operator import attrgetter

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.lettered import lettered
from catalogue.pages.parts.look_alikes import alike_in
from catalogue.pages.parts.suggested_input import suggested
from catalogue.pages.parts.undo import say_saved
from catalogue.specimens.forms import TownForm
from catalogue.specimens.models import Town
from catalogue.specimens.services.towns import keep_town
from catalogue.specimens.services.which_town import open_towns

from .merging import TOWN_MERGING


@require_safe
def towns(request: HttpRequest) -> HttpResponse:
    """Every town that pieces are marked for, by letter or by number of pieces."""
    rows = list(Town.objects.all())
    context = lettered(request, rows, "town", _where)
    # The answer that most pieces wait for first; `lettered` counted them.
    context["to_place"] = sorted(open_towns(rows), key=attrgetter("pieces"), reverse=True)
    context["alike"] = alike_in(TOWN_MERGING)
    return render(request, "pages/towns/list.html", context)


@GET_OR_POST
@kept_once
def town_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """Name, region, position and notes."""
    found = record_to_edit(request, Town.everything.all(), slug=slug)
    name = found.name
    form = TownForm(request.POST or None, instance=found)
    form.fields["name"].widget.attrs.update(suggested("town", **{"hx-params": "name"}).attrs)
    if request.method == "POST" and form.is_valid():
        keep_town(found, form.changed_columns())
        say_saved(request, found, f"{found.name} is saved.")
        return redirect("towns:town", slug=slug)
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "name": name, "back": found.get_absolute_url(), "suggests": "town"}
    return render(request, "pages/parts/edit_page.html", context, status=status)


@require_safe
def old_bottler_address(request: HttpRequest, slug: str) -> HttpResponse:
    """A bottler's form lay here until its pages had a room of their own."""
    return redirect("bottlers:bottler_edit", slug=slug, permanent=True)


def _where(town: Town) -> str:
    return ", ".join(filter(None, [town.region, town.country]))
