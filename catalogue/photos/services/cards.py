"""A camera's card of a dive: pictures put on it, into groups, from one to another. Nothing is filed."""

import logging
from collections.abc import Collection, Iterable

from django.db import transaction
from django.db.models import Q
from django.db.models.functions import Upper

from catalogue.photos import files
from catalogue.photos.card_grouping import CardShot, GroupReason, ProposedGroup, in_order, propose, tag_key
from catalogue.photos.decoding import in_turn
from catalogue.photos.models import CardGroup, CardPicture, Photo
from catalogue.photos.qr_codes import CodesSeen, codes_of_file
from catalogue.photos.renditions import make_sizes
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen
from catalogue.specimens.numbers import read_number

from .uploads import UploadSource, store

log = logging.getLogger("siltmark.pictures")


def there_already(dive: Dive, sha256: str) -> bool:
    """Whether a picture with that digest is on the dive's card, or filed under the dive or a find of it."""
    if dive.card_pictures.filter(sha256=sha256).exists():
        return True
    return Photo.objects.filter(Q(dive=dive) | Q(find__dive=dive), sha256=sha256).exists()


def put_on_card(upload: UploadSource, dive: Dive) -> CardPicture | None:
    """Keep a picture on a dive's card and read the tags in it. None where it is there or filed already.

    Raises PictureRefused, and then nothing is kept.
    """
    facts = store(upload)
    if there_already(dive, facts["sha256"]):
        return None
    # Made now: the tag is looked for in the large copy first, and the page shows the small one at once.
    make_sizes(facts["sha256"], facts["format"])
    seen = read_codes(facts["sha256"], facts["format"])
    picture, new = CardPicture.objects.get_or_create(
        dive=dive,
        sha256=facts["sha256"],
        defaults={
            **facts,
            "codes": " ".join(seen.codes)[:500],
            "unread": seen.unread,
            "role": Photo.Role.TAG if seen.codes or seen.unread else Photo.Role.AS_FOUND,
        },
    )
    return picture if new else None


def read_codes(sha256: str, kind: str) -> CodesSeen:
    """The codes in a stored picture; none where it can't be read."""
    try:
        return in_turn(codes_of_file, files.size(sha256, "large"), files.original(sha256, kind))
    except OSError:
        log.warning("no tag could be looked for in %s", sha256)
        return CodesSeen()


def lock(dive: Dive) -> None:
    """Whoever changes a card waits here for whoever is changing it."""
    Dive._base_manager.select_for_update().get(pk=dive.pk)


def shot_of(picture: CardPicture) -> CardShot:
    """What grouping needs to know of a card's picture."""
    return CardShot(
        key=picture.pk,
        name=picture.original_name,
        when=picture.taken_on_the_spot,
        codes=tuple(picture.codes.split()),
        unread=picture.unread,
        group=picture.group_id,
        by_hand=picture.by_hand,
    )


def is_touched(dive: Dive) -> bool:
    """Whether a person has changed any group of the card."""
    changed = dive.card_groups.filter(Q(touched=True) | Q(why=GroupReason.HAND))
    return changed.exists() or dive.card_pictures.filter(by_hand=True).exists()


@transaction.atomic
def sort_card(dive: Dive) -> int:
    """Put the pictures that are in no group yet into groups. Returns how many there were.

    Pictures come in any order after a lost connection, so while nobody has changed anything all of them are
    proposed anew: a tag that came last still begins its piece.
    """
    lock(dive)
    if not dive.card_pictures.filter(group=None).exists():
        return 0
    if not is_touched(dive):
        dive.card_groups.all().delete()
    pictures = {picture.pk: picture for picture in dive.card_pictures.all()}
    for place, shot in enumerate(in_order(map(shot_of, pictures.values())), start=1):
        pictures[shot.key].order = place
    groups = {group.pk: group for group in dive.card_groups.all()}
    tags = {group.pk: group.code for group in groups.values()}
    proposals = propose(map(shot_of, pictures.values()), groups=tags)
    tagged = any(proposed.why is GroupReason.TAG for proposed in proposals) or any(tags.values())
    finds = finds_by_code([proposed.code for proposed in proposals], dive)
    for proposed in proposals:
        there = None if proposed.group is None else groups.get(proposed.group)
        group = there or begin_group(dive, proposed, tagged=tagged)
        if proposed.group is None and (find := finds.get(tag_key(proposed.code))):
            group.goes, group.find = CardGroup.Goes.FIND, find
            group.save(update_fields=["goes", "find"])
        for key in proposed.keys:
            pictures[key].group = group
    CardPicture.objects.bulk_update(pictures.values(), ["order", "group"])
    tidy(dive)
    return sum(len(proposed.keys) for proposed in proposals)


def begin_group(dive: Dive, proposed: ProposedGroup, *, tagged: bool) -> CardGroup:
    """A new group; what no tag speaks for, on a card with tags, is first taken for the dive's own."""
    own = proposed.why is GroupReason.SEVERAL or (proposed.why is GroupReason.START and tagged)
    return CardGroup.objects.create(
        dive=dive,
        place=0,
        code=proposed.code,
        why=proposed.why,
        pause_s=None if proposed.pause_s is None else round(proposed.pause_s),
        goes=CardGroup.Goes.DIVE if own else CardGroup.Goes.NEW,
    )


