"""What was said so far, as chips that can be taken back, and questions with their answers."""

from dataclasses import dataclass

from django.http import QueryDict
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_drawing import mark_drawing

from .mark_said import MARK_KEYS, SIDES
from .query import Said


@dataclass(frozen=True, slots=True)
class Chip:
    """Something said: its words, and the address without it."""

    words: str
    without: str


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer to a question: what to see, and the address with it."""

    term: str
    how_to_see: str
    address: str


@dataclass(frozen=True, slots=True)
class Question:
    """One question with its answers."""

    ask: str
    effort: str
    promise: str
    replies: tuple[Reply, ...]
    cannot_tell: str


def chips(query: QueryDict, said: Said, reference: dating.Reference) -> list[Chip]:
    """Each thing said, newest last, with the way to take it back."""
    out = []
    if said.mark:
        words = said.mark.get("letters") or said.mark.get("symbol") or f"a {said.mark.get('frame')}"
        beside = [f"{said.mark[side] or 'nothing'} {WHERE[side]}" for side in SIDES if side in said.mark]
        out.append(Chip("mark: " + ", ".join([words, *beside]), _without(query, *MARK_KEYS)))
    for name in said.features:
        doubt = " (doubtful)" if name in said.doubtful else ""
        out.append(Chip(reference.features[name].term + doubt, _less(query, name)))
    for key, label in (("contents", "held {}"), ("region", "from {}")):
        if key in said.case:
            out.append(Chip(label.format(said.case[key]), _without(query, key)))
    for known in said.case.get("known", ()):
        years = f"{known['from'] or ''}–{known['to'] or ''}"
        out.append(Chip(f"{known['what']}: {years}", _without(query, "after", "before", "why")))
    if "recovered" in said.case:
        out.append(Chip(f"came up in {said.case['recovered']}", _without(query, "recovered")))
    return out


def question_of(look: dating.Look, query: QueryDict, reference: dating.Reference) -> Question:
    """A look worth taking, with an address for each answer; "can't tell" passes on to the next."""
    features = [reference.features[name] for name in look.features if name in reference.features]
    single = len(features) == 1
    replies = tuple(
        Reply("Yes" if single else feature.term, feature.how_to_see, _more(query, "f", feature.id))
        for feature in features
    )
    # A question of one feature is set aside by that feature, a whole group by its name.
    aside = features[0].id if single else look.group
    return Question(look.ask, look.effort, look.words, replies, _more(query, "skip", aside))


def drawn_mark(said: Said) -> SafeString:
    """The mark as it was said; the drawing escapes every letter."""
    if not said.mark:
        return mark_safe("")
    shown = {key: said.mark.get(key) for key in ("frame", "symbol", "arrangement", *SIDES)}
    return mark_safe(mark_drawing(said.mark.get("letters", ""), **shown))


WHERE = {"left": "at the left", "right": "at the right", "above": "above", "below": "below"}


def _without(query: QueryDict, *keys: str) -> str:
    changed = query.copy()
    for key in keys:
        changed.pop(key, None)
    return f"?{changed.urlencode()}"


def _less(query: QueryDict, value: str) -> str:
    """The address without one feature, whichever question it answered."""
    changed = query.copy()
    for key in list(changed):
        if key in ("f", "doubt") or key.startswith("f-"):
            changed.setlist(key, [one for one in changed.getlist(key) if one != value])
    return f"?{changed.urlencode()}"


def _more(query: QueryDict, key: str, value: str) -> str:
    changed = query.copy()
    if value not in changed.getlist(key):
        changed.appendlist(key, value)
    return f"?{changed.urlencode()}"
