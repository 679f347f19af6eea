"""Pieces that could be the one in the hand."""

from dataclasses import dataclass

from catalogue.care.models import BathMember
from catalogue.care.which_one import Match, RecordedPiece, Seen, which
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen


@dataclass(frozen=True, slots=True)
class Alike:
    """A piece, how well it agrees, and its picture."""

    find: Specimen
    match: Match
    cover: Photo | None


def pieces_like(seen: Seen, *, bath: int | None = None) -> list[Alike]:
    """The likeliest first, among the pieces of a bath or all on the bench. Three queries."""
    if bath is None:
        finds = Specimen.objects.on_the_bench()
    else:
        finds = Specimen.objects.filter(pk__in=BathMember.objects.filter(bath=bath).values("find"))
    rows = {
        find.pk: find for find in finds.prefetch_related("readings").defer("search_text", "notes", "story")
    }
    known = [
        RecordedPiece(
            find.pk,
            float(find.base_mm) if find.base_mm else None,
            float(find.height_mm) if find.height_mm else None,
            tuple(reading.letters for reading in find.readings.all() if reading.letters),
        )
        for find in rows.values()
    ]
    covers = Photo.objects.covers_of(rows)
    return [Alike(rows[match.key], match, covers.get(match.key)) for match in which(seen, known)]
