"""The room of giving for the owner and for visitors, and what the owner does with a piece to give."""

from functools import partial

from django import forms
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.piece_facts import knowledge_of
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.models import HouseSettings
from catalogue.giving import services
from catalogue.giving.forms import BackForm, HandOverForm, PromiseForm
from catalogue.giving.models import Promise
from catalogue.giving.queries import asked_for, handed_over, promised, to_show
from catalogue.giving.rules import GONE_UNGIVEN
from catalogue.giving.slip import slip_words
from catalogue.labels.missing_letters import missing_letters_said
from catalogue.labels.slip_plan import SlipText
from catalogue.pages.finds.story.views import draft_of
from catalogue.pages.giving.asking import own_requests
from catalogue.pages.parts.cards import cards_of
from catalogue.pages.parts.hazards import asks_reason, reason_given
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_changed, say_with_undo, saying_why_not, take_back
from catalogue.pages.parts.visible import TellsSite, ask_first, unless_it_tells
from catalogue.people.services import person_named
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import grounds_by_find, grounds_of

PIECES_PER_PAGE = 24
MOST_GONE = 50


@login_not_required
@require_safe
def giving(request: HttpRequest) -> HttpResponse:
    """The owner's lists; for everybody else the pieces they may see, without any position or person."""
    if request.user.is_authenticated and "as-visitor" not in request.GET:
        return _for_owner(request)
    page = Paginator(to_show(), PIECES_PER_PAGE).get_page(request.GET.get("page"))
    house = HouseSettings.current()
    own = own_requests(request)
    context = {
        "page": page,
        "cards": cards_of(page, visitor=True),
        "house": house,
        "may_ask": house.visitors_may_ask,
        "own_requests": own,
    }
    response = render(request, "pages/giving/for_visitors.html", context)
    if own:
        response.headers["Cache-Control"] = "private, no-store"
    return response


def _for_owner(request: HttpRequest) -> HttpResponse:
    free = Specimen.objects.free_to_take().with_card_parts().in_order()
    page = Paginator(free, PIECES_PER_PAGE).get_page(request.GET.get("page"))
    promises = list(promised().prefetch_related("requests"))
    asked = asked_for()
    grounds = grounds_by_find([*page, *(promise.find for promise in promises)])
    context = {
        "page": page,
        "cards": cards_of(page, grounds=grounds),
        "promises": [(promise, grounds[promise.find_id]) for promise in promises],
        "handovers": list(handed_over()[:MOST_GONE]),
        "asked_for": asked,
        "asked_count": sum(len(each.requests) for each in asked),
        "today": timezone.localdate(),
    }
    return render(request, "pages/giving/for_owner.html", context)


@login_not_required
def old_address(request: HttpRequest, rest: str) -> HttpResponse:
    """Where the room was until it was named Giving; a form sent there is sent on as it is."""
    query = f"?{request.META['QUERY_STRING']}" if request.META.get("QUERY_STRING") else ""
    return redirect(f"{reverse('giving:giving')}{rest}{query}", permanent=True, preserve_request=True)


@require_POST
@asks_reason
@kept_once
def standing(request: HttpRequest, number: str) -> HttpResponse:
    """Change the standing by one tap."""
    find = get_find(number)
    before = find.standing
    wanted = request.POST.get("standing", "")
    if wanted in GONE_UNGIVEN and wanted != before:
        # When and why is asked first.
        return redirect(f"{reverse('giving:gone', args=[number])}?standing={wanted}")
    try:
        find = unless_it_tells(
            request, find, partial(services.mark, standing=wanted, reason=reason_given(request))
        )
    except TellsSite as tells:
        return ask_first(request, tells)
    except services.NotGiven as why:
        messages.error(request, str(why))
        return redirect(next_address(request, find.get_absolute_url()))
    say_changed(request, find, "standing", before, "giving:standing_undo")
    return redirect(next_address(request, find.get_absolute_url()))


@require_POST
@kept_once
def undo_standing(request: HttpRequest, number: str, entry: int) -> HttpResponse:
    """Back to the standing before that entry of its history, unless it was changed again since."""
    return take_back(request, get_find(number), "standing", partial(services.undo_mark, entry=entry))


