"""Questions about makers."""

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from django.db import models
from django.db.models import Count, Exists, OuterRef, Q

import dating
from catalogue.common.text import folded
from catalogue.pages.parts.look_up import LookUp
from catalogue.specimens.models import Maker, OwnMark, Specimen
from catalogue.specimens.tables import reference_key
from dating.tables import Mark

LIVE_FINDS = Count("finds", filter=Q(finds__binned_at=None), distinct=True)


class Nearness(models.IntegerChoices):
    """How near a maker is to the owner: in this order they are listed."""

    OWN = 0, "Your own"
    WITH_PIECES = 1, "Published, with pieces of yours"
    PUBLISHED = 2, "Published, none of yours yet"


def makers_in_order() -> list[Any]:
    """One's own first, then those one has pieces of, then the other published ones; by name.

    Each with the number of its pieces and its `nearness`. One query.
    """
    every: list[Any] = list(Maker.objects.annotate(pieces=LIVE_FINDS))
    for maker in every:
        maker.nearness = _nearness(maker)
    return sorted(every, key=lambda maker: (maker.nearness, folded(maker.name), maker.pk))


def _nearness(maker: Any) -> Nearness:
    if maker.is_own:
        return Nearness.OWN
    return Nearness.WITH_PIECES if maker.pieces else Nearness.PUBLISHED


def makers_matching(makers: Iterable[Maker], words: str, ref: dating.Reference) -> list[Maker]:
    """Makers whose name, place or mark holds the words, however they are written. One query."""
    makers = list(makers)
    marks = marks_by_maker(makers, ref)
    wanted = LookUp(words)
    return [
        maker
        for maker in makers
        if wanted.fits(
            [maker.name, maker.place]
            + [text for mark in marks.get(maker.pk, ()) for text in (mark.letters, mark.text)]
        )
    ]


def makers_of_pieces() -> set[str]:
    """Keys in the tables of the published makers that one has pieces of. One query."""
    theirs = Specimen.objects.filter(maker=OuterRef("pk"))
    return set(Maker.objects.published().filter(Exists(theirs)).values_list("reference_key", flat=True))


def marks_by_maker(makers: Iterable[Maker], ref: dating.Reference) -> dict[int, list[Mark]]:
    """The marks of each of these makers, in the order of the tables. One query: whose own marks are whose."""
    by_key: dict[str, list[Mark]] = defaultdict(list)
    for mark in ref.marks.values():
        if not mark.id.startswith("own-"):
            by_key[reference_key(mark.maker, mark.place)].append(mark)
    own: dict[int, list[Mark]] = defaultdict(list)
    for pk, maker in OwnMark.objects.values_list("pk", "maker_id"):
        if f"own-{pk}" in ref.marks:
            own[maker].append(ref.marks[f"own-{pk}"])
    return {
        maker.pk: own[maker.pk] + (by_key.get(maker.reference_key, []) if maker.reference_key else [])
        for maker in makers
    }
