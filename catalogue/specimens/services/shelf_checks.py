"""A walk-round check: begun, each piece ticked at once, ended on purpose, compared with the check before."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from catalogue.common.records import hold_below
from catalogue.shelves.models import Place
from catalogue.shelves.tree import PlaceTree
from catalogue.specimens.models import CheckedPiece, ShelfCheck, Specimen

Seen = CheckedPiece.Seen
# Codes that name no piece, kept of one check: more are a poster or a parcel service.
MOST_UNKNOWN = 100
# Of a picture's digest: enough to tell those of one check apart.
DIGEST_KEPT = 16


class CheckEnded(ValueError):
    """It was ended meanwhile, so that nothing more is ticked; the message says so."""


def open_check(place: Place) -> ShelfCheck | None:
    """The check of a place that goes on, None where there is none."""
    return ShelfCheck.objects.filter(place=place, ended_at=None).select_related("place").first()


@transaction.atomic
def begin_check(place: Place, *, with_inside: bool) -> ShelfCheck:
    """Begin to check a place; where one goes on already, that one."""
    Place.objects.select_for_update(of=("self",)).get(pk=place.pk)
    if going := open_check(place):
        return going
    check = ShelfCheck(place=place, with_inside=with_inside)
    hold_below(check, "place")
    check.save()
    return check


def places_of(check: ShelfCheck, tree: PlaceTree) -> list[int]:
    """Keys of the places that it goes round, in the order of the tree. No query."""
    return tree.inside(check.place_id) if check.with_inside else [check.place_id]


def expected_pieces(places: Sequence[int]) -> QuerySet[Specimen]:
    """What should stand in these places by the record: pieces that are still here."""
    return Specimen.objects.still_here().filter(place__in=places)


@transaction.atomic
def tick(
    check: ShelfCheck,
    finds: Iterable[Specimen],
    seen: str,
    *,
    elsewhere: Place | None = None,
    places: Sequence[int],
    by_picture: bool = False,
) -> None:
    """Say of pieces what was seen; what was said of them before in this check is said anew.

    `places`: those that the check goes round. Raises CheckEnded.
    """
    rows = (
        CheckedPiece(find=find, seen=seen, elsewhere=elsewhere, expected=find.place_id in places)
        for find in finds
    )
    _keep_said(check, rows, by_picture=by_picture)


@transaction.atomic
def tick_here(
    check: ShelfCheck,
    finds: Iterable[Specimen],
    *,
    stand_in: Place | None = None,
    places: Sequence[int],
    by_picture: bool = False,
) -> None:
    """Say of pieces that they are here; `stand_in`: in which place of those that the check goes round.

    One that is recorded in another of these was seen elsewhere. Raises CheckEnded.
    """
    rows = []
    for find in finds:
        expected = find.place_id in places
        other = stand_in if stand_in and find.place_id != stand_in.pk else None
        seen = Seen.ELSEWHERE if expected and other else Seen.HERE
        rows.append(CheckedPiece(find=find, seen=seen, elsewhere=other, expected=expected))
    _keep_said(check, rows, by_picture=by_picture)


def _keep_said(check: ShelfCheck, said: Iterable[CheckedPiece], *, by_picture: bool) -> None:
    _still_open(check)
    rows = list(said)
    for row in rows:
        row.check_of, row.recorded_id, row.by_picture = check, row.find.place_id, by_picture
    CheckedPiece.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["check_of", "find"],
        update_fields=["seen", "elsewhere", "recorded", "expected", "by_picture", "at"],
    )


@transaction.atomic
def untick(check: ShelfCheck, find: Specimen) -> None:
    """Nothing is said of a piece any more. Raises CheckEnded."""
    _still_open(check)
    CheckedPiece.objects.filter(check_of=check, find=find).delete()


@transaction.atomic
def note_read(check: ShelfCheck, unknown: Iterable[str], *, pictures: Iterable[str]) -> None:
    """Add what pictures held beside the pieces' codes; `pictures`: their digests. Raises CheckEnded."""
    locked = _still_open(check)
    locked.unknown = list(dict.fromkeys([*locked.unknown, *unknown]))[:MOST_UNKNOWN]
    known = len(locked.pictures_read)
    digests = (digest[:DIGEST_KEPT] for digest in pictures)
    locked.pictures_read = list(dict.fromkeys([*locked.pictures_read, *digests]))
    locked.pictures += len(locked.pictures_read) - known
    locked.save(update_fields=["unknown", "pictures", "pictures_read"])


