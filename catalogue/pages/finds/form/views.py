"""Record a find, edit one, and the answers the page asks for meanwhile."""

from django.contrib import messages
from django.db import models
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.services import note_look
from catalogue.common.forms.idempotency_key import keep_once
from catalogue.common.forms.optimistic_lock import ChangedMeanwhile
from catalogue.pages.parts import suggest
from catalogue.pages.parts.evidence_query import read_query
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_saved
from catalogue.pages.still_looking_for.fills import said_of, say_what_they_fill
from catalogue.photos.services.uploads import Picked, gather
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import record_find, revise_find
from catalogue.specimens.tables import current_reference

from .features_form import FeaturesForm
from .page import QUESTIONS, answer_to, show
from .sheet import RecordSheet, more_rows
from .start import Start, as_opened, start_from, start_from_query, start_like, start_new

# More are no number of a row.
MOST_DIGITS = 18

BEGUN_AS_DONE = "It begins as done, as it has no dive: if it is still wet, say so on its page."
# Buttons that only show the form again.
DATE_IT, MORE, ANOTHER = "date", "more-", "another"


@GET_OR_POST
def new_find(request: HttpRequest) -> HttpResponse:
    """A new find, by itself or like the last one."""
    like = _like_or_404(request.GET["like"]) if request.GET.get("like") else None
    picked = gather(request)
    if request.method == "POST" and not only_shows(request):
        return keep_once(request, lambda: _record(request, like, picked))
    start = start_like(like) if like else begun(request)
    shown = RecordSheet(start, more_rows(request.POST)) if request.method == "POST" else RecordSheet(start)
    return show(request, shown, picked, like=like)


def _record(request: HttpRequest, like: Specimen | None, picked: Picked) -> HttpResponse:
    # Asked for within the transaction: a dive may have gone into the bin while this waited for its turn.
    sheet = RecordSheet(start_like(like) if like else begun(request), request.POST)
    if not sheet.is_valid() or picked.failed:
        return show(request, sheet, picked, like=like, tried=True)
    find = record_find(sheet.entry(), picked.file_under)
    if noticed := sheet.hazards_form.hazards():
        note_look(find, noticed, in_passing=True)
    told = f" {BEGUN_AS_DONE}" if sheet.begun_as_done else ""
    messages.success(request, f"{find.number} is saved: {find.what}.{told}")
    answer = after_saving(request, find)
    say_what_they_fill(request, [find.pk])
    return answer


@GET_OR_POST
def edit_find(request: HttpRequest, number: str) -> HttpResponse:
    """The same form on a find on record."""
    picked = gather(request)
    if request.method != "POST":
        return show(request, RecordSheet(start_from(find_or_404(number))), picked)
    if only_shows(request):
        # Also of a find put in the bin meanwhile: what is typed goes on being shown.
        start = start_from(get_object_or_404(rows_of_form(Specimen.everything), number=number))
        as_opened(start, request.POST.get("opened", ""))
        return show(request, RecordSheet(start, more_rows(request.POST)), picked)
    return keep_once(request, lambda: _revise(request, number, picked))


def _revise(request: HttpRequest, number: str, picked: Picked) -> HttpResponse:
    # Read anew: another may have saved while this one waited for its turn.
    find = record_to_edit(request, rows_of_form(Specimen.everything), number=number)
    before = said_of(find)
    start = start_from(find)
    as_opened(start, request.POST.get("opened", ""))
    sheet = RecordSheet(start, request.POST)
    if not sheet.is_valid() or picked.failed:
        return show(request, sheet, picked, tried=True)
    try:
        revise_find(find.pk, sheet.entry(), picked.file_under, seen=sheet.version)
    except ChangedMeanwhile as changed:
        return show(request, sheet, picked, tried=True, meanwhile=changed.meanwhile)
    say_saved(request, find, f"The changes to {find.number} are saved.")
    answer = after_saving(request, find)
    say_what_they_fill(request, [find.pk], before)
    return answer


