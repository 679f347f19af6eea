"""The find's page: the owner's with everything on it, and what a visitor may see of it."""

from collections.abc import Sequence
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.care.forms import ConditionSheet, TreatmentForm
from catalogue.care.piece_facts import CAUTIONS, know
from catalogue.care.safety import DEFER
from catalogue.common.models import HouseSettings
from catalogue.common.qr_code import on_screen
from catalogue.giving.models import HandOver, PieceRequest, Promise
from catalogue.giving.rules import BY_ONE_TAP
from catalogue.giving.told import is_for_visitors, sites_told_by, told_on_purpose
from catalogue.labels.code_address import code_text, usual_code
from catalogue.pages.finds.story.views import offer_for
from catalogue.pages.parts.cards import outline_of
from catalogue.pages.parts.dated import dated_now
from catalogue.pages.parts.find_lookup import SHOWN_WITH, visitors_find
from catalogue.pages.parts.history_line import history_of
from catalogue.photos.queries import completeness_of, gallery_of
from catalogue.specimens.models import Maker, Move, Opinion, Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE

from .first_screen import doubt_of, hand_acts
from .for_visitors import show_to_visitor
from .forms import MatchForm, MoveForm, OpinionForm, PartForm
from .looks import BesideForm, aside_in, asked_looks
from .marks import ReadMark, read_marks
from .provenance import provenance_of

MOST_OWN_MAKERS = 60


def owners_find(number: str) -> Specimen:
    """Any find, the bin included, with everything its page shows. Twenty-one queries."""
    found = (
        Specimen.everything.filter(number=number)
        .select_related(*SHOWN_WITH)
        .prefetch_related(
            "readings",
            "features",
            "inscriptions",
            "known_years",
            Prefetch("opinions", Opinion.objects.select_related("maker", "by")),
            Prefetch("moves", Move.objects.select_related("from_place", "to_place")),
            "condition_reports__damages",
            "condition_reports__by",
            "treatments__by",
            "checks",
            "hazard_reasons",
            Prefetch("promises", Promise.objects.select_related("person")),
            Prefetch("requests", PieceRequest.objects.exclude(ended=PieceRequest.Ended.TAKEN_BACK)),
            "departures",
            Prefetch("handovers", HandOver.objects.select_related("person")),
            "dive__site__permissions",
            "site__permissions",
            "measured_sizes",
        )
        .first()
    )
    if found is None:
        raise Http404("There is no find of that number.")
    return found


def owners_page(
    find: Specimen,
    *,
    looking: bool = False,
    aside: Sequence[str] = (),
    beside_form: BesideForm | None = None,
    **forms: Any,
) -> dict[str, Any]:
    """The context of the owner's page; `forms` are bound ones to show again with their errors.

    `looking`: whether it asks for the looks worth taking, but for those put `aside`.
    """
    dated = dated_now(find, look_next=looking, aside=aside)
    marks = read_marks(find, dated.marks)
    gallery = gallery_of(find)
    gallery.cleaned = bool(find.treatments.all())
    condition = ConditionSheet()
    known, seen = know(find), is_for_visitors(find)
    here, roles = find.standing not in STANDINGS_GONE, {photo.role for photo in gallery.photos}
    history = history_of(find)
    return {
        "find": find,
        "known": known,
        "doubt": doubt_of(find, dated),
        "hand_acts": hand_acts(find, known, dated, gallery),
        "looked": next((entry for entry in history if entry.kind == "condition"), None),
        "give_or_take": give_or_take(find),
        "dated": dated,
        "looks": asked_looks(find, dated.looks, aside, beside_form),
        "marks": marks,
        "provenance": provenance_of(find),
        "completeness": completeness_of(find, roles, at_hand=here and not known.leave_alone),
        "at_hand": here,
        "offer": offer_for(find, age="" if dated.conflicts else dated.age),
        "gallery": gallery,
        "outline": outline_of(find) if not gallery.cover else "",
        "history": history,
        "promise": next((p for p in find.promises.all() if not p.ended), None),
        "handover": next((h for h in find.handovers.all() if not h.came_back_on), None),
        **requests_for(find),
        **matching_of(find),
        "stages": Specimen.Stage,
        "plain_standings": BY_ONE_TAP,
        "seen_by_visitors": seen,
        "sites_told": sites_told_by(find, gallery.photos) if seen else [],
        "told_on_purpose": told_on_purpose(find) if seen else [],
        "cautions": CAUTIONS,
        "defer": DEFER,
        "move_form": MoveForm(initial={"place": find.place_id}),
        "opinion_form": OpinionForm(find=find),
        "condition_form": condition.form,
        "damages": condition.damages,
        "treatment_form": TreatmentForm(find=find),
        "aside": aside,
        # Nobody is asked to take up and turn what is to be left alone, or is not here.
        "looking": looking or (dated.undated and here and not known.leave_alone),
        **opinions_on(find, marks),
        **forms,
    }