@transaction.atomic
def end_check(check: ShelfCheck, places: Sequence[int]) -> ShelfCheck:
    """End it: what nobody said anything of is written down as not seen. Ended already, it stays as it was."""
    locked = ShelfCheck.objects.select_for_update(of=("self",)).get(pk=check.pk)
    if locked.ended_at:
        return locked
    said = CheckedPiece.objects.filter(check_of=check).values("find")
    CheckedPiece.objects.bulk_create(
        CheckedPiece(check_of=check, find_id=key, seen=Seen.NOT_SAID, recorded_id=place)
        for key, place in expected_pieces(places).exclude(pk__in=said).order_by().values_list("pk", "place")
    )
    locked.ended_at = timezone.now()
    locked.save(update_fields=["ended_at"])
    return locked


@transaction.atomic
def go_on(check: ShelfCheck) -> ShelfCheck:
    """Take its end back: what was not seen is open again. Raises CheckEnded where another one goes on."""
    Place.objects.select_for_update(of=("self",)).get(pk=check.place_id)
    if open_check(check.place):
        raise CheckEnded("Nothing was undone: another check of this place was begun since.")
    CheckedPiece.objects.filter(check_of=check, seen=Seen.NOT_SAID).delete()
    check.ended_at = None
    check.save(update_fields=["ended_at"])
    return check


def _still_open(check: ShelfCheck) -> ShelfCheck:
    locked = ShelfCheck.objects.select_for_update(of=("self",)).filter(pk=check.pk).first()
    if locked is None or locked.ended_at:
        raise CheckEnded("This check was ended meanwhile: nothing more is ticked in it. Start another.")
    return locked


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What a check found, by what there is to do; `before` is the check that it is compared with.

    `here` should stand there and does; `strays` stand there and are recorded elsewhere; `elsewhere` were seen
    in another place; `missing` were not: `again` of them neither then, `found_again` were missing then and
    are here now.
    """

    check: ShelfCheck
    before: ShelfCheck | None
    here: list[CheckedPiece] = field(default_factory=list)
    strays: list[CheckedPiece] = field(default_factory=list)
    elsewhere: list[CheckedPiece] = field(default_factory=list)
    missing: list[CheckedPiece] = field(default_factory=list)
    again: frozenset[int] = frozenset()
    found_again: list[CheckedPiece] = field(default_factory=list)
    moved: list[CheckedPiece] = field(default_factory=list)

    @property
    def expected(self) -> int:
        """How many should have stood there."""
        return sum(row.expected for row in (*self.here, *self.elsewhere, *self.missing))


def result_of(check: ShelfCheck) -> CheckResult:
    """Add up an ended check and compare it with the one of that place before. Three queries."""
    rows = list(check.pieces.select_related("find__place", "recorded", "elsewhere").order_by("pk"))
    for row in rows:
        row.check_of = check
    before = (
        ShelfCheck.objects.filter(place=check.place_id, ended_at__isnull=False, pk__lt=check.pk)
        .order_by("-pk")
        .first()
    )
    was = dict(before.pieces.values_list("find", "seen")) if before else {}
    missed = {key for key, seen in was.items() if seen in CheckedPiece.MISSING}
    now = {row.find_id for row in rows}
    missing = [row for row in rows if row.seen in CheckedPiece.MISSING]
    here = [row for row in rows if row.seen == Seen.HERE and row.expected]
    strays = [row for row in rows if row.seen == Seen.HERE and not row.expected]
    gone = [key for key, seen in was.items() if seen == Seen.HERE and key not in now]
    moved = before.pieces.filter(find__in=gone).select_related("find__place") if before and gone else []
    return CheckResult(
        check,
        before,
        here,
        strays,
        [row for row in rows if row.seen == Seen.ELSEWHERE],
        missing,
        frozenset(row.find_id for row in missing if row.find_id in missed),
        [row for row in (*here, *strays) if row.find_id in missed],
        list(moved),
    )
