"""Sheets and rolls of one's own; the short address that a place's own label holds."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.labels.models import OwnSheet
from catalogue.pages.labels.forms import OwnSheetForm
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_saved


@require_safe
def own_sheets(request: HttpRequest) -> HttpResponse:
    """All of them."""
    return render(request, "pages/labels/own_sheets.html", {"sheets": OwnSheet.objects.all()})


@GET_OR_POST
@kept_once
def own_sheet(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Add one, or change one."""
    known = record_to_edit(request, OwnSheet.everything.all(), pk=pk) if pk else None
    form = OwnSheetForm(request.POST or None, instance=known)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        say_saved(request, saved, f"{saved} is saved.")
        return redirect("labels:own_sheets")
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/labels/own_sheet.html", {"form": form, "sheet": known}, status=status)


@require_safe
def place_short(request: HttpRequest, pk: int) -> HttpResponse:
    """The short address that the code of a place's own label holds."""
    return redirect("shelves:place", pk)
