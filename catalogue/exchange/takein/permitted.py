"""Sharing, standing and stage of many rows, asked by the rules of the single acts before anything is done."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from catalogue.care.batch import SetStage
from catalogue.giving.batch import SetStanding, ShareFinds, first_shown
from catalogue.specimens.batch.piece_act import Objections, PieceAct
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.words import Standing

from .answers import SheetAnswers
from .on_record import OnRecord
from .row_said import CellProblem, RowSaid

if TYPE_CHECKING:
    from .judge_sheet import RowVerdict

# These name a person or a day, which no cell tells.
ASKED_ON_ITS_PAGE = (Standing.PROMISED, Standing.HANDED_OVER, Standing.RETURNED)
PARTED = 500
ASKED_ACTS = ("shared", "standing", "stage")


def act_of(name: str, said: RowSaid) -> PieceAct:
    """The act that the row's cell asks for."""
    if name == "shared":
        return ShareFinds(shared=bool(said.shared))
    return SetStanding(said.standing) if name == "standing" else SetStage(said.stage)


def asks_for(name: str, said: RowSaid) -> bool:
    """Whether the row asks for it at all."""
    return said.shared is not None if name == "shared" else bool(getattr(said, name))


def objection_words(objections: Objections, key: int) -> str:
    """What stands in the way, or has to be answered on the piece's own page; empty where nothing does."""
    said = objections.get(key)
    if said is None:
        return ""
    if said.refused:
        return said.refused
    if said.questions:
        return f"{said.questions[0].words}: that is asked on the piece's own page"
    return ""


def ask_acts(verdicts: Sequence["RowVerdict"], known: OnRecord, answers: SheetAnswers) -> None:
    """Refuse rows whose acts may not be done, or would show visitors a piece without a person's word."""
    _asked_elsewhere(verdicts)
    verdicts = [verdict for verdict in verdicts if not verdict.said.problems]
    for name in ASKED_ACTS:
        groups: dict[object, list[RowVerdict]] = {}
        for verdict in verdicts:
            if asks_for(name, verdict.said):
                groups.setdefault(getattr(verdict.said, name), []).append(verdict)
        for group in groups.values():
            _ask(name, group, known, answers)


def _asked_elsewhere(verdicts: Iterable["RowVerdict"]) -> None:
    for verdict in verdicts:
        said = verdict.said
        if said.standing in ASKED_ON_ITS_PAGE:
            words = Standing(said.standing).label
            why = f"{words}: note that on the piece's own page, where it is asked to whom and when"
            said.problems.append(CellProblem("", "Standing", why))


def _ask(name: str, group: list["RowVerdict"], known: OnRecord, answers: SheetAnswers) -> None:
    act = act_of(name, group[0].said)
    for start in range(0, len(group), PARTED):
        part = group[start : start + PARTED]
        finds = [_piece(verdict, known) for verdict in part]
        old = [find for find in finds if find.pk]
        objections = act.objections(old) if old else {}
        opened: set[int] = set()
        if act.column in ("shared", "standing"):
            values = {find.pk: act.value(find) for find in old}
            opened = {find.pk for find in first_shown(old, act.column, values)}
        for verdict, find in zip(part, finds, strict=True):
            shows = (
                find.pk in opened
                if find.pk
                else name == "shared" and verdict.said.shared or (verdict.said.standing == Standing.FREE)
            )
            why = objection_words(objections, find.pk) if find.pk else ""
            if not why and shows and not answers.show_visitors:
                why = "visitors would see it: tick that they may, or empty the cell"
            if why:
                verdict.said.problems.append(CellProblem("", _FACTS[name], why))


_FACTS = {"shared": "Shared with visitors", "standing": "Standing", "stage": "Stage"}


def _piece(verdict: "RowVerdict", known: OnRecord) -> Specimen:
    """The find on record, or an unsaved one."""
    if verdict.piece is None:
        return Specimen()
    found: Specimen = known.specimens[verdict.piece.pk]
    return found
