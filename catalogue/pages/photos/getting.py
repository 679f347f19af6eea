"""Finding what an address speaks of, and where to go afterwards."""

from django.contrib import messages
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme

from catalogue.photos.models import Photo
from catalogue.photos.services import Results
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen

NO_PICTURE = "There is no such picture here, or it is not for visitors."
KINDS: dict[str, type[Model]] = {"find": Specimen, "dive": Dive, "site": Site, "place": Place}


def get_photo(request: HttpRequest, pk: int) -> Photo:
    """A picture the one who asks may see; raises Http404 otherwise, the same for missing and hidden."""
    photos = Photo.objects.select_related("find", "dive__site", "site", "place")
    if not request.user.is_authenticated:
        photos = photos.for_visitors()
    photo = photos.filter(pk=pk).first()
    if photo is None:
        raise Http404(NO_PICTURE)
    return photo


def get_subject(request: HttpRequest) -> Model:
    """What `?find=`, `?dive=`, `?site=` or `?place=` names by its key, a find also by its number."""
    for name, kind in KINDS.items():
        if key := request.GET.get(name, ""):
            column = "number" if kind is Specimen and "." in key else "pk"
            if column == "number" or (key.isascii() and key.isdigit() and len(key) < 19):
                subject = kind._default_manager.filter(**{column: key}).first()
                if subject is not None:
                    return subject
    raise Http404("What the pictures are of is no longer here.")


def page_of(subject: Model) -> str:
    """The page that shows a subject's pictures."""
    if isinstance(subject, Place):
        return reverse("shelves:place", args=[subject.pk])
    return subject.get_absolute_url()


def back_to(request: HttpRequest, subject: Model, *, photo: Photo | None = None) -> HttpResponse:
    """To the page the form was on, at its pictures; at that one where they are being arranged."""
    wanted = request.POST.get("next", "")
    ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    at = f"picture-{photo.pk}" if photo and ours and "arrange=" in wanted else "pictures"
    return redirect(f"{wanted if ours else page_of(subject)}#{at}")


def tell(request: HttpRequest, results: Results) -> None:
    """Say how many pictures were taken in, and name each that wasn't."""
    taken = len({photo.pk for photo in results.taken})
    if taken:
        messages.success(request, "1 picture added." if taken == 1 else f"{taken} pictures added.")
    for failed in results.failed:
        messages.error(request, str(failed))
