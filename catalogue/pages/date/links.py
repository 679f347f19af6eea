"""Links of the page that dates a bottle: each thing said as a chip, each answer to a question.

Everything said stands in the query string, so a chip leads to the address without it, and a reply to the
address with one thing more.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import QueryDict

import dating
from catalogue.pages.parts.choices import region_words
from catalogue.pages.parts.evidence_query import GHOST, QueryEvidence
from catalogue.pages.parts.looks import answers_of, aside_of, at_once, brings_of
from catalogue.specimens.evidence import FIRED_LABEL
from catalogue.specimens.models.words import Contents
from catalogue.specimens.reading.value import IN_ADDRESS, NONE, SIDES, Reading

GHOST_WORDS = ("Only its ghost", "A stain or a faint design where sand may have worn a fired label off.")


@dataclass(frozen=True, slots=True)
class Chip:
    """Something said: its words, the address without it, and where it can be doubted the way to say so."""

    words: str
    without: str
    turn_words: str = ""
    turn: str = ""


def chips(query: QueryDict, read: QueryEvidence, reference: dating.Reference) -> list[Chip]:
    """Each thing said, with the way to take it back."""
    out = []
    if read.mark.was_read:
        out.append(Chip(f"mark: {_mark_words(read.mark)}", without(query, *IN_ADDRESS)))
    if read.ghost:
        out.append(Chip("the ghost of a fired label (doubtful)", less(query, GHOST)))
    out += [_feature(name, query, read, reference) for name in read.features]
    if "contents" in read.case:
        out.append(Chip(f"held {Contents(read.case['contents']).label}", without(query, "contents")))
    if "region" in read.case:
        out.append(Chip(f"made or sold in: {region_words(read.case['region'])}", without(query, "region")))
    for known in read.sound_known:
        out.append(Chip(known.words, without(query, *known.keys)))
    if "recovered" in read.case:
        out.append(Chip(f"came up in {read.case['recovered']}", without(query, "recovered")))
    if read.text:
        out.append(Chip(f"reads {read.text}", without(query, "inscription")))
    return out


def _mark_words(mark: Reading) -> str:
    words = mark.letters or mark.symbol or "a mark"
    if mark.frame not in (None, "", NONE):
        words += f" in a {str(mark.frame).replace('-', ' ')}"
    return ", ".join([words, *(f"{chars or 'nothing'} {SIDES[side]}" for side, chars in mark.beside.items())])


def _feature(name: str, query: QueryDict, read: QueryEvidence, reference: dating.Reference) -> Chip:
    term = reference.features[name].term
    if name in read.doubtful:
        return Chip(f"{term} (doubtful)", less(query, name), "sure after all", less(query, name, ("doubt",)))
    return Chip(term, less(query, name), "not sure", more(query, "doubt", name))


def without(query: QueryDict, *keys: str) -> str:
    """The address without some keys."""
    changed = query.copy()
    for key in keys:
        changed.pop(key, None)
    return f"?{changed.urlencode()}"


def less(query: QueryDict, value: str, keys: tuple[str, ...] = ("f", "doubt")) -> str:
    """The address without one answer, whichever question it answered."""
    changed = query.copy()
    for key in list(changed):
        if key in keys or ("f" in keys and key.startswith("f-")):
            changed.setlist(key, [one for one in changed.getlist(key) if one != value])
    return f"?{changed.urlencode()}"


def more(query: QueryDict, key: str, value: str) -> str:
    """The address with one thing more."""
    changed = query.copy()
    if value not in changed.getlist(key):
        changed.appendlist(key, value)
    return f"?{changed.urlencode()}"


def with_value(query: QueryDict, key: str, value: object) -> str:
    """The address with one value in place of those of that key."""
    changed = query.copy()
    changed[key] = str(value)
    return f"?{changed.urlencode()}"


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer to a question: what to see, and the address with it."""

    term: str
    how_to_see: str
    address: str
    feature: str = ""


@dataclass(frozen=True, slots=True)
class LinkedQuestion:
    """One question with its answers."""

    ask: str
    effort: str
    promise: str
    replies: tuple[Reply, ...]
    cannot_tell: str

    @property
    def first_replies(self) -> Sequence[Reply]:
        return at_once(self.replies)[0]

    @property
    def other_replies(self) -> Sequence[Reply]:
        return at_once(self.replies)[1]


def question_of(
    look: dating.Look, query: QueryDict, reference: dating.Reference, finding: dating.Finding | None = None
) -> LinkedQuestion:
    """A look worth taking, with an address for each answer; "can't tell" passes on to the next.

    Once something is known of the years, the answers that were usual in them come first.
    """
    answers = answers_of(look, reference, finding)
    replies = [
        Reply(each.term, each.how_to_see, more(query, "f", each.feature), each.feature) for each in answers
    ]
    if any(each.feature == FIRED_LABEL for each in answers):
        replies.append(Reply(*GHOST_WORDS, more(query, "f", GHOST)))
    cannot_tell = more(query, "skip", aside_of(look, answers))
    return LinkedQuestion(look.ask, look.effort, promise_of(look), tuple(replies), cannot_tell)


def promise_of(look: dating.Look) -> str:
    """What to look at and what it may bring: “… how was the lip made? Likely to halve the range”."""
    ask, brings = look.ask, brings_of(look)
    return f"{ask} {brings[:1].upper()}{brings[1:]}" if ask.endswith("?") else f"{ask}: {brings}"
