"""All pages to carry away, written to a folder or zip: pieces, lists, search, exhibit, about."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from threading import Event
from typing import Any

from django.utils import timezone

from catalogue.common.localisation import one_setting
from catalogue.common.models import HouseSettings
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.public_pages.target import WrittenPages, ZipOnItsWay, pages_written_to
from catalogue.giving.queries import to_show
from catalogue.pages.exhibit.shown import ExhibitPiece, exhibit_data
from catalogue.pages.parts.find_lookup import visitors_finds
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis

from .beside import write_beside
from .found import PIECES_SCRIPT, search_choices, search_script
from .lists import GroupKind, group_kinds, write_cards, write_groups
from .pieces import BegunPiece, CarriedPiece, PieceInHand, begin_piece, piece_in_hand
from .rendered import RenderedPages, ready_assets

PAGES_STOPPED = "It was stopped before all pages were made; nothing of them is left."
FINDS_AT_ONCE = 40
INDEX, ABOUT, EXHIBIT = "index.html", "about.html", "exhibit.html"
# So many of them, named at length, are 80 kB beside a picture of 100.
EXHIBITED_ON_A_PAGE = 400


@dataclass(slots=True)
class MadePages:
    """What was written: pieces, how many of them are free, pictures, files and bytes."""

    target: Path
    pieces: int = 0
    free: int = 0
    pictures: int = 0
    files: int = 0
    bytes: int = 0

    @property
    def words(self) -> str:
        """One sentence."""
        pieces = f"{self.pieces} piece{'' if self.pieces == 1 else 's'}"
        return f"Pages of {pieces} with {self.pictures} pictures are whole: {self.target}."


@dataclass(slots=True)
class _Gathered:
    pieces: list[CarriedPiece] = field(default_factory=list)
    kinds: list[GroupKind] = field(default_factory=group_kinds)
    pictures: int = 0
    licences: Counter[str] = field(default_factory=Counter)


def make_pages(
    target: Path,
    *,
    free_only: bool = False,
    progress: Progress = lambda done, of: None,
    stop: Event | None = None,
) -> MadePages:
    """Write what visitors may see (or only what is free to take) as plain pages to a folder or zip.

    Raises WorkRefused where they can't be written there, a file of the program's own is missing, the disk
    is full or `stop` is set: then nothing is left of it, and what was there before stays.
    """
    gathered, ready = _Gathered(), ready_assets()
    with one_setting(), pages_written_to(target) as written:
        for _ in _write_all(written, gathered, ready, free_only=free_only, progress=progress, stop=stop):
            pass
    free = sum(piece.free for piece in gathered.pieces)
    return MadePages(target, len(gathered.pieces), free, gathered.pictures, len(written.names), written.bytes)


def pages_sent(*, free_only: bool = False) -> Iterator[bytes]:
    """The same as a zip that is sent while it is made, piece by piece; nothing of it stays here.

    Raises WorkRefused before the first byte where a file of the program's own is missing.
    """
    return _sent(ready_assets(), free_only=free_only)


def _sent(ready: dict[str, bytes], *, free_only: bool) -> Iterator[bytes]:
    written = ZipOnItsWay("siltmark-pages")
    steps = _write_all(written, _Gathered(), ready, free_only=free_only)
    while True:
        # Entered anew for each step: between two of them other work may be done in this thread.
        with one_setting():
            if next(steps, True):
                break
        if taken := written.taken():
            yield taken
    yield written.end()


def _write_all(
    written: WrittenPages,
    gathered: _Gathered,
    ready: dict[str, bytes],
    *,
    free_only: bool,
    progress: Progress = lambda done, of: None,
    stop: Event | None = None,
) -> Iterator[None]:
    """Write page after page, with a pause after each."""
    shown = to_show().filter(standing=Specimen.Standing.FREE) if free_only else to_show()
    numbers = list(shown.values_list("number", flat=True))
    pages = RenderedPages(written, _about(timezone.localdate()), ready)
    hands = _in_hand(numbers, pages, free_only=free_only, progress=progress, stop=stop or Event())
    yield from _write_pieces(hands, pages, gathered)
    _write_lists(pages, gathered)
    pages.write_assets()


def _about(day: date) -> dict[str, Any]:
    rooms = [(INDEX, "All pieces"), *((kind.page, kind.heading) for kind in group_kinds())]
    rooms += [(EXHIBIT, "Exhibit"), (ABOUT, "About")]
    return {"house": HouseSettings.current(), "made_on": day, "rooms_carried": rooms}


def _in_hand(
    numbers: Sequence[str], pages: RenderedPages, *, free_only: bool, progress: Progress, stop: Event
) -> Iterator[PieceInHand]:
    """Each with its pictures written; those of the next are made beside its page, as two cores can."""
    axis = catalogue_axis(visitor=True)
    begun: BegunPiece | None = None
    for begin in range(0, len(numbers), FINDS_AT_ONCE):
        part = numbers[begin : begin + FINDS_AT_ONCE]
        # Asked anew: what was closed to visitors since is left out.
        found = {find.number: find for find in visitors_finds().filter(number__in=part)}
        for done, number in enumerate(part, begin + 1):
            if stop.is_set():
                raise WorkRefused(PAGES_STOPPED)
            find = found.get(number)
            if find and not (free_only and find.standing != Specimen.Standing.FREE):
                after = begin_piece(find, axis)
                if begun:
                    yield piece_in_hand(begun, pages, axis)
                begun = after
            progress(done, len(numbers))
    if begun:
        yield piece_in_hand(begun, pages, axis)


def _write_pieces(hands: Iterator[PieceInHand], pages: RenderedPages, gathered: _Gathered) -> Iterator[None]:
    """The page of each when the one after it is known, so that no link leads to a piece closed meanwhile."""
    earlier: CarriedPiece | None = None
    current = next(hands, None)
    while current is not None:
        later = next(hands, None)
        piece = current.piece
        groups = []
        for kind in gathered.kinds:
            for group in kind.of_piece(piece):
                group.pieces.append(piece)
                groups.append(group)
        context = current.context | {
            "groups": groups,
            "earlier": earlier,
            "later": later.piece if later else None,
        }
        pages.page(piece.page, "pages/safekeeping/carried/piece.html", context)
        shots = [*current.context["shots"], *current.more]
        gathered.pictures += len(shots)
        gathered.licences.update(shot.photo.licence for shot in shots if shot.photo.licence)
        gathered.pieces.append(piece)
        write_beside(current, pages)
        yield
        earlier, current = piece, later


def _write_lists(pages: RenderedPages, gathered: _Gathered) -> None:
    pieces = gathered.pieces
    choices = search_choices(pieces, gathered.kinds)
    write_cards(pages, INDEX, pieces, {"heading": "Old bottles", "choices": choices if pieces else None})
    pages.written.write(PIECES_SCRIPT, search_script(pieces, gathered.kinds))
    for kind in gathered.kinds:
        write_groups(pages, kind)
    exhibited = [
        ExhibitPiece(p.number, p.what, p.made, p.town, p.year, p.picture, p.free) for p in pieces if p.picture
    ]
    _write_exhibit(pages, exhibited)
    about = {
        "count": len(pieces),
        "free_count": sum(piece.free for piece in pieces),
        "pictures": gathered.pictures,
        "licences": gathered.licences.most_common(),
    }
    pages.page(ABOUT, "pages/safekeeping/carried/about.html", about)


def _write_exhibit(pages: RenderedPages, pieces: Sequence[ExhibitPiece]) -> None:
    """In parts, each with the addresses of those beside it; after the last comes the first."""
    parts = [
        pieces[begin : begin + EXHIBITED_ON_A_PAGE] for begin in range(0, len(pieces), EXHIBITED_ON_A_PAGE)
    ] or [pieces]
    names = [EXHIBIT, *(f"exhibit-{n}.html" for n in range(2, len(parts) + 1))]
    for n, part in enumerate(parts):
        beside: dict[str, Any] = {}
        if len(parts) > 1:
            beside = {"earlier_part": names[n - 1], "later_part": names[(n + 1) % len(parts)]}
        context = {"data": exhibit_data(part), "pieces": part, "part": n + 1, "parts": len(parts), **beside}
        pages.page(names[n], "pages/exhibit/carried.html", context)
