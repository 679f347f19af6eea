"""One picture, large, with what is said of it and the ones before and after."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from catalogue.photos.closest import is_closer
from catalogue.photos.models import Photo
from catalogue.photos.queries import neighbours
from catalogue.photos.whereabouts import whereabouts_of

from .getting import get_photo, page_of


@login_not_required
@require_safe
def look(request: HttpRequest, pk: int) -> HttpResponse:
    """For the owner; for a visitor where the find and this picture of it may be seen."""
    photo, owner = get_photo(request, pk), request.user.is_authenticated
    row = neighbours(photo, visitor=not owner)
    page = {
        "photo": photo,
        "of": photo.find.what if photo.find else str(photo.subject),
        "back": page_of(photo.subject),
        "earlier": row.earlier,
        "later": row.later,
        "place": row.place,
        "count": row.count,
        "close": address_close(photo, owner=owner),
        "where": whereabouts_of(photo) if owner else None,
    }
    return render(request, "pages/photos/look.html", page)


def address_close(photo: Photo, *, owner: bool) -> str:
    """The finest copy that the one who looks may see: for a visitor the large one."""
    if owner and is_closer(photo.width, photo.height):
        return reverse("photos:close", args=[photo.pk])
    return reverse("photos:size", args=[photo.pk, "large"])
