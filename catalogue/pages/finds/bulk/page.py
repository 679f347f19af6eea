"""What the page of one shelf shows."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from catalogue.pages.parts.cards import cards_of
from catalogue.photos.models import ShelfBox, ShelfSession
from catalogue.specimens.models import Specimen

from .box_form import PREFIX, BoxRows, BoxSet, initial_of
from .queries import to_fill_in
from .services import unnumbered

# Wider than this, a picture is shown larger than a phone's screen and scrolled, so that a thumb can hit.
WIDE, VERY_WIDE = 1.2, 2.0


@dataclass(frozen=True, slots=True)
class Marked:
    """A box as it is drawn on the picture: with its find's number, or with its place among those waiting."""

    left: int
    top: int
    width: int
    height: int
    number: str
    url: str = ""
    what: str = ""

    @property
    def middle(self) -> float:
        return self.left + self.width / 2

    @property
    def centre(self) -> float:
        return self.top + self.height / 2

    @property
    def narrow(self) -> bool:
        """A number written across would run into the next bottle's, so it is written upwards."""
        return self.height > self.width

    @property
    def foot(self) -> int:
        return self.top + self.height


def shelf_page(session: ShelfSession, rows: BoxRows | None = None) -> dict[str, Any]:
    """The context of a shelf's page. `rows` are the boxes as sent, with what is wrong with them."""
    photo = session.photo
    if rows is None:
        rows = BoxSet(prefix=PREFIX, initial=initial_of(unnumbered(session), photo.width, photo.height))
    numbers = [box.find.number for box in session.boxes.all() if box.find_id]
    finds = Specimen.objects.filter(shelf_box__session=session).with_card_parts()
    cards = cards_of(finds.order_by("number_year", "number_ordinal", "number_piece")) if numbers else []
    shown = [card.find.number for card in cards]
    query = urlencode([("find", number) for number in shown])
    return {
        "session": session,
        "photo": photo,
        "rows": rows,
        "waiting": [_marked(box, str(n)) for n, box in enumerate(unnumbered(session), 1)],
        "marked": [_marked(box) for box in session.boxes.all() if box.find_id],
        "cards": cards,
        "to_fill": to_fill_in().filter(shelf_box__session=session).count() if numbers else 0,
        "labels_url": f"{reverse('labels:labels')}?{query}",
        # Letters and handles are drawn in the picture's own pixels, whatever its size.
        "letter_px": round(max(photo.width, photo.height) / 45),
        "shape": _shape(photo.width / photo.height),
    }


def _marked(box: ShelfBox, number: str = "") -> Marked:
    left, top, right, bottom = box.corners
    find = box.find
    if find is None:
        return Marked(left, top, right - left, bottom - top, number)
    return Marked(left, top, right - left, bottom - top, find.number, find.get_absolute_url(), find.what)


def _shape(ratio: float) -> str:
    return "very-wide" if ratio > VERY_WIDE else "wide" if ratio > WIDE else "upright"
