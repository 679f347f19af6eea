"""Everything done to a piece, as plain words for one page."""

from dataclasses import dataclass
from datetime import datetime, time

from django.utils import timezone

from catalogue.care.cautions import DEFER
from catalogue.care.grading import storage_advice
from catalogue.care.models import ConditionReport, Treatment
from catalogue.pages.parts.history_line import lasting, sentence
from catalogue.photos.models import Photo
from catalogue.photos.queries import before_and_after
from catalogue.specimens.models import Specimen

LONGEST_NOTE = 600
FIT = "Clean does not mean fit to drink from."


@dataclass(frozen=True, slots=True)
class Line:
    """One treatment or report: when, what, with what, by whom, and what came of it."""

    when: str
    name: str
    words: str
    by: str
    note: str

    @property
    def short_note(self) -> str:
        """The note as far as one printed page has room for it."""
        return self.note if len(self.note) <= LONGEST_NOTE else self.note[:LONGEST_NOTE].rstrip() + "…"


@dataclass(frozen=True, slots=True)
class Record:
    """The treatment record of one piece, oldest line first."""

    find: Specimen
    lines: list[Line]
    before: Photo | None
    after: Photo | None
    advice: list[str]
    cautions: list[str]


def record_of(find: Specimen) -> Record:
    """Gather it. Four queries: treatments, reports, their damages, pictures."""
    treatments = list(find.treatments.select_related("by"))
    reports = list(find.condition_reports.select_related("by").prefetch_related("damages"))
    photos = list(Photo.objects.of(find).in_order())
    pair = before_and_after(photos)
    before = next((p for p in photos if p.role in (Photo.Role.AS_FOUND, Photo.Role.BEFORE)), None)
    after = next((p for p in photos if p.role == Photo.Role.AFTER), None)
    # Rows come newest first; turned round, what has the same time keeps the order it was written in.
    dated = [(timezone.localtime(t.begun), _treatment(t)) for t in reversed(treatments)]
    dated += [(_moment(report), _report(report)) for report in reversed(reports)]
    kinds = [damage.kind for damage in reports[0].damages.all()] if reports else []
    return Record(
        find=find,
        lines=[line for _, line in sorted(dated, key=lambda pair: pair[0])],
        before=pair.before if pair else before,
        after=pair.after if pair else after,
        advice=[why.words for why in storage_advice(kinds)],
        cautions=[FIT, DEFER],
    )


def _moment(report: ConditionReport) -> datetime:
    """When somebody looked: as it was written down on the day itself, else noon."""
    written = timezone.localtime(report.created)
    if written.date() == report.on:
        return written
    return timezone.make_aware(datetime.combine(report.on, time(12)))


def _treatment(done: Treatment) -> Line:
    begun = timezone.localtime(done.begun)
    parts = [
        done.agents,
        done.strength,
        done.tools,
        f"{done.passes} passes" if done.passes and done.passes > 1 else "",
        lasting(done.begun, done.ended) if done.ended else "not ended yet",
        done.get_result_display(),
    ]
    note = done.note
    if done.override_reason:
        note = f"{note} Done against the advice: {done.override_reason}".strip()
    return Line(
        f"{begun.day} {begun:%b %Y, %H:%M}",
        sentence(done.get_method_display()),
        ", ".join(part for part in parts if part),
        str(done.by or "the owner"),
        note,
    )


def _report(report: ConditionReport) -> Line:
    damages = ", ".join(
        f"{damage.get_kind_display()} ({damage.get_extent_display()}, {damage.get_part_display()})"
        for damage in report.damages.all()
    )
    return Line(
        f"{report.on.day} {report.on:%b %Y}",
        f"Condition: {report.get_grade_display()}",
        damages,
        str(report.by or "the owner"),
        report.note,
    )