@require_POST
@kept_once
def undo_promise(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """That promise was never given."""
    return take_back(request, get_find(number), "standing", partial(services.undo_promise, key=key))


@require_POST
@kept_once
def undo_hand_over(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """That hand-over never was."""
    return take_back(request, get_find(number), "standing", partial(services.undo_hand_over, key=key))


@require_POST
@kept_once
def undo_withdraw(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """That promise stands as before."""
    return take_back(request, get_find(number), "standing", partial(services.undo_withdraw, key=key))


@require_POST
@kept_once
def undo_came_back(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """It is still away."""
    return take_back(request, get_find(number), "standing", partial(services.undo_came_back, key=key))


@GET_OR_POST
@asks_reason
@kept_once
def promise(request: HttpRequest, number: str) -> HttpResponse:
    """Promise a piece to somebody."""
    find = get_find(number)
    form = PromiseForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            with transaction.atomic():
                person = person_named(data["person"])
                about = {
                    **{name: data[name] for name in ("on", "until", "note")},
                    "reason": reason_given(request),
                }
                made = services.promise(find, person, **about)
        except services.NotGiven as why:
            form.add_error(None, str(why))
        else:
            back = reverse("giving:promise_undo", args=[number, made.pk])
            say_with_undo(request, f"{find.number} is promised to {person}.", back)
            return redirect(find)
    return _form_page(request, "pages/giving/promise.html", find, form)


@GET_OR_POST
@asks_reason
@kept_once
def hand_over(request: HttpRequest, number: str) -> HttpResponse:
    """Hand a piece over; the slip can be printed from the next page."""
    find = get_find(number)
    promised = services.open_promise(find)
    # Its story is drafted only where it has none, and written only by this form's word.
    drafted = "" if find.story else draft_of(find)
    form = HandOverForm(
        request.POST or None,
        has_story=bool(find.story),
        initial={"person": promised.person if promised else "", "story": drafted},
    )
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            with transaction.atomic():
                person = person_named(data["person"])
                if story := data.get("story", "").strip():
                    find.story = story
                    find.save(update_fields=["story"])
                about = {"on": data["on"], "note": data["note"], "reason": reason_given(request)}
                given = services.hand_over(find, person, **about)
        except services.NotGiven as why:
            form.add_error(None, str(why))
        else:
            back = reverse("giving:hand_over_undo", args=[number, given.pk])
            say_with_undo(request, f"{find.number} is handed over to {person}. Its record stays here.", back)
            return redirect(find)
    slip_trouble = missing_letters_said(SlipText.of(slip_words(find)).printed_words)
    return _form_page(request, "pages/giving/hand_over.html", find, form, slip_trouble=slip_trouble)


@require_POST
@asks_reason
@kept_once
def withdraw(request: HttpRequest, number: str) -> HttpResponse:
    """End a promise unkept."""
    find = get_find(number)
    ended: list[Promise] = []

    def end(find: Specimen) -> Specimen:
        ended.append(
            services.withdraw(find, free=request.POST.get("then") == "free", reason=reason_given(request))
        )
        return ended[-1].find

    try:
        unless_it_tells(request, find, end)
    except TellsSite as tells:
        return ask_first(request, tells)
    except services.NotGiven as why:
        messages.error(request, str(why))
    else:
        back = reverse("giving:withdraw_undo", args=[number, ended[-1].pk])
        say_with_undo(request, f"The promise of {find.number} is withdrawn.", back)
    return redirect(next_address(request, find.get_absolute_url()))


@require_POST
@kept_once
def came_back(request: HttpRequest, number: str) -> HttpResponse:
    """A piece that was handed over is here again."""
    find = get_find(number)
    form = BackForm(request.POST)
    with saying_why_not(request, services.NotGiven):
        if not form.is_valid():
            raise services.NotGiven(
                " ".join(str(error) for errors in form.errors.values() for error in errors)
            )
        given = services.came_back(find, on=form.cleaned_data["on"] or timezone.localdate())
        back = reverse("giving:came_back_undo", args=[number, given.pk])
        say_with_undo(request, f"{find.number} is back, and kept. Give it a place.", back)
    return redirect(next_address(request, find.get_absolute_url()))


def get_find(number: str) -> Specimen:
    """The find of that number; 404 where there is none."""
    return get_object_or_404(Specimen.objects.select_related("dive__site", "site", "town"), number=number)


def _form_page(
    request: HttpRequest, template: str, find: Specimen, form: forms.Form, **more: object
) -> HttpResponse:
    site = find.where_found
    hold = site if site and site.holds else None
    context = {
        "find": find,
        "form": form,
        "hold": hold,
        "known": knowledge_of([find])[find.pk],
        "caution": grounds_of(find).caution(str(site or "")),
    }
    return render(request, template, context | more, status=422 if request.method == "POST" else 200)