@transaction.atomic
def start_over(dive: Dive) -> None:
    """Forget all groups and what was typed in them, and propose anew."""
    lock(dive)
    dive.card_groups.all().delete()
    dive.card_pictures.update(by_hand=False)
    sort_card(dive)


@transaction.atomic
def move_pictures(
    dive: Dive, keys: Collection[int], to: CardGroup | None, *, goes: str = CardGroup.Goes.NEW
) -> int:
    """Put pictures into a group of the card, for None into a new one that `goes` there. Returns how many."""
    lock(dive)
    pictures = dive.card_pictures.filter(pk__in=keys)
    if not pictures:
        return 0
    if to is None:
        to = CardGroup.objects.create(dive=dive, place=0, why=GroupReason.HAND, goes=goes)
    moved = pictures.update(group=to, by_hand=True)
    tidy(dive)
    return moved


@transaction.atomic
def begin_piece(dive: Dive, key: int, code: str) -> CardGroup:
    """Let a piece begin at a picture: it and what follows in its group, under the tag that was typed.

    Raises CardPicture.DoesNotExist for a picture that is no longer on the card.
    """
    lock(dive)
    first = dive.card_pictures.get(pk=key)
    find = finds_by_code([code], dive).get(tag_key(code))
    group = CardGroup.objects.create(
        dive=dive,
        place=0,
        code=code,
        why=GroupReason.HAND,
        find=find,
        goes=CardGroup.Goes.FIND if find else CardGroup.Goes.NEW,
    )
    following = dive.card_pictures.filter(group=first.group_id, order__gte=first.order)
    # Not "by hand": pictures that arrive later and follow these in time belong here too.
    following.update(group=group, by_hand=False)
    dive.card_pictures.filter(pk=key).update(role=Photo.Role.TAG)
    tidy(dive)
    return group


@transaction.atomic
def join_to_earlier(group: CardGroup) -> None:
    """Put a group's pictures into the group before it; the first stays as it is."""
    lock(group.dive)
    earlier = group.dive.card_groups.filter(place__lt=group.place).last()
    if earlier is not None:
        group.pictures.update(group=earlier)
        earlier.touched = True
        earlier.save(update_fields=["touched"])
        tidy(group.dive)


def set_roles(dive: Dive, keys: Collection[int], role: str) -> int:
    """Say what pictures show. Raises ValueError for a role that there is not."""
    return dive.card_pictures.filter(pk__in=keys).update(role=Photo.Role(role))


@transaction.atomic
def take_off(dive: Dive, keys: Collection[int]) -> int:
    """Take pictures off the card for good; their files are set aside later. Returns how many."""
    lock(dive)
    gone, _ = dive.card_pictures.filter(pk__in=keys).delete()
    tidy(dive)
    return gone


def tidy(dive: Dive) -> None:
    """Let empty groups go and number the others by their first picture."""
    dive.card_groups.filter(pictures=None).delete()
    first: dict[int, int] = {}
    for pk, order in dive.card_pictures.exclude(group=None).values_list("group", "order"):
        first[pk] = min(order, first.get(pk, order))
    groups = sorted(dive.card_groups.all(), key=lambda group: (first[group.pk], group.pk))
    for place, group in enumerate(groups, start=1):
        group.place = place
    CardGroup.objects.bulk_update(groups, ["place"])


def spellings(code: str) -> set[str]:
    """How a tag may stand in the records, in upper case: "T-65", "T65", "T 65"."""
    key = tag_key(code)
    letters = key.rstrip("0123456789")
    number = key[len(letters) :]
    return {code.strip().upper(), key, f"{letters}-{number}", f"{letters} {number}"}


def finds_by_code(codes: Iterable[str], dive: Dive) -> dict[str, Specimen]:
    """By `tag_key`: the one find that a code means. One of this dive goes before others; of several, none.

    One query, whatever the number of codes.
    """
    wanted = {code for code in codes if code.strip()}
    if not wanted:
        return {}
    tags = {spelling for code in wanted for spelling in spellings(code)}
    numbers = {str(number) for code in wanted if (number := read_number(code))}
    rows = Specimen.objects.annotate(tag=Upper("field_tag")).filter(Q(tag__in=tags) | Q(number__in=numbers))
    found: dict[str, list[Specimen]] = {}
    for find in rows.only("number", "what", "field_tag", "dive_id"):
        for key in {tag_key(find.field_tag), tag_key(find.number)} - {""}:
            found.setdefault(key, []).append(find)
    meant = {key: only_one(finds, dive) for key, finds in found.items()}
    return {key: find for key, find in meant.items() if find is not None}


def only_one(finds: list[Specimen], dive: Dive) -> Specimen | None:
    """The find that is meant: of this dive, else of any, if there is one alone."""
    here = [find for find in finds if find.dive_id == dive.pk]
    chosen = here or finds
    return chosen[0] if len(chosen) == 1 else None
