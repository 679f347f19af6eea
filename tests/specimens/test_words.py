"""Years and codes in words."""

import pytest

import dating
from catalogue.common.drawings.year_axis import curve_per_year
from catalogue.specimens.code_words import CODE_KIND_WORDS, explain, sample_of
from catalogue.specimens.models import OwnCode
from catalogue.specimens.stored_answer import ruler_curve
from catalogue.specimens.tables import code_row
from catalogue.specimens.year_words import span_words


@pytest.mark.parametrize(
    ("years", "about", "words"),
    [
        ((1905, 1920), (True, False), "about 1905 to 1920"),
        ((1905, 1920), (False, True), "1905 to about 1920"),
        ((1930, None), (False, False), "1930 or later"),
        ((None, 1950), (False, True), "until about 1950"),
        ((1925, 1925), (False, False), "1925"),
        ((None, None), (False, False), "years not recorded"),
    ],
)
def test_spans_of_years(years, about, words):
    assert span_words(*years, about_first=about[0], about_last=about[1]) == words


@pytest.mark.parametrize("code", dating.reference().date_codes.values(), ids=lambda code: code.id)
def test_every_published_code_is_explained_and_its_sample_can_be_asked(code):
    words = explain(code)
    assert words[0].isupper() and words.endswith(".")
    assert str(code.valid_from) in words
    if code.kind != "other":
        answer = dating.what_would(sample_of(code), [code], this_year=2026)
        assert answer.words


@pytest.mark.parametrize("help", CODE_KIND_WORDS, ids=lambda help: help.kind)
def test_every_kind_of_the_form_has_an_example_that_dates_as_it_says(help):
    assert help.kind in OwnCode.Kind.values
    table = {
        "letter-table": "A=1921; B=1922; C=1923-1925",
        "dot-table": ".=192X; ..=193X",
        "works-table": "3=Quay works,1930",
    }.get(help.kind, "")
    row = code_row(OwnCode(kind=help.kind, position="right", valid_from=1921, valid_to=1950, table=table), ())
    asked = {"last-digit": "6"}.get(help.kind, help.sample)
    answer = dating.what_would(asked, [row], this_year=2026)
    expected = {
        "last-digit": (1926, 1936, 1946),
        "last-two-digits": (1938,),
        "full-year": (1927,),
        "month-year": (1938,),
        "letter-table": (1922,),
        "works-table": (1930,),
        "dot-table": (1937,),
        "other": (),
    }
    assert answer.years == expected[help.kind]


def test_all_kinds_are_offered():
    assert [each.kind for each in CODE_KIND_WORDS] == OwnCode.Kind.values


def test_a_stored_curve_gives_every_year_back():
    heights = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.0, 1.0, 0.5, 0.0, 0.0, 0.3]
    back = dict(curve_per_year(ruler_curve(1900, heights)))
    for i, height in enumerate(heights):
        assert back.get(1900 + i, 0.0) == pytest.approx(height, abs=0.01)
    assert curve_per_year([]) == [] and curve_per_year([[1938, 1.0]]) == [(1938, 1.0)]
