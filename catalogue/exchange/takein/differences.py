"""How a row differs from its find on record: fact, what it says there, what the row says."""

from decimal import Decimal
from typing import Any, NamedTuple

from catalogue.common.limits import NOTE_LENGTH
from catalogue.common.text import folded
from catalogue.specimens.models import Specimen
from catalogue.specimens.reading.value import Reading

from .new_rows import check_dated
from .notes_added import notes_with
from .row_reader import RowReader
from .row_said import RowSaid
from .sheet_fields import SHEET_FIELDS

LISTED_PARTS = {
    "inscriptions": ("where", "how", "text", "says"),
    "features": ("feature", "certainty", "note"),
}


class PieceChange(NamedTuple):
    """One fact of a find, in words."""

    fact: str
    before: str
    after: str


def differences(reader: RowReader, said: RowSaid, find: Specimen, texts: dict[str, str]) -> list[PieceChange]:
    """What would change; what is the same is taken out of `said`, so that only this is written."""
    found = _columns(said, find, texts) + _names(said, texts) + _where(said, find, texts)
    found += _acts(said, find) + _opinions(said, find) + _parts(said, find, texts)
    notes = notes_with(said.columns.get("notes", find.notes), said.note_lines)
    if notes != find.notes:
        if len(notes) > NOTE_LENGTH:
            reader.problem(said, "notes", f"its notes would be longer than {NOTE_LENGTH:,} letters")
        said.columns["notes"] = notes
        found = [change for change in found if change.fact != "Notes"]
        found.append(PieceChange("Notes", find.notes, notes))
    if said.pictures:
        found.append(PieceChange("Pictures", "", ", ".join(said.pictures)))
    check_dated(reader, said, find)
    return found


def facts_of_new(said: RowSaid) -> list[PieceChange]:
    """What a new find would have, in words: how each cell was understood."""
    found = []
    for name, value in said.columns.items():
        if value in ("", None) or name == "what":
            continue
        field = SHEET_FIELDS[name]
        words = (field.choices or {}).get(value, value) if isinstance(value, str) else _figure(value)
        unit = f" {field.quantity.stored}" if field.quantity else ""
        found.append(PieceChange(field.label, "", f"{words}{unit}"))
    found += [PieceChange(SHEET_FIELDS[name].label, "", words) for name, words in said.names.items()]
    if said.where and said.where.words:
        found.append(PieceChange("Came up", "", said.where.words))
    found += [PieceChange(f"Opinion, {each.about}", "", each.value) for each in said.opinions]
    for row in said.readings or ():
        found.append(PieceChange(SHEET_FIELDS["mark"].label, "", _mark(row)))
    for row in said.inscriptions or ():
        found.append(PieceChange(SHEET_FIELDS["inscriptions"].label, "", row["text"]))
    for row in said.features or ():
        found.append(PieceChange(SHEET_FIELDS["features"].label, "", row["feature"]))
    if said.shared:
        found.append(PieceChange(SHEET_FIELDS["shared"].label, "", "yes"))
    for name in ("standing", "stage"):
        if value := getattr(said, name):
            found.append(PieceChange(SHEET_FIELDS[name].label, "", (SHEET_FIELDS[name].choices or {})[value]))
    if said.pictures:
        found.append(PieceChange("Pictures", "", ", ".join(said.pictures)))
    return found


def _columns(said: RowSaid, find: Specimen, texts: dict[str, str]) -> list[PieceChange]:
    found = []
    for name, value in list(said.columns.items()):
        before = getattr(find, name)
        same = before == value or (isinstance(value, str) and before.split() == value.split())
        if same:
            del said.columns[name]
            continue
        field = SHEET_FIELDS[name]
        after = (field.choices or {}).get(value, value) if isinstance(value, str) else _figure(value)
        found.append(PieceChange(field.label, texts.get(name, ""), str(after)))
    return found


def _figure(value: object) -> str:
    return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)


