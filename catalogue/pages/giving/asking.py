"""A visitor asks for a piece, reads how it stands, and takes the request back; all without an account.

The browser holds a random token in a cookie, the catalogue its digest. No page shows a visitor who else
asked, nor anybody's words again.
"""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from catalogue.common.forms.idempotency_key import address_kept, keep_once, key_of
from catalogue.common.models import HouseSettings
from catalogue.giving.asking import (
    NotAsked,
    ask_for,
    asked_before,
    requests_of,
    take_request_back,
    why_not_asked,
    why_refused,
)
from catalogue.giving.forms import RequestForm
from catalogue.giving.models import PieceRequest, Promise
from catalogue.giving.told import hold_words_back, is_for_visitors
from catalogue.pages.parts.find_lookup import visitors_find
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE

ASKED_COOKIE = "siltmark_asked"
# As long as a form is known again; a request that nobody answered for a year is none any more.
COOKIE_SECONDS = 400 * 24 * 3600
LONGEST_TOKEN = 64


@dataclass(frozen=True, slots=True)
class OwnRequest:
    """What this browser asked for, as its visitor may read it.

    The `name` of the piece is empty once it is private.
    """

    asked: PieceRequest
    number: str
    name: str
    words: str

    @property
    def is_open(self) -> bool:
        """Whether it can be taken back."""
        return not self.asked.ended


def token_of(request: HttpRequest) -> str:
    """What the browser holds; empty where it never asked."""
    return request.COOKIES.get(ASKED_COOKIE, "")[:LONGEST_TOKEN]


def own_requests(request: HttpRequest, find: Specimen | None = None) -> list[OwnRequest]:
    """What this browser asked for, the latest first; of one piece. No query for one that never asked."""
    token = token_of(request)
    if not token:
        return []
    mine = requests_of(token)
    return as_read(mine.filter(find=find) if find else mine[:24])


def as_read(asked: Iterable[PieceRequest]) -> list[OwnRequest]:
    """Requests in words for whoever asked. A query for each that waits, and two for names of hidden sites."""
    rows = list(asked)
    hold_words_back([row.find for row in rows])
    return [
        OwnRequest(row, row.find.number, row.find.what if is_for_visitors(row.find) else "", _answer(row))
        for row in rows
    ]


def _answer(asked: PieceRequest) -> str:
    """How it stands with a request. Never who else asked, or to whom it is promised."""
    standing, ended = asked.find.standing, asked.ended
    if ended == PieceRequest.Ended.DECLINED:
        return "The owner can't give it to you."
    if ended == PieceRequest.Ended.PROMISED:
        promise = asked.promise
        if promise and promise.ended == Promise.Ended.WITHDRAWN:
            return "It was promised to you, and no longer is."
        return "It was handed over." if promise and promise.ended else "It is promised to you."
    if standing == Specimen.Standing.PROMISED:
        return "It is promised to somebody now. Your request stays, in case that comes to nothing."
    if standing in STANDINGS_GONE:
        return "It is no longer here."
    before = asked_before(asked)
    line = "nobody asked before you" if not before else f"{before} asked before you"
    if standing != Specimen.Standing.FREE:
        return f"It is not given away just now. Your request stays: {line}."
    return f"{line[:1].upper()}{line[1:]}."


@login_not_required
@GET_OR_POST
def ask(request: HttpRequest, number: str) -> HttpResponse:
    """The form to ask for a piece, and how it stands with the request of this browser."""
    if request.user.is_authenticated:
        return redirect(reverse("finds:find", args=[number]) + "#requests")
    token = token_of(request) or secrets.token_urlsafe(24)
    find = visitors_find(number)
    mine = requests_of(token).filter(find__number=number).first()
    known = find or (mine.find if mine else None)
    if known is None:
        # The same answer for a private piece and for none at all, so that numbers can't be tried out.
        return redirect_to_login(request.path)
    form = RequestForm(request.POST if request.method == "POST" else None)
    if request.method == "POST":
        again, back = address_kept(key_of(request)), "back" in request.POST
        # Whoever is refused is told so outside the turn of forms: a script then holds up nobody's writing.
        is_new = not again and not back and form.is_valid()
        if is_new and (why := why_refused(known, token=token, address=request.META["REMOTE_ADDR"])):
            form.add_error(None, why)
        if back and not (again or mine):
            return redirect("giving:giving")
        if again or back or form.is_valid():
            kept = keep_once(request, lambda: _keep(request, known, mine, form, token))
            return _with_token(request, kept, token)
    return _with_token(request, _ask_page(request, known, mine, form), token)


def _keep(
    request: HttpRequest, find: Specimen, mine: PieceRequest | None, form: RequestForm, token: str
) -> HttpResponse:
    """Take the request in, or back."""
    if "back" in request.POST:
        if take_request_back(find, token):
            messages.success(request, "Your request is taken back, and what you wrote is erased.")
        return redirect("giving:giving")
    if form.is_valid():
        try:
            ask_for(find, **form.cleaned_data, token=token, address=request.META["REMOTE_ADDR"])
        except NotAsked as why:
            form.add_error(None, str(why))
        else:
            messages.success(request, "Your request is with the owner.")
            return redirect("giving:ask", find.number)
    return _ask_page(request, find, mine, form)


def _ask_page(
    request: HttpRequest, find: Specimen, mine: PieceRequest | None, form: RequestForm
) -> HttpResponse:
    own = as_read([mine])[0] if mine else None
    hold_words_back([find])
    context = {
        "number": find.number,
        "name": find.what if is_for_visitors(find) else "",
        "is_shown": is_for_visitors(find),
        "own": own,
        "form": form,
        # Whoever was told no, or got it once, may ask again.
        "why_not": "" if own and own.is_open else why_not_asked(find),
        "house": HouseSettings.current(),
    }
    return render(request, "pages/giving/ask.html", context, status=422 if request.method == "POST" else 200)


def _with_token(request: HttpRequest, response: HttpResponse, token: str) -> HttpResponse:
    """The answer is of this browser alone; one that held no token holds it from now on."""
    response.headers["Cache-Control"] = "private, no-store"
    if not token_of(request):
        response.set_cookie(
            ASKED_COOKIE, token, max_age=COOKIE_SECONDS, httponly=True, samesite="Lax", secure=settings.HTTPS
        )
    return response
