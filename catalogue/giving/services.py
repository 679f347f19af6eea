"""Giving away: free to take, promised, handed over. The standing is kept in step; the record always stays."""

import json
from datetime import date

from django.db import transaction
from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.care.services import Hazard, permit
from catalogue.common.localisation import day_words
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import ChangedSince, move_to, set_standing, undo_change

from .models import HandOver, Promise
from .request_rows import reopen_promised
from .rules import BY_ONE_TAP, why_not_here, why_not_marked, why_not_promised, why_not_until
from .slip import slip_words

Standing = Specimen.Standing
# What is asked of its hazards where a standing is set by one tap, and where one is gone back to.
ACT_OF_MARK = {Standing.FREE.value: Act.FREE, Standing.KEPT.value: Act.BACK}
ACT_OF_STANDING = {Standing.FREE.value: Act.FREE, Standing.PROMISED.value: Act.PROMISE}


class NotGiven(ValueError):
    """It can't be given (or changed) like that; the message says why and what to do."""


@transaction.atomic
def mark(find: Specimen, standing: str, *, reason: str = "") -> Specimen:
    """Change a find's standing by one tap; what an authority has is kept again only with how it came back.

    Raises NotGiven, HazardAsksReason.
    """
    find = locked_find(find)
    _unless(why_not_marked(standing, open_promise(find), open_handover(find)))
    if act := ACT_OF_MARK.get(standing):
        permitted(find, act, reason)
    if standing == Standing.FREE:
        _unless(why_not_here(find))
    return set_standing(find, standing)


@transaction.atomic
def share(find: Specimen, *, shared: bool, reason: str = "") -> Specimen:
    """Let visitors see it whatever its standing, or not. Raises NotGiven, HazardAsksReason."""
    if shared:
        permitted(find, Act.SHARE, reason)
    find.shared = shared
    find.save(update_fields=["shared"])
    return find


@transaction.atomic
def undo_mark(find: Specimen, entry: int) -> Specimen:
    """Take back a standing set by one tap, by its entry in the find's history. Raises NotGiven."""
    before = find.history.filter(history_id__lt=entry).order_by("-history_id").first()
    if before is None or before.standing not in BY_ONE_TAP or find.standing not in BY_ONE_TAP:
        raise NotGiven("That is undone where the piece was promised or handed over.")
    if before.standing == Standing.FREE:
        permitted(locked_find(find), Act.FREE)
    try:
        return undo_change(find, entry, "standing")
    except ChangedSince as why:
        raise NotGiven(str(why)) from why


@transaction.atomic
def promise(
    find: Specimen,
    person: Person,
    *,
    on: date | None = None,
    until: date | None = None,
    note: str = "",
    reason: str = "",
) -> Promise:
    """Promise a find to a person; it is no longer free. Raises NotGiven, HazardAsksReason."""
    find = locked_find(find)
    _unless(why_not_promised(find, open_promise(find)))
    permitted(find, Act.PROMISE, reason)
    on = on or timezone.localdate()
    _unless(why_not_until(on, until))
    made = Promise.objects.create(find=find, person=person, on=on, until=until, note=note)
    set_standing(find, Standing.PROMISED)
    return made


@transaction.atomic
def withdraw(find: Specimen, *, free: bool = False, reason: str = "") -> Promise:
    """End the open promise unkept; the find is kept again, or free again if so said.

    Raises NotGiven, HazardAsksReason.
    """
    find = locked_find(find)
    ended = open_promise(find)
    if not ended:
        raise NotGiven("It is not promised to anybody.")
    if free:
        permitted(find, Act.FREE, reason)
    _end(ended, Promise.Ended.WITHDRAWN)
    set_standing(find, Standing.FREE if free else Standing.KEPT)
    return ended


@transaction.atomic
def hand_over(
    find: Specimen, person: Person, *, on: date | None = None, note: str = "", reason: str = ""
) -> HandOver:
    """A find leaves: promise kept, place empty, the slip's words stored.

    Raises NotGiven, HazardAsksReason.
    """
    find = locked_find(find)
    _unless(why_not_here(find))
    permitted(find, Act.HAND_OVER, reason)
    promised = open_promise(find)
    if promised and promised.person_id != person.pk:
        raise NotGiven(f"It is promised to {promised.person}. Withdraw that promise first.")
    on = on or timezone.localdate()
    given = HandOver(find=find, person=person, on=on, note=note)
    given.slip = json.dumps(slip_words(find), ensure_ascii=False)
    given.save()
    if promised:
        _end(promised, Promise.Ended.KEPT)
    set_standing(find, Standing.HANDED_OVER)
    # No name in the reason: it would outlive the erasing of the person.
    move_to(find, None, "handed over")
    return given


@transaction.atomic
def came_back(find: Specimen, *, on: date | None = None) -> HandOver:
    """A find that was handed over is here again, and kept. Raises NotGiven."""
    find = locked_find(find)
    given = open_handover(find)
    if not given:
        raise NotGiven("It has not been handed over.")
    on = on or timezone.localdate()
    if on < given.on:
        raise NotGiven(f"It can't have come back before it went, on {day_words(given.on)}.")
    given.came_back_on = on
    given.save(update_fields=["came_back_on"])
    set_standing(find, Standing.KEPT)
    return given


