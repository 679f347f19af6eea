"""A visitor asks for a piece, without an account; requests are taken in the order of asking, and bounded."""

from datetime import timedelta

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from catalogue.access.services import digest
from catalogue.access.tries import TooManyTries, count_a_try, minutes_to_wait
from catalogue.care.acts import Act
from catalogue.care.services import Hazard, HazardAsksReason, permit
from catalogue.common.models import HouseSettings
from catalogue.specimens.models import Specimen

from .models import PieceRequest, RequestTry
from .queries import open_requests
from .request_rows import blank, end_request

# Our own figures: a person asks for a few pieces, a script for a thousand. Whatever comes, from one address
# or many, the owner reads no more than these.
MOST_FROM_ONE_HOME = 5
MOST_OPEN_OF_A_PIECE = 20
MOST_OPEN_IN_ALL = 200
MOST_A_DAY_OF_A_PIECE = 20
MOST_A_DAY_IN_ALL = 100

# These two also stand where nobody tried to send anything.
NOT_TO_TAKE = "It is not free to take just now."
SWITCHED_OFF = "Requests are not taken here."
ASKED_BEFORE = "You asked for it already; your place stays."
PIECE_IS_FULL = "So many have asked for this piece that no more requests are taken. Nothing was sent."
HOUSE_IS_FULL = "So many requests wait for an answer that no more are taken just now. Nothing was sent."
DAY_IS_FULL = "So many have asked today that no more requests are taken. Nothing was sent: ask tomorrow."


class NotAsked(ValueError):
    """It can't be asked for; the message says why to the visitor."""


def why_not_asked(find: Specimen) -> str:
    """Why nobody can ask for a piece now, for a visitor's eyes; empty where one can. Seven queries."""
    return _why_not_offered(find) or _why_held_back(find)


def _why_not_offered(find: Specimen) -> str:
    if not HouseSettings.current().visitors_may_ask:
        return SWITCHED_OFF
    if not Specimen.objects.for_visitors().filter(pk=find.pk, standing=Specimen.Standing.FREE).exists():
        return NOT_TO_TAKE
    return ""


def _why_held_back(find: Specimen) -> str:
    try:
        permit([find], Act.PROMISE)
    except HazardAsksReason:
        # The owner may still promise it, with a reason.
        return ""
    except Hazard:
        return NOT_TO_TAKE
    return ""


@transaction.atomic
def ask_for(find: Specimen, *, name: str, reach: str, message: str, token: str, address: str) -> PieceRequest:
    """Take a request in, after all who asked before. Raises NotAsked, with nothing written.

    `token`: what the visitor's browser holds; `address`: where it asks from, in the network.
    """
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    if why := why_refused(find, token=token, address=address):
        raise NotAsked(why)
    try:
        count_a_try(RequestTry, address, MOST_FROM_ONE_HOME, "requests")
    except TooManyTries as many:
        raise NotAsked(_wait_words(many.minutes)) from many
    return PieceRequest.objects.create(
        find=find, name=name, reach=reach, message=message, browser=digest(token)
    )


def why_refused(find: Specimen, *, token: str, address: str) -> str:
    """Why a request from there would not be taken, without a write; empty where it would. One to 13 queries.

    A page asks it before it has anything written: a script that is refused then holds up nobody's writing.
    """
    if PieceRequest.objects.filter(find=find, browser=digest(token), ended="").exists():
        return ASKED_BEFORE
    if minutes := minutes_to_wait(RequestTry, address, MOST_FROM_ONE_HOME):
        return _wait_words(minutes)
    # A flood is refused before the hazards of the piece are asked, which take most of the time.
    return _why_not_offered(find) or _why_full(find) or _why_held_back(find)


def _wait_words(minutes: int) -> str:
    return (
        f"From where you are, {MOST_FROM_ONE_HOME} requests were sent within a quarter of an hour. "
        f"Nothing was sent: ask again in {minutes} min."
    )


def _why_full(find: Specimen) -> str:
    """Why no more are taken, whoever asks. At most four queries."""
    if PieceRequest.objects.filter(find=find, ended="").count() >= MOST_OPEN_OF_A_PIECE:
        return PIECE_IS_FULL
    if open_requests().count() >= MOST_OPEN_IN_ALL:
        return HOUSE_IS_FULL
    today = PieceRequest.everything.filter(created__gt=timezone.now() - timedelta(days=1))
    if today.filter(find=find).count() >= MOST_A_DAY_OF_A_PIECE or today.count() >= MOST_A_DAY_IN_ALL:
        return DAY_IS_FULL
    return ""


def requests_of(token: str) -> QuerySet[PieceRequest]:
    """What a browser asked for and did not take back, the latest first; nothing without its token."""
    if not token:
        return PieceRequest.objects.none()
    mine = PieceRequest.objects.filter(browser=digest(token), find__binned_at=None)
    return mine.exclude(ended=PieceRequest.Ended.TAKEN_BACK).select_related("find", "promise").order_by("-pk")


def asked_before(request: PieceRequest) -> int:
    """How many wait for the same piece and asked before. One query."""
    return PieceRequest.objects.filter(find=request.find_id, ended="", pk__lt=request.pk).count()


@transaction.atomic
def take_request_back(find: Specimen, token: str) -> bool:
    """The visitor no longer wants it: its words go at once. Whether there was an open one."""
    mine = requests_of(token).filter(find=find, ended="").first()
    if mine is None:
        return False
    end_request(mine, PieceRequest.Ended.TAKEN_BACK)
    blank(mine)
    return True
