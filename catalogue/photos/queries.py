"""Questions about pictures: galleries, neighbours, shelves; and how complete the record of a find is."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from django.db.models import Count, Exists, Model, OuterRef, Q, QuerySet

import dating
from catalogue.sites.models import Dive
from catalogue.specimens.evidence import evidence_of
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE, SpecimenQuerySet
from catalogue.specimens.reading.value import of_rows
from catalogue.specimens.services import date_evidence

from .models import LaidPair, Photo, ShelfSession
from .models.laid_pair import Pair, before_and_after, laid_pair

# The name of a piece that was numbered before anybody looked at it.
UNDESCRIBED = "Bottle, not yet described"
ALWAYS = ("its number", "how many it is", "who wrote it down, and when")


@dataclass(frozen=True, slots=True)
class InventoryFact:
    """One of the seven: `label` as it is called, `lacks` what to do where it is missing."""

    label: str
    there: bool
    lacks: str = ""


def inventory_facts(find: Specimen, *, pictured: bool) -> list[InventoryFact]:
    """The seven facts of one find. No query where its inscriptions are prefetched."""
    described = pictured or bool(find.notes) or any(find.inscriptions.all())
    came_from = bool(find.dive_id or find.site_id or find.recovered_edtf)
    return [
        *(InventoryFact(label, True) for label in ALWAYS),
        InventoryFact("what it is", find.what != UNDESCRIBED, "Say in a few words what it is."),
        InventoryFact(
            "a picture or a description", described, "Take a picture, or write down what it looks like."
        ),
        InventoryFact(
            "where it is", bool(find.place_id) or find.standing in STANDINGS_GONE, "Say where it stands."
        ),
        InventoryFact("where it came from", came_from, "Give its dive or site, or about when it came up."),
    ]


def missing_facts(facts: Iterable[InventoryFact]) -> list[InventoryFact]:
    return [fact for fact in facts if not fact.there]


def unfinished() -> SpecimenQuerySet[Specimen]:
    """Pieces still here that lack one of the seven facts, or that nothing dates yet."""
    undescribed = (
        ~Exists(Photo.objects.filter(find=OuterRef("pk")))
        & Q(notes="")
        & ~Exists(Inscription.objects.filter(find=OuterRef("pk")))
    )
    nowhere_from = Q(dive=None, site=None, recovered_edtf="")
    undated = Q(made_from=None, made_to=None)
    return Specimen.objects.still_here().filter(
        undated | Q(what=UNDESCRIBED) | Q(place=None) | nowhere_from | undescribed
    )


MOST_STEPS = 3
BASE_PICTURE = "Take a picture of its base: the maker's mark and what stands beside it tell most."
READ_BASE = "Read the base off its picture: the letters, and the characters beside them."


@dataclass(frozen=True, slots=True)
class Completeness:
    """The seven facts of one find, and what would help most next, the best first."""

    facts: list[InventoryFact]
    steps: list[str]

    @property
    def missing(self) -> list[InventoryFact]:
        return missing_facts(self.facts)

    @property
    def there(self) -> int:
        return len(self.facts) - len(self.missing)


def completeness_of(
    find: Specimen, roles: Collection[str], looks: Collection[str] = (), *, at_hand: bool = True
) -> Completeness:
    """How complete the record of a find is. `roles`: of the pictures it has; `looks`: what the dating
    service would look at next; `at_hand`: whether it may be taken up and looked at, which nobody is asked
    to do else. No query where the find's rows are prefetched."""
    steps = next_steps(find, roles, looks) if at_hand else []
    return Completeness(inventory_facts(find, pictured=bool(roles)), steps)


def next_steps(find: Specimen, roles: Collection[str], looks: Collection[str] = ()) -> list[str]:
    """Up to three things to do, what helps most first. `roles`: of the pictures it has; `looks`: what the
    dating service would look at next. No query where the find's rows are prefetched."""
    steps = [fact.lacks for fact in missing_facts(inventory_facts(find, pictured=bool(roles)))]
    if not any(reading.was_read for reading in of_rows(find.readings.all())):
        steps.append(READ_BASE if Photo.Role.BASE in roles else BASE_PICTURE)
    # Its name comes first, then what identifies it, then the rest of the inventory.
    first = [words for words in steps if words.startswith("Say in a few words")]
    base = [words for words in steps if words in (BASE_PICTURE, READ_BASE)]
    rest = [words for words in steps if words not in (*first, *base)]
    return [*first, *base, *looks, *rest][:MOST_STEPS]


def looks_next(find: Specimen, most: int = 2) -> list[str]:
    """The looks at it that would say most of its years, in words; empty where it can't be dated at all."""
    try:
        finding = date_evidence(evidence_of(find), look_next=True)
    except dating.CaseError:
        return []
    return [f"{look.ask} {_brings(look)}" for look in finding.look_next[:most]]


def _brings(look: dating.Look) -> str:
    return f"({look.effort}; {look.words.removeprefix(look.ask).lstrip(': ')})"


# What shows that work on the piece was meant or done.
WORKED_ON = (Photo.Role.AS_FOUND, Photo.Role.BEFORE, Photo.Role.DURING)
ROLE_AT_STAGE = {
    Specimen.Stage.WET: Photo.Role.AS_FOUND,
    Specimen.Stage.SOAKING: Photo.Role.BEFORE,
    Specimen.Stage.CLEANING: Photo.Role.DURING,
    Specimen.Stage.DRYING: Photo.Role.AFTER,
}


