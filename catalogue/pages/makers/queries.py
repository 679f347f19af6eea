"""Questions about makers."""

from collections import defaultdict

from django.db.models import Case, Count, IntegerField, Q, QuerySet, Value, When

import dating
from catalogue.common.text import folded
from catalogue.specimens.models import Maker, OwnMark
from catalogue.specimens.tables import reference_key
from dating.tables import Mark

LIVE_FINDS = Count("finds", filter=Q(finds__binned_at=None), distinct=True)


def makers_in_order() -> QuerySet[Maker]:
    """One's own first, then the published, by name; each with the number of its pieces."""
    own_first = Case(When(reference_key="", then=Value(0)), default=Value(1), output_field=IntegerField())
    return Maker.objects.annotate(pieces=LIVE_FINDS, own_first=own_first).order_by("own_first", "name", "pk")


def makers_matching(makers: QuerySet[Maker], words: str, ref: dating.Reference) -> list[Maker]:
    """Makers whose name, place or mark holds the words."""
    marks = marks_by_maker(makers, ref)
    wanted = folded(words).split()
    joined = "".join(wanted).replace("&", "")
    found = []
    for maker in makers:
        text = folded(f"{maker.name} {maker.place}")
        letters = {folded(mark.letters) for mark in marks.get(maker.pk, ())}
        if all(word in text for word in wanted) or joined in letters:
            found.append(maker)
    return found


def marks_by_maker(makers: QuerySet[Maker] | list[Maker], ref: dating.Reference) -> dict[int, list[Mark]]:
    """The marks of each of these makers, in the order of the tables. One query: whose own marks are whose."""
    by_key: dict[str, list[Mark]] = defaultdict(list)
    for mark in ref.marks.values():
        if not mark.id.startswith("own-"):
            by_key[reference_key(mark.maker, mark.place)].append(mark)
    own: dict[int, list[Mark]] = defaultdict(list)
    for pk, maker in OwnMark.objects.order_by("from_year", "pk").values_list("pk", "maker_id"):
        if f"own-{pk}" in ref.marks:
            own[maker].append(ref.marks[f"own-{pk}"])
    return {
        maker.pk: own[maker.pk] + (by_key.get(maker.reference_key, []) if maker.reference_key else [])
        for maker in makers
    }
