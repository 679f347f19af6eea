"""Mark readings as drawings, each with the makers it may stand for."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.utils.safestring import SafeString

import dating
from catalogue.pages.parts.table_marks import MARK_BASIS_WORDS
from catalogue.specimens.models import Maker, MarkReading, OwnMark, Specimen
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.reading.value import Reading
from catalogue.specimens.tables import reference_key

MOST_CANDIDATES = 4
LEAST_SHOWN = 0.02


@dataclass(frozen=True, slots=True)
class LikelyMaker:
    """A mark that a reading may be: whose, how probable, and the years it was used."""

    name: str
    maker: Maker | None
    probability: float
    used: str


@dataclass(frozen=True, slots=True)
class ReadMark:
    """One reading as the page shows it."""

    reading: MarkReading
    drawing: SafeString
    words: str
    candidates: list[LikelyMaker]

    @property
    def choice(self) -> bool:
        """Whether one can say whose it is: several fit, a maker of the catalogue among them."""
        return len(self.candidates) > 1 and any(each.maker for each in self.candidates)

    @property
    def query(self) -> str:
        """The reading as an address."""
        return urlencode(Reading.of_row(self.reading).query())


def read_marks(find: Specimen, shares: Sequence[dating.MarkShare] = ()) -> list[ReadMark]:
    """Each reading drawn, a town on the base round its edge, with its likely makers. Two queries at most."""
    readings = list(find.readings.all())
    town = next((i.text for i in find.inscriptions.all() if i.where == "base" and i.says == "town"), "")
    # The service numbers the readings that it was given: those with anything read of the mark itself.
    numbered = {reading.pk: n for n, reading in enumerate(r for r in readings if Reading.of_row(r).was_read)}
    makers = makers_of([share.id for share in shares if share.id])
    return [
        _drawn(
            reading,
            town[:24],
            _candidates([s for s in shares if s.reading == numbered.get(reading.pk)], makers),
        )
        for reading in readings
    ]


def _drawn(row: MarkReading, town: str, candidates: list[LikelyMaker]) -> ReadMark:
    reading, on_base = Reading.of_row(row), row.where == "base"
    town = town if on_base else ""
    drawn = mark_drawing(reading, town=town, base=on_base, words="")
    return ReadMark(row, drawn, reading.in_words(town), candidates)


def _candidates(shares: Sequence[dating.MarkShare], makers: dict[str, Maker]) -> list[LikelyMaker]:
    """The most probable makers of one reading; marks of one maker count together."""
    by_maker: dict[str, list[dating.MarkShare]] = {}
    for share in shares:
        by_maker.setdefault(share.maker, []).append(share)
    found = [
        LikelyMaker(
            name,
            makers.get(marks[0].id or ""),
            sum(mark.probability for mark in marks),
            _used(marks),
        )
        for name, marks in by_maker.items()
    ]
    found.sort(key=lambda each: -each.probability)
    return [each for each in found[:MOST_CANDIDATES] if each.probability >= LEAST_SHOWN]


def makers_of(mark_ids: Sequence[str]) -> dict[str, Maker]:
    """The maker behind each mark id: one query for own marks, one for published ones."""
    own = {mark_id: int(mark_id.removeprefix("own-")) for mark_id in mark_ids if mark_id.startswith("own-")}
    found: dict[str, Maker] = {}
    if own:
        own_marks = OwnMark.everything.select_related("maker").in_bulk(own.values())
        found |= {mark_id: own_marks[pk].maker for mark_id, pk in own.items() if pk in own_marks}
    published = dating.reference().marks
    keys = {
        mark_id: reference_key(published[mark_id].maker, published[mark_id].place)
        for mark_id in mark_ids
        if mark_id in published
    }
    if keys:
        rows = {
            maker.reference_key: maker for maker in Maker.everything.filter(reference_key__in=keys.values())
        }
        found |= {mark_id: rows[key] for mark_id, key in keys.items() if key in rows}
    return found


def _used(shares: Sequence[dating.MarkShare]) -> str:
    """The years in which any of these marks was used, in words.

    Where only the firm's years are known, and where they are from memory, it is said.
    """
    windows = [share.used for share in shares if share.used]
    tabled = dating.reference().marks
    rows = [tabled[share.id] for share in shares if share.id and share.id in tabled]
    of_firm = bool(rows) and len(rows) == len(shares) and all(row.window_of == "firm" for row in rows)
    span = _span(windows)
    if not span:
        return ""
    bases = {row.basis for row in rows} - {"published"}
    recalled = f", {MARK_BASIS_WORDS['memory' if bases == {'memory'} else 'partly']}" if bases else ""
    return f"{'the firm’s years:' if of_firm else 'used'} {span}{recalled}"


def _span(windows: Sequence[tuple[int | None, int | None]]) -> str:
    """From the first to the last year of any of these windows."""
    firsts = [first for first, _ in windows if first is not None]
    lasts = [last for _, last in windows if last is not None]
    # open on a side where any of them is
    first = min(firsts) if firsts and len(firsts) == len(windows) else None
    last = max(lasts) if lasts and len(lasts) == len(windows) else None
    if first is not None and last is not None:
        return f"{first}–{last}" if first != last else f"{first}"
    if first is not None:
        return f"from {first}"
    return f"until {last}" if last is not None else ""
