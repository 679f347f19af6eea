"""File a sorted card: finds made or found again, each with its pictures, all or nothing."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db import transaction

from catalogue.photos.card_grouping import tag_key
from catalogue.photos.models import CardGroup, CardPicture
from catalogue.photos.services import file_under
from catalogue.photos.services.cards import finds_by_code, lock, tidy
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen
from catalogue.specimens.numbers import read_number
from catalogue.specimens.services import keep_find

# What a piece is called until somebody looks at it; a name is the least that makes a record.
NOT_YET_NAMED = "Bottle, to be described"


class NotReady(Exception):
    """Groups that can't be filed as they stand: by the group's key, one sentence each."""

    def __init__(self, problems: dict[int, str]) -> None:
        super().__init__()
        self.problems = problems


@dataclass(slots=True)
class Filed:
    """What became of the card."""

    new: list[Specimen] = field(default_factory=list)
    known: list[Specimen] = field(default_factory=list)
    pictures: int = 0
    left: int = 0


def problems_in(groups: Iterable[CardGroup], dive: Dive) -> dict[int, str]:
    """Why groups can't be filed: a tag that stands twice, or that a find on record carries."""
    new = [group for group in groups if group.goes == CardGroup.Goes.NEW and group.code]
    by_tag: dict[str, list[CardGroup]] = defaultdict(list)
    for group in new:
        by_tag[tag_key(group.code)].append(group)
    finds = finds_by_code([group.code for group in new], dive)
    problems = {
        group.pk: said
        for key, same in by_tag.items()
        for group in same
        if (said := trouble_with_tag(group.code, len(same), finds.get(key)))
    }
    for group in groups:
        if group.goes == CardGroup.Goes.FIND and group.find is None:
            problems[group.pk] = "The find chosen here is no longer on record: choose again."
        elif group.find is not None and group.find.binned_at is not None:
            problems[group.pk] = f"{group.find.number} is in the bin: put it back first, or choose another."
    return problems


def trouble_with_tag(code: str, times: int, find: Specimen | None) -> str:
    if times > 1:
        return f"{code} stands at {times} pieces: move them together, or change a tag."
    if find is not None:
        return f"{code} is the tag of {find.number}: choose that find, or change the tag."
    if read_number(code):
        return f"{code} was read from a label, but no such find is on record: choose one, or type its tag."
    return ""


@transaction.atomic
def file_card(dive: Dive) -> Filed:
    """File every group but those left on the card. Raises NotReady, with nothing filed."""
    lock(dive)
    groups = list(
        dive.card_groups.exclude(goes=CardGroup.Goes.LATER)
        .select_related("find")
        .prefetch_related("pictures")
    )
    if problems := problems_in(groups, dive):
        raise NotReady(problems)
    filed = Filed()
    for group in groups:
        subject = subject_of(group, dive, filed)
        for picture in group.pictures.all():
            # The tag's own picture says which tag, so that its story can be followed back.
            caption = f"Field tag {group.code}" if picture.shows_tag and group.code else ""
            file_under(subject, picture.facts(), role=picture.role, caption=caption)
            filed.pictures += 1
    keys = [group.pk for group in groups]
    CardPicture.objects.filter(group__in=keys).delete()
    CardGroup.objects.filter(pk__in=keys).delete()
    tidy(dive)
    filed.left = dive.card_pictures.count()
    return filed


def subject_of(group: CardGroup, dive: Dive, filed: Filed) -> Specimen | Dive:
    """The find or the dive that a group's pictures go to, a new find being made now."""
    if group.goes == CardGroup.Goes.DIVE:
        return dive
    if group.goes == CardGroup.Goes.FIND:
        filed.known.append(group.find)
        return group.find
    find = keep_find(Specimen(what=group.what or NOT_YET_NAMED, dive=dive, field_tag=group.code))
    filed.new.append(find)
    return find


def sentence_of(filed: Filed) -> str:
    """What was filed, in words."""
    pieces = []
    if filed.new:
        pieces.append(f"{len(filed.new)} new {'find' if len(filed.new) == 1 else 'finds'}")
    if known := len({find.pk for find in filed.known}):
        pieces.append(f"{known} on record")
    said = f"{filed.pictures} {'picture' if filed.pictures == 1 else 'pictures'} filed"
    if pieces:
        said += f" under {' and '.join(pieces)}"
    left = f" {filed.left} stay on the card." if filed.left else ""
    return f"{said}.{left}"
