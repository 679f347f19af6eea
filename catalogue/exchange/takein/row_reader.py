"""Read a row's cells into what it says of a find, fact by fact."""

import re
from collections.abc import Callable, Mapping
from datetime import date

from django.core.exceptions import ValidationError
from django.db.models import Field

from catalogue.common.limits import NAME_LENGTH, too_many_letters
from catalogue.common.localisation import units_shown
from catalogue.common.positions import LATITUDE, LONGITUDE, PositionError, read_angle
from catalogue.common.quantities import QuantityError, read_quantity
from catalogue.common.text import folded
from catalogue.specimens.countries import COUNTRIES_ALSO, countries_by_code
from catalogue.specimens.models import Opinion, Specimen
from catalogue.specimens.numbers import read_number

from .answers import SheetAnswers
from .cell_digests import same_cell
from .cell_words import CellRefused, DayOrder, read_choice, read_when, read_yes, why_no_name
from .lettering_cells import features_of, inscriptions_of, mark_of, marks_of, opinions_of
from .matching import BARE_NUMBER, read_position, unit_in
from .on_record import OnRecord
from .picture_names import picture_names
from .row_said import CellProblem, OpinionSaid, RowSaid
from .sheet import ReadSheet, SheetRow
from .sheet_fields import INTO_NOTES, SHEET_FIELDS, CellKind, SheetField
from .where_found import CellObjection, WhereCells, dive_named, where_found

WHERE_KEYS = frozenset(
    [
        "site",
        "water_body",
        "latitude",
        "longitude",
        "position",
        "uncertainty_m",
        "dive",
        "dived_on",
        "recovered_edtf",
    ]
)
TYPED_NAMES = ("town", "bottler", "bottler_town", "product", "shelf")
COUNTRIES = re.compile(r"[A-Za-z]{2}")


