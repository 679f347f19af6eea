"""Labels photographed: every code in each picture is read, and the pieces ticked.

A form without script sends several at once and is answered by the page; the page's script sends one after the
other, and each is answered by the parts of the page that it changed.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.views.decorators.http import require_POST

from catalogue.photos.image_file import PictureRefused
from catalogue.photos.services.label_pictures import codes_noted_in
from catalogue.photos.services.uploads import FILES_FIELD, too_heavy
from catalogue.shelves.tree import place_tree
from catalogue.specimens.models import ShelfCheck
from catalogue.specimens.services import shelf_checks
from catalogue.specimens.services.shelf_checks import CheckEnded

from .codes import CodesSorted, sort_codes
from .said import sentences_of
from .walking import get_open, place_stood_at, rows_of, whole_state

READ_AT_ONCE = 8
NO_PICTURE_ARRIVED = "No picture arrived: choose one or several."


@dataclass(slots=True)
class PicturesRead:
    """What was read in pictures, their digests, and a sentence for each that was not of use."""

    texts: list[str] = field(default_factory=list)
    digests: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)


@require_POST
def pictures(request: HttpRequest, pk: int) -> HttpResponse:
    """Read the labels in each picture and tick their pieces as here; pictures are not kept."""
    check = get_open(pk)
    uploads = request.FILES.getlist(FILES_FIELD)
    read = _read(uploads[:READ_AT_ONCE])
    read.failed += [f"{name}: {too_heavy()}" for name in getattr(request, "too_large", ())]
    if len(uploads) > READ_AT_ONCE:
        late = len(uploads) - READ_AT_ONCE
        read.failed.append(f"{READ_AT_ONCE} pictures are read at once: send the last {late} again.")
    found = sort_codes(dict.fromkeys(read.texts))
    try:
        said = _kept(check, found, read, request.POST.get("stand", "")) if read.digests else ""
    except CheckEnded as why:
        return _told(request, check, read, found, ended=str(why))
    return _told(request, check, read, found, said=said)


def _read(uploads: Iterable[Any]) -> PicturesRead:
    read = PicturesRead()
    for upload in uploads:
        try:
            labels = codes_noted_in(upload)
        except PictureRefused as why:
            read.failed.append(f"{upload.name}: {why}")
            continue
        read.digests.append(labels.sha256)
        read.texts += labels.codes
        if not labels.codes:
            read.failed.append(
                f"{upload.name}: no code was found in it. Go nearer, with more light, and hold still."
            )
    return read


def _kept(check: ShelfCheck, found: CodesSorted, read: PicturesRead, stand: str) -> str:
    """Tick what was read; what there is to say of it. Raises CheckEnded."""
    tree = place_tree()
    places = shelf_checks.places_of(check, tree)
    stand_in = place_stood_at(check, tree, stand)
    shelf_checks.note_read(check, found.unknown, pictures=read.digests)
    shelf_checks.tick_here(check, found.finds, stand_in=stand_in, places=places, by_picture=True)
    return sentences_of(found, tree, places, len(read.digests), stand_in)


def _told(
    request: HttpRequest,
    check: ShelfCheck,
    read: PicturesRead,
    found: CodesSorted,
    *,
    said: str = "",
    ended: str = "",
) -> HttpResponse:
    """The page, or for its script what changed on it."""
    if "one" in request.POST:
        wrong = ended or " ".join(read.failed) or ("" if said else NO_PICTURE_ARRIVED)
        answer = {"said": said if found.finds or not wrong else "", "wrong": wrong, "ended": bool(ended)}
        if not ended:
            answer |= {"read": len(read.digests), "pieces": len(found.finds)}
            answer["parts"] = _parts(request, check, found)
        return JsonResponse(answer, status=409 if ended else 200)
    for sentence in (*read.failed, ended):
        if sentence:
            messages.error(request, sentence)
    if said:
        messages.success(request, said)
    elif not read.failed and not ended:
        messages.error(request, NO_PICTURE_ARRIVED)
    return redirect("shelves:check", check.place_id)


def _parts(request: HttpRequest, check: ShelfCheck, found: CodesSorted) -> str:
    """Rows of the pieces that were read, how far the check has come, strays and codes of nothing."""
    check.refresh_from_db()
    context = whole_state(check)
    context |= {
        "read_rows": rows_of(check, [find.pk for find in found.finds]),
        "at": request.POST.get("at", ""),
    }
    return render_to_string("pages/shelves/check/parts.html", context, request)
