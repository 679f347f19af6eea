"""Shelves taken in by a picture: the list of them, and the page of one."""

from dataclasses import dataclass
from statistics import median
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import keep_once
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.photos.boxes import Corners, overlapping_pairs
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import Photo, ShelfBox, ShelfSession
from catalogue.photos.queries import binned_shelf_sessions, open_shelf_sessions, shelf_progress, to_fill_in
from catalogue.photos.services.shelf import CannotCut, begin_shelf, keep_boxes, number_bottles, unnumbered
from catalogue.photos.services.uploads import Picked, gather
from catalogue.specimens.models import Specimen

from .forms import BOX_PREFIX, BeginForm, BoxRows, BoxSet, initial_of

# Wider than this, a picture is shown larger than a phone's screen and scrolled, so that a thumb can hit.
WIDE, VERY_WIDE = 1.2, 2.0
# So are boxes of a smaller share of the picture's width than this.
SMALL, TINY = 0.07, 0.045


@dataclass(frozen=True, slots=True)
class Marked:
    """A box as it is drawn on the picture: with its find's number, or with its place among those waiting."""

    left: int
    top: int
    width: int
    height: int
    number: str
    url: str = ""
    what: str = ""

    @property
    def middle(self) -> float:
        return self.left + self.width / 2

    @property
    def centre(self) -> float:
        return self.top + self.height / 2

    @property
    def narrow(self) -> bool:
        """A number written across would run into the next bottle's, so it is written upwards."""
        return self.height > self.width

    @property
    def foot(self) -> int:
        return self.top + self.height


def shelf_page(session: ShelfSession, rows: BoxRows | None = None) -> dict[str, Any]:
    """The context of a shelf's page. `rows` are the boxes as sent, with what is wrong with them."""
    photo = session.photo
    if rows is None:
        rows = BoxSet(prefix=BOX_PREFIX, initial=initial_of(unnumbered(session), photo.width, photo.height))
    numbers = [box.find.number for box in session.boxes.all() if box.find]
    finds = Specimen.objects.filter(shelf_box__session=session).with_card_parts()
    cards = cards_of(finds.order_by("number_year", "number_ordinal", "number_piece")) if numbers else []
    shown = [card.find.number for card in cards]
    query = urlencode([("find", number) for number in shown])
    return {
        "session": session,
        "photo": photo,
        "rows": rows,
        "waiting": [_marked(box, str(n)) for n, box in enumerate(unnumbered(session), 1)],
        "marked": [_marked(box) for box in session.boxes.all() if box.find_id],
        "cards": cards,
        "to_fill": to_fill_in().filter(shelf_box__session=session).count() if numbers else 0,
        "labels_url": f"{reverse('labels:labels')}?{query}",
        # Letters and handles are drawn in the picture's own pixels, whatever its size.
        "letter_px": round(max(photo.width, photo.height) / 45),
        "shape": _shape(photo, [box.corners for box in session.boxes.all()]),
    }


def _marked(box: ShelfBox, number: str = "") -> Marked:
    left, top, right, bottom = box.corners
    find = box.find
    if find is None:
        return Marked(left, top, right - left, bottom - top, number)
    return Marked(left, top, right - left, bottom - top, find.number, find.get_absolute_url(), find.what)


def _shape(photo: Photo, boxes: list[Corners]) -> str:
    """How wide a phone shows it: a wide picture, or one full of small boxes, wider than its screen."""
    ratio = photo.width / photo.height
    usual = median([right - left for left, _, right, _ in boxes]) / photo.width if boxes else 1.0
    if ratio > VERY_WIDE or usual < TINY:
        return "very-wide"
    return "wide" if ratio > WIDE or usual < SMALL else "upright"


NO_BOX = "No bottle is marked yet: tap each one in the picture first."
BACK_AGAIN = "This picture was taken in before: here it goes on."


@GET_OR_POST
def shelf_sessions(request: HttpRequest) -> HttpResponse:
    """Every shelf begun, and the form that begins one."""
    form = BeginForm(request.POST or None, initial={"place": request.GET.get("place")})
    picked = gather(request) if request.method == "POST" else Picked()
    if request.method == "POST" and form.is_valid() and picked.held and not picked.failed:
        return keep_once(request, lambda: _begin(request, form, picked))
    sent = request.method == "POST"
    context = {
        "form": form,
        "picked": picked,
        "no_picture": sent and not picked.held and not picked.failed,
        "shelves": shelf_progress(open_shelf_sessions()),
        "put_away": shelf_progress(binned_shelf_sessions()),
    }
    return render(request, "pages/finds/bulk/shelves.html", context, status=422 if sent else 200)


