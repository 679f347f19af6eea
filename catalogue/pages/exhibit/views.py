"""The exhibit, for whoever is looking: pieces that visitors may see, the owner's choice of them."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from catalogue.giving.queries import to_show
from catalogue.giving.told import hold_words_back
from catalogue.pages.finds.list.filters import FindFilters
from catalogue.pages.finds.list.saved_views import kept_part
from catalogue.pages.templatetags.pictures import picture_url
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen

from .shown import ExhibitPiece, exhibit_data

# The page holds all of them; more than so many nobody turns through.
MOST_EXHIBITED = 600
# What the address says of the exhibit itself, or of how the list is shown.
_NOT_CHOSEN_BY = ("order", "sort", "view", "col")


@login_not_required
@require_safe
def exhibit(request: HttpRequest) -> HttpResponse:
    """Big pictures one after the other, for the owner too no more than visitors see: a tablet goes round.

    Only the owner's address narrows: by where a piece lay, a visitor could ask for what is hidden.
    """
    shown, query = to_show(), ""
    if request.user.is_authenticated:
        said = QueryDict(kept_part(request.GET.urlencode()), mutable=True)
        for key in _NOT_CHOSEN_BY:
            said.pop(key, None)
        filters = FindFilters(said, queryset=Specimen.objects.all())
        query = said.urlencode() if filters.qs is not None and filters.narrowed else ""
        if query:
            shown = shown.filter(pk__in=filters.qs.order_by().values("pk"))
    finds = list(shown)
    covers = Photo.objects.for_visitors().covers_of([find.pk for find in finds])
    finds = [find for find in finds if find.pk in covers][:MOST_EXHIBITED]
    hold_words_back(finds)
    pieces = [_piece(find, covers[find.pk]) for find in finds]
    leave = f"{reverse('finds:finds')}?{query}" if query else reverse("giving:giving")
    context = {"pieces": pieces, "data": exhibit_data(pieces), "leave": leave}
    return render(request, "pages/exhibit/exhibit.html", context)


def _piece(find: Specimen, cover: Photo) -> ExhibitPiece:
    return ExhibitPiece(
        find.number,
        find.what,
        find.made_words,
        str(find.town or ""),
        find.made_from or find.made_to,
        picture_url(cover, "large"),
        find.standing == Specimen.Standing.FREE,
    )
