"""What a typed town costs: a few queries, however many towns the catalogue has; never all of them."""

import pytest

from catalogue.specimens.models import Town
from catalogue.specimens.services.towns import town_named

pytestmark = pytest.mark.django_db


@pytest.fixture
def many() -> None:
    Town.objects.bulk_create(Town(name=f"Quarl {n}", key=f"quarl {n}", slug=f"quarl-{n}") for n in range(300))


@pytest.mark.parametrize("typed", ["Quarl 7", "PORTLAND ME", "Marrowby, Velmoor", "B?STON MASS", "PORTLAND"])
def test_a_known_town_is_four_queries(many, django_assert_max_num_queries, typed):
    town = town_named(typed)
    with django_assert_max_num_queries(4):
        assert town_named(typed) == town


def test_no_query_reads_all_towns(many, django_assert_max_num_queries):
    # Ten for the town, its name and what hangs on it; five for its own entry in the search, with its words.
    with django_assert_max_num_queries(15) as asked:
        town_named("PORTLAND ME")
    towns = [query["sql"] for query in asked if 'FROM "specimens_town"' in query["sql"]]
    # The last is the new town's own entry in the search.
    narrow = ("LIMIT", '"key" IN', '"slug" LIKE', '"slug"::text LIKE', '"specimens_town"."id" IN')
    assert towns and all(any(each in sql for each in narrow) for sql in towns)
