"""The owner answers a request: promises the piece to whoever asked, says no, or erases what they wrote."""

from django.db import transaction

from catalogue.people.models import Person

from .models import PieceRequest, Promise
from .request_rows import blank, end_request, reopen
from .services import NotGiven, promise


class NamesakeInBook(ValueError):
    """Somebody of that name is in the address book: only the owner can say whether it is the same."""

    def __init__(self, asked: PieceRequest, namesakes: list[Person]) -> None:
        super().__init__("Is it the same person?")
        self.asked, self.namesakes = asked, namesakes


@transaction.atomic
def decline(request: PieceRequest) -> PieceRequest:
    """Answer no. Raises NotGiven where it was answered or taken back meanwhile."""
    request = _open_one(request)
    end_request(request, PieceRequest.Ended.DECLINED)
    return request


@transaction.atomic
def undo_decline(request: PieceRequest) -> PieceRequest:
    """It waits again, at its place. Raises NotGiven."""
    again = PieceRequest.objects.filter(browser=request.browser, find=request.find_id, ended="").exists()
    if request.ended != PieceRequest.Ended.DECLINED or request.erased_at or again:
        raise NotGiven("Nothing was undone: that request was answered otherwise since.")
    reopen(request)
    return request


def namesakes_of(name: str) -> list[Person]:
    """Everybody in the book who is called so, case and spaces aside. One query."""
    name = " ".join(name.split())
    return list(Person.objects.filter(name__iexact=name, erased_at=None).order_by("pk"))


@transaction.atomic
def promise_to_asker(request: PieceRequest, *, who: str = "", reason: str = "") -> Promise:
    """Promise the piece to whoever asked; the request ends with it, the others stay.

    `who`: the key of somebody in the address book, or "new"; without it, somebody is added to the book, or
    taken from it where name and way to reach are the same. Two people are never made one by their name alone.
    Raises NamesakeInBook, NotGiven, HazardAsksReason.
    """
    request = _open_one(request)
    namesakes = namesakes_of(request.name)
    person = next((each for each in namesakes if str(each.pk) == who), None)
    if person is None and who != "new":
        person = next((each for each in namesakes if _same(each.reach, request.reach)), None)
        if person is None and namesakes:
            raise NamesakeInBook(request, namesakes)
    is_new = person is None
    if person is None:
        person = Person.objects.create(name=" ".join(request.name.split()), reach=request.reach)
    made = promise(request.find, person, reason=reason)
    request.promise, request.person, request.person_is_new = made, person, is_new
    end_request(request, PieceRequest.Ended.PROMISED)
    return made


@transaction.atomic
def erase_request(request: PieceRequest) -> None:
    """Erase what a visitor wrote; one that waits is declined by it."""
    if not request.ended:
        end_request(request, PieceRequest.Ended.DECLINED)
    blank(request)


def _same(one: str, other: str) -> bool:
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold() != ""


def _open_one(request: PieceRequest) -> PieceRequest:
    found = (
        PieceRequest.objects.select_for_update(of=("self",))
        .select_related("find")
        .filter(pk=request.pk, ended="")
        .first()
    )
    if found is None:
        raise NotGiven("That request was answered or taken back meanwhile.")
    return found