def _begin(request: HttpRequest, form: BeginForm, picked: Picked) -> HttpResponse:
    chosen = form.cleaned_data
    place = form.chosen_place()
    sessions = [
        begin_shelf(
            ShelfSession(
                photo=photo,
                place=place,
                site=chosen["site"],
                recovered_edtf=chosen["recovered"],
                kind=chosen["kind"],
                stage=chosen["stage"],
            )
        )
        for photo in picked.file_under(place).taken
    ]
    first = sessions[0]
    if any(box.find_id for box in first.boxes.all()):
        messages.info(request, BACK_AGAIN)
    return redirect("finds:shelf_session", first.pk)


@GET_OR_POST
def shelf_session(request: HttpRequest, pk: int) -> HttpResponse:
    """One shelf: its picture with a box on each bottle. Post keeps the boxes; `act` may ask for more."""
    session = get_session(pk)
    if request.method != "POST":
        return render(request, "pages/finds/bulk/shelf.html", shelf_page(session))
    act = request.POST.get("act", "keep")
    rows = BoxSet(request.POST, prefix=BOX_PREFIX)
    silent = request.headers.get("X-Keep") == "yes"
    if not rows.is_valid():
        if silent:
            return HttpResponse(status=422)
        return render(request, "pages/finds/bulk/shelf.html", shelf_page(session, rows), status=422)
    keep_boxes(session, rows.boxes(session.photo.width, session.photo.height))
    if silent:
        return HttpResponse(status=204)
    if act == "number":
        # Read anew: the boxes fetched before are not those just kept.
        return _number(request, get_session(pk))
    if act == "keep":
        messages.success(request, "Saved. You can go on whenever you like.")
    return redirect("finds:shelf_session", session.pk)


def _number(request: HttpRequest, session: ShelfSession) -> HttpResponse:
    boxes = unnumbered(session)
    pairs = overlapping_pairs([box.corners for box in boxes])
    if pairs and "anyway" not in request.POST:
        return _show_again(request, session, pairs=[(i + 1, j + 1) for i, j in pairs])
    if not boxes and not any(box.find_id for box in session.boxes.all()):
        return _show_again(request, session, trouble=NO_BOX)
    try:
        finds = number_bottles(session)
    except (CannotCut, PictureRefused) as why:
        return _show_again(request, session, trouble=str(why))
    if finds:
        first, last = finds[0].number, finds[-1].number
        said = f"{first} to {last}" if len(finds) > 1 else first
        messages.success(request, f"{len(finds)} bottle{'s' * (len(finds) > 1)} numbered: {said}.")
    else:
        messages.info(request, "Every bottle marked here has its number already.")
    return redirect("finds:shelf_session", session.pk)


def _show_again(request: HttpRequest, session: ShelfSession, **said: object) -> HttpResponse:
    page = shelf_page(get_session(session.pk)) | said
    return render(request, "pages/finds/bulk/shelf.html", page, status=422)


@require_POST
def shelf_bin(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a shelf away; the finds made from it stay."""
    session = get_session(pk)
    session.put_in_bin()
    messages.success(request, "Put away. Finds numbered from it stay; it can be taken out again below.")
    return redirect("finds:shelf_sessions")


@require_POST
def shelf_put_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a shelf out again."""
    session = binned_shelf_sessions().filter(pk=pk).first()
    if session is None:
        raise Http404("There is no such shelf that was put away.")
    session.take_out_of_bin()
    return redirect("finds:shelf_session", session.pk)


def get_session(pk: int) -> ShelfSession:
    """A shelf with its picture and boxes. Raises Http404."""
    session = (
        ShelfSession.objects.select_related("photo", "place", "site")
        .prefetch_related("boxes__find")
        .filter(pk=pk)
        .first()
    )
    if session is None:
        raise Http404("There is no such shelf here, or it was put away.")
    if session.photo.binned_at is not None:
        raise Http404("The picture of this shelf is in the bin: take it out first.")
    return session