def first_role(subject: Model, *, cleaned: bool = False) -> Photo.Role:
    """What a picture of it added now most likely shows, before anybody says; `cleaned`: it was worked on."""
    if isinstance(subject, Dive):
        return Photo.Role.AS_FOUND
    if not isinstance(subject, Specimen):
        return Photo.Role.DETAIL
    done = Photo.Role.AFTER if cleaned else Photo.Role.DETAIL
    return ROLE_AT_STAGE.get(Specimen.Stage(subject.stage), done)


PICTURES_AT_ONCE = 8


@dataclass(slots=True)
class Gallery:
    """All pictures of one subject as a page shows them; `address` is how the page for adding names it."""

    subject: Model
    photos: list[Photo]
    cover: Photo | None = None
    pair: Pair | None = None
    # The marks by which the pair is laid on each other, where the owner did so.
    laid: LaidPair | None = None
    in_bin: list[Photo] = field(default_factory=list)
    address: str = ""
    # Whether something was done to the piece already.
    cleaned: bool = False

    @property
    def first_role(self) -> Photo.Role:
        """What a picture added now most likely shows."""
        worked_on = any(photo.role in WORKED_ON for photo in self.photos)
        return first_role(self.subject, cleaned=self.cleaned or worked_on)

    @property
    def first_photos(self) -> list[Photo]:
        """Those that a page shows at once."""
        return self.photos if len(self.photos) <= PICTURES_AT_ONCE + 1 else self.photos[:PICTURES_AT_ONCE]

    @property
    def more_photos(self) -> list[Photo]:
        """Those behind a touch; never one alone."""
        return self.photos[len(self.first_photos) :]

    @property
    def of_a_find(self) -> bool:
        """A piece without pictures asks for some; a dive or a site can do without."""
        return isinstance(self.subject, Specimen)


def gallery_of(subject: Model, *, visitor: bool = False) -> Gallery:
    """A subject's pictures in order: one query for a visitor, one more (the bin) for the owner."""
    if visitor:
        photos, binned = list(Photo.objects.of(subject).for_visitors().in_order()), []
    else:
        rows = list(Photo.everything.of(subject).in_order())
        photos = [photo for photo in rows if photo.binned_at is None]
        binned = [photo for photo in rows if photo.binned_at is not None]
    name = Photo.subject_name(subject)
    for photo in [*photos, *binned]:
        # Known already: saves a query for each picture's words.
        setattr(photo, name, subject)
    pair = before_and_after(photos)
    showable = [photo for photo in photos if photo.may_be_cover]
    return Gallery(
        subject=subject,
        photos=photos,
        cover=min(showable, key=Photo.cover_rank, default=None),
        pair=pair,
        laid=laid_pair(subject, pair),
        in_bin=binned,
        address=f"{name}={subject.pk}",
    )


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Where a picture stands among its subject's: `place` of `count`, counted from 1."""

    earlier: Photo | None
    later: Photo | None
    place: int
    count: int


def neighbours(photo: Photo, *, visitor: bool = False) -> Neighbours:
    """The pictures before and after it that the one who asks may see. One query."""
    photos = Photo.objects.of(photo.subject).in_order().only("pk")
    row = list(photos.for_visitors() if visitor else photos)
    here = row.index(photo)
    return Neighbours(
        earlier=row[here - 1] if here else None,
        later=row[here + 1] if here + 1 < len(row) else None,
        place=here + 1,
        count=len(row),
    )


@dataclass(frozen=True, slots=True)
class ShelfProgress:
    """A session as the list shows it."""

    session: ShelfSession
    marked: int
    numbered: int
    to_fill: int

    @property
    def waiting(self) -> int:
        """Marked, and not numbered yet."""
        return self.marked - self.numbered

    @property
    def done(self) -> bool:
        return bool(self.marked) and not self.waiting and not self.to_fill


def shelf_progress(sessions: QuerySet[ShelfSession]) -> list[ShelfProgress]:
    """The sessions of a query, last worked on first. Two queries."""
    rows = list(
        sessions.select_related("photo", "place")
        .annotate(marked=Count("boxes"), numbered=Count("boxes__find"))
        .order_by("-changed", "-pk")
    )
    unfilled = dict(
        to_fill_in()
        .filter(shelf_box__session__in=rows)
        .order_by()
        .values_list("shelf_box__session")
        .annotate(n=Count("pk"))
    )
    return [ShelfProgress(row, row.marked, row.numbered, unfilled.get(row.pk, 0)) for row in rows]


def to_fill_in() -> QuerySet[Specimen]:
    """Finds that lack something and were not looked at on the walk; skipped ones still wait."""
    return unfinished().filter(Q(passed=None) | Q(passed__skipped=True))


def open_shelf_sessions() -> QuerySet[ShelfSession]:
    """Sessions whose picture is still there."""
    return ShelfSession.objects.filter(photo__binned_at=None)


def binned_shelf_sessions() -> QuerySet[ShelfSession]:
    """Sessions in the bin."""
    return ShelfSession.everything.in_bin()
