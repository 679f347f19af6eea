"""What an address of these pages asks for: pictures, rim and look, checked step by step."""

from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, QueryDict

from catalogue.photos.imaging import ImagingError
from catalogue.photos.plates import PlateLook, Recipe
from catalogue.specimens.models import Specimen

from .forms import LookForm, RimForm, ShotsForm, recipe_of, sources_of

SHOTS, RIM = ("photo", "lamp", "rise", "clock-"), ("p1", "p2", "p3", "p4", "p5", "middle", "whole")
STRIP = ("start", "way")
LOOK = ("look", "turn", "inner", "at", "high", "steep")


@dataclass(slots=True)
class PlateRequest:
    """Forms in the order of the steps; a later one is None while an earlier one does not hold."""

    find: Specimen
    query: QueryDict
    shots: ShotsForm
    rim: RimForm | None = None
    look: LookForm | None = None
    recipe: Recipe | None = None
    trouble: str = ""
    carried: dict[str, list[tuple[str, str]]] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """The query that says all this again."""
        return urlencode([pair for part in ("shots", "rim", "strip", "look") for pair in self.carried[part]])

    @property
    def over(self) -> str:
        """The same with the strip turned over."""
        pairs = [pair for part in ("shots", "rim", "strip", "look") for pair in self.carried[part]]
        way = "inward" if self.recipe is None or self.recipe.outward else "outward"
        return urlencode([*(pair for pair in pairs if pair[0] != "way"), ("way", way)])


def asked_for(request: HttpRequest, find: Specimen, *, query: QueryDict | None = None) -> PlateRequest:
    """Read the address of a request (or `query`). Nothing in it makes this raise. One query."""
    query = request.GET if query is None else query
    shots = ShotsForm(query if "photo" in query else None, photos=sources_of(find))
    asked = PlateRequest(find, query, shots, carried=carried_in(query))
    if not shots.is_bound or not shots.is_valid():
        return asked
    asked.rim = RimForm(query if any(query.get(name) for name in RIM) else None)
    if not asked.rim.is_bound or not asked.rim.is_valid():
        return asked
    asked.look = LookForm(query, looks=looks_of(shots))
    if not asked.look.is_valid():
        # A look that can't be made of these, or a number out of bounds: the usual ones instead.
        asked.look = LookForm(QueryDict(), looks=looks_of(shots))
        asked.look.is_valid()
    try:
        asked.recipe = recipe_of(shots, asked.rim, **asked.look.laid_out())
    except ImagingError as why:
        asked.trouble = str(why)
    return asked


def looks_of(shots: ShotsForm) -> list[PlateLook]:
    """What can be shown of these pictures."""
    looks = [PlateLook.PLAIN, PlateLook.CONTRAST]
    if len(shots.chosen) > 1:
        looks.append(PlateLook.VARIATION)
    return [*looks, PlateLook.RAISED, PlateLook.RELIT] if shots.clocks() is not None else looks


def carried_in(query: QueryDict) -> dict[str, list[tuple[str, str]]]:
    """The query's own pairs, by the step that they belong to; everything else is dropped."""
    groups: dict[str, tuple[str, ...]] = {"shots": SHOTS, "rim": RIM, "strip": STRIP, "look": LOOK}
    pairs: list[tuple[str, str]] = [
        (name, value) for name, values in query.lists() for value in values if value
    ]
    return {
        part: [(name, value) for name, value in pairs if belongs(name, names)]
        for part, names in groups.items()
    }


def belongs(name: str, names: tuple[str, ...]) -> bool:
    return any(name == known or (known.endswith("-") and name.startswith(known)) for known in names)


def page_of(asked: PlateRequest, **more: Any) -> dict[str, Any]:
    """What the three pages have in common."""
    return {"find": asked.find, "asked": asked, "carried": asked.carried, **more}
