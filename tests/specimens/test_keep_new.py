"""Many new finds kept at once are as if each had been kept alone: columns, parts, history, moves, numbers."""

import datetime

import pytest

from catalogue.common.records import PutInBinMeanwhile
from catalogue.specimens.models import (
    Inscription,
    MarkReading,
    Move,
    NumberSeries,
    ObservedFeature,
    Opinion,
    SearchEntry,
    Specimen,
)
from catalogue.specimens.numbers import Number
from catalogue.specimens.search.index import key_of
from catalogue.specimens.search.kinds import FIND
from catalogue.specimens.services import NewFind, Parts, give_opinion, keep_find, keep_new_finds
from tests import factories

NOT_THE_SAME = {"id", "number", "number_piece", "created", "changed", "find_id"}


def new(dive, place, maker, town) -> NewFind:
    find = Specimen(what="aqua soda", dive=dive, place=place, town=town, notes="chip")
    parts = Parts(
        inscriptions=[Inscription(text="QUILL & SONS")],
        readings=[factories.reading("BW", right="6", symbol="wave")],
        features=[ObservedFeature(feature="crown-finish")],
    )
    on = datetime.date(2024, 6, 1)
    return NewFind(find, parts, [Opinion(about="maker", value=maker.name, maker=maker, on=on)])


def state(find: Specimen) -> dict:
    find = Specimen.objects.get(pk=find.pk)
    said = {column.attname: getattr(find, column.attname) for column in Specimen._meta.concrete_fields}
    for model in (Inscription, MarkReading, ObservedFeature, Opinion):
        rows = model.objects.filter(find=find).values()
        said[model.__name__] = [{k: v for k, v in row.items() if k not in NOT_THE_SAME} for row in rows]
        kinds = model.history.filter(find=find).values_list("history_type", flat=True)
        said[f"history of {model.__name__}"] = list(kinds)
    said["history"] = find.history.order_by("history_id").first().history_type
    said["moves"] = list(Move.objects.filter(find=find).values_list("to_place", "why"))
    entry = SearchEntry.objects.get(pk=key_of(FIND, find.pk))
    said["search"] = entry.text.replace(find.number.replace(".", " "), "number")
    return {key: value for key, value in said.items() if key not in NOT_THE_SAME}


def test_at_once_is_as_one_by_one(db) -> None:
    maker, dive, place, town = factories.brackwater(), factories.dive(), factories.place(), factories.town()
    alone, together = new(dive, place, maker, town), new(dive, place, maker, town)
    keep_find(alone.find, alone.parts)
    for opinion in alone.opinions:
        opinion.find = alone.find
        give_opinion(opinion)
    keep_new_finds([together])
    assert state(together.find) == state(alone.find)
    assert together.find.number == "2024.1.2" and state(alone.find)["made_words"]


def test_numbers_of_their_own_come_first_and_the_series_goes_on(db) -> None:
    year = datetime.date.today().year
    own = [NewFind(Specimen(what="a")), NewFind(Specimen(what="b"), number=Number(year, 0, 40))]
    keep_new_finds(own)
    assert [each.find.number for each in own] == [f"{year}.0.41", f"{year}.0.40"]
    assert NumberSeries.objects.get(year=year, ordinal=0).last == 41


def test_nothing_rests_on_what_lies_in_the_bin(db) -> None:
    place = factories.place()
    find = Specimen(what="a", place=place)
    place.put_in_bin()
    with pytest.raises(PutInBinMeanwhile):
        keep_new_finds([NewFind(Specimen(what="b")), NewFind(find)])
    assert not Specimen.objects.exists()


def test_queries_do_not_grow_with_the_finds(db, django_assert_max_num_queries) -> None:
    dive = factories.dive()
    keep_new_finds([NewFind(Specimen(what="first", dive=dive))])
    finds = [NewFind(Specimen(what=f"jar {n}", dive=dive)) for n in range(100)]
    with django_assert_max_num_queries(60):
        keep_new_finds(finds)
