"""What is done to a find on record: moved, given a stage or a standing, matched, thought of."""

from django.db import transaction

from catalogue.common.records import hold_below
from catalogue.shelves.models import Place
from catalogue.specimens.derived.refresh import refresh_find, refresh_now, refreshing
from catalogue.specimens.models import Move, Opinion, Specimen, TwinGroup


@refreshing()
def move_to(find: Specimen, place: Place | None, why: str = "") -> Specimen:
    """Put a find in a place (or in none) and write the move down; staying where it is writes nothing.

    The row is locked and says where the find stands: each move begins where the one before it ended. Raises
    PutInBinMeanwhile where the place lies in the bin.
    """
    locked = Specimen.everything.select_for_update(of=("self",)).select_related("place").get(pk=find.pk)
    find.place = locked.place
    if find.place_id == (place.pk if place else None):
        return find
    find.place = place
    hold_below(find, "place")
    Move.objects.create(find=find, from_place=locked.place, to_place=place, why=why)
    find.save(update_fields=["place"])
    refresh_now()
    return find


@refreshing()
def move_back(find: Specimen, key: int) -> Specimen:
    """Undo the move with that key: it stands where it stood before, and never moved.

    Raises ChangedSince where it was moved again since, and PutInBinMeanwhile.
    """
    locked = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    last = Move.objects.filter(find=locked).order_by("-pk").first()
    if last is None or last.pk != key or locked.place_id != last.to_place_id:
        raise ChangedSince(f"Nothing was undone: {find.number} was moved again since.")
    locked.place = last.from_place
    hold_below(locked, "place")
    last.delete()
    locked.save(update_fields=["place"])
    refresh_now()
    return locked


class ChangedSince(ValueError):
    """What was to be undone was changed again since; the message says so."""


# Noted with the history entry that undid the one before it.
UNDONE = "undone"


@transaction.atomic
def undo_change(find: Specimen, entry: int, column: str) -> Specimen:
    """Put one column ("stage", "standing") back to what it was before that entry of the find's history.

    Two windows: it is undone only as long as nobody changed that column since. Raises ChangedSince.
    """
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    past = list(find.history.order_by("history_id").values_list("history_id", column))
    at = next((place for place, (key, _) in enumerate(past) if key == entry), 0)
    made = past[at][1]
    if at == 0 or past[at - 1][1] == made or any(value != made for _, value in past[at:]):
        raise ChangedSince(f"Nothing was undone: the {column} of {find.number} was changed again since.")
    setattr(find, column, past[at - 1][1])
    # `simple_history` reads it where the row is saved.
    vars(find)["_change_reason"] = UNDONE
    find.save(update_fields=[column])
    return find


def set_stage(find: Specimen, stage: str) -> Specimen:
    """Any order, any skipped. Raises ValueError for a word that is no stage."""
    find.stage = Specimen.Stage(stage).value
    find.save(update_fields=["stage"])
    return find


def set_standing(find: Specimen, standing: str) -> Specimen:
    """Change the standing alone; promises and hand-overs have their own services in the giving room.

    Raises ValueError for a word that is no standing.
    """
    find.standing = Specimen.Standing(standing).value
    find.save(update_fields=["standing"])
    return find


@refreshing()
def give_opinion(opinion: Opinion, *, at_once: bool = True) -> Opinion:
    """Write an opinion down as the current one of its kind; the one before stays, no longer current.

    Its find is dated anew `at_once`, or together with others at the end of the caller's `refreshing()`.
    """
    before = Opinion.objects.filter(find=opinion.find, about=opinion.about, current=True)
    for earlier in before.select_for_update():
        earlier.current = False
        earlier.save(update_fields=["current"])
    opinion.current = True
    opinion.save()
    if at_once:
        refresh_find(Specimen.everything.get(pk=opinion.find_id))
    return opinion


@refreshing()
def withdraw_opinion(opinion: Opinion) -> Opinion:
    """No longer current, still on record."""
    opinion.current = False
    opinion.save(update_fields=["current"])
    refresh_find(Specimen.everything.get(pk=opinion.find_id))
    return opinion


@refreshing()
def take_opinion_back(find: Specimen, key: int, before: int) -> None:
    """Undo giving the opinion with that key: the one with the key `before` is current again, 0 is none.

    Raises ChangedSince where it is no longer the current one of its kind.
    """
    given = Opinion.objects.select_for_update().filter(find=find, pk=key, current=True).first()
    if given is None:
        raise ChangedSince(f"Nothing was undone: another opinion on {find.number} was given since.")
    given.delete()
    earlier = Opinion.objects.filter(find=find, pk=before, about=given.about).first()
    if earlier is not None:
        _hold_again(earlier)
    refresh_find(Specimen.everything.get(pk=find.pk))


@refreshing()
def hold_opinion(opinion: Opinion) -> Opinion:
    """Undo withdrawing it: it is the current one again. Raises ChangedSince where there is another now."""
    if Opinion.objects.filter(find=opinion.find, about=opinion.about, current=True).exists():
        raise ChangedSince("Nothing was undone: another opinion was given since.")
    _hold_again(opinion)
    refresh_find(Specimen.everything.get(pk=opinion.find_id))
    return opinion


def _hold_again(opinion: Opinion) -> None:
    opinion.current = True
    opinion.save(update_fields=["current"])


@transaction.atomic
def match(find: Specimen, other: Specimen) -> TwinGroup:
    """Make two finds twins; each brings its own twins along. Raises ValueError for a find and itself."""
    if find.pk == other.pk:
        raise ValueError("A piece can't be its own twin.")
    group = find.twin_group or other.twin_group or TwinGroup.objects.create()
    joining = {find.pk: find, other.pk: other}
    for old in (find.twin_group, other.twin_group):
        if old is not None and old.pk != group.pk:
            joining |= {twin.pk: twin for twin in Specimen.everything.filter(twin_group=old)}
    for piece in joining.values():
        _put(piece, group)
    TwinGroup.objects.filter(finds=None).delete()
    return group


@transaction.atomic
def part_ways(find: Specimen) -> None:
    """A find leaves its twins; a twin left alone is none any more."""
    group = find.twin_group
    if group is None:
        return
    _put(find, None)
    rest = list(Specimen.everything.filter(twin_group=group)[:2])
    if len(rest) == 1:
        _put(rest[0], None)
    TwinGroup.objects.filter(finds=None).delete()


def _put(find: Specimen, group: TwinGroup | None) -> None:
    if find.twin_group_id != (group.pk if group else None):
        find.twin_group = group
        find.save(update_fields=["twin_group"])
