"""Pictures to look at, and originals to take along."""

import logging

from django.contrib.auth.decorators import login_not_required
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from catalogue.photos import files
from catalogue.photos.decoding import close_up, in_turn
from catalogue.photos.models import CardPicture, HeldPicture, Photo
from catalogue.photos.renditions import ensure_cut, ensure_size
from catalogue.photos.services.uploads import holder_of

from .views import get_photo

log = logging.getLogger("siltmark.pictures")
YEAR_S = 365 * 24 * 3600
DAY_S = 24 * 3600
FILE_GONE = "The file of this picture can't be read; its original may be damaged."


@login_not_required
@require_safe
def show_size(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """A smaller copy, for the owner, or for a visitor who may see the find and this picture of it."""
    photo = get_photo(request, pk)
    return kept_by_browser(request, size_response(request, photo.sha256, photo.format, size))


def kept_by_browser(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """The same answer, and for how long a browser may keep it."""
    if request.user.is_authenticated:
        response["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    else:
        # Not for longer than a day: a find may stop being shared.
        response["Cache-Control"] = f"public, max-age={DAY_S}, immutable"
    return response


@login_not_required
@require_safe
def show_cut(request: HttpRequest, pk: int) -> HttpResponse:
    """The bottle cut out of a picture, for whoever may see the picture."""
    photo = get_photo(request, pk)
    if not photo.cut_height:
        raise Http404("Nothing is cut out of this picture.")
    tag = f'"{photo.sha256[:32]}-cut"'
    if request.headers.get("If-None-Match") == tag:
        response: HttpResponse = HttpResponseNotModified(headers={"ETag": tag})
    elif ensure_cut(photo.sha256, photo.format):
        response = picture_response(files.cut(photo.sha256).read_bytes(), tag, "image/webp")
    else:
        raise Http404(FILE_GONE)
    return kept_by_browser(request, response)


@require_safe
def show_close(request: HttpRequest, pk: int) -> HttpResponse:
    """As near as the picture was taken; the owner's alone, made each time a browser has not kept it."""
    photo = get_photo(request, pk)
    tag = f'"{photo.sha256[:32]}-close"'
    if request.headers.get("If-None-Match") == tag:
        return HttpResponseNotModified(headers={"ETag": tag})
    try:
        made = in_turn(close_up, files.original(photo.sha256, photo.format))
    except Exception as error:
        # A file damaged on disk: decoders raise anything.
        log.warning("no close look at %s: %s: %s", photo.sha256, type(error).__name__, error)
        raise Http404(FILE_GONE) from None
    response = jpeg_response(made, tag)
    response["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    return response


@require_safe
def show_held(request: HttpRequest, token: str) -> HttpResponse:
    """The small copy of a picture that still waits for its form; only for the user who sent it."""
    held = HeldPicture.objects.filter(token=token, holder=holder_of(request)).first()
    if held is None:
        raise Http404("This picture is no longer kept: add it again.")
    response = size_response(request, held.sha256, held.format, "small")
    response["Cache-Control"] = f"private, max-age={DAY_S}"
    return response


@require_safe
def show_card(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """A copy of a picture that is still on its card; the owner's alone."""
    picture = get_object_or_404(CardPicture, pk=pk)
    response = size_response(request, picture.sha256, picture.format, size)
    response["Cache-Control"] = f"private, max-age={DAY_S}"
    return response


@require_safe
def original(request: HttpRequest, pk: int) -> FileResponse:
    """The file as it came, only ever as a download: it may hold anything that a picture file can hold."""
    photo = get_photo(request, pk)
    path = files.original(photo.sha256, photo.format)
    try:
        file = path.open("rb")
    except OSError:
        raise Http404(FILE_GONE) from None
    response = FileResponse(
        file, as_attachment=True, filename=download_name(photo), content_type="application/octet-stream"
    )
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-store"
    return response


def download_name(photo: Photo) -> str:
    """A name made of the find's number and what the picture shows."""
    of = photo.find.number if photo.find else Photo.subject_name(photo.subject)
    return f"{of} {photo.role} {photo.pk}.{files.ENDINGS[photo.format]}"


def size_response(request: HttpRequest, sha256: str, kind: str, size: str) -> HttpResponse:
    """The bytes of one size, made first where they are missing. Raises Http404."""
    tag = f'"{sha256[:32]}-{size}"'
    if request.headers.get("If-None-Match") == tag:
        return HttpResponseNotModified(headers={"ETag": tag})
    if not ensure_size(sha256, kind, size):
        raise Http404(FILE_GONE)
    return jpeg_response(files.size(sha256, size).read_bytes(), tag)


def jpeg_response(content: bytes, tag: str) -> HttpResponse:
    """Bytes of a JPEG, shown as such and as nothing else."""
    return picture_response(content, tag, "image/jpeg")


def picture_response(content: bytes, tag: str, content_type: str) -> HttpResponse:
    """Bytes that a browser may show as a picture and as nothing else."""
    response = HttpResponse(content, content_type=content_type)
    response["ETag"] = tag
    response["X-Content-Type-Options"] = "nosniff"
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response
