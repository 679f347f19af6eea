"""Write the rows of a sheet in one transaction, as they were shown: all of them, or only the good ones."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from catalogue.common.records import hold_below
from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.models import TakeIn, TakenRow
from catalogue.specimens.derived.refresh import refresh_now, refreshing
from catalogue.specimens.models import (
    Inscription,
    MarkReading,
    ObservedFeature,
    Opinion,
    Specimen,
)
from catalogue.specimens.services import NewFind, Parts, give_opinion, keep_find, keep_new_finds, move_to

from .acts_done import act_with_new, act_with_old
from .answers import SheetAnswers
from .dry_run import store_verdicts
from .judge_sheet import ROW_CHANGED, ROW_NEW, RowVerdict, counts_of, judge_sheet
from .pictures_given import file_pictures
from .row_said import RowSaid
from .rows_made import RowsMade, sites_said
from .state_before import before_of, stamps_of
from .stored_sheet import columns_of, remember, sheet_of_take_in

FOLLOWED = 500


class TakeInRefused(WorkRefused):
    """Nothing was written; the message says why."""


@dataclass(frozen=True, slots=True)
class TakenIn:
    """How many finds are new and changed, and what was left out."""

    new: int
    changed: int
    words: str


@refreshing()
def write_take_in(
    key: int,
    *,
    only_good: bool = False,
    shown: str | None = None,
    step: Callable[[int, int], None] = lambda done, total: None,
) -> TakenIn:
    """Write it. `shown`: digest of the verdicts that the person saw; where others hold now, nothing is done.

    Raises TakeInRefused with nothing written. Every row is judged once more, within the transaction.
    """
    take_in = TakeIn.objects.select_for_update().get(pk=key)
    if take_in.done_at:
        raise TakeInRefused(f"That was done already, and nothing was done twice. {take_in.words}")
    verdicts = _judged(take_in, step)
    if shown is not None and take_in.verdicts_digest != shown:
        raise TakeInRefused(
            "Nothing was taken in: what the catalogue holds has changed since the rows were shown. Look at "
            "them anew."
        )
    refused = sum(
        verdict.kind not in (ROW_NEW, ROW_CHANGED) and bool(verdict.said.problems) for verdict in verdicts
    )
    if refused and not only_good:
        rows = "1 row" if refused == 1 else f"{refused:,} rows"
        raise TakeInRefused(f"Nothing was taken in: {rows} can't be, and all were asked for.")
    good = [verdict for verdict in verdicts if verdict.kind in (ROW_NEW, ROW_CHANGED)]
    if not good:
        raise TakeInRefused("Nothing was taken in: no row of it is new or changes anything.")
    return _Writer(take_in, verdicts, good, step).write()


def _judged(take_in: TakeIn, step: Callable[[int, int], None]) -> list[RowVerdict]:
    sheet = sheet_of_take_in(take_in)
    _, keys = columns_of(take_in, sheet)
    total = 3 * len(sheet.rows)
    verdicts = judge_sheet(
        sheet,
        keys,
        SheetAnswers.of_stored(take_in.answers),
        timezone.localdate(),
        pictures=take_in.pictures,
        step=lambda count: step(count, total),
    )
    store_verdicts(take_in, verdicts)
    return verdicts


class _Writer:
    """Writes the good rows of one sheet, and how they are taken back."""

    def __init__(
        self,
        take_in: TakeIn,
        verdicts: Sequence[RowVerdict],
        good: list[RowVerdict],
        step: Callable[[int, int], None],
    ) -> None:
        self.take_in, self.verdicts, self.good, self.step = take_in, verdicts, good, step
        self.answers = SheetAnswers.of_stored(take_in.answers)
        self.rows = RowsMade(sites_said([verdict.said for verdict in good]))
        self.written: list[tuple[RowVerdict, Specimen]] = []
        self.before: dict[int, dict[str, Any]] = {}
        self.photos: list[list[int]] = []

    def write(self) -> TakenIn:
        """All of it."""
        count = len(self.verdicts)
        new = [verdict for verdict in self.good if verdict.kind == ROW_NEW]
        for start in range(0, len(new), FOLLOWED):
            part = new[start : start + FOLLOWED]
            finds = [self._new(verdict.said) for verdict in part]
            keep_new_finds(finds)
            refresh_now()
            self.written += [(verdict, each.find) for verdict, each in zip(part, finds, strict=True)]
            self.step(count + 2 * len(self.written), 3 * count)
        for verdict in self.good:
            if verdict.kind == ROW_CHANGED:
                self.written.append((verdict, self._changed(verdict)))
                if len(self.written) % 50 == 0:
                    self.step(count + 2 * len(self.written), 3 * count)
                if len(self.written) % FOLLOWED == 0:
                    refresh_now()
        refresh_now()
        left = self._acts()
        self.photos = file_pictures(self.take_in, [(v.said.pictures, f) for v, f in self.written])
        refresh_now()
        return self._note(left)

    def _new(self, said: RowSaid) -> NewFind:
        find = Specimen(**said.columns)
        find.stage = said.stage or self.answers.stage
        if said.where:
            self.rows.put_where_found(find, said.where)
        self.rows.name_trade(find, said)
        if "shelf" in said.names:
            find.place = self.rows.place(said.names["shelf"])
        return NewFind(find, parts_of(said, find), self._opinions(said), said.number)

    def _changed(self, verdict: RowVerdict) -> Specimen:
        assert verdict.piece
        said = verdict.said
        find = Specimen.objects.select_for_update(of=("self",)).get(pk=verdict.piece.pk)
        self.before[find.pk] = before_of(find, said)
        for name, value in said.columns.items():
            setattr(find, name, value)
        fields = list(said.columns)
        if said.where:
            self.rows.put_where_found(find, said.where)
            hold_below(find, "dive", "site")
            fields += ["dive", "site", "recovered_edtf"]
        fields += self.rows.name_trade(find, said)
        if "shelf" in said.names:
            move_to(find, self.rows.place(said.names["shelf"]), "taken in from a spreadsheet")
        keep_find(find, parts_of(said, find), fields=fields, at_once=False)
        for opinion in self._opinions(said):
            opinion.find = find
            give_opinion(opinion, at_once=False)
        return find

    def _opinions(self, said: RowSaid) -> list[Opinion]:
        """One of each kind: the first that its row says."""
        return [
            Opinion(
                about=opinion.about,
                value=opinion.value,
                maker_id=opinion.maker,
                on=opinion.on or timezone.localdate(),
                source=f"spreadsheet {self.take_in.name}"[:500],
            )
            for opinion in {each.about: each for each in reversed(said.opinions)}.values()
        ]

    def _acts(self) -> list[str]:
        """Sharing, standing and stage, asked by the rules of the single acts; what was not done, in words."""
        new = [(verdict.said, find) for verdict, find in self.written if verdict.kind == ROW_NEW]
        old = [(verdict.said, find) for verdict, find in self.written if verdict.kind == ROW_CHANGED]
        act_with_old(old)
        return act_with_new(new)

    def _note(self, left: list[str]) -> TakenIn:
        """What was done, and how it is taken back."""
        take_in = self.take_in
        TakenRow.objects.bulk_create(
            TakenRow(
                take_in=take_in,
                find=find,
                digest=verdict.said.digest,
                own_number=verdict.said.own_number[:200],
            )
            for verdict, find in self.written
        )
        keys = [find.pk for _, find in self.written]
        after = stamps_of(keys)
        new = [find.pk for verdict, find in self.written if verdict.kind == ROW_NEW]
        take_in.changed = {
            "new": [[pk, after[pk]] for pk in new],
            "changed": [[pk, self.before[pk], after[pk]] for pk in self.before],
            "made": self.rows.made,
            "photos": self.photos,
        }
        counts = counts_of(self.verdicts)
        said = [f"{_finds(len(new))} new"] if new else []
        said += [f"{_finds(len(self.before))} changed"] if self.before else []
        words = [f"{take_in.name}: {', '.join(said)}."]
        if left_out := counts["refused"]:
            words.append("1 row was left out." if left_out == 1 else f"{left_out:,} rows were left out.")
        take_in.words = " ".join([*words, *left])
        take_in.done_at, take_in.cells = timezone.now(), b""
        take_in.save()
        remember(take_in, self.answers)
        return TakenIn(len(new), len(self.before), take_in.words)


def _finds(count: int) -> str:
    return "1 find is" if count == 1 else f"{count:,} finds are"


def parts_of(said: RowSaid, find: Specimen) -> Parts:
    """The rows that belong to the find, as far as the sheet says them."""
    readings = None
    if said.readings is not None:
        stored = list(find.readings.all()) if find.pk else []
        readings = [*stored, *(MarkReading(**row) for row in said.readings)]
    inscriptions = None if said.inscriptions is None else [Inscription(**row) for row in said.inscriptions]
    features = None if said.features is None else [ObservedFeature(**row) for row in said.features]
    return Parts(inscriptions=inscriptions, readings=readings, features=features)
