"""Which date-code schemes hold for a bottle, and how the characters beside its mark bear on the years.

Rules of law for a whole class of bottles are schemes that need proof that they were in force.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from .case import SLOTS, Case, MarkReading
from .codes import DateCode, digits_read, unreadable, years_allowed
from .constants import CODE_OTHER, CODE_RIGHT
from .library import Reference
from .places import alike
from .tables import Mark
from .years import Axis, Spans, span


@dataclass(frozen=True, slots=True)
class Effect:
    """P(characters | year): ``everywhere``, plus ``more`` in the years that the code allows.

    ``absent_in`` are the years in which a code was due and none was found.
    """

    everywhere: float = 1.0
    more: tuple[tuple[int, float], ...] = ()
    absent_in: Spans = ()
    codes: tuple[DateCode, ...] = ()

    @property
    def years(self) -> tuple[int, ...]:
        """The years that the code allows."""
        return tuple(year for year, _ in self.more)


def _folded(found: str) -> str:
    """A binding as it is compared."""
    return alike(found.strip()).casefold()


def _same(wanted: str, found: str | None) -> bool | None:
    """Whether a binding fits: True, False, or None where nothing is known."""
    if not wanted:
        return True
    if not found or found == "any":
        return None
    return _folded(found) in {_folded(word) for word in wanted.split(";")}


def fit(code: DateCode, case: Case, mark: Mark | None) -> bool | None:
    """Whether a scheme holds for the bottle: True, False, or None where a condition is not known."""
    region = case.region or (mark.country if mark and not code.mark_ids else None)
    answers = (
        _same(code.contents, case.contents) or _same(code.contents, case.within),
        _same(code.bottler, case.bottler),
        _same(code.product, case.product),
        _same(code.works, case.works),
        _same(code.region, region),
        True if in_force(code, case, mark) else None,
    )
    return False if False in answers else None if None in answers else True


def _most_specific(codes: Iterable[DateCode]) -> tuple[DateCode, ...]:
    listed = tuple(codes)
    most = max((c.bindings for c in listed), default=0)
    return tuple(c for c in listed if c.bindings == most)


def slots_of(code: DateCode, reading: MarkReading) -> tuple[str, ...]:
    """Where beside the mark the scheme's characters can stand on this reading."""
    if code.position in SLOTS:
        return (code.position,)
    if code.position == "any" or reading.at is None or reading.at == code.position:
        return SLOTS
    return ()


def schemes_for(
    mark: Mark | None, reading: MarkReading, case: Case, ref: Reference, axis: Axis
) -> tuple[DateCode, ...]:
    """The schemes in force for a mark (None: one not in the tables); the most specific that fit.

    A scheme bound to something not known is used only where no other scheme reads the characters as a year.
    A rule for a whole class of bottles holds only where the class is known and the mark has none of its own.
    """
    own = ref.codes_of.get(mark.id, ()) if mark else ()
    fits = [(code, fit(code, case, mark)) for code in (own or ref.class_codes)]
    usable = [
        (c, f) for c, f in fits if c.kind != "other" and (c.mark_ids or c.bindings) and slots_of(c, reading)
    ]
    sure = _most_specific(c for c, f in usable if f)
    if own and not any(_years_at(code, reading, axis) for code in sure):
        maybe = tuple(c for c, f in usable if f is None and _years_at(c, reading, axis))
        if maybe:
            return maybe
    return sure


def _chars(code: DateCode, reading: MarkReading) -> dict[str, str]:
    """The characters that the scheme may read, by slot; month and year may stand on both sides."""
    if code.kind == "month-year" and reading.left and reading.right:
        return {"right": f"{reading.left} {reading.right}"}
    slots = reading.slots
    return {slot: chars for slot in slots_of(code, reading) if (chars := slots[slot])}


def _years_at(code: DateCode, reading: MarkReading, axis: Axis) -> dict[str, tuple[int, ...]]:
    found = {}
    for slot, chars in _chars(code, reading).items():
        years = () if unreadable(chars) and code.kind != "dot-table" else _allowed(code, chars, axis)
        if years:
            found[slot] = years
    return found


def _allowed(code: DateCode, chars: str, axis: Axis) -> tuple[int, ...]:
    return years_allowed(code, chars, axis.first, axis.last)


BINDINGS = ("contents", "bottler", "product", "works", "region")
NO_SCHEMES = "\N{EM DASH}"  # stands for every word that no scheme is bound to


def bindings(case: Case, ref: Reference) -> tuple[str | None, ...]:
    """All that schemes can tell of a bottle: two with the same are alike to every one of them."""
    named = ref.remember(("bindings",), lambda: _named(ref))
    bound = [_as_bound(getattr(case, name), words) for name, words in zip(BINDINGS, named, strict=True)]
    if bound[0] == NO_SCHEMES:
        bound[0] = _as_bound(case.within, named[0])
    laws = [code.id for code in ref.law_codes if shown(code, case)] if case.features or case.known else []
    return (*bound, *laws)


