"""The index and its fall-back give one answer; the questions are those of SQL's LIKE, worked out here."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.specimens.models import SearchEntry
from catalogue.specimens.search.folding import fold
from catalogue.specimens.search.index import KIND_STEP, has_fts
from catalogue.specimens.search.kinds import FIND, KIND_OF
from catalogue.specimens.search.matched import Matched
from catalogue.specimens.search.units import read_typed

pytestmark = pytest.mark.django_db
TEXTS = (
    "Amber beer bottle, T&H 29",
    "BW 1934 Brackwater Bottle Co.",
    "cat and hat",
    "the thin bottle",
    "Ångström & Co",
    "2026.14.3",
    "ink",
    "i n k",
    "kin",
    "Wave-Cola",
    "a",
    "bottles\nof ink",
    "قارورة زجاج",
    "x" * 300,
    "and",
    "or not",
)
SEARCHES = (
    "bottle",
    "t & h",
    "th",
    "b",
    "bo",
    "bw 19",
    "a n",
    "and",
    "ink",
    "i",
    "wave-cola",
    "wavecola",
    "2026-14",
    "x",
    "angstrom",
    "co",
    "or",
    "not",
    "زجاج",
    "hat cat",
    "cat hat",
    "ottle",
    "29",
    "9",
    "bottle i",
    "near",
    "TH",
    "k i",
)


@pytest.fixture
def entries(db):
    SearchEntry.objects.all().delete()
    for n, text in enumerate(TEXTS, 1):
        SearchEntry.objects.create(id=n, text=fold(text))
        SearchEntry.objects.create(id=4 * KIND_STEP + n, text=fold(text))


def plainly(typed: str) -> set[int]:
    units = read_typed(typed).units
    return {n for n, text in enumerate(TEXTS, 1) if all(unit.is_in(fold(text)) for unit in units)}


@pytest.mark.parametrize("fts", [True, False])
@pytest.mark.parametrize("typed", SEARCHES)
def test_each_answers_as_the_plain_comparison_does(entries, typed, fts):
    if fts and not has_fts():
        pytest.skip("this store has no such index")
    asked, expected = Matched(read_typed(typed).units, fts), plainly(typed)
    assert set(asked.newest(FIND, 100)) == expected
    assert asked.newest(FIND, 2) == sorted(expected, reverse=True)[:2]
    assert asked.count(FIND) == asked.count(KIND_OF["towns"]) == len(expected)
    held = {key: set(found.keys) for key, found in asked.by_kind().items()}
    assert held == ({"finds": expected, "towns": expected} if expected else {})
    assert asked.anything() is bool(expected)
    chosen = SearchEntry.objects.filter(pk__in=asked.condition(FIND)).values_list("pk", flat=True)
    assert set(chosen) == expected


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.text(max_size=30))
def test_whatever_is_typed_is_no_syntax(entries, typed):
    units = read_typed(typed).units
    if units:
        answers = [set(Matched(units, fts).newest(FIND, 100)) for fts in {has_fts(), False}]
        assert all(answer == plainly(typed) for answer in answers), typed
