"""Identify next: the page of the work queue."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from catalogue.care.acts import is_left_alone
from catalogue.care.stored_flags import read
from catalogue.common.forms.idempotency_key import keep_once
from catalogue.pages.parts.cards import outline_of
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.suggest import known_names
from catalogue.photos.models import Photo, ShelfSession
from catalogue.photos.queries import completeness_of, looks_next
from catalogue.photos.services.identify_next import (
    QUEUE_JOINED,
    QUEUE_PREFETCHED,
    QueuePosition,
    keep_seen,
    mark_passed,
    queue_position,
    restart,
    undo_last_pass,
)
from catalogue.photos.services.uploads import Picked, gather
from catalogue.specimens.models import Specimen

from .forms import NextForm


@GET_OR_POST
def next_find(request: HttpRequest) -> HttpResponse:
    """The first unfinished find not passed yet; post keeps what was seen of one, or skips it."""
    shelf = shelf_asked_for(request)
    if request.method != "POST":
        position = queue_position(shelf)
        if position.find is None:
            return render(
                request, "pages/finds/unfinished/through.html", {"position": position, "shelf": shelf}
            )
        return _page(request, position, shelf, NextForm(find=position.find), Picked())
    act = request.POST.get("act", "save")
    if act == "again":
        restart(shelf)
    elif act == "back":
        if undo_last_pass(shelf) is None:
            messages.info(request, "This is where the walk began.")
    elif act == "skip":
        mark_passed(find_sent(request), skipped=True)
    elif act == "save":
        picked = gather(request, role=Photo.Role.BASE)
        return keep_once(request, lambda: _keep_seen(request, shelf, picked))
    return redirect(request.get_full_path())


def _keep_seen(request: HttpRequest, shelf: ShelfSession | None, picked: Picked) -> HttpResponse:
    find = find_sent(request)
    form = NextForm(request.POST, find=find)
    if not form.is_valid() or picked.failed:
        position = queue_position(shelf)
        position = QueuePosition(find, position.ahead, position.passed)
        return _page(request, position, shelf, form, picked, status=422)
    kept = keep_seen(find, form.changes(), form.reading(), picked)
    messages.success(request, f"{kept.number} is saved: {kept.what}, {kept.made_words}.")
    return redirect(request.get_full_path())


def _page(
    request: HttpRequest,
    position: QueuePosition,
    shelf: ShelfSession | None,
    form: NextForm,
    picked: Picked,
    status: int = 200,
) -> HttpResponse:
    find = position.find
    assert find is not None  # the page is of a find; there is another one for the end of the queue
    photos = sorted(Photo.objects.of(find), key=cover_rank_of)
    roles = {photo.role for photo in photos}
    left_alone = is_left_alone(read(find.care_flags))
    context: dict[str, Any] = {
        "position": position,
        "shelf": shelf,
        "find": find,
        "form": form,
        "picked": picked,
        "photos": photos[:4],
        "outline": outline_of(find) if not photos else "",
        "completeness": completeness_of(find, roles, looks_next(find), at_hand=not left_alone),
        "known_names": known_names(),
        "first_role": Photo.Role.BASE,
        "back_url": reverse("finds:shelf_session", args=[shelf.pk]) if shelf else reverse("finds:finds"),
    }
    return render(request, "pages/finds/unfinished/next.html", context, status=status)


def cover_rank_of(photo: Photo) -> tuple[int, ...]:
    """What shows the piece best first; pictures worked out from others, and others' pictures, last."""
    return (0, *photo.cover_rank()) if photo.may_be_cover else (1,)


def shelf_asked_for(request: HttpRequest) -> ShelfSession | None:
    """The shelf named in the address. Raises Http404 where there is none of that key."""
    asked = request.GET.get("shelf", "")
    if not asked:
        return None
    known = asked.isascii() and asked.isdigit() and len(asked) < 16
    shelf = ShelfSession.objects.select_related("place").filter(pk=asked).first() if known else None
    if shelf is None:
        raise Http404("There is no such shelf here, or it was put away.")
    return shelf


def find_sent(request: HttpRequest) -> Specimen:
    """The find that the form speaks of. Raises Http404."""
    finds = Specimen.objects.select_related(*QUEUE_JOINED).prefetch_related(*QUEUE_PREFETCHED)
    find = finds.filter(number=request.POST.get("number", "")[:24]).first()
    if find is None:
        raise Http404("There is no find of that number, or it is in the bin.")
    return find
