"""Every list that programs read, over rows of every kind: what one key is told and the other is not."""

import json

import pytest

from catalogue.exchange.api.kinds import PLAIN_KINDS
from catalogue.exchange.takeout.columns import columns_for
from tests.access.example_rows import PRIVATE, made_examples
from tests.conftest import laid_out

pytestmark = pytest.mark.django_db
KINDS = ["finds", "pictures", *PLAIN_KINDS]


@pytest.fixture(scope="module")
def every_kind(module_pictures):
    return module_pictures(made_examples)


@pytest.fixture(autouse=True)
def examples(every_kind, data_folder, db):
    return laid_out(every_kind, data_folder)


def test_a_find_has_the_columns_of_the_take_out_by_their_names(whole, public):
    names = [column.name for column in columns_for(public=False)]
    for find in whole.every("/api/v1/finds/"):
        assert list(find) == [*names, "page", "pictures"]
    (shown,) = public.every("/api/v1/finds/")
    positions = {"latitude", "longitude", "uncertainty_m"}
    assert set(shown) == {c.name for c in columns_for(public=True)} - positions | {"page", "pictures"}


@pytest.mark.parametrize("kind", KINDS)
def test_each_list_holds_what_its_single_address_says(kind, whole):
    items = whole.every(f"/api/v1/{kind}/")
    assert items
    for item in items[:5] + items[-5:]:
        one = item["number"] if kind == "finds" else item["id"]
        assert whole.get(f"/api/v1/{kind}/{one}/").json() == item


@pytest.mark.parametrize("kind", KINDS)
def test_a_key_for_visitors_is_told_nothing_private(kind, whole, public):
    """The word stands in the whole answer, so that its absence from the public one means something."""
    told = json.dumps(whole.every(f"/api/v1/{kind}/"), ensure_ascii=False)
    if kind in ("finds", "dives", "sites", "places"):
        assert any(word in told for word in PRIVATE)
    if not (kind in ("finds", "pictures") or PLAIN_KINDS[kind].public):
        public.get(f"/api/v1/{kind}/", 403)
        return
    said = public.every(f"/api/v1/{kind}/")
    told = json.dumps(said, ensure_ascii=False)
    assert not any(word in told for word in PRIVATE)
    assert "latitude" not in told and "44.5" not in told
    assert bool(said) == (kind != "sites")
