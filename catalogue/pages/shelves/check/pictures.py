"""Labels photographed: every code in each picture is read, and the pieces ticked."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from catalogue.photos.image_file import PictureRefused
from catalogue.photos.services.label_pictures import codes_noted_in
from catalogue.photos.services.uploads import FILES_FIELD, too_heavy
from catalogue.shelves.tree import place_tree
from catalogue.specimens.services import shelf_checks
from catalogue.specimens.services.shelf_checks import CheckEnded

from .codes import CodesSorted, sort_codes
from .walking import Seen, get_open

READ_AT_ONCE = 8


@require_POST
def pictures(request: HttpRequest, pk: int) -> HttpResponse:
    """Read the labels in each picture and tick their pieces as here; pictures are not kept."""
    check = get_open(pk)
    texts: list[str] = []
    count = 0
    failed = [f"{name}: {too_heavy()}" for name in getattr(request, "too_large", ())]
    uploads = request.FILES.getlist(FILES_FIELD)
    if len(uploads) > READ_AT_ONCE:
        failed.append(
            f"{READ_AT_ONCE} pictures are read at once: send the last {len(uploads) - READ_AT_ONCE} again."
        )
    for upload in uploads[:READ_AT_ONCE]:
        try:
            read = codes_noted_in(upload)
        except PictureRefused as why:
            failed.append(f"{upload.name}: {why}")
            continue
        count += 1
        texts += read
        if not read:
            failed.append(
                f"{upload.name}: no code was found in it. Go nearer, with more light, and hold still."
            )
    for sentence in failed:
        messages.error(request, sentence)
    if not count:
        if not failed:
            messages.error(request, "No picture arrived: choose one or several.")
        return redirect("shelves:check", pk)
    found = sort_codes(dict.fromkeys(texts))
    places = shelf_checks.places_of(check, place_tree())
    try:
        shelf_checks.note_read(check, found.unknown, pictures=count)
        shelf_checks.tick(check, found.finds, Seen.HERE, places=places, by_picture=True)
    except CheckEnded as why:
        messages.error(request, str(why))
        return redirect("shelves:check", pk)
    messages.success(request, _said(found, places, count))
    return redirect("shelves:check", pk)


def _said(found: CodesSorted, places: list[int], count: int) -> str:
    """ "12 labels read in 2 pictures: 10 are ticked as here, 2 are recorded elsewhere." """
    labels, pictures_said = len(found.finds), "1 picture" if count == 1 else f"{count} pictures"
    strays = sum(find.place_id not in places for find in found.finds)
    said = f"{labels} label{'' if labels == 1 else 's'} of pieces read in {pictures_said}"
    if strays:
        said += f": {labels - strays} ticked as here, {strays} not recorded here"
    sentences = [f"{said}."]
    if found.places:
        other = [str(place) for place in found.places if place.pk not in places]
        sentences.append(
            f"A label of another place was read too: {', '.join(other)}."
            if other
            else "The place's own label was read."
        )
    if found.unknown:
        sentences.append(f"{len(found.unknown)} codes name nothing on record; they are listed below.")
    return " ".join(sentences)
