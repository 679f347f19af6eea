"""The buttons of the page, each one thing done to the card; every one returns what to say, or nothing."""

import re
from collections.abc import Callable

from django.http import QueryDict

from catalogue.common.limits import NAME_LENGTH
from catalogue.photos.models import CardGroup, CardPicture
from catalogue.photos.models.card import CODE_LENGTH
from catalogue.photos.services import cards
from catalogue.photos.services.card_filing import GroupAnswer, unseen_changes
from catalogue.sites.models import Dive

TICK_FIRST = "Tick the pictures first, then choose what to do with them."
NEW_GROUPS = (CardGroup.Goes.NEW, CardGroup.Goes.DIVE, CardGroup.Goes.LATER)
_ANSWER_FIELD = re.compile("(?:tag|goes|what)-([0-9]{1,18})")
CHANGED = "The card has changed meanwhile: look again."
LOOK_FIRST = "Look at them, then press it once more."


class CannotDo(Exception):
    """A button pressed too early; the sentence says what is missing."""


def keys_in(words: list[str]) -> list[int]:
    """Keys of pictures or groups; what is no key is passed over."""
    return [int(word) for word in words if word.isascii() and word.isdigit() and len(word) < 19]


def answers_in(sent: QueryDict) -> dict[int, GroupAnswer]:
    """What was typed beside each group, by the group's key."""
    keys = {int(named[1]) for name in sent if (named := _ANSWER_FIELD.fullmatch(name))}
    return {pk: _answer(pk, sent) for pk in keys}


def _answer(pk: int, sent: QueryDict) -> GroupAnswer:
    def plain(name: str, longest: int) -> str | None:
        value = sent.get(f"{name}-{pk}")
        return None if value is None else " ".join(value.split())[:longest]

    boxes = {"code": ("tag", CODE_LENGTH), "goes": ("goes", 40), "what": ("what", NAME_LENGTH)}
    was = {name: plain(f"was-{box}", longest) for name, (box, longest) in boxes.items()}
    shown = {name: value for name, value in was.items() if value is not None}
    code, goes, what = (plain(box, longest) for box, longest in boxes.values())
    return GroupAnswer(code, goes, what, shown)


def ticked(sent: QueryDict) -> list[int]:
    keys = keys_in(sent.getlist("tick"))
    if not keys:
        raise CannotDo(TICK_FIRST)
    return keys


def group_of(dive: Dive, word: str) -> CardGroup:
    group = dive.card_groups.filter(pk__in=keys_in([word])).select_related("dive").first()
    if group is None:
        raise CannotDo(CHANGED)
    return group


def sort(dive: Dive, sent: QueryDict) -> str:
    count = cards.sort_card(dive)
    return f"{count} pictures put into groups: look through them." if count else ""


def again(dive: Dive, sent: QueryDict) -> str:
    if unseen_changes(dive, answers_in(sent)):
        raise CannotDo(f"Nothing was proposed anew: another page typed beside these groups. {LOOK_FIRST}")
    cards.start_over(dive)
    return "The groups are proposed anew."


def move(dive: Dive, sent: QueryDict) -> str:
    keys, to = ticked(sent), sent.get("to", "")
    if to in NEW_GROUPS:
        moved = cards.move_pictures(dive, keys, None, goes=to)
    else:
        moved = cards.move_pictures(dive, keys, group_of(dive, to))
    return counted(moved, "moved")


def begin(dive: Dive, sent: QueryDict) -> str:
    keys = ticked(sent)
    if len(keys) != 1:
        raise CannotDo("Tick one picture: the one the piece begins with.")
    code = " ".join(sent.get("begin-tag", "").split())[:CODE_LENGTH]
    try:
        group = cards.begin_piece(dive, keys[0], code)
    except CardPicture.DoesNotExist:
        raise CannotDo(CHANGED) from None
    return f"{group.code or 'A piece'} begins there."


def join(dive: Dive, sent: QueryDict) -> str:
    cards.join_to_earlier(group_of(dive, sent.get("act", "").removeprefix("join-")))
    return "Put together."


def role(dive: Dive, sent: QueryDict) -> str:
    keys = ticked(sent)
    try:
        return counted(cards.set_roles(dive, keys, sent.get("role", "")), "set")
    except ValueError:
        raise CannotDo("Choose one of the roles in the list.") from None


def drop(dive: Dive, sent: QueryDict) -> str:
    return counted(cards.take_off(dive, ticked(sent)), "taken off the card")


def counted(count: int, done: str) -> str:
    if not count:
        raise CannotDo(CHANGED)
    return f"{count} {'picture' if count == 1 else 'pictures'} {done}."


def save(dive: Dive, sent: QueryDict) -> str:
    return ""


ACTS: dict[str, Callable[[Dive, QueryDict], str]] = {
    "sort": sort,
    "again": again,
    "move": move,
    "begin": begin,
    "role": role,
    "drop": drop,
    "save": save,
}


def act_named(name: str) -> Callable[[Dive, QueryDict], str] | None:
    return join if name.startswith("join-") else ACTS.get(name)
