"""Many finds lost or broken, returned to an authority, left in place at once; `departures` does one."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.utils import timezone

from catalogue.giving.batch import SetStanding
from catalogue.giving.models import Departure
from catalogue.shelves.models import Place
from catalogue.specimens.batch.links import rows_of
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
        moves = Move.objects.bulk_create(
            Move(find=find, from_place_id=find.place_id, to_place=None, why=self.target) for find in placed
        )
        by_find = {move.find_id: move for move in moves}
        on = self.on or timezone.localdate()
        gone = Departure.objects.bulk_create(
            Departure(find=find, standing=self.standing, on=on, reason=self.reason, move=by_find.get(find.pk))
            for find in finds
        )
        places = [[find.pk, find.place_id] for find in placed]
        for find in placed:
            find.place_id = None
        return {
            **super().beside(finds, reasons),
            "departures": [[each.find_id, each.pk] for each in gone],
            "moves": [[move.find_id, move.pk] for move in moves],
            "places": places,
        }

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
