"""Step one: how to photograph a worn base, and which pictures to use."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.pages.parts.find_lookup import plain_find

from .asked import PlateRequest, asked_for, page_of
from .shots_form import clock_in

MOST_AT_ONCE = 8


@require_safe
def shoot(request: HttpRequest, number: str) -> HttpResponse:
    """How to shoot it, and the find's pictures to choose from."""
    return choose(request, asked_for(request, plain_find(number)))


def choose(request: HttpRequest, asked: PlateRequest) -> HttpResponse:
    """The page, with the errors of a choice that doesn't hold."""
    rows = asked.shots.rows()
    if not asked.shots.is_bound:
        # Pictures whose caption tells where the lamp stood belong together.
        lit = [photo for photo, _, _ in rows if clock_in(photo.caption) is not None][:MOST_AT_ONCE]
        rows = [(photo, photo in lit, clock) for photo, _, clock in rows]
    page = page_of(asked, rows=rows, first_role="base", address=f"find={asked.find.pk}")
    return render(request, "pages/finds/plates/shoot.html", page, status=422 if asked.shots.errors else 200)
