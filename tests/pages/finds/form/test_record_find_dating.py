"""The years shown while the form is filled in."""

import re
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from catalogue.common.drawings.year_axis import YearAxis
from catalogue.common.text import is_storable
from catalogue.specimens.models import Maker, Opinion, OwnCode, OwnMark, Specimen
from catalogue.specimens.services import give_opinion, keep_find
from catalogue.specimens.services.makers import keep_maker
from tests.common.svg import numbers, of_class, parsed

from .record_form import filled, reading

pytestmark = pytest.mark.django_db
ADDRESS = "/finds/dating/"


@pytest.fixture
def brackwater():
    """A maker of one's own: BW in a circle, the last digit of the year at the right, 1922 to 1950."""
    maker = Maker(name="Brackwater Bottle Company")
    keep_maker(
        maker,
        marks=[OwnMark(letters="BW", frame="circle", from_year=1922, to_year=1950)],
        codes=[OwnCode(kind="last-digit", position="right", valid_from=1922, valid_to=1950)],
    )
    return maker


def answer(client, **fields):
    page = client.post(ADDRESS, filled(**fields))
    assert page.status_code == 200
    return page.context["answer"]


def test_nothing_yet(owner_client):
    assert answer(owner_client, what="").words == "not yet dated"


def test_one_digit_leaves_candidate_years(owner_client, brackwater):
    said = answer(owner_client, readings=[reading(letters="BW", frame="circle", right="7")])
    assert said.words == "one of 1927, 1937, 1947"
    assert said.makers[0][0] == "Brackwater Bottle Company"
    assert said.makers[0][2] is True


def test_says_what_a_digit_would_mean_before_one_is_read(owner_client, brackwater):
    said = answer(owner_client, readings=[reading(letters="BW", frame="circle")])
    assert said.hint == "Look beside the mark: 7 at the right would be 1927, 1937 or 1947."
    assert answer(owner_client, readings=[reading(letters="BW", frame="circle", right="7")]).hint == ""


def test_later_evidence_moves_it(owner_client, brackwater):
    mark = reading(letters="BW", frame="circle", right="7")
    known = [{"what": "bottler moved in", "from_year": "1940", "certainty": "certain"}]
    assert answer(owner_client, readings=[mark], known=known).words == "1947"


def test_answers_about_making_and_colour_count(owner_client):
    plain = answer(owner_client)
    assert answer(owner_client, **{"made-lip-shape": "crown-finish"}).words != plain.words
    assert answer(owner_client, colour="milk-glass").ruler != plain.ruler


def band_of(ruler):
    root = parsed(ruler)
    (band,) = of_class(root, "rule-band") + of_class(root, "rule-fading")
    return band.get("d")


def test_new_dive_bounds_the_years(owner_client):
    known = [{"what": "law", "from_year": "1930", "certainty": "certain"}]
    dive = {"pick": "new", "new_site": "Tallow Cove", "date": "1975-05-01"}
    without, bounded = answer(owner_client, known=known), answer(owner_client, known=known, **dive)
    ends = [max(numbers(d)[::2]) for d in (band_of(without.ruler), band_of(bounded.ruler))]
    assert ends[0] > ends[1] == pytest.approx(YearAxis(1800, date.today().year + 1).scale.x(1976), abs=0.01)


def test_rows_with_an_error_are_left_out_and_counted(owner_client, brackwater):
    said = answer(
        owner_client,
        readings=[reading(letters="BW", frame="circle", right="7"), reading(letters="X", frame="pentagram")],
    )
    assert said.words == "one of 1927, 1937, 1947"
    assert said.left_out == 1


def test_opinion_on_the_maker_counts_while_editing(owner_client, brackwater, owner):
    find = keep_find(Specimen(what="soda bottle"))
    give_opinion(
        Opinion(
            find=find, about="maker", value=brackwater.name, maker=brackwater, on="2024-05-01", reason="x"
        )
    )
    page = owner_client.post(
        f"{ADDRESS}?find={find.number}", filled(readings=[reading(letters="BW", right="7")])
    )
    said = page.context["answer"]
    assert said.opinion == brackwater.name
    assert said.words == "one of 1927, 1937, 1947"


