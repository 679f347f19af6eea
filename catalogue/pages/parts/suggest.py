"""Names to choose from while typing: those in the catalogue first, for towns also the offline gazetteer."""

from typing import Any

from django.db.models import Max, QuerySet

from catalogue.specimens import gazetteer
from catalogue.specimens.models import Bottler, Product, Specimen, Town

MOST_SUGGESTED = 12
SUGGESTED_KINDS = ("what", "town", "bottler", "product")


def suggest(kind: str, typed: str) -> list[str]:
    """Up to a dozen names that begin with, or else contain, what was typed."""
    typed = " ".join(typed.split())[:100]
    if not typed:
        return known_names()[kind]
    names = _distinct(kind, typed)
    if kind == "town":
        listed = [*gazetteer.candidates(typed), *gazetteer.suggest(typed, limit=MOST_SUGGESTED)]
        names += [row.words for row in listed]
    return list(dict.fromkeys(names))[:MOST_SUGGESTED]


def known_names() -> dict[str, list[str]]:
    """For every kind the names used last. Four queries."""
    return {kind: _distinct(kind, "") for kind in SUGGESTED_KINDS}


def _distinct(kind: str, typed: str) -> list[str]:
    if kind == "town":
        towns: QuerySet[Town] = Town.objects.order_by("-changed")
        return [
            str(town) for town in (towns.filter(name__icontains=typed) if typed else towns)[:MOST_SUGGESTED]
        ]
    if kind == "what":
        finds = Specimen.objects.filter(what__icontains=typed) if typed else Specimen.objects.all()
        latest = finds.order_by().values("what").annotate(latest=Max("pk")).order_by("-latest")
        return [row["what"] for row in latest[:MOST_SUGGESTED]]
    model: type[Bottler] | type[Product] = Bottler if kind == "bottler" else Product
    rows: QuerySet[Any] = model.objects.filter(name__icontains=typed) if typed else model.objects.all()
    return list(rows.order_by("-changed").values_list("name", flat=True)[:MOST_SUGGESTED])
