"""A sorted card filed: answers kept beside its groups, then finds made or found again, all or nothing."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
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

FIND_PREFIX = "find-"
# What a piece is called until somebody looks at it; a name is the least that makes a record.
NOT_YET_NAMED = "Bottle, to be described"


class NotReady(Exception):
    """Groups that can't be filed as they stand: by the group's key, one sentence each."""

    def __init__(self, problems: dict[int, str]) -> None:
        super().__init__()
        self.problems = problems


@dataclass(frozen=True, slots=True)
class GroupAnswer:
    """One group's fields as they came; a field that did not come is None and stays as it was.

    `was` holds, by the field's name, the value that the page was shown with, where it said so.
    """

    code: str | None
    goes: str | None
    what: str | None
    was: Mapping[str, str] = field(default_factory=dict)

    def typed(self) -> list[str]:
        """What this page changed, in words."""
        sent = {"code": self.code, "what": self.what}
        return [value for name, value in sent.items() if value and value != self.was.get(name, "")]


@dataclass(slots=True)
class KeptAnswers:
    """What was said of finds chosen by a tag; and by group what two pages typed (optimistic lock)."""

    said: list[str] = field(default_factory=list)
    meanwhile: dict[int, str] = field(default_factory=dict)
    gone: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Filed:
    """What became of the card."""

    new: list[Specimen] = field(default_factory=list)
    known: list[Specimen] = field(default_factory=list)
    pictures: int = 0
    left: int = 0


@transaction.atomic
def keep_answers(dive: Dive, answers: Mapping[int, GroupAnswer]) -> KeptAnswers:
    """Write down what was typed beside each group, and say which finds were chosen because of its tag.

    A field that another page changed since this one was shown stays as that one left it, and is told.
    """
    groups = list(
        dive.card_groups.select_for_update(of=("self",)).select_related("find").filter(pk__in=answers)
    )
    there = {group.pk for group in groups}
    kept = KeptAnswers(gone=[word for pk in answers if pk not in there for word in answers[pk].typed()])
    answers = dict(answers)
    for group in groups:
        answers[group.pk], told = _but_for_changed(group, answers[group.pk])
        if told:
            kept.meanwhile[group.pk] = told
    finds = finds_by_code([answer.code for answer in answers.values() if answer.code], dive)
    for group in groups:
        answer, was = answers[group.pk], (group.code, group.what, group.goes, group.find_id)
        new_tag = answer.code is not None and answer.code != group.code
        if answer.code is not None:
            group.code = answer.code
        if answer.what is not None:
            group.what = answer.what
        if answer.goes is not None:
            set_destination(group, answer.goes)
        known = finds.get(tag_key(group.code)) if new_tag else None
        if known and group.goes == CardGroup.Goes.NEW:
            # Chosen for the person, and said: it is the piece that carries the tag just typed.
            group.goes, group.find = CardGroup.Goes.FIND, known
            kept.said.append(f"{group.code} is the tag of {known.number}: its pictures go there.")
        group.touched |= was != (group.code, group.what, group.goes, group.find_id)
    CardGroup.objects.bulk_update(groups, ["code", "what", "goes", "find", "touched"])
    return kept


def goes_word(group: CardGroup) -> str:
    """Where a group's pictures go, as the page's list has it."""
    return f"{FIND_PREFIX}{group.find_id}" if group.find_id else group.goes


def _but_for_changed(group: CardGroup, answer: GroupAnswer) -> tuple[GroupAnswer, str]:
    """The answer without what this page left as it was shown, or what another changed; and the sentences."""
    sent = {"code": answer.code, "goes": answer.goes, "what": answer.what}
    stored = {"code": group.code, "goes": goes_word(group), "what": group.what}
    told = []
    for name, value in sent.items():
        was = answer.was.get(name)
        if value is None or was is None:
            continue
        if value == was or value == stored[name]:
            sent[name] = None
        elif was != stored[name]:
            sent[name] = None
            now, mine = (
                _destination_words(word) if name == "goes" else word for word in (stored[name], value)
            )
            told.append(
                f"Another page wrote “{now or 'nothing'}” meanwhile. Yours was “{mine or 'nothing'}”."
            )
    return GroupAnswer(sent["code"], sent["goes"], sent["what"], answer.was), " ".join(told)


def _destination_words(value: str) -> str:
    key = value.removeprefix(FIND_PREFIX)
    if key == value:
        return str(dict(CardGroup.Goes.choices).get(value, value))
    find = Specimen.everything.filter(pk=key).first() if key.isascii() and key.isdigit() else None
    return find.number if find else "a find that is gone"


def unseen_changes(dive: Dive, answers: Mapping[int, GroupAnswer]) -> bool:
    """Whether the card holds what a page that sent these answers did not show."""
    for group in dive.card_groups.all():
        was = answers[group.pk].was if group.pk in answers else {}
        now = {"code": group.code, "goes": goes_word(group), "what": group.what}
        if any(was.get(name, now[name]) != now[name] for name in now):
            return True
    return False


def set_destination(group: CardGroup, value: str) -> None:
    """`new`, `dive`, `later`, or `find-` and a find's key. Anything else changes nothing."""
    if value.startswith(FIND_PREFIX):
        key = value.removeprefix(FIND_PREFIX)
        if key.isascii() and key.isdigit() and len(key) < 19:
            find = Specimen.objects.filter(pk=key).first() if int(key) != group.find_id else group.find
            if find is not None:
                group.goes, group.find = CardGroup.Goes.FIND, find
    elif value in (CardGroup.Goes.NEW, CardGroup.Goes.DIVE, CardGroup.Goes.LATER):
        group.goes, group.find = value, None


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
    # a database constraint ties the two
    if group.goes == CardGroup.Goes.FIND and group.find:
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
