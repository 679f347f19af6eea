"""The treatment record: everything done to a piece as words, and as one page that shrinks to fit."""

from dataclasses import dataclass
from datetime import datetime, time

from django.utils import timezone

from catalogue.care.grading import storage_advice
from catalogue.care.models import ConditionReport, Treatment
from catalogue.care.safety import DEFER, NOT_FOR_DRINKING
from catalogue.common.localisation import clock_words, day_words
from catalogue.common.text import sentence
from catalogue.labels import typesetting
from catalogue.labels.page import HAIRLINE, INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.typesetting import LEADING, TypeRoom, fit, wrap
from catalogue.pages.parts.history_line import lasting
from catalogue.pages.workbench.printed.printing import draw_lines, draw_picture, lines_height, picture_file
from catalogue.photos.models import Photo
from catalogue.photos.models.laid_pair import before_and_after
from catalogue.specimens.models import Specimen
from catalogue.specimens.year_words import made_line

LONGEST_NOTE = 600


@dataclass(frozen=True, slots=True)
class RecordLine:
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
class TreatmentRecord:
    """The treatment record of one piece, oldest line first."""

    find: Specimen
    lines: list[RecordLine]
    before: Photo | None
    after: Photo | None
    advice: list[str]
    cautions: list[str]


def record_of(find: Specimen) -> TreatmentRecord:
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
    return TreatmentRecord(
        find=find,
        lines=[line for _, line in sorted(dated, key=lambda pair: pair[0])],
        before=pair.before if pair else before,
        after=pair.after if pair else after,
        advice=[why.words for why in storage_advice(kinds)],
        cautions=[NOT_FOR_DRINKING, DEFER],
    )


def _moment(report: ConditionReport) -> datetime:
    """When somebody looked: as it was written down on the day itself, else noon."""
    written = timezone.localtime(report.created)
    if written.date() == report.on:
        return written
    return timezone.make_aware(datetime.combine(report.on, time(12)))


def _treatment(done: Treatment) -> RecordLine:
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
    return RecordLine(
        f"{day_words(done.begun)}, {clock_words(done.begun)}",
        sentence(done.get_method_display()),
        ", ".join(part for part in parts if part),
        str(done.by or "the owner"),
        note,
    )


def _report(report: ConditionReport) -> RecordLine:
    damages = ", ".join(
        f"{damage.get_kind_display()} ({', '.join(reversed(damage.where))})"
        for damage in report.damages.all()
    )
    return RecordLine(
        day_words(report.on),
        f"Condition: {report.get_grade_display()}",
        damages,
        str(report.by or "the owner"),
        report.note,
    )


RECORD_MARGIN_MM = 14.0
DATE_COLUMN_MM = 33.0
SMALLEST_POINTS = 5.5


def record_sheet(record: TreatmentRecord, *, size: str = "A4") -> bytes:
    """One page. Where the smallest type has no room for all, the oldest lines are only counted."""
    find = record.find
    page = PdfPage(size, f"Treatment record of {find.number}")
    width = page.width_mm - 2 * RECORD_MARGIN_MM
    page.text(RECORD_MARGIN_MM, RECORD_MARGIN_MM + 3, "Treatment record", typesetting.TEXT_FONT, 10, SOFT)
    y = RECORD_MARGIN_MM + 5
    for words, font, largest, lines in (
        (find.number, typesetting.NUMBER_FONT, 20, 1),
        (find.what, typesetting.WORDS_FONT, 14, 2),
    ):
        block = fit(
            words,
            font,
            TypeRoom(
                width=(width - 90) * POINTS_PER_MM, height=80, largest=largest, smallest=9, most_lines=lines
            ),
        )
        if block:
            y = page.block(RECORD_MARGIN_MM, y, block) + 1.0
    aim = f"Look aimed at: {find.get_look_display()}" if find.look else ""
    for words in (made_line(find.made_words), aim, f"Stage: {find.get_stage_display()}"):
        if words:
            y = draw_lines(page, words, RECORD_MARGIN_MM, y, width - 90, 9.5)
    for place, (photo, words) in enumerate(((record.before, "before"), (record.after, "after"))):
        left = page.width_mm - RECORD_MARGIN_MM - 84 + place * 43
        draw_picture(page, picture_file(photo), left, RECORD_MARGIN_MM, 41, 52)
        page.text(
            left,
            RECORD_MARGIN_MM + 56,
            words if photo else f"{words}: no picture",
            typesetting.TEXT_FONT,
            8.5,
            SOFT,
        )
    y = max(y, RECORD_MARGIN_MM + 58) + 2
    page.wave(RECORD_MARGIN_MM, page.width_mm - RECORD_MARGIN_MM, y)
    tail = [*record.advice, *record.cautions]
    foot = page.height_mm - RECORD_MARGIN_MM - lines_height(tail, 8.5, width, 0.8)
    _lines(page, record.lines, y + 4, foot - 3, width)
    page.rule(RECORD_MARGIN_MM, foot - 2, page.width_mm - RECORD_MARGIN_MM, foot - 2, grey=HAIRLINE)
    for words in tail:
        foot = draw_lines(page, words, RECORD_MARGIN_MM, foot, width, 8.5) + 0.8
    return page.done()


def _lines(page: PdfPage, lines: list[RecordLine], top: float, foot: float, width: float) -> None:
    size = 10.0
    while size > SMALLEST_POINTS and top + sum(_height(line, size, width) for line in lines) > foot:
        size -= 0.5
    shown = list(lines)
    while shown and top + sum(_height(line, size, width) for line in shown) + 4 > foot:
        shown.pop(0)
    if len(shown) < len(lines):
        said = f"{len(lines) - len(shown)} earlier lines are in the catalogue."
        top = draw_lines(page, said, RECORD_MARGIN_MM, top, width, size, grey=SOFT) + 1
    if not lines:
        draw_lines(page, "Nothing was done to it yet.", RECORD_MARGIN_MM, top, width, size)
    for line in shown:
        page.text(
            RECORD_MARGIN_MM,
            top + size * 0.86 / POINTS_PER_MM,
            line.when,
            typesetting.TEXT_FONT,
            size * 0.92,
            SOFT,
        )
        top = draw_lines(
            page,
            f"{line.name} ({line.by})",
            RECORD_MARGIN_MM + DATE_COLUMN_MM,
            top,
            width - DATE_COLUMN_MM,
            size,
            font=typesetting.TITLE_FONT,
        )
        for words, grey in ((line.words, INK), (line.short_note, SOFT)):
            if words:
                top = draw_lines(
                    page,
                    words,
                    RECORD_MARGIN_MM + DATE_COLUMN_MM,
                    top,
                    width - DATE_COLUMN_MM,
                    size,
                    grey=grey,
                )
        top += 1.6


def _height(line: RecordLine, size: float, width: float) -> float:
    room = (width - DATE_COLUMN_MM) * POINTS_PER_MM
    rows = len(wrap(f"{line.name} ({line.by})", typesetting.TITLE_FONT, size, room))
    rows += sum(
        len(wrap(words, typesetting.TEXT_FONT, size, room))
        for words in (line.words, line.short_note)
        if words
    )
    return rows * size * LEADING / POINTS_PER_MM + 1.6
