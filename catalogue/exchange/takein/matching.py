"""Which column is what: by its heading, else by what stands in it; a person corrects it."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import PurePath

from catalogue.common.positions import LATITUDE, PositionError, read_angle, read_pair
from catalogue.common.quantities import (
    DEPTH,
    LENGTH,
    MASS,
    VOLUME,
    Quantity,
    QuantityError,
    Units,
    read_quantity,
)
from catalogue.common.text import folded
from catalogue.specimens.numbers import read_number

from .cell_words import CellRefused, TwoDaysFit, read_choice, read_when, years_as_edtf
from .sheet import ReadSheet
from .sheet_fields import (
    HEADINGS_KNOWN,
    INTO_NOTES,
    NOT_TAKEN,
    OWN_HEADINGS,
    SHEET_FIELDS,
    WORKED_OUT,
    CellKind,
)

# So many of the cells looked at must fit for a column to be taken by what is in it. Our own choice.
MOST_FIT = 0.8
CELLS_LOOKED_AT = 200
SAMPLES_SHOWN = 4
PICTURE_ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif")
UNITS_OFFERED = {
    LENGTH.stored: ("mm", "cm", "in"),
    MASS.stored: ("g", "kg", "oz"),
    VOLUME.stored: ("ml", "cl", "l"),
    DEPTH.stored: ("m", "ft"),
}
BARE_NUMBER = re.compile(r"[\d.,]+(?:[ -]\d{1,3}/\d{1,3})?|\d{1,3}/\d{1,3}|[\d ]*[½¼¾⅛⅜⅝⅞⅓⅔]")
_UNIT_IN_HEADING = re.compile(r"(?:[(\[,/]\s*|\bin\s+)([a-z.\"]+)\s*[)\]]?\s*$")


@dataclass(frozen=True, slots=True)
class SheetColumnGuess:
    """One column: what it is likely to be, why, some of its cells, and what is to be asked of it."""

    index: int
    letters: str
    heading: str
    key: str
    why: str
    samples: tuple[str, ...]
    filled: int


def guess_columns(sheet: ReadSheet) -> list[SheetColumnGuess]:
    """A guess for each column, in their order; no fact is told by two of them."""
    own = written_by_us(sheet.headings)
    guesses: list[SheetColumnGuess] = []
    taken: set[str] = set()
    for at, heading in enumerate(sheet.headings):
        cells = [row.cells[at] for row in sheet.rows if row.cells[at]]
        key, why = _own(heading) if own else _by_heading(heading, cells)
        if key is None:
            key, why = _by_cells(cells, taken)
        if key in taken and key not in (NOT_TAKEN, INTO_NOTES):
            key, why = INTO_NOTES, f"another column is {SHEET_FIELDS[key].label.lower()} already"
        taken.add(key)
        samples = tuple(dict.fromkeys(cells[:CELLS_LOOKED_AT]))[:SAMPLES_SHOWN]
        guesses.append(SheetColumnGuess(at, sheet.letters[at], heading, key, why, samples, len(cells)))
    return guesses


def written_by_us(headings: Sequence[str]) -> bool:
    """Whether the catalogue wrote it: the number and what only it works out stand there."""
    names = {OWN_HEADINGS.get(folded(heading)) for heading in headings}
    return {"number", "what", "made_edtf"} <= names


def _own(heading: str) -> tuple[str | None, str]:
    name = OWN_HEADINGS.get(folded(heading))
    if name is None:
        return _by_heading(heading, ())
    if name in WORKED_OUT:
        return NOT_TAKEN, "worked out by the catalogue"
    return name, "by its heading"


def _by_heading(heading: str, cells: Sequence[str]) -> tuple[str | None, str]:
    plain = folded(heading)
    bare = _UNIT_IN_HEADING.sub("", plain).strip()
    for words in (plain, bare, plain.rstrip(":*"), re.sub(r"[_-]+", " ", plain)):
        key = HEADINGS_KNOWN.get(words) or OWN_HEADINGS.get(words)
        if key in WORKED_OUT and key not in SHEET_FIELDS:
            continue
        if key == "number" or (key == "own_number" and _share(cells, _is_number) > MOST_FIT):
            return (
                "number" if not cells or _share(cells, _is_number) > 0 else "own_number"
            ), "by its heading"
        if key == "dive" and cells and _share(cells, _is_dive) <= MOST_FIT:
            return None, ""
        if key:
            return key, "by its heading"
    return None, ""


def _by_cells(cells: Sequence[str], taken: set[str]) -> tuple[str, str]:
    """The first fact whose cells these may be; else they go into the notes, so that nothing is lost."""
    if not cells:
        return NOT_TAKEN, "nothing stands in it"
    for key, fits in _LOOKS_LIKE:
        if key not in taken and _share(cells, fits) >= MOST_FIT:
            return key, "by what stands in it"
    return INTO_NOTES, "not known by its heading"


def _share(cells: Sequence[str], fits: Callable[[str], bool]) -> float:
    looked = cells[:CELLS_LOOKED_AT]
    return sum(map(fits, looked)) / len(looked) if looked else 0.0


def _is_number(cell: str) -> bool:
    return read_number(cell) is not None


def _is_dive(cell: str) -> bool:
    return re.fullmatch(r"\d{4}\.\d{1,6}", cell) is not None


def _is_picture(cell: str) -> bool:
    return PurePath(cell.split(";")[0].strip()).suffix.casefold() in PICTURE_ENDINGS


def _is_day(cell: str) -> bool:
    try:
        return read_when(cell, None, date.max).day is not None
    except TwoDaysFit:
        return True
    except CellRefused:
        return False


def _is_pair(cell: str) -> bool:
    try:
        read_position(cell)
    except PositionError:
        return False
    return True


def _has_unit(kind: Quantity) -> Callable[[str], bool]:
    def fits(cell: str) -> bool:
        try:
            read_quantity(cell, kind, Units.METRIC)
        except QuantityError:
            return False
        return BARE_NUMBER.fullmatch(cell.strip()) is None

    return fits


def _is_past(cell: str) -> bool:
    try:
        years_as_edtf(cell)
    except CellRefused:
        return False
    return True


def _is_choice(key: str) -> Callable[[str], bool]:
    field = SHEET_FIELDS[key]

    def fits(cell: str) -> bool:
        try:
            read_choice(cell, field.choices or {}, field.also)
        except CellRefused:
            return False
        return True

    return fits


_LOOKS_LIKE: tuple[tuple[str, Callable[[str], bool]], ...] = (
    ("number", _is_number),
    ("pictures", _is_picture),
    ("position", _is_pair),
    ("dived_on", _is_day),
    ("height_mm", _has_unit(LENGTH)),
    ("mass_g", _has_unit(MASS)),
    ("capacity_ml", _has_unit(VOLUME)),
    ("made", _is_past),
    ("colour", _is_choice("colour")),
    ("kind", _is_choice("kind")),
)


def read_position(cell: str) -> tuple[float, float]:
    """Latitude and longitude in one cell; a letter after the first parts them too. Raises PositionError."""
    try:
        return read_pair(cell)
    except PositionError:
        parts = re.split(r"(?<=[NSns])\s+(?=\d)", cell.strip())
        if len(parts) != 2:
            raise
        return read_angle(parts[0], LATITUDE), read_pair(f"0, {parts[1]}")[1]


def unit_in(heading: str, quantity: Quantity) -> str:
    """The unit that a heading names: "Height (cm)", "Weight, g", "Height in inches"; empty where none."""
    found = _UNIT_IN_HEADING.search(folded(heading))
    word = found[1].rstrip(".") if found else ""
    return word if word in quantity.factors else ""


def wants_unit(key: str, heading: str, cells: Sequence[str]) -> bool:
    """Whether bare numbers stand under a heading that names no unit: then a person says which."""
    quantity = SHEET_FIELDS[key].quantity if key in SHEET_FIELDS else None
    if quantity is None or unit_in(heading, quantity):
        return False
    return any(BARE_NUMBER.fullmatch(cell.strip()) for cell in cells)


def wants_order(key: str, cells: Sequence[str], today: date) -> tuple[str, int, int] | None:
    """A day of the column that may be two, and how many of its other days are surely day or month first."""
    if key not in SHEET_FIELDS or SHEET_FIELDS[key].reads is not CellKind.WHEN:
        return None
    example, day_first, month_first = "", 0, 0
    for cell in cells:
        try:
            read_when(cell, None, today)
        except TwoDaysFit:
            example = example or cell
        except CellRefused:
            continue
        else:
            if found := re.match(r"(\d{1,2})[/-](\d{1,2})[/-]", cell.strip()):
                day_first += int(found[1]) > 12
                month_first += int(found[2]) > 12
    return (example, day_first, month_first) if example else None


def keys_chosen(guesses: Sequence[SheetColumnGuess], chosen: Mapping[str, str]) -> dict[int, str]:
    """What each column is: as a person said by its heading, else as guessed."""
    return {each.index: chosen.get(folded(each.heading), each.key) for each in guesses}
