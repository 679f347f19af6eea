"""Bulk insert: the rows are the ones that Django's own writer makes, in one query."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from catalogue.common.bulk_insert import insert_for_each
from catalogue.giving.models import Departure
from catalogue.specimens.models import Move, Specimen
from tests import factories

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 5, 3, 12, 0, tzinfo=UTC)
GONE = {"standing": "lost", "on": date(2026, 5, 1), "reason": "fell; it said 100 % 'whole'"}


def test_rows_are_those_of_the_model_itself_whatever_column(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)
    shelf, other = factories.place("Bench"), factories.place("Attic")
    find, second = factories.find(place=shelf), factories.find()
    made = insert_for_each(
        Move,
        Specimen,
        [second.pk, find.pk],
        copied={"find": "id", "from_place": "place"},
        to_place=other,
        why="sorted",
        at=NOW,
    )
    own = [
        Move(find=each, from_place=each.place, to_place=other, why="sorted", at=NOW)
        for each in (find, second)
    ]
    for move in own:
        move.save()
    assert [key for key, _ in made] == [find.pk, second.pk]
    columns = [field.attname for field in Move._meta.concrete_fields if not field.primary_key]
    rows = Move.everything.values(*columns)
    for (_, key), move in zip(made, own, strict=True):
        assert rows.get(pk=key) == rows.get(pk=move.pk)


def test_many_are_one_query(django_assert_num_queries) -> None:  # type: ignore[no-untyped-def]
    keys = [factories.find().pk for _ in range(30)]
    with django_assert_num_queries(1):
        made = insert_for_each(Departure, Specimen, keys, copied={"find": "id"}, **GONE)
    assert [key for key, _ in made] == keys
    assert set(Departure.objects.values_list("reason", flat=True)) == {GONE["reason"]}


def test_none_are_no_query(django_assert_num_queries) -> None:  # type: ignore[no-untyped-def]
    with django_assert_num_queries(0):
        assert insert_for_each(Departure, Specimen, [], copied={"find": "id"}, **GONE) == []


def test_one_that_may_not_be_leaves_none() -> None:
    keys = [factories.find().pk for _ in range(3)]
    without = {**GONE, "on": None}
    with pytest.raises(IntegrityError), transaction.atomic():
        insert_for_each(Departure, Specimen, keys, copied={"find": "id"}, **without)
    assert not Departure.objects.exists()
