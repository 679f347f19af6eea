"""Judge each row of a sheet: new, changed (what was, what will be), as on record, here already, refused."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from .answers import SheetAnswers
from .cell_digests import digests_of
from .differences import PieceChange, differences, facts_of_new
from .new_rows import complete_new
from .on_record import KnownPiece, OnRecord, load_specimens, on_record
from .permitted import ask_acts
from .picture_names import picture_key
from .row_reader import RowReader
from .row_said import CellProblem, RowSaid
from .sheet import ReadSheet, SheetRow
from .town_remarks import TownRemarks

ROW_NEW, ROW_CHANGED, ROW_SAME, ROW_HERE, ROW_REFUSED = "new", "changed", "same", "here", "refused"
KINDS_OF_VERDICT = (ROW_NEW, ROW_CHANGED, ROW_SAME, ROW_HERE, ROW_REFUSED)
TOLD_EACH = 200


@dataclass(slots=True)
class RowVerdict:
    """What a row would do; `number` and `what` name its piece, `changes` are fact, before, after."""

    kind: str
    said: RowSaid
    piece: KnownPiece | None = None
    number: str = ""
    what: str = ""
    changes: list[PieceChange] = field(default_factory=list)

    def to_store(self) -> dict[str, Any]:
        """As JSON has it."""
        return {
            "row": self.said.row,
            "kind": self.kind,
            "number": self.number,
            "what": self.what,
            "changes": [list(change) for change in self.changes],
            "problems": [[p.letters, p.heading, p.why] for p in self.said.problems],
            "remarks": self.said.remarks,
        }


def judge_sheet(
    sheet: ReadSheet,
    keys: Mapping[int, str],
    answers: SheetAnswers,
    today: date,
    *,
    pictures: Mapping[str, Any] | None = None,
    step: Callable[[int], None] = lambda _: None,
) -> list[RowVerdict]:
    """A verdict for each row, in their order. It writes nothing; queries grow by the five hundred rows."""
    digests = digests_of(sheet)
    place = {key: at for at, key in keys.items()}
    known = on_record(
        (row.cells[place["number"]].strip().lower() for row in sheet.rows) if "number" in place else (),
        digests,
        (row.cells[place["own_number"]] for row in sheet.rows) if "own_number" in place else (),
    )
    reader, towns = RowReader(sheet, keys, answers, known, today), TownRemarks()
    pieces = [_piece_of(known, place, row) for row in sheet.rows]
    differing = [
        piece.pk
        for row, piece in zip(sheet.rows, pieces, strict=True)
        if piece and not piece.binned and reader.differs(row, known.texts[piece.pk])
    ]
    load_specimens(known, sorted(set(differing)))
    verdicts = []
    for count, (row, digest) in enumerate(zip(sheet.rows, digests, strict=True), 1):
        verdicts.append(_one(reader, known, row, digest, pieces[count - 1], towns))
        if count % TOLD_EACH == 0:
            step(count)
    _each_number_once(verdicts)
    _pictures(verdicts, pictures)
    ask_acts(
        [v for v in verdicts if not v.said.problems and v.kind in (ROW_NEW, ROW_CHANGED)], known, answers
    )
    for verdict in verdicts:
        if verdict.said.problems:
            verdict.kind = ROW_REFUSED
    return verdicts


def _piece_of(known: OnRecord, place: Mapping[str, int], row: SheetRow) -> KnownPiece | None:
    """The find that a row is about: by its number, else by its owner's own number in an earlier sheet."""
    number = row.cells[place["number"]].strip().lower() if "number" in place else ""
    if number:
        return known.finds.get(number)
    own = row.cells[place["own_number"]] if "own_number" in place else ""
    told = known.by_own_number.get(own, []) if own else []
    return told[0] if len(told) == 1 else None


def _one(
    reader: RowReader,
    known: OnRecord,
    row: SheetRow,
    digest: str,
    known_piece: KnownPiece | None,
    towns: TownRemarks,
) -> RowVerdict:
    if piece := known.by_digest.get(digest):
        said = RowSaid(row.number, digest)
        where = ", which lies in the bin" if piece.binned else ""
        said.remarks.append(f"taken in before as {piece.number}{where}")
        return RowVerdict(ROW_HERE, said, piece, piece.number)
    if known_piece is not None and not known_piece.binned:
        return _of_known(reader, known, row, digest, known_piece, towns)
    said = reader.read(row, digest)
    verdict = RowVerdict(ROW_NEW, said, known_piece, str(said.number or ""), said.columns.get("what", ""))
    if known_piece is not None:
        reader.problem(said, "number", f"{known_piece.number} lies in the bin: restore it first")
    elif said.number and str(said.number) in known.gone_numbers:
        reader.problem(said, "number", f"{said.number} was the number of a piece that was deleted for good")
    complete_new(reader, said)
    verdict.what = said.columns.get("what", "")
    verdict.changes = facts_of_new(said)
    towns.add(said)
    return verdict


def _of_known(
    reader: RowReader, known: OnRecord, row: SheetRow, digest: str, piece: KnownPiece, towns: TownRemarks
) -> RowVerdict:
    find = known.specimens.get(piece.pk)
    if find is None:
        return RowVerdict(
            ROW_SAME, RowSaid(row.number, digest), piece, piece.number, known.texts[piece.pk]["what"]
        )
    said = reader.read(row, digest, known.texts[piece.pk])
    verdict = RowVerdict(ROW_SAME, said, piece, piece.number, find.what)
    verdict.changes = differences(reader, said, find, known.texts[piece.pk])
    if verdict.changes:
        verdict.kind = ROW_CHANGED
        towns.add(said)
    return verdict


def _each_number_once(verdicts: Sequence[RowVerdict]) -> None:
    """Of two rows of one piece neither can be taken: which one holds is not guessed."""
    rows: dict[str, list[RowVerdict]] = {}
    for verdict in verdicts:
        if verdict.kind == ROW_HERE:
            continue
        for number in {verdict.number, verdict.said.own_number and f"own {verdict.said.own_number}"} - {""}:
            rows.setdefault(number, []).append(verdict)
    for number, of_one in rows.items():
        if len(of_one) < 2:
            continue
        named = " and ".join(str(v.said.row) for v in of_one[:4])
        why = f"rows {named} have the same number, {number.removeprefix('own ')}: leave one, or number them"
        for verdict in of_one:
            if not any(problem.why == why for problem in verdict.said.problems):
                verdict.said.problems.append(CellProblem("", "", why))


def _pictures(verdicts: Sequence[RowVerdict], pictures: Mapping[str, Any] | None) -> None:
    """Say which pictures a row names that were not given, or could not be read; the row comes in without."""
    for verdict in verdicts:
        if verdict.kind == ROW_HERE:
            continue
        for name in verdict.said.pictures:
            found = (pictures or {}).get(picture_key(name))
            if found is None:
                verdict.said.remarks.append(f"its picture {name} was not given yet")
            elif "why" in found:
                verdict.said.remarks.append(f"its picture {name} is left out: {found['why']}")


def counts_of(verdicts: Sequence[RowVerdict]) -> dict[str, int]:
    """How many rows are of each kind."""
    counted = Counter(verdict.kind for verdict in verdicts)
    return {kind: counted.get(kind, 0) for kind in KINDS_OF_VERDICT}
