"""Sort a dive's card: the page, its buttons, and pictures arriving one by one."""

from typing import Any, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django_htmx.http import HttpResponseClientRedirect

from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.services.card_filing import KeptAnswers, NotReady, file_card, keep_answers, sentence_of
from catalogue.photos.services.cards import put_on_card, there_already
from catalogue.photos.services.uploads import FILES_FIELD, shown_name, too_heavy
from catalogue.sites.models import Dive

from .acts import CannotDo, act_named, answers_in, keys_in, save, sort
from .page import card_page

UNKNOWN_ACT = "There is no such button: open the page again."


def dive_or_404(year: int, ordinal: int) -> Dive:
    return get_object_or_404(Dive.objects.select_related("site"), year=year, ordinal=ordinal)


@GET_OR_POST
def card(request: HttpRequest, year: int, ordinal: int) -> HttpResponse:
    """The card as it is sorted so far; a post presses one of its buttons, `act`."""
    dive = dive_or_404(year, ordinal)
    if request.method != "POST":
        return render(request, "pages/dives/card/card.html", card_page(dive))
    if request.POST.get("act") == "add":
        return add(request, dive)
    kept = keep_answers(dive, answers_in(request.POST))
    # What the page keeps by itself while somebody types is not shown again, so that nobody loses the place.
    if request.headers.get("X-Keep") == "yes":
        return HttpResponse(status=409 if kept.meanwhile or kept.gone else 204)
    ticked = keys_in(request.POST.getlist("tick"))
    if kept.meanwhile or kept.gone:
        trouble = told_meanwhile(kept, saving=request.POST.get("act") == "save")
        return show_again(request, dive, trouble=trouble, status=422, meanwhile=kept.meanwhile, ticked=ticked)
    if request.POST.get("act") == "file":
        return file_it(request, dive)
    act = act_named(request.POST.get("act", ""))
    try:
        if act is None:
            raise CannotDo(UNKNOWN_ACT)
        told = " ".join(filter(None, [act(dive, request.POST), *kept.said]))
    except CannotDo as why:
        return show_again(request, dive, trouble=str(why), status=422)
    # Keeping what is typed does nothing to the ticked pictures: they stay ticked.
    return show_again(request, dive, told=told, ticked=ticked if act is save else [])


def told_meanwhile(kept: KeptAnswers, *, saving: bool) -> str:
    """What two pages typed into one card, in a sentence or two."""
    said = []
    if kept.meanwhile:
        said.append("Another page changed what you changed here; it stands beside the groups.")
    if kept.gone:
        said.append(f"Another page took away the group where you typed “{'”, “'.join(kept.gone)}”.")
    if not saving:
        said.append("The button did nothing: look, then press it once more.")
    return " ".join([*said, "What else you typed is saved."])


def is_htmx(request: HttpRequest) -> bool:
    """Whether script asked, so that only a part of the page is wanted."""
    return bool(cast(HtmxRequest, request).htmx)


def show_again(request: HttpRequest, dive: Dive, *, status: int = 200, **more: Any) -> HttpResponse:
    """The page once more: in place where script asked, else by a fresh request, so nothing is sent twice."""
    if is_htmx(request):
        # htmx leaves the page alone for other codes.
        return render(request, "pages/dives/card/card.html", card_page(dive, **more))
    if status != 200:
        return render(request, "pages/dives/card/card.html", card_page(dive, **more), status=status)
    if more.get("told"):
        messages.success(request, str(more["told"]))
    return redirect("dives:card", dive.year, dive.ordinal)


def file_it(request: HttpRequest, dive: Dive) -> HttpResponse:
    """All that is sorted goes where it belongs, or nothing does."""
    try:
        filed = file_card(dive)
    except NotReady as not_ready:
        count = len(not_ready.problems)
        trouble = f"Nothing is filed yet: {count} {'group needs' if count == 1 else 'groups need'} a look."
        return show_again(request, dive, tried=True, trouble=trouble, status=422)
    if not filed.pictures:
        return show_again(request, dive, trouble="There is nothing to file here.", status=422)
    messages.success(request, sentence_of(filed))
    if is_htmx(request):
        return HttpResponseClientRedirect(dive.get_absolute_url())
    return redirect(dive)


def add(request: HttpRequest, dive: Dive) -> HttpResponse:
    """Without script: all pictures in one post, then sorted at once."""
    added, doubled = 0, 0
    for name in getattr(request, "too_large", ()):
        messages.error(request, f"{name}: {too_heavy()}")
    for upload in request.FILES.getlist(FILES_FIELD):
        try:
            new = put_on_card(upload, dive) is not None
        except PictureRefused as refused:
            messages.error(request, f"{shown_name(upload)}: {refused.why}")
            continue
        added += new
        doubled += not new
    if added:
        sort(dive, request.POST)
        messages.success(
            request, f"{added} {'picture' if added == 1 else 'pictures'} added and put into groups."
        )
    if doubled:
        messages.info(request, f"{doubled} {'was' if doubled == 1 else 'were'} here already.")
    return redirect("dives:card", dive.year, dive.ordinal)


@GET_OR_POST
def arrive(request: HttpRequest, year: int, ordinal: int) -> JsonResponse:
    """For the script: asked with `?sha256=` whether a picture is here; a post brings one. Answers in JSON."""
    dive = dive_or_404(year, ordinal)
    if request.method != "POST":
        return JsonResponse({"there": there_already(dive, request.GET.get("sha256", ""))})
    upload = request.FILES.get(FILES_FIELD)
    if upload is None:
        large = getattr(request, "too_large", ())
        return JsonResponse(
            {"error": too_heavy() if large else "No picture arrived: choose it again."}, status=400
        )
    try:
        picture = put_on_card(upload, dive)
    except PictureRefused as why:
        return JsonResponse({"error": str(why)}, status=400)
    return JsonResponse({"there": picture is None, "tags": picture.codes if picture else ""}, status=201)
