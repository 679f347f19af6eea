"""What was said so far, as chips that can be taken back or doubted."""

from dataclasses import dataclass

from django.http import QueryDict
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_drawing import mark_drawing

from .evidence_query import GHOST, Said
from .mark_said import MARK_KEYS, SIDES

WHERE = {"left": "at the left", "right": "at the right", "above": "above", "below": "below"}


@dataclass(frozen=True, slots=True)
class Chip:
    """Something said: its words, the address without it, and where it can be doubted the way to say so."""

    words: str
    without: str
    turn_words: str = ""
    turn: str = ""


def chips(query: QueryDict, said: Said, reference: dating.Reference) -> list[Chip]:
    """Each thing said, with the way to take it back."""
    out = []
    if said.mark:
        words = said.mark.get("letters") or said.mark.get("symbol") or "a mark"
        if said.mark.get("frame") not in (None, "", "none"):
            words += f" in a {said.mark['frame'].replace('-', ' ')}"
        beside = [f"{said.mark[side] or 'nothing'} {WHERE[side]}" for side in SIDES if side in said.mark]
        out.append(Chip("mark: " + ", ".join([words, *beside]), without(query, *MARK_KEYS)))
    if said.ghost:
        out.append(Chip("the ghost of a fired label (doubtful)", less(query, GHOST)))
    out += [_feature(name, query, said, reference) for name in said.features]
    for key, label in (("contents", "held {}"), ("region", "from {}")):
        if key in said.case:
            out.append(Chip(label.format(said.case[key]), without(query, key)))
    for known in said.sound_known:
        out.append(Chip(known.words, without(query, *known.keys)))
    if "recovered" in said.case:
        out.append(Chip(f"came up in {said.case['recovered']}", without(query, "recovered")))
    if said.text:
        out.append(Chip(f"reads {said.text}", without(query, "inscription")))
    return out


def _feature(name: str, query: QueryDict, said: Said, reference: dating.Reference) -> Chip:
    term = reference.features[name].term
    if name in said.doubtful:
        return Chip(f"{term} (doubtful)", less(query, name), "sure after all", less(query, name, ("doubt",)))
    return Chip(term, less(query, name), "not sure", more(query, "doubt", name))


def drawn_mark(said: Said) -> SafeString:
    """The mark as it was said; the drawing escapes every letter."""
    if not said.mark:
        return mark_safe("")
    shown = {key: said.mark.get(key) for key in ("frame", "symbol", "arrangement", *SIDES)}
    return mark_safe(mark_drawing(said.mark.get("letters", ""), **shown))


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