def test_stored_answer_is_the_one_that_was_shown(owner_client, brackwater):
    fields = {
        "readings": [reading(letters="BW", frame="circle", right="7")],
        "colour": "aqua",
        "contents": "soda",
    }
    shown = answer(owner_client, **fields)
    owner_client.post("/finds/new/", filled(**fields))
    find = Specimen.objects.get()
    assert find.made_words == shown.words
    assert find.maker == brackwater


def test_certainty_left_out_and_said_are_the_same(owner_client, brackwater):
    mark = {"letters": "BW", "frame": "circle", "right": "8"}
    assert answer(owner_client, readings=[mark]).words == "one of 1928, 1938, 1948"
    assert answer(owner_client, readings=[reading(**mark)]).words == "one of 1928, 1938, 1948"


def test_without_script_a_button_dates(owner_client, brackwater):
    data = filled(readings=[reading(letters="BW", frame="circle", right="7")], what="", act="date")
    page = owner_client.post("/finds/new/", data)
    assert page.status_code == 200
    assert "one of 1927, 1937, 1947" in page.content.decode()
    assert not page.context["problems"]
    assert not Specimen.objects.exists()


def test_without_script_a_button_adds_a_row(owner_client):
    page = owner_client.post("/finds/new/", filled(readings=[reading(letters="LG")], act="more-readings"))
    text = page.content.decode()
    assert 'name="readings-1-letters"' in text
    assert 'value="LG"' in text


def test_without_script_a_button_asks_the_questions(owner_client):
    assert "crown-finish" not in owner_client.get("/finds/new/").content.decode()
    page = owner_client.post("/finds/new/", {"what": "", "act": "questions"})
    assert "crown-finish" in page.content.decode()


def test_questions_put_what_fits_first(owner_client):
    text = owner_client.get("/finds/questions/?contents=milk&region=US").content.decode()
    unfit = set(re.findall(r'class="see unfit(?: further)?"[^>]*><input[^>]*value="([^"]*)"', text))
    assert "blob-finish-beer" in unfit
    assert "capseat-milk" not in unfit
    assert "crown-finish" not in unfit


WORDS = st.one_of(
    st.sampled_from(
        [
            "",
            "?",
            "[",
            "[HN]",
            "]",
            "7",
            "77",
            "1937",
            "BW",
            "T&H",
            " ",
            "/",
            "½",
            "٧",
            "🍾",
            "0x1",
            "-1",
            "NaN",
        ]
    ),
    st.text(max_size=12),
)
NAMES = st.sampled_from(
    [
        *("what", "town", "bottler", "product", "contents", "region", "colour", "recovered", "pick", "date"),
        *(
            "site",
            "new_site",
            "older",
            "made-lip-shape",
            "made-label",
            "sure-lip-shape",
            "height_mm",
            "stage",
            "place",
        ),
        *(
            f"readings-0-{f}"
            for f in ("letters", "symbol", "frame", "arrangement", "where", "left", "right", "above")
        ),
        *(f"readings-0-{f}" for f in ("certainty", "left_none", "right_none", "DELETE")),
        *(f"known-0-{f}" for f in ("what", "from_year", "to_year", "certainty", "source", "DELETE")),
        *(f"lettering-0-{f}" for f in ("text", "where", "how", "says")),
        *(f"{s}-{c}_FORMS" for s in ("readings", "known", "lettering") for c in ("TOTAL", "INITIAL")),
    ]
)


class HalfTyped(TestCase):
    """Whatever is half typed, the answer comes, and saving either keeps it or says what is wrong."""

    @given(st.dictionaries(NAMES, WORDS, max_size=9))
    @settings(max_examples=25, suppress_health_check=list(HealthCheck))
    def test_never_an_error(self, typed):
        from django.contrib.auth import get_user_model

        user, _ = get_user_model().objects.get_or_create(username="owner")
        self.client.force_login(user)
        one_each = {"readings": [reading()], "known": [{}], "lettering": [{}]}
        data = {**filled(**one_each), **typed}
        live, kept = (self.client.post(address, data).status_code for address in (ADDRESS, "/finds/new/"))
        if all(map(is_storable, typed.values())):
            assert live == 200 and kept in (302, 422)
        else:
            assert live == kept == 400
