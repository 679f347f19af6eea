"""One picture, large, with what is said of it and the ones before and after."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.photos.queries import neighbours

from .getting import get_photo, page_of


@login_not_required
@require_safe
def look(request: HttpRequest, pk: int) -> HttpResponse:
    """For the owner; for a visitor where the find and this picture of it may be seen."""
    photo = get_photo(request, pk)
    row = neighbours(photo, visitor=not request.user.is_authenticated)
    page = {
        "photo": photo,
        "of": photo.find.what if photo.find else str(photo.subject),
        "back": page_of(photo.subject),
        "earlier": row.earlier,
        "later": row.later,
        "place": row.place,
        "count": row.count,
    }
    return render(request, "photos/look.html", page)