def _names(said: RowSaid, texts: dict[str, str]) -> list[PieceChange]:
    found = []
    for name, words in list(said.names.items()):
        before = texts.get(name, "")
        if name == "town":
            parts = (texts.get(key, "") for key in ("town", "town_region", "town_country"))
            before = ", ".join(filter(None, parts))
        if folded(words) == folded(before):
            del said.names[name]
        else:
            found.append(PieceChange(SHEET_FIELDS[name].label, before, words))
    return found


def _where(said: RowSaid, find: Specimen, texts: dict[str, str]) -> list[PieceChange]:
    plan = said.where
    if plan is None:
        return []
    new = bool(plan.new_dive or plan.new_site)
    recovered = plan.recovered if plan.recovered or plan.dive else find.recovered_edtf
    keeps_dive = not new and plan.dive is None and find.dive_id is not None
    same_site = plan.site in (None, find.site_id)
    if not new and (plan.dive, recovered) == (find.dive_id, find.recovered_edtf) and same_site:
        said.where = None
        return []
    if keeps_dive and not plan.recovered and plan.site in (None, find.dive.site_id if find.dive else None):
        # Nothing of its dive is said anew.
        said.where = None
        return []
    before = ", ".join(filter(None, (texts.get(key, "") for key in ("dive", "site", "recovered_edtf"))))
    return [PieceChange("Came up", before, plan.words)]


def _acts(said: RowSaid, find: Specimen) -> list[PieceChange]:
    found = []
    if said.shared is not None and said.shared == find.shared:
        said.shared = None
    elif said.shared is not None:
        words = ("no", "yes")
        found.append(PieceChange("Shared with visitors", words[find.shared], words[said.shared]))
    for name in ("standing", "stage"):
        value = getattr(said, name)
        if value == getattr(find, name):
            setattr(said, name, "")
        elif value:
            labels = SHEET_FIELDS[name].choices or {}
            found.append(PieceChange(SHEET_FIELDS[name].label, labels[getattr(find, name)], labels[value]))
    return found


def _opinions(said: RowSaid, find: Specimen) -> list[PieceChange]:
    """Opinions that are not the current one of their kind."""
    current = {each.about: each for each in find.opinions.all() if each.current}
    found, fresh, seen = [], [], set()
    for opinion in said.opinions:
        held = current.get(opinion.about)
        same = held is not None and folded(held.value) == folded(opinion.value)
        if same and opinion.on in (None, held.on if held else None) or opinion.about in seen:
            continue
        seen.add(opinion.about)
        fresh.append(opinion)
        found.append(PieceChange(f"Opinion, {opinion.about}", held.value if held else "", opinion.value))
    said.opinions = fresh
    return found


def _parts(said: RowSaid, find: Specimen, texts: dict[str, str]) -> list[PieceChange]:
    found = []
    for name, columns in LISTED_PARTS.items():
        rows = getattr(said, name)
        if rows is None:
            continue
        stored = [{column: getattr(row, column) for column in columns} for row in getattr(find, name).all()]
        if sorted(map(str, stored)) == sorted(str({c: row[c] for c in columns}) for row in rows):
            setattr(said, name, None)
            continue
        after = " | ".join(row.get("text", row.get("feature", "")) for row in rows)
        found.append(PieceChange(SHEET_FIELDS[name].label, texts.get(name, ""), after))
    if said.readings is not None:
        stored_marks = [Reading.of_row(row) for row in find.readings.all()]
        said.readings = [row for row in said.readings if not _stands(row, stored_marks)] or None
        before = ", ".join(sorted(mark.letters for mark in stored_marks))
        for row in said.readings or ():
            found.append(PieceChange(SHEET_FIELDS["mark"].label, before, _mark(row)))
    return found


def _stands(row: dict[str, Any], marks: list[Reading]) -> bool:
    """Whether the find has that mark: of letters alone, one with these; else the same in every part."""
    if set(row) == {"letters"}:
        return any(mark.letters == row["letters"] for mark in marks)
    return Reading(**row) in marks


def _mark(row: dict[str, Any]) -> str:
    return str(row["letters"]) if set(row) == {"letters"} else Reading(**row).in_words()
