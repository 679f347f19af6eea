"""One find is one piece, spread over the years it may be of; many are added up from few texts."""

import random
from collections import Counter
from importlib import import_module

import pytest
from django.apps import apps

from catalogue.specimens.models import KnownYears, MarkReading, Specimen
from catalogue.specimens.services import Parts
from catalogue.specimens.stored_answer import SPREAD_LENGTH, extent, pieces_a_year, runs, spread_of
from tests import factories


def test_a_closed_window_is_even_over_its_years():
    spread = spread_of((1909, 1912), None, [(1909, 1.0), (1910, 0.2)], [1900, 1910])
    assert (spread.first, spread.last, spread.text) == (1909, 1912, "1909-1912")
    assert dict(pieces_a_year({"1909-1912": 2})) == dict.fromkeys((1909, 1910, 1911, 1912), 0.5)


def test_candidate_years_have_their_chances_and_nothing_between():
    curve = [(1926, 1.0), (1936, 0.5), (1946, 0.5)]
    spread = spread_of((1926, 1946), [1926, 1936, 1946], curve, [1920, 1930, 1940])
    assert spread.text == "|1926:50|1936:25|1946:25|"
    years = dict(pieces_a_year({spread.text: 4}))
    assert [years[y] for y in (1926, 1927, 1935, 1936, 1946)] == pytest.approx([2.0, 0.0, 0.0, 1.0, 1.0])
    assert years[1927] < 1e-9


def test_candidates_without_a_curve_are_equally_likely():
    assert spread_of((1926, 1936), [1926, 1936], [], [1920, 1930]).text == "|1926:50|1936:50|"


def test_an_open_window_follows_its_curve_in_steps_between_its_likely_decades():
    curve = [(year, 1.0 if year < 1985 else 0.3) for year in range(1964, 2026)]
    spread = spread_of((1964, None), None, curve, [1960, 1970, 1980, 1990, 2000])
    assert spread.text == "1964-1984:100 1985-2025:30"
    assert (spread.first, spread.last) == (1964, 2009)
    years = dict(pieces_a_year({spread.text: 1}))
    assert years[1984] == pytest.approx(years[1985] / 0.3)


def test_without_years_nothing_is_added():
    assert spread_of((None, None), None, [], []).text == ""
    assert pieces_a_year({"": 12}) == []
    assert runs("") == ()


def test_a_restless_curve_is_levelled_until_it_fits():
    draw = random.Random(3)
    curve = [(year, draw.random()) for year in range(1600, 2027)]
    spread = spread_of((None, None), None, curve, [1600, 2020])
    assert len(spread.text) <= SPREAD_LENGTH
    assert sum(height for _, height in pieces_a_year({spread.text: 1})) == pytest.approx(1)


def test_more_candidates_than_fit_become_a_curve():
    years = list(range(1700, 2000, 3))
    spread = spread_of((1700, None), years, [(y, 1.0) for y in years], [1700, 1990])
    assert len(spread.text) <= SPREAD_LENGTH and ":" in spread.text and not spread.text.startswith("|")


def test_many_add_up_to_as_many_as_are_dated():
    counts = Counter({"1909-1941": 3, "|1926:35|1936:34|1946:31|": 2, "1840-1871:100 1872-1890:40": 5, "": 9})
    assert sum(height for _, height in pieces_a_year(counts)) == pytest.approx(10)
    assert extent(counts) == [(1909, 1941), (1926, 1946)]


@pytest.mark.django_db
def test_it_is_stored_with_the_answer_and_found_again_for_what_was_dated_before():
    factories.brackwater()
    for parts in (
        Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")]),
        Parts(known=[KnownYears(what="directory", from_year=1884, to_year=1890)]),
        Parts(known=[KnownYears(what="label law", from_year=1964)]),
        Parts(),
    ):
        factories.find(parts=parts)
    columns = ("made_first", "made_last", "made_spread")
    stored = list(Specimen.objects.order_by("pk").values_list(*columns))
    assert stored[0][:2] == (1926, 1946) and stored[0][2].startswith("|1926:")
    assert stored[1] == (1884, 1890, "1884-1890")
    assert stored[2][0] == 1964 and stored[2][2].startswith("1964-")
    assert stored[3] == (None, None, "")
    Specimen.objects.update(made_first=None, made_last=None, made_spread="")
    import_module("catalogue.specimens.migrations.0007_spread_of_years").spread_what_is_dated(apps, None)
    assert list(Specimen.objects.order_by("pk").values_list(*columns)) == stored
