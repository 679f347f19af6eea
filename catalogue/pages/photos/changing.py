"""One picture's role, place in the row, words, and the bin."""

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.photos import services
from catalogue.photos.forms import PhotoForm
from catalogue.photos.models import Photo

from .getting import NO_PICTURE, back_to, get_photo, page_of

STEPS = {"earlier": -1, "later": 1}


@require_POST
def set_role(request: HttpRequest, pk: int) -> HttpResponse:
    return change(request, pk, lambda photo: services.set_role(photo, request.POST.get("role", "")))


@require_POST
def make_cover(request: HttpRequest, pk: int) -> HttpResponse:
    return change(request, pk, services.set_cover)


@require_POST
def move(request: HttpRequest, pk: int, where: str) -> HttpResponse:
    return change(request, pk, lambda photo: services.move(photo, STEPS[where]))


@require_POST
def put_in_bin(request: HttpRequest, pk: int) -> HttpResponse:
    """Out of sight; the page then offers to put it back."""
    response = change(request, pk, services.put_in_bin)
    messages.success(request, "Picture put in the bin. “Put back” stands below the pictures.")
    return response


@require_POST
def put_back(request: HttpRequest, pk: int) -> HttpResponse:
    photo = Photo.everything.in_bin().filter(pk=pk).first()
    if photo is None:
        raise Http404(NO_PICTURE)
    back = services.take_out_of_bin(photo)
    messages.success(request, "Picture put back.")
    return back_to(request, back.subject)


@require_POST
def use_position(request: HttpRequest, pk: int) -> HttpResponse:
    """The camera's position becomes the site's: the owner asked for it."""

    def use(photo: Photo) -> None:
        site = services.use_position(photo)
        messages.success(request, f"{site} has this position now; change it on the site's own page.")

    return change(request, pk, use)


def change(request: HttpRequest, pk: int, how: Callable[[Photo], object]) -> HttpResponse:
    """Do one thing to a picture and go back; what can't be done is said in a sentence."""
    photo = get_photo(request, pk)
    try:
        how(photo)
    except ValueError as why:
        text = str(why)
        messages.error(request, text if text.endswith(".") else "Choose one of the roles in the list.")
    return back_to(request, photo.subject, photo=photo if photo.binned_at is None else None)


@require_http_methods(["GET", "POST"])
def words(request: HttpRequest, pk: int) -> HttpResponse:
    """Caption, credit, licence, source, and whether visitors may see it."""
    photo = get_photo(request, pk)
    form = PhotoForm(request.POST or None, instance=photo)
    if request.method == "POST" and form.is_valid():
        services.describe(photo, form.changed_data)
        return back_to(request, photo.subject)
    page = {"form": form, "photo": photo, "back": page_of(photo.subject)}
    return render(request, "pages/photos/words.html", page, status=422 if form.errors else 200)