@require_POST
def date_so_far(request: HttpRequest) -> HttpResponse:
    """What the half-filled form says of the years, as a part of the page."""
    number = request.GET.get("find", "")
    find = get_object_or_404(rows_of_form(Specimen.everything), number=number) if number else None
    start = start_from(find) if find else start_new()
    return render(
        request,
        "pages/finds/form/answer.html",
        {"answer": answer_to(RecordSheet(start, request.POST)), "live": True},
    )


@require_safe
def questions(request: HttpRequest) -> HttpResponse:
    """The questions about its making, fetched when that part of the form is opened."""
    said = {name: request.GET.get(name, "") for name in ("contents", "region")}
    asked = list(FeaturesForm(contents=said["contents"], region=said["region"]).questions())
    return render(request, "pages/finds/form/questions.html", {"questions": asked})


@require_safe
def suggestions(request: HttpRequest, kind: str) -> HttpResponse:
    """Names for a text box, as options."""
    if kind not in suggest.SUGGESTED_KINDS:
        raise Http404("There are no suggestions of that kind.")
    if kind == "town":
        # A town's own form calls it by its name.
        typed = request.GET.get(kind) or request.GET.get("name", "")
        towns = suggest.suggest_towns(typed, where_it_lay(request))
        return render(request, "pages/parts/town_options.html", {"towns": towns})
    names = suggest.suggest(kind, request.GET.get(kind, ""))
    return render(request, "pages/parts/options.html", {"names": names})


def where_it_lay(request: HttpRequest) -> tuple[float, float] | None:
    """The position of the dive or site that the form names just now, for its owner; None without one."""
    dive, site = request.GET.get("pick", ""), request.GET.get("loose_site", "")
    sites = Site.objects.exclude(latitude=None).exclude(longitude=None)
    if dive.isdecimal() and len(dive) < MOST_DIGITS:
        sites = sites.filter(dives=int(dive))
    elif site.isdecimal() and len(site) < MOST_DIGITS:
        sites = sites.filter(pk=int(site))
    else:
        return None
    found = sites.values_list("latitude", "longitude").first()
    if found is None or found[0] is None or found[1] is None:
        return None
    return float(found[0]), float(found[1])


def find_or_404(number: str) -> Specimen:
    """The find of that number with all that the form shows of it: six queries, seven with an opinion."""
    return get_object_or_404(rows_of_form(Specimen.objects), number=number)


def _like_or_404(number: str) -> Specimen:
    """The find that the next one is like: one query."""
    shared = Specimen.objects.select_related("dive__site", "site")
    return get_object_or_404(shared, number=number)


def rows_of_form(finds: "models.Manager[Specimen]") -> "models.QuerySet[Specimen]":
    """Finds with all that the form shows of them."""
    rows = ("readings", "inscriptions", "known_years", "features", "opinions__maker")
    found = finds.select_related("dive__site", "site", "town", "bottler", "product", "place")
    return found.prefetch_related(*rows)


def begun(request: HttpRequest) -> Start:
    """A new form, with what the address says of the bottle (the same keys as for dating one in hand)."""
    dive = dive_asked_for(request)
    if not request.GET:
        return start_new(dive)
    return start_from_query(read_query(request.GET, current_reference(), timezone.localdate().year), dive)


def dive_asked_for(request: HttpRequest) -> Dive | None:
    """The dive named in the address as year.ordinal, where there is such a one."""
    year, _, ordinal = request.GET.get("dive", "").partition(".")
    if not (year.isdecimal() and ordinal.isdecimal() and len(year) == 4 and len(ordinal) <= 6):
        return None
    return Dive.objects.select_related("site").filter(year=int(year), ordinal=int(ordinal)).first()


def only_shows(request: HttpRequest) -> bool:
    """Whether a button other than save was pressed."""
    act = request.POST.get("act", "")
    return act in (DATE_IT, QUESTIONS) or act.startswith(MORE)


def after_saving(request: HttpRequest, find: Specimen) -> HttpResponse:
    """On to the find, or to the next of several alike."""
    if request.POST.get("act") == ANOTHER:
        return redirect(f"{reverse('finds:find_new')}?like={find.number}")
    return redirect("finds:find", find.number)