def requests_for(find: Specimen) -> dict[str, list[PieceRequest]]:
    """Who asks for it, in the order of asking, and who was answered or left behind. No query."""
    rows = list(find.requests.all())
    waits = find.standing not in STANDINGS_GONE
    return {
        "requests": [row for row in rows if not row.ended and waits],
        "answered": [row for row in rows if row.ended or not waits],
    }


def give_or_take(find: Specimen) -> dict[str, float]:
    """By column the error in mm of each size that was measured in a picture and not changed since."""
    return {
        size.column: size.error_mm
        for size in find.measured_sizes.all()
        if getattr(find, size.column, None) == size.mm
    }


def matching_of(find: Specimen) -> dict[str, Any]:
    """Twins and parts, and the forms that add to them."""
    return {
        "twins": twins_of(find),
        "parts": parts_of(find),
        "match_form": MatchForm(find=find),
        "part_form": PartForm(),
    }


def twins_of(find: Specimen) -> list[Specimen]:
    """The pieces that match it. No query where it has none."""
    if not find.twin_group_id:
        return []
    twins = Specimen.objects.filter(twin_group=find.twin_group_id).exclude(pk=find.pk)
    return list(twins.only("number", "what", "made_words", "care_flags").in_order())


def parts_of(find: Specimen) -> list[Specimen]:
    """The other records under the same number: its stopper, or the bottle that a stopper belongs to."""
    same = Specimen.objects.filter(
        number_year=find.number_year, number_ordinal=find.number_ordinal, number_piece=find.number_piece
    ).exclude(pk=find.pk)
    return list(same.only("number", "what", "number_part", "care_flags").order_by("number_part"))


def opinions_on(find: Specimen, marks: list[ReadMark]) -> dict[str, Any]:
    """What is thought of it now and before, and what to choose from when more is."""
    held = list(find.opinions.all())
    return {
        "opinions": [opinion for opinion in held if opinion.current],
        "earlier_opinions": [opinion for opinion in held if not opinion.current],
        "values": opinion_values(marks),
        "today": timezone.localdate().isoformat(),
        "day_now": timezone.localdate(),
    }


def opinion_values(marks: list[ReadMark]) -> list[str]:
    """Makers to choose from when an opinion is typed: the likely ones, then one's own."""
    likely = [candidate.name for mark in marks for candidate in mark.candidates if candidate.maker]
    own = Maker.objects.own().values_list("name", flat=True)[:MOST_OWN_MAKERS]
    return list(dict.fromkeys([*likely, *own]))


@login_not_required
@require_safe
def find_page(request: HttpRequest, number: str) -> HttpResponse:
    """One find. A visitor sees a reduced page of what is free or shared; anything else asks for the key."""
    if request.user.is_authenticated:
        looking, aside = "look" in request.GET, aside_in(request.GET)
        return show(request, owners_find(number), looking=looking, aside=aside)
    find = visitors_find(number)
    if find is None:
        # The same answer for a private piece and for none at all, so that numbers can't be tried out.
        return redirect_to_login(request.path)
    return show_to_visitor(request, find)


@login_not_required
@require_safe
def short(request: HttpRequest, number: str) -> HttpResponse:
    """The short address that a label's code holds."""
    return redirect("finds:find", number)


def show(request: HttpRequest, find: Specimen, *, status: int = 200, **page: Any) -> HttpResponse:
    """The owner's page of a find, what it shows as `owners_page`; one in the bin is only named."""
    if find.binned_at:
        return render(request, "pages/finds/detail/in_bin.html", {"find": find})
    context = owners_page(find, **page) | code_of(request, find)
    return render(request, "pages/finds/detail/page.html", context, status=status)


def code_of(request: HttpRequest, find: Specimen) -> dict[str, str]:
    """What a label's code would hold, and that code: what a printed page leads back by. One query."""
    text = code_text(usual_code(HouseSettings.current(), request), find.number)
    return {"short_address": text, "code": on_screen(text)}
