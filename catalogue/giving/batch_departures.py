"""Many finds lost or broken, returned to an authority, left in place at once; `departures` does one."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.utils import timezone

from catalogue.common.bulk_insert import insert_for_each
from catalogue.giving.batch import SetStanding
from catalogue.giving.models import Departure
from catalogue.shelves.models import Place
from catalogue.specimens.batch.links import move_rows, rows_of
from catalogue.specimens.batch.piece_act import LOADED, Made
from catalogue.specimens.batch.writing import write_column
from catalogue.specimens.models import Move, Specimen


class DepartFinds(SetStanding):
    """Gone on one day for one reason; their places are free, and are taken back with the rest."""

    key, also = "gone", ("place_id",)

    def __init__(self, standing: str = "", on: date | None = None, reason: str = "") -> None:
        super().__init__(standing)
        self.on, self.reason = on, reason

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        placed = [find for find in finds if find.place_id]
        moves = move_rows(placed, None, self.target)
        about = {"standing": self.standing, "on": self.on or timezone.localdate(), "reason": self.reason}
        freed, rest = [move for _, move in moves], [find.pk for find in finds if not find.place_id]
        gone = [
            *insert_for_each(Departure, Move, freed, copied={"find": "find", "move": "id"}, **about),
            *insert_for_each(Departure, Specimen, rest, copied={"find": "id"}, **about),
        ]
        places = [[find.pk, find.place_id] for find in placed]
        for find in placed:
            find.place_id = None
        return {**super().beside(finds, reasons), "departures": gone, "moves": moves, "places": places}

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        Departure.objects.filter(pk__in=rows_of(keys, made.get("departures", []))).delete()
        Move.everything.filter(pk__in=rows_of(keys, made.get("moves", []))).delete()
        wanted = set(keys)
        places: dict[int, Any] = {find: place for find, place in made.get("places", []) if find in wanted}
        # One that was put somewhere since stays there, and a place that was deleted is none to go back to.
        finds = list(Specimen.everything.filter(pk__in=places, place=None).only(*LOADED))
        there = set(Place.objects.filter(pk__in=set(places.values())).values_list("pk", flat=True))
        finds = [find for find in finds if places[find.pk] in there]
        for find in finds:
            find.place_id = places[find.pk]
        if finds:
            write_column(finds, "place_id")