def _named(ref: Reference) -> tuple[frozenset[str], ...]:
    codes = ref.date_codes.values()
    return tuple(
        frozenset(_folded(word) for code in codes for word in getattr(code, name).split(";"))
        for name in BINDINGS
    )


def _as_bound(found: str | None, words: frozenset[str]) -> str | None:
    if not found or found == "any":
        return found or None
    word = _folded(found)
    return word if word in words else NO_SCHEMES


class Effects:
    """How the characters beside a reading bear on the years of each mark, worked out when asked.

    It depends on the characters, on what schemes can tell of the bottle (``bindings``) and on the axis; marks
    without a year code differ by no more than their kind, save in when a code that is missed was due.
    """

    def __init__(self, reading: MarkReading, case: Case, ref: Reference, axis: Axis) -> None:
        self._asked = reading, case, ref, axis
        self._looked = any(chars is not None for chars in reading.slots.values())
        missed = "" in reading.slots.values()
        self._kinds = kinds_of_marks(ref) if self._looked and not missed else {}
        self._known: dict[str, Effect] = {}

    def of(self, mark: Mark | None) -> Effect:
        """The effect for a mark, None: for one that is not in the tables."""
        if not self._looked:
            return NO_CHARACTERS
        kind = UNTABLED if mark is None else self._kinds.get(mark.id, mark.id)
        if kind not in self._known:
            self._known[kind] = effect(mark, *self._asked)
        return self._known[kind]


NO_CHARACTERS, UNTABLED = Effect(), "\N{EM DASH}"


def kinds_of_marks(ref: Reference) -> dict[str, str]:
    """Of each mark without a year code: all that the characters beside it can depend on."""
    uncoded = (mark for name, mark in ref.marks.items() if name not in ref.year_coded)
    return ref.remember(
        ("kinds",),
        lambda: {m.id: "never a year" if m.id in ref.codes_of else law_class(m, ref) for m in uncoded},
    )


def effect(mark: Mark | None, reading: MarkReading, case: Case, ref: Reference, axis: Axis) -> Effect:
    """How the characters beside the mark bear on the years, for one candidate mark."""
    numbers = 1.0
    for chars in reading.slots.values():
        numbers *= 10.0 ** -digits_read(chars or "")
    codes = schemes_for(mark, reading, case, ref, axis)
    return _effect(codes, mark, reading, axis, numbers) if codes else Effect(numbers)


def _effect(
    codes: tuple[DateCode, ...], mark: Mark | None, reading: MarkReading, axis: Axis, numbers: float
) -> Effect:
    places = {slot for code in codes for slot in slots_of(code, reading)}
    filled = {slot for slot in places if reading.slots[slot]}
    if not filled:
        looked = any(reading.slots[slot] == "" for slot in places)
        return Effect(numbers, (), _due(codes, mark) if looked else (), codes)
    readable = {slot for slot in filled if not unreadable(reading.slots[slot] or "")}
    by_slot: dict[str, set[int]] = {}
    for code in codes:
        for slot, allowed in _years_at(code, reading, axis).items():
            by_slot.setdefault(slot, set()).update(allowed)
    if not readable and not by_slot:
        return Effect(numbers, (), (), codes)  # something is there: no news
    more: dict[int, float] = {}
    for slot, years in by_slot.items():
        others = numbers * 10.0 ** digits_read(reading.slots[slot] or "")
        for year in years:
            more[year] = more.get(year, 0.0) + CODE_RIGHT * others / max(1, len(readable))
    return Effect(CODE_OTHER * numbers, tuple(sorted(more.items())), (), codes)


def _due(codes: tuple[DateCode, ...], mark: Mark | None) -> Spans:
    """The years in which a code is due; where it spans the mark's own years, the mark's soft ends too."""
    starts = [code.valid_from for code in codes]
    stops = [code.valid_to for code in codes]
    start = None if None in starts else min(s for s in starts if s is not None)
    stop = None if None in stops else max(s for s in stops if s is not None)
    if mark and start is not None and mark.used_from is not None and start <= mark.used_from:
        start = None
    if mark and stop is not None and mark.used_to is not None and stop >= mark.used_to:
        stop = None
    return span(start, stop)


def in_force(code: DateCode, case: Case, mark: Mark | None = None) -> bool:
    """Whether a rule of law is shown to hold: by a wording on the glass, or by evidence of its years."""
    if not code.only_with:
        return True
    if mark and _begins(mark.used_from, code):
        return True
    return shown(code, case)


def shown(code: DateCode, case: Case) -> bool:
    """The same by what stands on the bottle beside its marks, or is known of it."""
    seen = {feature.id for feature in case.features if feature.certainty != "doubtful"}
    return bool(seen & set(code.only_with)) or any(
        _begins(known.start, code) for known in case.known if known.certainty != "doubtful"
    )


def law_class(mark: Mark, ref: Reference) -> str:
    """All that the rules for a whole class of bottles can tell of a mark without schemes of its own."""
    begun = [code.id for code in ref.law_codes if _begins(mark.used_from, code)]
    return " ".join((mark.country, *begun))


def _begins(year: int | None, code: DateCode) -> bool:
    return year is not None and code.or_from is not None and year >= code.or_from