class RowReader:
    """Reads the rows of one sheet, as its columns were said to be."""

    def __init__(
        self,
        sheet: ReadSheet,
        keys: Mapping[int, str],
        answers: SheetAnswers,
        known: OnRecord,
        today: date,
    ) -> None:
        self.sheet, self.answers, self.known, self.today = sheet, answers, known, today
        self.keys = {at: key for at, key in keys.items() if key}
        self.place = {key: at for at, key in self.keys.items() if key != INTO_NOTES}
        self.units = units_shown()

    def differs(self, row: SheetRow, texts: Mapping[str, str]) -> bool:
        """Whether a cell says anything else than what is on record of its find."""
        for at, key in self.keys.items():
            cell = row.cells[at]
            if cell and (key == INTO_NOTES or not same_cell(cell, texts.get(key, ""))):
                return True
        return False

    def read(self, row: SheetRow, digest: str, texts: Mapping[str, str] | None = None) -> RowSaid:
        """What it says; `texts`: what stands in these cells of its find on record, which is left aside."""
        said = RowSaid(row.number, digest)
        cells = {key: row.cells[at] for key, at in self.place.items() if row.cells[at]}
        told = {k: v for k, v in cells.items() if texts is None or not same_cell(v, texts.get(k, ""))}
        self._numbers(said, cells)
        if "marks" in told:
            told.pop("readings", None)  # the same once more, in words
        for key, cell in told.items():
            self._one(said, key, cell, cells)
        if "maker" in told:
            self._maker(said, told["maker"], cells.get("maker_how", ""))
        for name in TYPED_NAMES:
            if name in told or (name == "town" and {"town_region", "town_country"} & set(told)):
                self._name(said, name, cells, texts or {})
        if WHERE_KEYS & set(told):
            self._where(said, cells)
        elif texts is None and said.number and said.number.ordinal:
            self._where(said, {})
        for at, key in self.keys.items():
            if key == INTO_NOTES and row.cells[at]:
                said.note_lines.append(f"{self.sheet.headings[at]}: {row.cells[at]}")
        return said

    def problem(self, said: RowSaid, key: str, why: str, cell: str = "") -> None:
        """Refuse the row for that cell; or, where a person chose so, put the cell into the notes."""
        at = self.place.get(key)
        if at is None:
            said.problems.append(CellProblem("", "", why))
        elif cell and self.answers.unread_into_notes:
            said.note_lines.append(f"{self.sheet.headings[at]}: {cell}")
            said.remarks.append(f"{self.sheet.headings[at]} goes into the notes: {why}")
        else:
            said.problems.append(CellProblem(self.sheet.letters[at], self.sheet.headings[at], why))

    def _numbers(self, said: RowSaid, cells: Mapping[str, str]) -> None:
        said.own_number = cells.get("own_number", "")
        if not (cell := cells.get("number")):
            return
        said.number = read_number(cell)
        if said.number is None:
            why = f"“{cell[:40]}” is no number of the catalogue: write it as 2026.14.3"
            self.problem(said, "number", why)

    def _one(self, said: RowSaid, key: str, cell: str, cells: Mapping[str, str]) -> None:
        field = SHEET_FIELDS[key]
        try:
            if key in _OTHERS:
                _OTHERS[key](self, said, cell)
            elif key in WHERE_KEYS or key in TYPED_NAMES or key in _ELSEWHERE:
                return
            elif field.reads is CellKind.CHOICE:
                self._choice(said, field, cell)
            elif field.reads is CellKind.SIZE:
                said.columns[key] = self._size(field, cell)
            elif field.reads is CellKind.YES:
                self._yes(said, key, cell, cells)
            elif len(cell) > field.longest:
                self.problem(said, key, too_many_letters(len(cell), field.longest))
            else:
                said.columns[key] = (
                    cell if "\n" in cell and field.longest > 500 else " ".join(cell.split(" "))
                )
        except CellRefused as refused:
            self.problem(said, key, str(refused), cell)

    def _choice(self, said: RowSaid, field: SheetField, cell: str) -> None:
        chosen = read_choice(cell, field.choices or {}, field.also)
        if field.key in ("stage", "standing"):
            setattr(said, field.key, chosen)
        else:
            said.columns[field.key] = chosen

    def _yes(self, said: RowSaid, key: str, cell: str, cells: Mapping[str, str]) -> None:
        yes = read_yes(cell)
        if key == "shared":
            said.shared = yes
        elif yes and not cells.get("standing"):
            said.standing = Specimen.Standing.FREE.value

    def _size(self, field: SheetField, cell: str) -> object:
        assert field.quantity
        heading = self.sheet.headings[self.place[field.key]]
        unit = unit_in(heading, field.quantity) or self.answers.units.get(folded(heading), "")
        written = f"{cell} {unit}" if unit and BARE_NUMBER.fullmatch(cell.strip()) else cell
        try:
            size = read_quantity(written, field.quantity, self.units)
            column = Specimen._meta.get_field(field.key)
            assert isinstance(column, Field)
            column.run_validators(size)
        except QuantityError as error:
            raise CellRefused(f"“{cell[:40]}” can't be read. {error}".rstrip(".")) from error
        except ValidationError as error:
            raise CellRefused(f"“{cell[:40]}”: {' '.join(error.messages)}".rstrip(".")) from error
        return size

    def _maker(self, said: RowSaid, cell: str, how: str) -> None:
        """A maker is an opinion; one that the catalogue worked out is none."""
        if folded(how) == str(Specimen.MakerHow.LIKELY.label):
            return
        maker = self.known.makers.get(folded(cell))
        if maker is None:
            near = self.known.near_makers(cell)
            hint = f"near it: {'; '.join(near)}" if near else "add it on the makers page first"
            self.problem(said, "maker", f"no maker on record is called “{cell[:80]}”: {hint}", cell)
            return
        said.opinions.append(OpinionSaid(Opinion.About.MAKER.value, maker[1], maker=maker[0]))

    def _name(self, said: RowSaid, name: str, cells: Mapping[str, str], texts: Mapping[str, str]) -> None:
        words = " ".join(cells.get(name, texts.get(name, "")).split())
        if name == "town":
            country = cells.get("town_country", texts.get("town_country", ""))
            region = cells.get("town_region", texts.get("town_region", ""))
            if not words:
                if region or country:
                    self.problem(said, "town_region", "a region without its town says too little", region)
                return
            short = country if COUNTRIES.fullmatch(country) else ""
            if region or short:
                words = ", ".join([words, region, short] if short else [words, region])
            if country and not short:
                said.note_lines.append(f"Country: {country}")
        longest = SHEET_FIELDS[name].longest
        if why := why_no_name(words, longest, name):
            self.problem(said, name, why, words if len(words) <= longest else "")
            return
        if name == "shelf" and folded(words) not in self.known.places and not self.answers.make_places:
            self.problem(said, "shelf", f"no place on record is called “{words[:80]}”")
        elif name == "shelf" and len(self.known.places.get(folded(words), ())) > 1:
            self.problem(said, "shelf", f"several places are called “{words[:80]}”: write its whole path")
        elif words:
            said.names[name] = words

    def _where(self, said: RowSaid, cells: Mapping[str, str]) -> None:
        at = WhereCells(number=(said.number.year, said.number.ordinal) if said.number else None)
        if at.number and not at.number[1]:
            at.number = None
        at.site, at.water_body = " ".join(cells.get("site", "").split()), cells.get("water_body", "")
        try:
            if len(at.site) > 200:
                raise CellObjection("site", "its name is longer than 200 letters")
            at.position = self._position(cells)
            if cell := cells.get("uncertainty_m"):
                if not cell.isascii() or not cell.isdigit() or int(cell) > 100_000:
                    raise CellObjection("uncertainty_m", f"“{cell[:40]}” is no number of metres")
                at.uncertainty_m = int(cell)
            at.dive = dive_named(cells.get("dive", ""))
            for key, name in (("dived_on", "when"), ("recovered_edtf", "recovered")):
                if cell := cells.get(key):
                    setattr(at, name, self._when(key, cell))
            found = where_found(at, self.known, self.answers)
        except CellObjection as objection:
            key = objection.key
            if key == "position" and key not in self.place:
                key = "latitude"
            self.problem(said, key, objection.why, cells.get(key, ""))
            return
        said.where, said.site = found.plan, found.site
        said.note_lines += [found.note] if found.note else []
        said.remarks += [found.remark] if found.remark else []

    def _when(self, key: str, cell: str) -> object:
        heading = self.sheet.headings[self.place[key]]
        order = self.answers.orders.get(folded(heading))
        try:
            return read_when(cell, DayOrder(order) if order else None, self.today)
        except CellRefused as refused:
            raise CellObjection(key, str(refused)) from refused

    def _position(self, cells: Mapping[str, str]) -> tuple[float, float] | None:
        try:
            if cell := cells.get("position"):
                return read_position(cell)
            latitude, longitude = cells.get("latitude"), cells.get("longitude")
            if not latitude and not longitude:
                return None
            if not latitude or not longitude:
                raise PositionError("Give both latitude and longitude, or neither.")
            return read_angle(latitude, LATITUDE), read_angle(longitude, LONGITUDE)
        except PositionError as error:
            raise CellObjection("position", str(error).rstrip(".")) from error

    def inscriptions(self, said: RowSaid, cell: str) -> None:
        said.inscriptions = inscriptions_of(cell)

    def mark(self, said: RowSaid, cell: str) -> None:
        said.readings = [*(said.readings or []), mark_of(cell)]

    def marks(self, said: RowSaid, cell: str) -> None:
        said.readings, strange = marks_of(cell, self.known.reference, before=said.readings)
        said.note_lines += [f"Maker's mark as read: {words}" for words, _ in strange]
        said.remarks += [f"a mark goes into the notes: {why}; take its maker in first" for _, why in strange]

    def readings(self, said: RowSaid, cell: str) -> None:
        said.note_lines.append(f"Maker's marks as read: {cell}")
        said.remarks.append("marks in words are kept in the notes: read them off the glass once more")

    def features(self, said: RowSaid, cell: str) -> None:
        said.features = features_of(cell, self.known.features)

    def opinions(self, said: RowSaid, cell: str) -> None:
        said.opinions += opinions_of(cell, self.known.makers)

    def made(self, said: RowSaid, cell: str) -> None:
        words = " ".join(cell.split())
        if len(words) > NAME_LENGTH:
            raise CellRefused(too_many_letters(len(words), NAME_LENGTH))
        said.opinions.append(OpinionSaid(Opinion.About.MADE.value, words))

    def pictures(self, said: RowSaid, cell: str) -> None:
        said.pictures = picture_names(cell)

    def region(self, said: RowSaid, cell: str) -> None:
        said.columns["region"] = read_choice(cell, countries_by_code(), COUNTRIES_ALSO)


_OTHERS: dict[str, Callable[[RowReader, RowSaid, str], None]] = {
    "inscriptions": RowReader.inscriptions,
    "mark": RowReader.mark,
    "marks": RowReader.marks,
    "readings": RowReader.readings,
    "features": RowReader.features,
    "opinions": RowReader.opinions,
    "made": RowReader.made,
    "pictures": RowReader.pictures,
    "region": RowReader.region,
}
# Read together with other cells.
_ELSEWHERE = frozenset(("number", "own_number", "maker", "maker_how", "town_region", "town_country"))
