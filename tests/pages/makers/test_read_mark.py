"""Marks are ranked while one types: what was typed is divided in view, corrected, and carried on."""

import re

import pytest

from catalogue.specimens.reading.value import Reading
from tests import factories

pytestmark = pytest.mark.django_db
PATH = "/makers/read/"


def page(client, **given) -> str:
    return client.get(PATH, given).content.decode()


def read(client, **given):
    return client.get(PATH, given).context["read"]


def test_an_inscription_is_divided_in_view_of_the_person(owner_client):
    got = read(owner_client, text="T. H. CO. 7 / MARROWBY")
    assert got.mark == Reading("THCO", right="7") and got.rest == "MARROWBY"
    text = page(owner_client, text="T. H. CO. 7 / MARROWBY")
    for part in ("Read as", "THCO", "At the right", "MARROWBY", "correct it part by part"):
        assert part in text


@pytest.mark.parametrize(("key", "most"), [("text", 400), ("letters", 60), ("rest", 400)])
def test_what_is_too_long_for_a_mark_is_said_and_stays_in_its_box(owner_client, key, most):
    typed = "AB" * most
    text = page(owner_client, **{key: typed})
    assert f"{len(typed)} letters are too many for one mark; the first {most} were taken." in text
    box = re.search(rf'<input id="{key}"[^>]*>', text)[0]
    assert f'value="{typed}"' in box and "maxlength" not in box
    assert "too many" not in page(owner_client, **{key: "A" * most})


def test_the_way_to_correct_it_fills_in_the_parts(owner_client):
    found = owner_client.get(PATH, {"text": "T. H. CO. 7 / MARROWBY"}).context["correct"]
    text = owner_client.get(f"{PATH}?{found}").content.decode()
    assert 'value="THCO"' in text and 'value="7"' in text and 'value="MARROWBY"' in text
    assert "correct it part by part" not in text


def test_what_was_corrected_wins_over_the_line(owner_client):
    got = read(owner_client, text="T. H. CO. 7 / MARROWBY", letters="TH", left="7")
    assert got.mark == Reading("TH", left="7")


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("B?", {"letters": "B?"}),
        ("[HN]B", {"letters": "[HN]B"}),
        ("T&H 38", {"letters": "TH", "right": "38", "arrangement": "with-ampersand"}),
        ("7 BW", {"letters": "BW", "left": "7"}),
        ("BW / 7", {"letters": "BW", "below": "7"}),
        ("Brackwater", {"letters": "Brackwater"}),
    ],
)
def test_short_readings(owner_client, text, mark):
    assert read(owner_client, text=text).mark == Reading(**mark)


def test_an_own_mark_leads_to_its_maker_and_says_why(owner_client):
    factories.brackwater()
    found = owner_client.get(PATH, {"text": "BW 7", "symbol": "wave"}).context["found"]
    assert found.ranks[0].members[0].address == "/makers/brackwater-bottle-company/"
    assert found.ranks[0].chance > 0.5
    text = page(owner_client, text="BW 7", symbol="wave")
    for part in ("letters: BW", "sign: wave, as read".capitalize(), "1927, 1937, 1947", "not in the tables"):
        assert part.lower() in text.lower()


def test_marks_that_coincide_are_shown_as_one(owner_client):
    factories.brackwater()
    other = factories.keep_maker(
        factories.Maker(name="Tallow Cove Glass"),
        marks=[factories.OwnMark(letters="BW", frame="none", symbol="wave", from_year=1922, to_year=1950)],
    )
    found = owner_client.get(PATH, {"text": "BW", "symbol": "wave"}).context["found"]
    first = found.ranks[0]
    assert first.tied and {one.address for one in first.members} == {
        "/makers/brackwater-bottle-company/",
        other.get_absolute_url(),
    }
    assert "can't tell these apart" in page(owner_client, text="BW", symbol="wave")


def test_years_from_elsewhere_rank_anew(owner_client):
    factories.brackwater()
    without = owner_client.get(PATH, {"text": "BW"}).context["found"].ranks
    early = owner_client.get(PATH, {"text": "BW", "to": "1890"}).context["found"].ranks

    def chance(ranks) -> float:
        return sum(r.chance for r in ranks if "brackwater" in r.members[0].address)

    assert chance(early) < chance(without) / 5


def test_it_is_carried_on_to_dating_and_recording(owner_client):
    text = page(owner_client, text="BW 7 / MARROWBY", to="1930")
    carried = "letters=BW&amp;right=7&amp;before=1930&amp;inscription=BW+7+%2F+MARROWBY"
    assert f"/date/?{carried}" in text and f"/finds/new/?{carried}" in text


def test_while_typing_only_the_answer_comes(owner_client):
    answer = owner_client.get(PATH, {"text": "BW"}, headers={"HX-Request": "true"}).content.decode()
    assert "Read as" in answer and "<html" not in answer


BAD = [
    {"text": "\ufffd"},
    {"text": "X" * 10_000},
    {"letters": "[" * 60},
    {"letters": "\ufffd", "left": "\ufffd"},
    {"text": "<script>alert(1)</script>"},
    {"text": "BW", "frame": "dodecahedron", "symbol": "<b>", "arrangement": "loud"},
    {"text": "BW", "from": "-5", "to": "9" * 5000},
    {"text": "BW", "from": "1950", "to": "1900"},
    {"text": "🍾 زجاج"},
    {"right": "7"},
]


@pytest.mark.parametrize("given", BAD)
def test_nothing_typed_can_break_it(owner_client, given):
    answer = owner_client.get(PATH, given)
    assert answer.status_code == 200
    assert "<script>alert" not in answer.content.decode()


def test_bad_years_are_said_by_their_fields(owner_client):
    text = page(owner_client, text="BW", **{"from": "1950", "to": "1900"})
    assert "This is before the first year." in text and 'role="alert"' in text


def test_queries(owner_client, django_assert_max_num_queries):
    factories.brackwater()
    owner_client.get(PATH, {"text": "BW"})
    # session, user, house settings; four for the joined tables; makers of own and of published marks
    with django_assert_max_num_queries(9):
        owner_client.get(PATH, {"text": "B?"}, headers={"HX-Request": "true"})


def test_a_visitor_may_not(client):
    assert client.get(PATH).status_code in (302, 403)


def test_wrong_method(owner_client):
    assert owner_client.post(PATH).status_code == 405


def test_what_stands_on_it_besides_leads_to_dating_with_it(owner_client):
    page = owner_client.get("/makers/read/", {"text": "T. H. CO. 7 / FEDERAL LAW FORBIDS SALE"})
    (law,) = page.context["says"]
    assert law.says == "a law on spirits bottles is named"
    dated = owner_client.get(law.address)
    assert "federal-law-forbids" in str(dated.context["evidence"].case)
    assert dated.context["answer"].reasons


def test_another_language_offers_its_region(owner_client):
    page = owner_client.get("/makers/read/", {"text": "GES. GESCH."})
    (phrase,) = page.context["says"]
    assert "region=DE" in phrase.address
    assert "German" in page.content.decode()
    dated = owner_client.get(phrase.address)
    assert dated.context["evidence"].case.get("region") == "DE"
