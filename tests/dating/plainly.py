"""The rule of a mark reading, written out plainly: every mark, every alignment, every year, nothing kept.

By the design's words on the arithmetic of years, not by the code: it judges the quick way. Only what the
characters beside a mark mean under each scheme, and letters in any order, are asked of the service (which has
tests of its own for them).
"""

from functools import cache

from dating import Case, Reference
from dating.case import MarkReading
from dating.edit_distance import any_order
from dating.schemes import effect
from dating.tables import Mark
from dating.years import axis_to

RIGHT, WORN, WRONG, LOST, END, TURNED = 0.95, 0.03, 0.0006, 0.02, 0.0004, 0.02
LOOK_ALIKES = ("O0QDCG", "I1LT", "5S", "8B3", "2Z", "MW", "NZ", "VU")
HEADS_DOWN = dict(zip("MW69AVL7", "WM96VA7L", strict=True))
SHARES = {"few": 0.05, "some": 1.0, "many": 2.0, "own": 4.0}
Places = tuple[frozenset[str], ...]


def seen(place: frozenset[str], letter: str) -> float:
    """The chance that a place was read so where the mark has this letter."""
    chances = []
    for read in place:
        alike = any(read in group and letter in group for group in LOOK_ALIKES)
        chances.append(1.0 if read == "?" else RIGHT if read == letter else WORN if alike else WRONG)
    return sum(chances) / len(chances)


def aligned(places: Places, letters: str) -> float:
    """The chance of the best alignment, tried from every letter on."""
    end = END if len(places) >= 4 else 0.0

    @cache
    def best(place: int, letter: int) -> float:
        left = len(letters) - letter
        if place == len(places):
            return max(LOST**left, end if left else 0.0)
        gap = places[place] == {"*"}
        ways = [best(place + 1, letter) * (1.0 if gap else LOST)]
        if left:
            ways.append(best(place, letter + 1) * (1.0 if gap else LOST))
            if not gap:
                ways.append(best(place + 1, letter + 1) * seen(places[place], letters[letter]))
        return max(ways)

    whole = max([best(0, 0), *(end * best(0, worn) for worn in range(1, len(letters) + 1))])
    read = sum(place not in ({"?"}, {"*"}) for place in places)
    return float(whole * (1 / 26) ** max(0, read - len(letters) - 1))


def either_way(places: Places, letters: str) -> float:
    """Upright, or at a price upside down or from behind, where there are as many letters."""
    behind = tuple(reversed(places))
    below = tuple(frozenset(HEADS_DOWN.get(c, c) for c in place) for place in behind)
    others = [one for one in (below, behind) if one != places] if len(letters) <= len(places) else []
    return max([aligned(places, letters), *(TURNED * aligned(other, letters) for other in others)])


def letters_chance(places: Places, mark: Mark) -> float:
    """The best of the ways to read the letters; one 8 or more may be a worn ampersand."""
    without = tuple(place for place in places if place != {"8"})
    if mark.arrangement in ("monogram", "interlaced"):
        return max(either_way(places, mark.letters), any_order(places, mark.letters))
    if mark.arrangement == "with-ampersand" and without and without != places:
        return max(either_way(places, mark.letters), WORN * either_way(without, mark.letters))
    return either_way(places, mark.letters)


def part(read: str | None, real: str, nothing: str) -> float:
    """Frame, symbol or arrangement seen right, missed, or taken for another."""
    if read is None:
        return 1.0
    return 0.95 if read == real else 0.1 if read == nothing else 0.01


def shares(ref: Reference) -> dict[str, float]:
    """The chance of each mark before reading: 0.8 among makers, then among a maker's variants."""
    hands: dict[str, list[Mark]] = {}
    for mark in ref.marks.values():
        unknown = mark.maker.lower().startswith(("unidentified", "not identified"))
        hands.setdefault(mark.id if unknown else mark.maker, []).append(mark)
    weight = {mark.id: SHARES[mark.common.commonness] for mark in ref.marks.values()}
    most = {hand: max(weight[mark.id] for mark in marks) for hand, marks in hands.items()}
    whole = sum(value for value in most.values() if value > SHARES["few"])
    found = {}
    for hand, marks in hands.items():
        usual = [weight[m.id] for m in marks if weight[m.id] > SHARES["few"]] or [weight[m.id] for m in marks]
        for mark in marks:
            found[mark.id] = 0.8 * most[hand] / whole * weight[mark.id] / sum(usual)
    return found


def factor(reading: MarkReading, case: Case, places: Places, unknown: float, ref: Reference) -> list[float]:
    """F(y), scaled to its highest; ``unknown`` is the chance that a mark in no table reads so."""
    axis = axis_to(case.last_year)
    values = [0.2 * unknown * characters for characters in characters_by_year(None, reading, case, ref)]
    for mark in ref.marks.values():
        chance = shares_of(ref)[mark.id] * letters_chance(places, mark)
        chance *= part(reading.symbol, mark.symbol, "") * part(reading.frame, mark.frame, "none")
        chance *= part(reading.arrangement, mark.arrangement, "plain")
        if case.region and not ref.places.mark_fits(mark.country, case.region):
            chance *= 0.25
        by_year = characters_by_year(mark, reading, case, ref)
        shape = ref.shapes[mark.id]
        for n, year in enumerate(axis.years):
            values[n] += chance * shape.at(year) * by_year[n]
    top = max(values)
    return [value / top for value in values]


def characters_by_year(mark: Mark | None, reading: MarkReading, case: Case, ref: Reference) -> list[float]:
    """P(characters | mark, year): a code is due in some years, allows some, or says nothing."""
    axis = axis_to(case.last_year)
    under = effect(mark, reading, case, ref, axis)
    more = dict(under.more)
    absent = [any(low <= year <= high for low, high in under.absent_in) for year in axis.years]
    return [
        (under.everywhere + more.get(year, 0.0)) * (0.03 if missed else 1.0)
        for year, missed in zip(axis.years, absent, strict=True)
    ]


@cache
def shares_of(ref: Reference) -> dict[str, float]:
    """The shares before reading, worked out once."""
    return shares(ref)
