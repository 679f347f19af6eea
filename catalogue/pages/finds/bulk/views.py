"""Shelves taken in by a picture: the list with its form, one shelf, and what is done with it."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import ShelfSession
from catalogue.photos.services.uploads import Picked, gather

from .begin_form import BeginForm
from .box_form import PREFIX, BoxSet
from .boxes import doubles
from .cutting import CannotCut
from .page import shelf_page
from .queries import begun, put_away, shelves
from .services import begin, keep_boxes, number_bottles, unnumbered

NO_BOX = "No bottle is marked yet: tap each one in the picture first."
BACK_AGAIN = "This picture was taken in before: here it goes on."


@require_http_methods(["GET", "HEAD", "POST"])
def shelf_sessions(request: HttpRequest) -> HttpResponse:
    """Every shelf begun, and the form that begins one."""
    form = BeginForm(request.POST or None, initial={"place": request.GET.get("place")})
    picked = gather(request) if request.method == "POST" else Picked()
    if request.method == "POST" and form.is_valid() and picked.held and not picked.failed:
        return _begin(request, form, picked)
    sent = request.method == "POST"
    context = {
        "form": form,
        "picked": picked,
        "no_picture": sent and not picked.held and not picked.failed,
        "shelves": shelves(begun()),
        "put_away": shelves(put_away()),
    }
    return render(request, "pages/finds/bulk/shelves.html", context, status=422 if sent else 200)


def _begin(request: HttpRequest, form: BeginForm, picked: Picked) -> HttpResponse:
    chosen = form.cleaned_data
    place = form.chosen_place()
    sessions = [
        begin(
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


@require_http_methods(["GET", "HEAD", "POST"])
def shelf_session(request: HttpRequest, pk: int) -> HttpResponse:
    """One shelf: its picture with a box on each bottle. Post keeps the boxes; `act` may ask for more."""
    session = get_session(pk)
    if request.method != "POST":
        return render(request, "pages/finds/bulk/shelf.html", shelf_page(session))
    act = request.POST.get("act", "keep")
    rows = BoxSet(request.POST, prefix=PREFIX)
    silent = request.headers.get("X-Keep") == "yes"
    if not rows.is_valid():
        if silent:
            return HttpResponse(status=422)
        return render(request, "pages/finds/bulk/shelf.html", shelf_page(session, rows), status=422)
    keep_boxes(session, rows.rows(session.photo.width, session.photo.height))
    if silent:
        return HttpResponse(status=204)
    if act == "number":
        # Read anew: the boxes fetched before are not those just kept.
        return _number(request, get_session(pk))
    if act == "keep":
        messages.success(request, "Kept. You can go on whenever you like.")
    return redirect("finds:shelf_session", session.pk)


def _number(request: HttpRequest, session: ShelfSession) -> HttpResponse:
    boxes = unnumbered(session)
    pairs = doubles([box.corners for box in boxes])
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
    session = put_away().filter(pk=pk).first()
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
