"""The collection in the order of years: pieces that are dated alike grouped by decade, and how many of each
group are shown. Pure: it is added up from how many finds have each stored spread, never from all finds.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from urllib.parse import urlencode

from catalogue.specimens.stored_answer import middle_year

# Decades at the beginning stand under one caption as long as they hold no more than this share of the dated
# pieces, and no more than so many.
EARLY_SHARE, MOST_EARLY = 1 / 8, 12
NOT_DATED, YEARS_DISAGREE = "not yet dated", "years disagree"


@dataclass(frozen=True, slots=True)
class AlikeDated:
    """So many finds have this stored spread; `conflict`: what was seen on them can't all be right."""

    spread: str
    conflict: bool
    count: int


@dataclass(slots=True)
class YearGroup:
    """Finds under one caption; `query` leads to them in the list of finds, `most` of them are shown."""

    caption: str
    query: str
    alike: list[AlikeDated] = field(default_factory=list)
    most: int = 0

    @property
    def count(self) -> int:
        return sum(each.count for each in self.alike)

    @property
    def more(self) -> int:
        """How many are not shown."""
        return self.count - self.most

    def shown(self) -> list[AlikeDated]:
        """Which, in the order of years: `count` is how many of them."""
        left, found = self.most, []
        for each in self.alike:
            if left <= 0:
                break
            found.append(AlikeDated(each.spread, each.conflict, min(left, each.count)))
            left -= each.count
        return found


def year_groups(found: Iterable[AlikeDated], most: int) -> list[YearGroup]:
    """Groups in the order of years, at most `most` pieces shown in all; the undated stand at the end."""
    decades: dict[int, YearGroup] = {}
    disagree = YearGroup(YEARS_DISAGREE, urlencode({"sort": "made"}))
    undated = YearGroup(NOT_DATED, urlencode({"decade": "-"}))
    for each in sorted(found, key=lambda each: (middle_year(each.spread) or 0, each.spread)):
        middle = middle_year(each.spread)
        if middle is None:
            undated.alike.append(each)
        elif each.conflict:
            disagree.alike.append(each)
        else:
            decade = middle // 10 * 10
            named = YearGroup(f"{decade}s", urlencode({"decade": decade}))
            decades.setdefault(decade, named).alike.append(each)
    groups = [*_early_as_one(decades), *(group for group in (disagree, undated) if group.alike)]
    for group, share in zip(groups, even_shares([group.count for group in groups], most), strict=True):
        group.most = share
    return groups


def _early_as_one(decades: dict[int, YearGroup]) -> list[YearGroup]:
    """A few old pieces far apart need no caption each."""
    most = min(MOST_EARLY, EARLY_SHARE * sum(group.count for group in decades.values()))
    early: list[YearGroup] = []
    for decade in sorted(decades):
        early.append(decades[decade])
        if sum(group.count for group in early) > most:
            break
    # the last one made it too many
    early = early[:-1]
    if len(early) < 2:
        return [decades[decade] for decade in sorted(decades)]
    late = sorted(decades)[len(early) :]
    one = YearGroup(f"before {late[0]}", urlencode({"years_to": late[0] - 1}))
    one.alike = [each for group in early for each in group.alike]
    return [one, *(decades[decade] for decade in late)]


def even_shares(sizes: Sequence[int], most: int) -> list[int]:
    """How many of each are shown where `most` are shown in all: small groups whole, the others alike."""
    shares, left = [0] * len(sizes), most
    by_size = sorted(range(len(sizes)), key=lambda at: sizes[at])
    for done, at in enumerate(by_size):
        shares[at] = min(sizes[at], left // (len(sizes) - done))
        left -= shares[at]
    return shares