@transaction.atomic
def undo_promise(find: Specimen, key: int) -> Specimen:
    """Take that promise back as if it was never given. Raises NotGiven where it is no longer the open one."""
    find = locked_find(find)
    made = open_promise(find)
    if made is None or made.pk != key:
        raise NotGiven(f"Nothing was undone: that promise of {find.number} is no longer open.")
    made.put_in_bin()
    reopen_promised(made)
    return standing_before(find)


@transaction.atomic
def undo_hand_over(find: Specimen, key: int) -> Specimen:
    """Take that hand-over back as if it never was: its place, the promise it kept, its standing.

    Raises NotGiven where the piece has come back or was handed over anew.
    """
    find = locked_find(find)
    given = open_handover(find)
    if given is None or given.pk != key:
        raise NotGiven(f"Nothing was undone: {find.number} has come back since, or was handed over anew.")
    given.put_in_bin()
    kept = Promise.objects.filter(find=find, ended=Promise.Ended.KEPT, changed__gte=given.created).first()
    if kept:
        kept.ended, kept.ended_on = "", None
        kept.save(update_fields=["ended", "ended_on"])
    out = find.moves.filter(at__gte=given.created, to_place=None).select_related("from_place").last()
    if out and out.from_place and not out.from_place.binned_at and find.place is None:
        move_to(find, out.from_place, "not handed over")
    return standing_before(find)


@transaction.atomic
def undo_withdraw(find: Specimen, key: int) -> Specimen:
    """That promise was not withdrawn: it is open again. Raises NotGiven where anything was done since."""
    find = locked_find(find)
    latest = Promise.objects.filter(find=find).order_by("-pk").first()
    if latest is None or latest.pk != key or latest.ended != Promise.Ended.WITHDRAWN:
        raise NotGiven(f"Nothing was undone: {find.number} was promised or handed over since.")
    permitted(find, Act.PROMISE)
    latest.ended, latest.ended_on = "", None
    latest.save(update_fields=["ended", "ended_on"])
    return _back_to(find, Standing.PROMISED)


@transaction.atomic
def undo_came_back(find: Specimen, key: int) -> Specimen:
    """A find that did not come back after all is away as before. Raises NotGiven where it is used since."""
    find = locked_find(find)
    latest = HandOver.objects.filter(find=find).order_by("-pk").first()
    if latest is None or latest.pk != key or latest.came_back_on is None:
        raise NotGiven(f"Nothing was undone: {find.number} was handed over since.")
    if find.place:
        raise NotGiven(f"Nothing was undone: {find.number} has a place by now, {find.place}.")
    latest.came_back_on = None
    latest.save(update_fields=["came_back_on"])
    return _back_to(find, Standing.HANDED_OVER)


def _back_to(find: Specimen, standing: str) -> Specimen:
    """Back to that standing, where it was the one before the present. Raises NotGiven."""
    find = standing_before(find)
    if find.standing != standing:
        raise NotGiven(f"Nothing was undone: the standing of {find.number} was changed again since.")
    return find


def standing_before(find: Specimen) -> Specimen:
    """Back to the standing it had before the present one. Raises NotGiven where it had no other."""
    latest = find.history.exclude(standing=find.standing).order_by("-history_id").first()
    made = latest and find.history.filter(history_id__gt=latest.history_id).order_by("history_id").first()
    if not made:
        raise NotGiven(f"Nothing was undone: {find.number} had no other standing before.")
    # To go back to being given is an act like the first time: something may have been seen since.
    if latest.standing in ACT_OF_STANDING:
        permitted(find, ACT_OF_STANDING[latest.standing])
    return undo_change(find, made.history_id, "standing")


def open_promise(find: Specimen) -> Promise | None:
    """The promise that is neither kept nor withdrawn."""
    return Promise.objects.filter(find=find, ended="").select_related("person").first()


def open_handover(find: Specimen) -> HandOver | None:
    """The hand-over from which it has not come back."""
    return HandOver.objects.filter(find=find, came_back_on=None).select_related("person").first()


def locked_find(find: Specimen) -> Specimen:
    """The find as it is now, held until the transaction ends: two taps can't promise one piece twice."""
    return (
        Specimen.objects.select_for_update(of=("self",))
        .select_related("dive__site", "site", "place")
        .get(pk=find.pk)
    )


def _unless(why_not: str) -> None:
    if why_not:
        raise NotGiven(why_not)


def permitted(find: Specimen, act: Act, reason: str = "") -> None:
    """Its hazards and its site have nothing against it. Raises NotGiven, HazardAsksReason."""
    try:
        permit([find], act, reason)
    except Hazard as why:
        raise NotGiven(str(why)) from why


def _end(ended: Promise, how: str) -> None:
    ended.ended, ended.ended_on = how, timezone.localdate()
    ended.save(update_fields=["ended", "ended_on"])
