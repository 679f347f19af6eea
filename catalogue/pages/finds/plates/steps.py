"""The first two steps of a plate: which pictures to use, and the rim of the base, tapped or typed."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.pages.parts.find_lookup import plain_find
from catalogue.photos.imaging import ImagingError
from catalogue.photos.plates import Recipe
from catalogue.photos.plates.recipe import place_of

from .asked import PlateRequest, asked_for, page_of
from .forms import RimForm, clock_in

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


@require_safe
def rim(request: HttpRequest, number: str) -> HttpResponse:
    """The picture with the places typed so far; a choice of pictures that doesn't hold goes back a step."""
    asked = asked_for(request, plain_find(number))
    if asked.rim is None:
        return choose(request, asked)
    return mark_rim(request, asked, tried=False)


def mark_rim(request: HttpRequest, asked: PlateRequest, *, tried: bool = True) -> HttpResponse:
    """The page; `tried` where the step after it found the rim wanting."""
    photo = asked.shots.chosen[0]
    form = asked.rim if asked.rim is not None else RimForm()
    page = page_of(
        asked,
        form=form,
        photo=photo,
        tall=round(100 * photo.height / photo.width, 3),
        trouble=asked.trouble,
        grid=range(10, 100, 10),
    )
    return render(request, "pages/finds/plates/rim.html", page, status=422 if tried else 200)


@require_safe
def ring(request: HttpRequest, number: str) -> JsonResponse:
    """The rim through the places so far, degree by degree in per cent of the picture, or why not."""
    asked = asked_for(request, plain_find(number))
    recipe = asked.recipe
    if recipe is None or not recipe.rim:
        return JsonResponse({"ring": [], "why": asked.trouble})
    try:
        return JsonResponse({"ring": ring_of(recipe), "why": ""})
    except ImagingError as why:
        return JsonResponse({"ring": [], "why": str(why)})


def ring_of(recipe: Recipe) -> list[tuple[float, float]]:
    """360 places around the rim, clockwise from the top, and after them the middle of the base."""
    shot = recipe.shots[0]
    fitted = recipe.rim_in(shot.width, shot.height)
    places = [*(fitted.at(turn) for turn in range(360)), fitted.middle]
    spots = (place_of(p, shot.width, shot.height) for p in places)
    return [(round(across, 3), round(down, 3)) for across, down in spots]
