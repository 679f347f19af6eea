"""Pictures of a bath, a vessel or a tool."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.models import Bath, BenchPhoto, Tool, Vessel
from catalogue.pages.photos.showing import YEAR_S, size_response
from catalogue.photos.files import SIZES_PX
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.services import store
from catalogue.photos.services.uploads import too_heavy

SUBJECTS = {"bath": Bath, "tool": Tool, "vessel": Vessel}
PAGES = {"bath": "workbench:bath", "tool": "workbench:tool", "vessel": "workbench:vessel"}


@require_POST
def add(request: HttpRequest, what: str, pk: int) -> HttpResponse:
    """Keep a picture of it."""
    subject = get_object_or_404(SUBJECTS[what], pk=pk)
    upload = request.FILES.get("picture")
    try:
        if getattr(request, "too_large", ()):
            raise PictureRefused(too_heavy())
        if upload is None:
            raise PictureRefused("Choose a picture first.")
        BenchPhoto.objects.create(**{what: subject}, **store(upload))
    except PictureRefused as refused:
        messages.warning(request, refused.why)
    else:
        messages.success(request, "The picture is kept.")
    return redirect(PAGES[what], pk)


@require_safe
def show_size(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """A smaller copy; the owner's alone."""
    photo = get_object_or_404(BenchPhoto, pk=pk)
    response = size_response(request, photo.sha256, photo.format, size if size in SIZES_PX else "small")
    response["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    return response
