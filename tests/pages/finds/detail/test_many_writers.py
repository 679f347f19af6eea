"""Many writers on one find at the same moment: the chain of its moves stays whole, nothing is given twice."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

from catalogue.people.models import Person
from catalogue.specimens.models import Move, Opinion, Specimen
from tests import factories


def test_twenty_writers_on_one_find(at_once: Callable[..., list[Any]]) -> None:
    find = factories.find(dive=factories.dive())
    places = [factories.place(f"Shelf {n}") for n in range(4)]
    page = find.get_absolute_url()
    opinion = {"about": "made", "on": "2024-06-02", "by_name": "Ida Marl"}
    answers = at_once(
        *[(f"{page}move/", {"place": places[n % 4].pk, "why": f"move {n}"}) for n in range(12)],
        *[(f"{page}part/", {"what": f"stopper {n}"}) for n in range(4)],
        *[(f"{page}opinion/", {**opinion, "value": f"190{n}"}) for n in range(4)],
    )
    assert [answer.status_code for answer in answers] == [302] * 20
    moves = list(Move.objects.filter(find=find).order_by("pk"))
    assert moves[0].from_place_id is None
    assert [later.from_place_id for _, later in pairwise(moves)] == [m.to_place_id for m in moves[:-1]]
    assert Specimen.objects.get(pk=find.pk).place_id == moves[-1].to_place_id
    parts = Specimen.objects.exclude(pk=find.pk).order_by("number_part")
    assert [part.number_part for part in parts] == ["a", "b", "c", "d"]
    assert Opinion.objects.filter(find=find).count() == 4
    assert Opinion.objects.filter(find=find, current=True).count() == 1
    assert Person.objects.filter(name="Ida Marl").count() == 1
