"""Names to choose from while typing: those in the catalogue first, for towns also the offline gazetteer."""

from dataclasses import dataclass
from typing import Any

from django.db.models import Max, QuerySet

from catalogue.common.positions import distance_km
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
    return list(dict.fromkeys(names))[:MOST_SUGGESTED]


@dataclass(frozen=True, slots=True)
class TownSuggestion:
    """A name to choose, and what is said beside it: its county, how far from where the piece lay."""

    name: str
    beside: str = ""


def suggest_towns(typed: str, lay: tuple[float, float] | None = None) -> list[TownSuggestion]:
    """The catalogue's towns and listed ones that the letters may mean, or that begin as typed.

    `lay`: where the piece lay, (latitude, longitude); only its owner types here.
    """
    typed = " ".join(typed.split())[:100]
    found = [TownSuggestion(name) for name in suggest("town", typed)]
    reading = gazetteer.read_town(typed, lay)
    begins = gazetteer.suggest(typed, limit=MOST_SUGGESTED)
    # While a name is half typed it is near to others that nobody means.
    near = reading.how > gazetteer.How.LOST and not (reading.place and reading.place.regions)
    listed = begins if near and (found or begins) else [*reading.rows, *begins]
    for row in dict.fromkeys(listed):
        # A browser offers only what holds the letters that were typed.
        told = "" if typed.casefold() in row.words.casefold() else f"for {typed}"
        away = f"{distance_km(lay, row.place):.0f} km from where it lay" if lay else ""
        found.append(TownSuggestion(row.words, ", ".join(filter(None, (told, row.county, away)))))
    once = {each.name: each for each in reversed(found)}
    named = dict.fromkeys(each.name for each in found)
    return [once[name] for name in named][:MOST_SUGGESTED]


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
