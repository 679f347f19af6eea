"""One line of a find's life: found, looked at, treated, moved, promised, handed over. Newest first."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.care.models import ConditionReport, HazardReason, Treatment
from catalogue.care.piece_facts import caution_for
from catalogue.common.history_entries import reason_of
from catalogue.common.localisation import day_words
from catalogue.common.text import sentence
from catalogue.giving.models import Departure, HandOver, Promise
from catalogue.giving.rules import GONE_UNGIVEN
from catalogue.specimens.models import Move, Specimen
from catalogue.specimens.models.words import Standing
from catalogue.specimens.services.acts import UNDONE

# A day without an hour stands at its noon among those with one.
NOON = time(12)


@dataclass(slots=True)
class Entry:
    """One thing that happened; `also` are short lines below it, `caution` stands out.

    `kind` and `key` name its own record where it has one: it can be put in the bin from its line.
    """

    on: date
    name: str
    words: str = ""
    by: str = ""
    at: time = NOON
    note: str = ""
    also: list[str] = field(default_factory=list)
    caution: str = ""
    kind: str = ""
    key: int = 0


def history_of(find: Specimen) -> list[Entry]:
    """Everything dated about a find. One query where its rows are prefetched: what left, and came back."""
    entries = [_condition(report) for report in find.condition_reports.all()]
    entries += [_treatment(treatment) for treatment in find.treatments.all()]
    entries += [_move(move) for move in find.moves.all()]
    for promise in find.promises.all():
        entries += _promise(promise)
    for given in find.handovers.all():
        entries += _handover(given)
    entries += [_reason(kept) for kept in find.hazard_reasons.all()]
    entries += _leavings(find)
    if find.dive:
        words = f"{find.dive}"
        entries.append(Entry(find.dive.date, "Found", words, at=time.min))
    written = timezone.localtime(find.created)
    entries.append(Entry(written.date(), "Recorded", f"as {find.number}", at=written.time()))
    return sorted(entries, key=lambda entry: (entry.on, entry.at), reverse=True)


def lasting(begun: datetime, ended: datetime) -> str:
    """How long something took: "45 min", "3 h 10 min", "5 days"."""
    minutes = int((ended - begun).total_seconds()) // 60
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 48 * 60:
        hours, rest = divmod(minutes, 60)
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    return f"{round(minutes / 1440)} days"


def _condition(report: ConditionReport) -> Entry:
    return Entry(
        report.on,
        "Condition",
        report.get_grade_display(),
        by=str(report.by or ""),
        note=report.note,
        also=[f"{damage}: {damage.note}" if damage.note else str(damage) for damage in report.damages.all()],
        kind="condition",
        key=report.pk,
    )


def _treatment(done: Treatment) -> Entry:
    begun = timezone.localtime(done.begun)
    parts = [
        done.agents,
        done.strength,
        done.tools,
        _times(done.passes),
        lasting(done.begun, done.ended) if done.ended else "not ended yet",
        done.get_result_display(),
    ]
    caution = caution_for(done.method)
    return Entry(
        begun.date(),
        sentence(done.get_method_display()),
        ", ".join(part for part in parts if part),
        by=str(done.by or ""),
        at=begun.time(),
        note=done.note,
        also=[f"Done all the same: {done.override_reason}"] if done.override_reason else [],
        caution=caution.caution if caution and not caution.again else "",
        kind="treatment",
        key=done.pk,
    )


def _times(passes: int | None) -> str:
    if not passes:
        return ""
    return "one pass" if passes == 1 else f"{passes} passes"


def _move(move: Move) -> Entry:
    at = timezone.localtime(move.at)
    if move.from_place and move.to_place:
        words = f"from {move.from_place} to {move.to_place}"
    elif move.to_place:
        words = f"to {move.to_place}"
    else:
        words = f"out of {move.from_place}" if move.from_place else "no place"
    return Entry(at.date(), "Moved", words, at=at.time(), note=move.why)


def _promise(promise: Promise) -> list[Entry]:
    until = f", until {day_words(promise.until)}" if promise.until else ""
    entries = [Entry(promise.on, "Promised", f"to {promise.person}{until}", note=promise.note)]
    if promise.ended == Promise.Ended.WITHDRAWN and promise.ended_on:
        entries.append(Entry(promise.ended_on, "Promise withdrawn", f"to {promise.person}", at=time(13)))
    return entries


def _handover(given: HandOver) -> list[Entry]:
    to = f"to {given.person}" if given.person else ""
    entries = [Entry(given.on, "Handed over", to, note=given.note, at=time(14))]
    if given.came_back_on:
        entries.append(Entry(given.came_back_on, "Came back", "", at=time(15)))
    return entries


def _reason(kept: HazardReason) -> Entry:
    """Why an act went ahead in spite of what the piece has."""
    at = timezone.localtime(kept.at)
    # An act of a newer catalogue is told by its key.
    what = Act(kept.act).words if kept.act in set(Act) else kept.act
    return Entry(at.date(), "Reason kept", f"to {what}", at=at.time(), note=kept.reason)


# How far a departure's row and the change of standing in the audit trail lie apart: one transaction.
_TOGETHER = timedelta(seconds=10)


def _departure(gone: Departure) -> Entry:
    at = timezone.localtime(gone.created)
    by_clock = at.time() if at.date() == gone.on else time(14)
    return Entry(gone.on, sentence(gone.get_standing_display()), at=by_clock, note=gone.reason)


def _leavings(find: Specimen) -> list[Entry]:
    """Returned, left in place, lost, and here again, from the audit trail; what was undone never happened.

    A departure has a row of its own, with its day and reason: what the trail has of it is not told twice.
    """
    departures = list(find.departures.all())
    past = find.history.order_by("history_id").values_list(
        "history_date", "standing", "history_change_reason"
    )
    changes: list[tuple[datetime, str, str]] = []
    before = ""
    for moment, standing, reason in past:
        if before and standing != before:
            if reason_of(reason) == UNDONE and changes:
                changes.pop()
            else:
                changes.append((timezone.localtime(moment), before, standing))
        before = standing
    entries = [_departure(gone) for gone in departures]
    for at, was, now in changes:
        if now in GONE_UNGIVEN:
            if any(gone.standing == now and abs(gone.created - at) < _TOGETHER for gone in departures):
                continue
            entries.append(Entry(at.date(), sentence(Standing(now).label), at=at.time()))
        elif was in GONE_UNGIVEN:
            entries.append(Entry(at.date(), "Here again", f"now {Standing(now).label}", at=at.time()))
    return entries
