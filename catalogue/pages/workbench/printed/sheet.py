"""What the sheet for the wall says, as plain words."""

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from catalogue.care.models import BathMember
from catalogue.care.queries.bath_page import BathPage
from catalogue.care.safety import DEFER, STANDING_CAUTIONS, reminders
from catalogue.care.volume import Shape
from catalogue.common.localisation import about, clock_words, said
from catalogue.common.quantities import LENGTH
from catalogue.photos.models import Photo
from catalogue.specimens.models import MarkReading

from .printing import picture_file

# The picture before the work tells a crusted piece best.
BEFORE = (Photo.Role.BEFORE, Photo.Role.AS_FOUND)


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """One piece to tick off."""

    number: str
    what: str
    sizes: str
    mark: str
    picture: Path | None
    out: str = ""


@dataclass(frozen=True, slots=True)
class SheetText:
    """Everything on the page."""

    title: str
    about: str
    pour: list[tuple[str, str, str]]
    times: list[tuple[str, str]]
    steps: list[tuple[str, str]]
    aid: list[str]
    defer: str
    pieces: list[SheetPiece]
    shape: Shape
    lines: list[tuple[float, str]] = field(default_factory=list)
    rings: list[tuple[float, str]] = field(default_factory=list)


def sheet_of(page: BathPage) -> SheetText:
    """The sheet of a bath as it stands: chosen pieces, those in it, those out of it in this load."""
    bath, sums, figures = page.bath, page.sums, page.figures
    load = page.row.load
    members = [each.member for each in page.chosen] + [member for member, _ in page.inside]
    members += [member for member, _ in page.out if load and member.load_id == load.pk] or (
        [] if members else [member for member, _ in page.out]
    )
    steps = [
        (step.words, step.mind.words)
        for part in ("before", "mix", "in", "during", "out", "after")
        for step in page.steps.get(part, ())
    ]
    shape = bath.vessel.shape
    pour, lines = [], []
    if sums:
        pour = [
            ("Cold water", figures["water"], figures["water_line"]),
            ("then acid into it", figures["acid"], figures["acid_line"]),
            ("pieces in", about(sums.final_line.height_mm, LENGTH), figures["final_line"]),
        ]
        water = bath.water_ml or sums.plan.water_ml
        lines = [
            (shape.height_of(water), "water"),
            (shape.height_of(water + (bath.acid_ml or sums.plan.acid_ml)), "acid"),
            (sums.final_line.height_mm, "pieces in"),
        ]
    strong = bath.acid or (sums.plan.bath if sums else None)
    strength = (
        f"{strong.mol_per_l:.2f} mol/l from acid of {bath.strength_label}" if strong else bath.strength_label
    )
    return SheetText(
        title=f"Acid bath in {bath.vessel}",
        about=strength,
        pour=pour,
        times=[
            ("Mixed", _time(bath.mixed_at)),
            ("All in", _time(load.began_at if load else None)),
            ("Look from", _time(load.look_from if load else None)),
            ("All out by", _time(load.look_to if load else None)),
        ],
        steps=steps,
        aid=[
            STANDING_CAUTIONS["wear"],
            STANDING_CAUTIONS["mixing"],
            *(why.words for why in reminders()["first aid"][:3]),
        ],
        defer=DEFER,
        pieces=pieces_of(members),
        shape=shape,
        lines=lines,
        rings=[(shape.height_of(mark.ml), str(mark)) for mark in bath.vessel.marks.all()],
    )


def pieces_of(members: list[BathMember]) -> list[SheetPiece]:
    """Each with its picture before the work. Three queries: pictures, covers, marks."""
    keys = [member.find_id for member in members]
    before: dict[int, Photo] = {}
    for photo in Photo.objects.filter(find__in=keys, role__in=BEFORE).order_by("order", "pk"):
        if photo.find_id is not None:
            before.setdefault(photo.find_id, photo)
    covers = Photo.objects.covers_of(keys)
    marks: dict[int, list[str]] = {}
    for reading in MarkReading.objects.filter(find__in=keys):
        marks.setdefault(reading.find_id, []).append(str(reading))
    return [
        SheetPiece(
            number=member.find.number,
            what=member.find.what,
            sizes=sizes_of(member),
            mark=", ".join(marks.get(member.find_id, [])) or "no mark read",
            picture=picture_file(before.get(member.find_id) or covers.get(member.find_id)),
            out=_time(member.out_at),
        )
        for member in members
    ]


def sizes_of(member: BathMember) -> str:
    """Base and height as measured by hand."""
    find = member.find
    parts = [
        f"base {said(find.base_mm, LENGTH)}" if find.base_mm else "",
        f"height {said(find.height_mm, LENGTH)}" if find.height_mm else "",
    ]
    return ", ".join(part for part in parts if part) or "not measured"


def _time(at: datetime | None) -> str:
    return clock_words(at) if at else ""
