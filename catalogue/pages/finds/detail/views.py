"""The find's page: the owner's, and what a visitor may see of it."""

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.pages.parts.find_lookup import owners_find, visitors_find
from catalogue.specimens.models import Specimen

from .page import owners_page, visitors_page


@login_not_required
@require_safe
def find_page(request: HttpRequest, number: str) -> HttpResponse:
    """One find. A visitor sees a reduced page of what is free or shared; anything else asks for the key."""
    if request.user.is_authenticated:
        return show(request, owners_find(number), look_next="look" in request.GET)
    find = visitors_find(number)
    if find is None:
        # The same answer for a private piece and for none at all, so that numbers can't be tried out.
        return redirect_to_login(request.path)
    return render(request, "pages/finds/detail/for_visitors.html", visitors_page(find))


@login_not_required
@require_safe
def short(request: HttpRequest, number: str) -> HttpResponse:
    """The short address that a label's code holds."""
    return redirect("finds:find", number)


def show(
    request: HttpRequest, find: Specimen, *, status: int = 200, look_next: bool = False, **forms: Any
) -> HttpResponse:
    """The owner's page of a find; one in the bin is only named, with the way out of it."""
    if find.binned_at:
        return render(request, "pages/finds/detail/in_bin.html", {"find": find})
    return render(
        request,
        "pages/finds/detail/page.html",
        owners_page(find, look_next=look_next, **forms),
        status=status,
    )
