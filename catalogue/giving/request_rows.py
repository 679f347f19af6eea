"""Rows of requests: how one ends, waits again, and loses its words for good."""

from django.utils import timezone

from catalogue.people.models import Person

from .models import PieceRequest, Promise


def end_request(request: PieceRequest, how: str) -> None:
    """It was answered or taken back, now."""
    request.ended, request.ended_at = how, timezone.now()
    request.save(update_fields=["ended", "ended_at", "promise", "person", "person_is_new"])


def reopen(request: PieceRequest) -> None:
    """It waits for an answer again, at its place."""
    request.ended, request.ended_at = "", None
    request.save(update_fields=["ended", "ended_at", "promise", "person", "person_is_new"])


def reopen_promised(made: Promise) -> None:
    """That promise was never given: the request waits again, and who was added to the book for it goes."""
    for request in PieceRequest.objects.filter(promise=made, erased_at=None).select_related("person"):
        mine = PieceRequest.objects.filter(find=request.find_id, browser=request.browser, ended="")
        if mine.exists():
            # They asked anew meanwhile, after that promise was withdrawn once.
            continue
        person = request.person if request.person_is_new else None
        request.promise, request.person, request.person_is_new = None, None, False
        reopen(request)
        if person and not _is_used(person, made):
            person.put_in_bin()


def blank(request: PieceRequest) -> None:
    """Its words are gone for good; its place in the order and how it ended stay."""
    request.name, request.reach, request.message = "somebody (erased)", "", ""
    request.erased_at = timezone.now()
    request.save(update_fields=["name", "reach", "message", "erased_at"])


def erase_with_person(sender: type[Person], person: Person, **kwargs: object) -> None:
    """Somebody of the address book is erased: so are the words that they asked with."""
    for request in PieceRequest.everything.filter(person=person, erased_at=None):
        blank(request)


def _is_used(person: Person, made: Promise) -> bool:
    """Whether anything but the promise that is taken back points at somebody."""
    for relation in Person._meta.related_objects:
        rows = relation.related_model._base_manager.filter(**{relation.field.name: person})
        if relation.related_model is Promise:
            rows = rows.exclude(pk=made.pk)
        if rows.exists():
            return True
    return False
