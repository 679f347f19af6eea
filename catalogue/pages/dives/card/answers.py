"""What a person typed beside the groups of a card."""

from dataclasses import dataclass

from django.db import transaction
from django.http import QueryDict

from catalogue.common.limits import NAME_LENGTH
from catalogue.photos.card_grouping import tag_key
from catalogue.photos.models import CardGroup
from catalogue.photos.models.card import CODE_LENGTH
from catalogue.photos.services.cards import finds_by_code
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen

FIND = "find-"


@dataclass(frozen=True, slots=True)
class Answer:
    """One group's fields as they came; a field that did not come is None and stays as it was."""

    code: str | None
    goes: str | None
    what: str | None


def answer_for(group: CardGroup, sent: QueryDict) -> Answer:
    def plain(name: str, longest: int) -> str | None:
        value = sent.get(f"{name}-{group.pk}")
        return None if value is None else " ".join(value.replace("\0", "").split())[:longest]

    return Answer(plain("tag", CODE_LENGTH), plain("goes", 40), plain("what", NAME_LENGTH))


@transaction.atomic
def keep_answers(dive: Dive, sent: QueryDict) -> list[str]:
    """Write down what was typed beside each group; a sentence for each find chosen because of its tag."""
    groups = list(dive.card_groups.select_for_update())
    answers = {group.pk: answer_for(group, sent) for group in groups}
    finds = finds_by_code([answer.code for answer in answers.values() if answer.code], dive)
    said = []
    for group in groups:
        answer, was = answers[group.pk], (group.code, group.what, group.goes, group.find_id)
        new_tag = answer.code is not None and answer.code != group.code
        if new_tag:
            group.code = answer.code
        if answer.what is not None:
            group.what = answer.what
        if answer.goes is not None:
            put_goes(group, answer.goes)
        known = finds.get(tag_key(group.code)) if new_tag else None
        if known and group.goes == CardGroup.Goes.NEW:
            # Chosen for the person, and said: it is the piece that carries the tag just typed.
            group.goes, group.find = CardGroup.Goes.FIND, known
            said.append(f"{group.code} is the tag of {known.number}: its pictures go there.")
        group.touched |= was != (group.code, group.what, group.goes, group.find_id)
    CardGroup.objects.bulk_update(groups, ["code", "what", "goes", "find", "touched"])
    return said


def put_goes(group: CardGroup, value: str) -> None:
    """`new`, `dive`, `later`, or `find-` and a find's key. Anything else changes nothing."""
    if value.startswith(FIND):
        key = value.removeprefix(FIND)
        if key.isascii() and key.isdigit() and len(key) < 19:
            find = Specimen.objects.filter(pk=key).first() if int(key) != group.find_id else group.find
            if find is not None:
                group.goes, group.find = CardGroup.Goes.FIND, find
    elif value in (CardGroup.Goes.NEW, CardGroup.Goes.DIVE, CardGroup.Goes.LATER):
        group.goes, group.find = value, None
