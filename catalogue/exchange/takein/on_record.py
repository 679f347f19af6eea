"""What the catalogue has that rows may name, read once for a whole sheet."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from difflib import get_close_matches
from typing import Any, NamedTuple

import dating
from catalogue.common.text import folded
from catalogue.exchange.models import TakenRow
from catalogue.exchange.takeout.columns import FIND_COLUMNS, SheetCell
from catalogue.exchange.takeout.csv_file import plain_cell
from catalogue.exchange.takeout.rows import FindRow, rows_of
from catalogue.exchange.takeout.xlsx_file import NOT_IN_XML
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Maker, Specimen
from catalogue.specimens.tables import current_reference

from .sheet import tidy_cell

ASKED_FOR = 500


class KnownSite(NamedTuple):
    pk: int
    name: str
    water_body: str
    position: tuple[float, float] | None


class KnownDive(NamedTuple):
    pk: int
    year: int
    ordinal: int
    day: date
    site: int
    binned: bool


class KnownPiece(NamedTuple):
    """A find on record: its key, its number, and whether it lies in the bin."""

    pk: int
    number: str
    binned: bool


@dataclass(slots=True)
class OnRecord:
    """Look-ups by folded name; `finds` by number, `texts` what the catalogue would write of each."""

    finds: dict[str, KnownPiece] = field(default_factory=dict)
    specimens: dict[int, Specimen] = field(default_factory=dict)
    texts: dict[int, dict[str, str]] = field(default_factory=dict)
    by_digest: dict[str, KnownPiece] = field(default_factory=dict)
    by_own_number: dict[str, list[KnownPiece]] = field(default_factory=dict)
    sites: dict[str, KnownSite] = field(default_factory=dict)
    site_names: dict[int, str] = field(default_factory=dict)
    dives: dict[tuple[int, int], KnownDive] = field(default_factory=dict)
    dives_of_day: dict[date, list[KnownDive]] = field(default_factory=dict)
    places: dict[str, list[int]] = field(default_factory=dict)
    makers: dict[str, tuple[int, str]] = field(default_factory=dict)
    features: dict[str, str] = field(default_factory=dict)
    reference: dating.Reference = field(default_factory=dating.reference)
    # Numbers of pieces that were deleted for good.
    gone_numbers: set[str] = field(default_factory=set)

    near: dict[str, list[str]] = field(default_factory=dict)

    def near_makers(self, name: str) -> list[str]:
        """Names of makers that are written alike; each name is compared once."""
        plain = folded(name)
        if plain not in self.near:
            close = get_close_matches(plain, list(self.makers), n=3, cutoff=0.55)
            self.near[plain] = [self.makers[each][1] for each in close]
        return self.near[plain]


def on_record(numbers: Iterable[str], digests: Iterable[str], own_numbers: Iterable[str]) -> OnRecord:
    """All that these rows may name. Queries grow by the thousand rows only."""
    known = OnRecord()
    for part in _parts(sorted(set(numbers))):
        for each in Specimen.everything.filter(number__in=part).values_list("pk", "number", "binned_at"):
            known.finds[each[1]] = KnownPiece(each[0], each[1], each[2] is not None)
        rest = [number for number in part if number not in known.finds]
        once = Specimen.history.filter(number__in=rest).values_list("number", flat=True)
        known.gone_numbers.update(once.distinct() if rest else ())
    columns = ("find_id", "find__number", "find__binned_at")
    for part in _parts(sorted(set(digests))):
        taken = TakenRow.objects.filter(digest__in=part).values_list("digest", *columns)
        for digest, pk, number, binned in taken:
            known.by_digest[digest] = KnownPiece(pk, number, binned is not None)
    for part in _parts(sorted({number for number in own_numbers if number})):
        told = TakenRow.objects.filter(own_number__in=part).values_list("own_number", *columns)
        for own, pk, number, binned in told:
            pieces = known.by_own_number.setdefault(own, [])
            piece = KnownPiece(pk, number, binned is not None)
            if piece not in pieces:
                pieces.append(piece)
    _places_and_dives(known)
    for pk, name in Maker.objects.order_by("-reference_key", "-pk").values_list("pk", "name"):
        known.makers[folded(name)] = (pk, name)
    known.reference = current_reference()
    terms = known.reference.features
    known.features = {folded(each.term): key for key, each in terms.items()}
    live = {piece.pk for piece in known.finds.values() if not piece.binned}
    live |= {pieces[0].pk for pieces in known.by_own_number.values() if len(pieces) == 1}
    _read_finds(known, sorted(live))
    return known


def _places_and_dives(known: OnRecord) -> None:
    rows = Site.objects.values_list("pk", "name", "water_body", "latitude", "longitude")
    for pk, name, water, latitude, longitude in rows:
        at = None if latitude is None or longitude is None else (float(latitude), float(longitude))
        known.sites[folded(name)] = KnownSite(pk, name, water, at)
        known.site_names[pk] = name
    of_day: dict[date, list[KnownDive]] = defaultdict(list)
    for row in Dive.everything.values_list("pk", "year", "ordinal", "date", "site", "binned_at"):
        dive = KnownDive(*row[:5], row[5] is not None)
        known.dives[dive.year, dive.ordinal] = dive
        if not dive.binned:
            of_day[dive.day].append(dive)
    known.dives_of_day = of_day
    named: dict[str, list[int]] = defaultdict(list)
    paths: dict[str, list[int]] = {}
    for pk, path, name in Place.objects.values_list("pk", "path", "name"):
        paths[folded(path)] = [pk]
        named[folded(name)].append(pk)
    known.places = {**named, **paths}


def _read_finds(known: OnRecord, keys: Sequence[int]) -> None:
    """The finds, and for each what would stand in the cells of a sheet written now."""
    by_number = {piece.number: piece.pk for piece in known.finds.values()}
    for pieces in known.by_own_number.values():
        by_number |= {piece.number: piece.pk for piece in pieces}
    for row in rows_of(keys, public=False):
        known.texts[by_number[row.number]] = texts_of(row)


def load_specimens(known: OnRecord, keys: Sequence[int]) -> None:
    """The finds themselves, of those whose rows say something else: most rows of a large sheet don't."""
    for part in _parts(keys):
        finds = Specimen.objects.filter(pk__in=part).select_related("dive__site", "site")
        finds = finds.prefetch_related("inscriptions", "features", "readings", "opinions")
        known.specimens.update({find.pk: find for find in finds})


def texts_of(row: FindRow) -> dict[str, str]:
    """What stands in each cell, as it comes back when it is read."""
    return {column.name: cell_text(column.cell(row)) for column in FIND_COLUMNS}


def cell_text(value: SheetCell) -> str:
    """A cell written out and read in again."""
    return tidy_cell(NOT_IN_XML.sub("", plain_cell(value)))


def _parts(values: Sequence[Any]) -> Iterable[Sequence[Any]]:
    for start in range(0, len(values), ASKED_FOR):
        yield values[start : start + ASKED_FOR]
