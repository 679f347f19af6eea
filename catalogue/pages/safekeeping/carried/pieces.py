"""One piece to carry away: its page as `visitors_page` has it, its pictures, and what lists need of it.

What a visitor may see is decided by `visitors_finds`, `visitors_page` and `gallery_of`, as for the pages that
the catalogue serves.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.year_axis import YearAxis
from catalogue.exchange.public_pages.pictures import CarriedPicture, FittedPicture, begin_pictures
from catalogue.pages.finds.detail.for_visitors import visitors_page
from catalogue.pages.parts.cards import outline_of, ruler_of
from catalogue.pages.templatetags.pictures import picture_alt
from catalogue.photos.models import Photo
from catalogue.photos.queries import Gallery
from catalogue.specimens.models import Specimen

from .rendered import RenderedPages

# Our own choice: with more, a page could pass 200 kB. The others stand on pages of their own.
SHOTS_ON_ITS_PAGE, MORE_ON_A_PAGE = 9, 24
# Stands in a card for the years in words below its ruler, which most cards have alike.
MARK_LABELS = "\ufdd1"
_RULER_ENDS = "</div>"


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture of a piece: its two files, and what is said beside it."""

    photo: Photo
    small: FittedPicture
    large: FittedPicture
    small_name: str
    large_name: str
    alt: str
    said: str


@dataclass(frozen=True, slots=True)
class CarriedPiece:
    """What the lists, the search and the exhibit need of a piece whose page was rendered or is to be."""

    number: str
    what: str
    page: str
    made: str
    town: str
    maker: str
    kind: str
    decades: tuple[str, ...]
    year: int | None
    spans: tuple[tuple[int, int], ...]
    free: bool
    card: str
    labels: str
    words: str
    picture: str


@dataclass(slots=True)
class PieceInHand:
    """A piece and the context of its page, until that is written."""

    piece: CarriedPiece
    context: dict[str, Any]
    # Pictures beyond those of its page; and the one before beside the one after, where it has both.
    more: list[Shot]
    compared: list[Shot]


def page_of(number: str) -> str:
    """The name of a piece's page. Numbers are figures, points and small letters."""
    return f"pieces/{number}.html"


def more_page_of(number: str, part: int) -> str:
    """The name of a page of its other pictures, from 1 on."""
    return f"more/{number}-pictures{'' if part == 1 else f'-{part}'}.html"


def compare_page_of(number: str) -> str:
    """The name of the page on which before and after stand side by side."""
    return f"more/{number}-before-after.html"


@dataclass(frozen=True, slots=True)
class BegunPiece:
    """A piece whose first pictures are made beside what is done meanwhile."""

    find: Specimen
    context: dict[str, Any]
    pictures: Iterator[tuple[Photo, CarriedPicture]]


def begin_piece(find: Specimen, axis: YearAxis) -> BegunPiece:
    """Begin with a piece that `visitors_finds` gave."""
    context = visitors_page(find, axis=axis)
    return BegunPiece(find, context, _pictures(context["gallery"]))


def piece_in_hand(begun: BegunPiece, pages: RenderedPages, axis: YearAxis) -> PieceInHand:
    """The piece with its pictures written. Raises OSError."""
    find, context = begun.find, begun.context
    number = find.number
    every, compared = _shots(begun, pages)
    shots, more = every[:SHOTS_ON_ITS_PAGE], every[SHOTS_ON_ITS_PAGE:]
    bare, labels = _ruler_parts(find, axis)
    cover = shots[0] if shots else None
    about = {
        "find": find,
        "page": page_of(number),
        "cover": cover and cover.small,
        "cover_name": cover and cover.small_name,
        "outline": "" if cover else outline_of(find),
        "ruler": bare,
    }
    piece = CarriedPiece(
        number=number,
        what=find.what,
        page=page_of(number),
        made=find.made_words or "",
        town=str(find.town or ""),
        maker=str(find.maker or ""),
        kind=find.get_kind_display() if find.kind else "",
        decades=tuple(filter(None, find.made_decades.split("|"))),
        year=find.made_from or find.made_to,
        spans=_spans(find),
        free=find.standing == Specimen.Standing.FREE,
        card=pages.part("pages/safekeeping/carried/card.html", about),
        labels=labels,
        words=_words(find, context),
        picture=cover.large_name if cover else "",
    )
    shown = context | {
        "shots": shots,
        "more_shots": len(more),
        "more_page": more_page_of(number, 1),
        "compare_page": compare_page_of(number) if compared else "",
        "outline": outline_of(find),
    }
    return PieceInHand(piece, shown, more, compared)


