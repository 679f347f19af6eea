"""Grouping of a camera's card by time gaps and tags: which pictures seem to show which piece.

The habit it builds on: the tag is shot first, then the piece. So a picture that shows a tag begins a piece
and the ones after it follow, until the next tag. Where a tag could not be read, a pause as long as those
before the other tags begins a piece too. Figures marked "ours" have no source; the person sees the reason of
every group and moves what is wrong.
"""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from statistics import median

# Ours: without any tag, a piece is taken to end at a pause this long that is also this many usual gaps long.
PAUSE_S, PAUSE_GAPS = 60.0, 5.0
# Ours: with tags, a pause counts from this part of the usual pause before a tag, and never a shorter one.
PART_OF_USUAL, SHORTEST_S = 0.6, 15.0
# Ours: fewer pauses before tags than this say nothing about the usual one.
ENOUGH_PAUSES = 2


class GroupReason(StrEnum):
    """What made a group begin."""

    TAG = "tag"
    UNREAD = "unread"
    PAUSE = "pause"
    START = "start"
    SEVERAL = "several"
    HAND = "hand"


@dataclass(frozen=True, slots=True)
class CardShot:
    """One picture of the card. `key` and `group` are the caller's; `group` where it is sorted already.

    `when` is the camera's own clock; `codes` the tags read in it; `unread` says that a tag is there but too
    blurred to read; `by_hand` that a person put it into its group.
    """

    key: int
    name: str
    when: datetime | None = None
    codes: tuple[str, ...] = ()
    unread: bool = False
    group: int | None = None
    by_hand: bool = False


@dataclass(slots=True)
class ProposedGroup:
    """Pictures that seem to show one piece. `group` is the one they join, None for a new one.

    `pause_s` is how long before its first picture nothing was taken, where that is what begins it.
    """

    why: GroupReason
    code: str = ""
    group: int | None = None
    pause_s: float | None = None
    keys: list[int] = field(default_factory=list)


def tag_key(text: str) -> str:
    """What two writings of one tag share: "T-65", "t 065" and "T65" are the same tag."""
    plain = re.sub(r"[\s._/#-]+", "", text).upper()
    return re.sub(r"(?<!\d)0+(?=\d)", "", plain)


def in_order(shots: Iterable[CardShot]) -> list[CardShot]:
    """As they were taken: by the clock, and by name where the clock says nothing.

    A picture without a time stands after the one before it by name.
    """
    by_name = sorted(shots, key=lambda shot: (counted(shot.name), shot.key))
    timed: list[tuple[datetime, int, CardShot]] = []
    last = min((shot.when for shot in by_name if shot.when), default=datetime.min)
    for place, shot in enumerate(by_name):
        last = shot.when or last
        timed.append((last, place, shot))
    return [shot for *_, shot in sorted(timed, key=lambda row: row[:2])]


def counted(name: str) -> list[tuple[int, str]]:
    """A file's name so that IMG_9 sorts before IMG_10."""
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in re.split(r"(\d+)", name.lower())]


def propose(shots: Iterable[CardShot], *, groups: Mapping[int, str] | None = None) -> list[ProposedGroup]:
    """Groups for the shots that are in none yet, in the order they were taken.

    `groups` are the tags of the groups there already: a new picture joins one that it follows, or whose tag
    it shows.
    """
    row = in_order(shots)
    gaps = gaps_of(row)
    longest = pause_that_parts(row, gaps)
    # Where pauses tell pieces apart, a blur without one before it is a code on the piece itself.
    told_apart = math.isfinite(longest) and any(map(begins_by_tag, row))
    known = {
        tag_key(code): ProposedGroup(GroupReason.TAG, code, group)
        for group, code in (groups or {}).items()
        if code
    }
    by_group = {proposed.group: proposed for proposed in known.values()}
    found: list[ProposedGroup] = []
    current: ProposedGroup | None = None
    for shot, gap in zip(row, gaps, strict=True):
        if shot.group is not None:
            if not shot.by_hand:
                current = by_group.setdefault(shot.group, ProposedGroup(GroupReason.HAND, group=shot.group))
            continue
        paused = gap is not None and gap >= longest
        started = group_started_by(shot, gap if paused else None, current, told_apart=told_apart)
        if len(shot.codes) == 1:
            # The same tag shot again later leads back to its piece.
            current = known.setdefault(
                tag_key(shot.codes[0]), started or ProposedGroup(GroupReason.TAG, shot.codes[0])
            )
        elif started is not None and started.why is GroupReason.SEVERAL:
            # A picture of many pieces together is nobody's beginning; what follows goes on as before.
            started.keys.append(shot.key)
            found.append(started)
            continue
        else:
            current = started or current
        assert current is not None
        if not any(current is proposed for proposed in found):
            found.append(current)
        current.keys.append(shot.key)
    return found


def group_started_by(
    shot: CardShot, pause_s: float | None, current: ProposedGroup | None, *, told_apart: bool
) -> ProposedGroup | None:
    """The group that this shot begins, or None where it goes on with the current one.

    `pause_s`: the pause before it, where that is long enough to part pieces; `told_apart`: whether pauses
    do so before every tag of this card.
    """
    if len(shot.codes) > 1:
        return ProposedGroup(GroupReason.SEVERAL)
    if shot.codes:
        return ProposedGroup(GroupReason.TAG, shot.codes[0])
    if shot.unread and (pause_s is not None or current is None or not told_apart):
        return ProposedGroup(GroupReason.UNREAD)
    if current is None:
        return ProposedGroup(GroupReason.START)
    return ProposedGroup(GroupReason.PAUSE, pause_s=pause_s) if pause_s is not None else None


def gaps_of(row: Sequence[CardShot]) -> list[float | None]:
    """Seconds from the picture before to each; None for the first and where a time is missing."""
    gaps: list[float | None] = [None]
    for before, shot in zip(row, row[1:], strict=False):
        if before.when is None or shot.when is None:
            gaps.append(None)
        else:
            gaps.append((shot.when - before.when).total_seconds())
    return gaps[: len(row)]


def pause_that_parts(row: Sequence[CardShot], gaps: Sequence[float | None]) -> float:
    """The seconds from which a pause begins a piece; infinite where pauses say nothing."""
    before_tags = [
        gap for shot, gap in zip(row, gaps, strict=True) if gap is not None and begins_by_tag(shot)
    ]
    others = [gap for shot, gap in zip(row, gaps, strict=True) if gap is not None and not begins_by_tag(shot)]
    usual = median(others) if others else 0.0
    if len(before_tags) >= ENOUGH_PAUSES:
        # The pause before a tag must stand out from the others, or it can't tell a piece from a picture.
        longest = max(SHORTEST_S, PART_OF_USUAL * median(before_tags))
        return longest if longest > 2 * usual else math.inf
    if any(shot.codes for shot in row):
        return math.inf
    return max(PAUSE_S, PAUSE_GAPS * usual)


def begins_by_tag(shot: CardShot) -> bool:
    """Whether exactly one tag is read in it."""
    return len(shot.codes) == 1
