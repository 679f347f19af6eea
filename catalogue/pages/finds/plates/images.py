"""The plates themselves, as pictures for the page."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from catalogue.pages.parts.find_lookup import plain_find
from catalogue.photos.imaging import ImagingError
from catalogue.photos.plates import (
    PlateShape,
    Recipe,
    plate,
    relief_map,
    surfaces_of,
)
from catalogue.photos.plates.saving import as_jpeg, as_png

from .asked import PlateRequest, asked_for

NO_PLATE = "No plate can be made of what this address asks for."
PLATE_KEPT_S = 24 * 3600


@require_safe
def show_plate(request: HttpRequest, number: str, shape: str) -> HttpResponse:
    """One plate, round or unrolled, of the look that the address asks for."""
    asked = asked_for(request, plain_find(number))
    recipe = _recipe(asked)
    assert asked.look is not None
    try:
        pixels = plate(surfaces_of(recipe), recipe, asked.look.shown, PlateShape(shape), asked.look.lamp())
    except ImagingError as why:
        raise Http404(str(why)) from None
    return _answer(as_jpeg(pixels), "image/jpeg")


@require_safe
def show_relief(request: HttpRequest, number: str) -> HttpResponse:
    """The round plate's normals as colours, for the lamp that is moved on the page."""
    recipe = _recipe(asked_for(request, plain_find(number)))
    try:
        pixels, _ = relief_map(surfaces_of(recipe), recipe)
    except ImagingError as why:
        raise Http404(str(why)) from None
    return _answer(as_png(pixels), "image/png")


def _recipe(asked: PlateRequest) -> Recipe:
    if asked.recipe is None:
        raise Http404(asked.trouble or NO_PLATE)
    return asked.recipe


def _answer(content: bytes, kind: str) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    # Originals never change, and the address names everything else.
    response["Cache-Control"] = f"private, max-age={PLATE_KEPT_S}"
    response["X-Content-Type-Options"] = "nosniff"
    return response