def _shots(begun: BegunPiece, pages: RenderedPages) -> tuple[list[Shot], list[Shot]]:
    """Its pictures, the one that stands for it first; and of these before and after, where it has both."""
    shots: list[Shot] = []
    for photo, made in begun.pictures:
        name = f"pictures/{begun.find.number}-{len(shots) + 1}"
        shot = Shot(
            photo,
            made.small,
            made.large,
            f"{name}-small.jpg",
            f"{name}.jpg",
            picture_alt(photo),
            _said(photo),
        )
        pages.written.write(shot.small_name, made.small.jpeg)
        pages.written.write(shot.large_name, made.large.jpeg)
        shots.append(shot)
    pair = _pair_of(begun.context["gallery"])
    compared = [shot for photo in pair for shot in shots if shot.photo == photo]
    return shots, compared if len(compared) == 2 else []


def _pair_of(gallery: Gallery) -> list[Photo]:
    return [gallery.pair.before, gallery.pair.after] if gallery.pair else []


def _pictures(gallery: Gallery) -> Iterator[tuple[Photo, CarriedPicture]]:
    """Each that can be read with its files, the one that stands for the piece first.

    Those of its page are begun now, the others a page's worth at a time, so that few are held in memory.
    """
    first = [gallery.cover] if gallery.cover else []
    photos = [*first, *(photo for photo in gallery.photos if photo not in first)]
    pair = _pair_of(gallery)

    def begin(part: list[Photo]) -> Callable[[], list[CarriedPicture | None]]:
        return begin_pictures(part, {n for n, photo in enumerate(part) if photo in pair})

    def made(waited_for: Callable[[], list[CarriedPicture | None]]) -> Iterator[tuple[Photo, CarriedPicture]]:
        for start in range(0, len(photos), SHOTS_ON_ITS_PAGE):
            part = photos[start : start + SHOTS_ON_ITS_PAGE]
            found = waited_for() if start == 0 else begin(part)()
            yield from ((photo, each) for photo, each in zip(part, found, strict=True) if each is not None)

    return made(begin(photos[:SHOTS_ON_ITS_PAGE]))


def _said(photo: Photo) -> str:
    """What it shows, its caption, whose it is and under which licence, as far as recorded."""
    parts = (photo.get_role_display(), photo.caption, photo.credit, photo.licence)
    return " · ".join(part for part in parts if part)


def _ruler_parts(find: Specimen, axis: YearAxis) -> tuple[SafeString, str]:
    """The small ruler with a mark in the place of the years in words, and these."""
    bare, whole = (str(ruler_of(find, axis, labels=labels)) for labels in (False, True))
    if not bare:
        return SafeString(""), ""
    band = bare.removesuffix(_RULER_ENDS)
    labels = whole.removeprefix(band).removesuffix(_RULER_ENDS)
    # safe: the drawing escapes every text it is given
    return mark_safe(f"{band}{MARK_LABELS}{_RULER_ENDS}"), labels


def _spans(find: Specimen) -> tuple[tuple[int, int], ...]:
    """The years that it may be of, as `made_between_rows` asks for them: its candidate years, its closed
    window, else its likely decades."""
    if years := (find.made_ruler or {}).get("years"):
        return tuple((year, year) for year in years)
    if find.made_from is not None and find.made_to is not None:
        return ((find.made_from, find.made_to),)
    return tuple((int(decade), int(decade) + 9) for decade in find.made_decades.split("|") if decade)


def _words(find: Specimen, context: Mapping[str, Any]) -> str:
    """What the search reads: words that stand on the piece's page."""
    bottler = find.bottler
    parts = [
        find.number,
        find.what,
        find.get_kind_display() if find.kind else "",
        find.get_contents_display(),
        find.product,
        bottler,
        bottler.town.name if bottler and bottler.town else "",
        find.town,
        find.maker,
        find.made_words,
        find.get_colour_display(),
        find.get_standing_display() if find.standing != Specimen.Standing.KEPT else "",
        *(row.text for row in find.inscriptions.all()),
        *(mark.words for mark in context["marks"]),
        context["lay"],
        find.story,
    ]
    return " ".join(" ".join(str(part).split()) for part in parts if part)
