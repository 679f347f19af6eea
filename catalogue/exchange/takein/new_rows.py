"""What a new find needs beside what its row says: a name, a stage, notes, and readings that can be dated."""

import dating
from catalogue.common.limits import NOTE_LENGTH
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.models import Inscription, MarkReading, ObservedFeature, Specimen
from catalogue.specimens.reading.value import Reading

from .notes_added import notes_with
from .row_reader import RowReader
from .row_said import RowSaid
from .sheet_fields import SHEET_FIELDS

NO_NAME_SAID = "nothing says what it is: write a few words, such as aqua soda bottle"


def complete_new(reader: RowReader, said: RowSaid) -> None:
    """Fill in what follows, refuse what can't be."""
    columns = said.columns
    if not columns.get("what"):
        kind = (SHEET_FIELDS["kind"].choices or {}).get(columns.get("kind", ""), "")
        colour = (SHEET_FIELDS["colour"].choices or {}).get(columns.get("colour", ""), "")
        if kind:
            columns["what"] = " ".join(filter(None, [colour.split(" or ")[0], kind]))
        else:
            reader.problem(said, "what", NO_NAME_SAID)
    if said.own_number:
        older = [number for number in columns.get("older_numbers", "").split(", ") if number]
        if said.own_number not in older:
            older.append(said.own_number)
        columns["older_numbers"] = ", ".join(older)
        if len(columns["older_numbers"]) > SHEET_FIELDS["older_numbers"].longest:
            reader.problem(said, "own_number", "its older numbers are longer than 200 letters")
    columns["notes"] = notes_with(columns.get("notes", ""), said.note_lines)
    if len(columns["notes"]) > NOTE_LENGTH:
        reader.problem(said, "notes", f"its notes would be longer than {NOTE_LENGTH:,} letters")
    check_dated(reader, said)


def check_dated(reader: RowReader, said: RowSaid, find: Specimen | None = None) -> None:
    """Refuse what the dating service can't read."""
    if not (said.readings or said.features or said.inscriptions):
        return
    about = {name: said.columns[name] for name in ("region", "contents", "colour") if name in said.columns}
    if find is not None:
        about = {name: getattr(find, name) for name in ("region", "contents", "colour")} | about
    evidence = Evidence(
        Specimen(**about),
        readings=[Reading.of_row(row) for row in readings_of(said)],
        inscriptions=[Inscription(**row) for row in said.inscriptions or ()],
        known=[],
        features=[ObservedFeature(**row) for row in said.features or ()],
        maker_opinion=None,
        bottler=None,
    )
    try:
        dating.Case.from_dict(evidence.case(), reader.known.reference)
    except dating.CaseError as refused:
        key = "features" if said.features and "features" in refused.at else "mark"
        reader.problem(said, key if key in reader.place else "inscriptions", refused.message.rstrip("."))


def readings_of(said: RowSaid) -> list[MarkReading]:
    """Rows for its marks."""
    return [MarkReading(**row) for row in said.readings or ()]
