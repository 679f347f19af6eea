"""Lost or broken, returned, left in place: the small form that asks when and why, and its undo."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.giving.departures import depart, undo_departure
from catalogue.giving.forms import DepartureForm
from catalogue.giving.services import NotGiven
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_with_undo, take_back


@GET_OR_POST
@kept_once
def gone(request: HttpRequest, number: str) -> HttpResponse:
    """What became of a piece that nobody was given. `?standing=` chooses."""
    find = plain_find(number)
    form = DepartureForm(
        request.POST if request.method == "POST" else None,
        initial={"standing": request.GET.get("standing", "")},
    )
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            made = depart(find, data["standing"], on=data["on"], reason=data["reason"])
        except NotGiven as why:
            form.add_error(None, str(why))
        else:
            undo = reverse("giving:gone_undo", args=[number, made.pk])
            say_with_undo(request, f"{number} is now: {made.get_standing_display()}.", undo)
            return redirect(f"{find.get_absolute_url()}#now")
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/giving/gone.html", {"find": find, "form": form}, status=status)


@require_POST
@kept_once
def undo_gone(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """It is here after all, in its place and standing."""
    return take_back(request, plain_find(number), "standing", partial(undo_departure, key=key))
