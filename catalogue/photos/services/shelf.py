"""A shelf taken in by one picture: object proposals, boxes kept, each bottle cut out and numbered."""

import io
import logging
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localtime
from PIL import Image

from catalogue.photos import files
from catalogue.photos.boxes import Corners, reading_order, with_margin, within
from catalogue.photos.decoding import AT_MOST_TWO, averageable, to_srgb, turned_upright
from catalogue.photos.image_file import FORMATS
from catalogue.photos.imaging import ImagingError, find_bottles
from catalogue.photos.models import FileFacts, Photo, ShelfBox, ShelfSession
from catalogue.photos.queries import UNDESCRIBED
from catalogue.photos.renditions import ensure_size
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import keep_find

from .uploads import file_under, store

log = logging.getLogger("siltmark.pictures")
PROPOSED_IN = "large"
SURE_ENOUGH = 0.3
QUALITY = 92


@dataclass(frozen=True, slots=True)
class BoxRow:
    """A box as it was sent: `key` names it, `remove` takes it out."""

    key: str
    corners: Corners
    kind: str
    remove: bool


class CannotCut(Exception):
    """The original can't be read; the message says what to do."""


def proposed_boxes(photo: Photo) -> list[Corners]:
    """Boxes that the picture suggests, in its own pixels; empty where none is made out."""
    if not ensure_size(photo.sha256, photo.format, PROPOSED_IN):
        return []
    with AT_MOST_TWO, Image.open(files.size(photo.sha256, PROPOSED_IN)) as image:
        pixels = np.asarray(image.convert("RGB"))
    try:
        found = find_bottles(pixels)
    except ImagingError as why:
        log.info("no bottles proposed in picture %s: %s", photo.pk, why)
        return []
    scale = photo.width / pixels.shape[1]
    corners = [(b.left, b.top, b.right, b.bottom) for b in found if b.confidence >= SURE_ENOUGH]
    scaled = [tuple(round(edge * scale) for edge in box) for box in corners]
    return [within(box, photo.width, photo.height) for box in scaled]


def cut_out(photo: Photo, boxes: Sequence[Corners]) -> Iterator[io.BytesIO]:
    """One JPEG for each box, cut from the original at its full size. Raises CannotCut."""
    try:
        with AT_MOST_TWO, Image.open(files.original(photo.sha256, photo.format), formats=FORMATS) as image:
            image.load()
            whole = to_srgb(turned_upright(averageable(image)))
    except Exception as error:
        # A file damaged on disk: decoders raise anything.
        log.warning("picture %s can't be cut: %s", photo.pk, error)
        raise CannotCut(
            "The picture of this shelf can't be read any more: take it again, or record one by one."
        ) from None
    for box in boxes:
        piece = io.BytesIO()
        whole.crop(with_margin(box, *whole.size)).save(piece, "JPEG", quality=QUALITY)
        piece.seek(0)
        yield piece


def begin_shelf(session: ShelfSession) -> ShelfSession:
    """Keep a shelf for its picture with the boxes the picture suggests; one begun before goes on instead."""
    known = ShelfSession.everything.filter(photo=session.photo).first()
    if known is not None:
        if known.binned_at is not None:
            known.take_out_of_bin()
        return known
    # Looked for outside the transaction: it takes a second, and others may write meanwhile.
    boxes = proposed_boxes(session.photo)
    with transaction.atomic():
        session.save()
        order = reading_order(boxes)
        ShelfBox.objects.bulk_create(
            _box(session, BoxRow(f"proposed-{n}", boxes[place], session.kind, remove=False))
            for n, place in enumerate(order, 1)
        )
    return session


@transaction.atomic
def keep_boxes(session: ShelfSession, rows: Iterable[BoxRow]) -> None:
    """Write down the boxes as sent; a row names what is taken out. Numbered ones stay as they are."""
    ShelfSession.objects.select_for_update().get(pk=session.pk)
    stored = {box.key: box for box in session.boxes.all()}
    for row in rows:
        box = stored.get(row.key)
        if box is None:
            if not row.remove:
                stored[row.key] = _box(session, row)
                stored[row.key].save()
        elif box.find_id is None:
            if row.remove:
                box.delete()
                del stored[row.key]
            elif (*box.corners, box.kind) != (*row.corners, row.kind):
                changed = _box(session, row)
                changed.pk = box.pk
                changed.save()
    # Its own time of change tells which shelf was worked on last.
    session.save(update_fields=["changed"])


def number_bottles(session: ShelfSession) -> list[Specimen]:
    """Make a find of every box without one: numbered row by row from the left, its cut-out as first picture.

    All or none. Raises CannotCut where the picture can't be read any more, PictureRefused where there is no
    room for the cut-outs.
    """
    waiting = list(session.boxes.filter(find=None))
    waiting = [waiting[n] for n in reading_order([box.corners for box in waiting])]
    if not waiting:
        return []
    # Files first, rows second: a row never speaks of a picture that isn't there.
    facts = {
        box.pk: store(piece)
        for box, piece in zip(waiting, cut_out(session.photo, [box.corners for box in waiting]), strict=True)
    }
    with transaction.atomic():
        # Pressed twice: the second waits here, and finds that nothing is left to number.
        ShelfSession.objects.select_for_update().get(pk=session.pk)
        still = set(session.boxes.filter(find=None).values_list("pk", flat=True))
        return [_number(session, box, facts[box.pk]) for box in waiting if box.pk in still]


def unnumbered(session: ShelfSession) -> Sequence[ShelfBox]:
    """Boxes without a find in the order they will be numbered."""
    boxes = [box for box in session.boxes.all() if box.find_id is None]
    return [boxes[n] for n in reading_order([box.corners for box in boxes])]


def _number(session: ShelfSession, box: ShelfBox, facts: FileFacts) -> Specimen:
    find = Specimen(
        what=_name(box.kind),
        kind=box.kind,
        place=session.place,
        site=session.site,
        recovered_edtf=session.recovered_edtf,
        stage=session.stage,
    )
    keep_find(find)
    photo = session.photo
    # What the camera wrote of the shelf holds for the piece cut from it; where the shelf stands does not.
    facts = {
        **facts,
        "taken_at": photo.taken_at,
        "taken_offset_min": photo.taken_offset_min,
        "camera": photo.camera,
    }
    # A piece still to be cleaned is shown before the work; of one that is done this is only a view.
    role = Photo.Role.DETAIL if session.stage == Specimen.Stage.DONE else Photo.Role.BEFORE
    taken = date_format(localtime(photo.created), "j M Y")
    source = f"cut from the picture of {session.place or 'the shelf'} of {taken}"[:500]
    file_under(find, facts, role=role, source=source, credit=photo.credit, licence=photo.licence)
    box.find = find
    box.save(update_fields=["find"])
    return find


def _name(kind: str) -> str:
    """What it is called until somebody has looked: its kind, or that nobody has."""
    if not kind or kind == Specimen.Kind.OTHER:
        return UNDESCRIBED
    words = str(Specimen.Kind(kind).label)
    return words[0].upper() + words[1:]


def _box(session: ShelfSession, row: BoxRow) -> ShelfBox:
    left, top, right, bottom = row.corners
    return ShelfBox(
        session=session,
        key=row.key,
        left_px=left,
        top_px=top,
        right_px=right,
        bottom_px=bottom,
        kind=row.kind,
    )
