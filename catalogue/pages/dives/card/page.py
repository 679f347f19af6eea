"""The page on which a card is sorted."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from catalogue.photos.models import CardGroup, CardPicture, Photo
from catalogue.photos.services.card_filing import FIND_PREFIX, NOT_YET_NAMED, goes_word, problems_in
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen


@dataclass(slots=True)
class ShownGroup:
    """A group as the page shows it."""

    group: CardGroup
    pictures: list[CardPicture]
    choices: list[tuple[str, str]]
    chosen: str
    problem: str = ""
    first: bool = False


@dataclass(slots=True)
class CardCounts:
    """What filing now would do."""

    new: int = 0
    known: int = 0
    pictures: int = 0
    left: int = 0
    own: int = 0
    unread: list[str] = field(default_factory=list)


def card_page(
    dive: Dive, *, tried: bool = False, meanwhile: Mapping[int, str] | None = None, **more: Any
) -> dict[str, Any]:
    """Groups, pictures, counts: four queries. `tried`: filing was asked for, so say what is in the way.

    `meanwhile` says by group what another page wrote there and what was typed here.
    """
    groups = list(dive.card_groups.select_related("find"))
    by_group: dict[int | None, list[CardPicture]] = {}
    for picture in dive.card_pictures.all():
        by_group.setdefault(picture.group_id, []).append(picture)
    finds = list(Specimen.objects.filter(dive=dive).only("number", "what", "field_tag").in_order())
    problems = (problems_in(groups, dive) if tried else {}) | dict(meanwhile or {})
    shown = [
        ShownGroup(
            group,
            by_group.get(group.pk, []),
            choices_for(group, finds),
            goes_word(group),
            problems.get(group.pk, ""),
            place == 0,
        )
        for place, group in enumerate(groups)
    ]
    return {
        "dive": dive,
        "shown": shown,
        "unsorted": len(by_group.get(None, [])),
        "total": sum(map(len, by_group.values())),
        "counts": counts_of(shown, len(by_group.get(None, []))),
        "roles": Photo.Role.choices,
        "not_yet_named": NOT_YET_NAMED,
        "problems": len(problems),
        **more,
    }


def choices_for(group: CardGroup, finds: list[Specimen]) -> list[tuple[str, str]]:
    """Where a group's pictures can go; a find of another dive only where it is chosen already."""
    own = [group.find] if group.find and group.find not in finds else []
    choices = [
        (CardGroup.Goes.NEW.value, "a new find"),
        (CardGroup.Goes.DIVE.value, "the dive itself"),
        (CardGroup.Goes.LATER.value, "leave it on the card"),
    ]
    for find in [*own, *finds]:
        tag = f", tag {find.field_tag}" if find.field_tag else ""
        choices.append((f"{FIND_PREFIX}{find.pk}", f"{find.number} {find.what[:40]}{tag}"))
    return choices


def counts_of(shown: list[ShownGroup], unsorted: int) -> CardCounts:
    counts = CardCounts(left=unsorted)
    known = set()
    for each in shown:
        goes = each.group.goes
        if goes == CardGroup.Goes.LATER:
            counts.left += len(each.pictures)
            continue
        counts.pictures += len(each.pictures)
        counts.new += goes == CardGroup.Goes.NEW
        counts.own += len(each.pictures) if goes == CardGroup.Goes.DIVE else 0
        if goes == CardGroup.Goes.FIND:
            known.add(each.group.find_id)
    counts.known = len(known)
    return counts
