"""Codes of every kind, each for some bottles alone: saved as said, answered while typing, used in dating."""

import pytest

from catalogue.specimens.models import Maker, MarkReading, OwnCode, Works
from catalogue.specimens.services import Parts
from tests import factories

from .maker_forms import HEADS, TWO_MARKS, code

pytestmark = pytest.mark.django_db
WHOLE = HEADS | TWO_MARKS | {"name": "Brackwater Bottle Company"}
TWO_CODES = {"codes-TOTAL_FORMS": "2"}

SAYS = [
    ("last-digit", "", "7", "would be 1927, 1937 or 1947"),
    ("last-two-digits", "", "38", "would be 1938"),
    ("full-year", "", "1938", "would be 1938"),
    ("month-year", "", "6-38", "would be 1938"),
    ("month-year", "", "13-38", "mould or catalogue number"),
    ("letter-table", "A=1924; B=1925", "B", "would be 1925"),
    ("dot-table", ".=192X; ..=193X; -=194X", "7..", "would be 1937"),
    ("dot-table", ".=192X; ..=193X; -=194X", "7-", "would be 1947"),
    (
        "works-table",
        "3=Quay works,1924-1925; 4=Hill works,1936",
        "3",
        "would be 1924 or 1925, made at Quay works",
    ),
]


@pytest.mark.parametrize(("kind", "table", "tried", "said"), SAYS)
def test_each_kind_is_answered_while_typing_and_saved(owner_client, kind, table, tried, said):
    data = WHOLE | code(0, kind, table=table) | {"try": tried}
    assert said in owner_client.post("/makers/live/", data).content.decode()
    assert owner_client.post("/makers/new/", data).status_code == 302
    saved = OwnCode.objects.get()
    assert (saved.kind, saved.table) == (kind, table)
    page = owner_client.get("/makers/brackwater-bottle-company/").content.decode()
    assert "would be" in page


def test_every_kind_is_explained_with_an_example(owner_client):
    text = owner_client.get("/makers/new/").content.decode()
    for kind in OwnCode.Kind.values:
        assert f'value="{kind}"' in text
    for example in ("6-38 is June 1938", "7 with a line 1947", "3=Quay works,1921-1935"):
        assert example in text


@pytest.mark.parametrize("kind", ["dot-table", "works-table"])
@pytest.mark.parametrize("table", ["", "3", "3=Quay works", "3=Quay works,1950-1921"])
def test_a_list_that_can_not_be_read_is_said_with_an_example(owner_client, kind, table):
    answer = owner_client.post("/makers/new/", WHOLE | code(0, kind, table=table))
    assert answer.status_code == 422
    complaint = answer.context["whole"].sets["codes"].forms[0].errors["table"][0]
    assert ("Quay works,1921" if kind == "works-table" else "..=193X") in complaint
    assert not Maker.objects.own().exists()


def test_one_bottler_had_two_digits_and_everyone_else_one(owner_client):
    data = (
        WHOLE | TWO_CODES | code(0, "last-digit")
        | code(1, "last-two-digits", bottler_name="Quill & Sons") | {"try": "7"}
    )  # fmt: skip
    text = owner_client.post("/makers/live/", data).content.decode()
    assert "only for: Quill &amp; Sons" in text and "1927, 1937 or 1947" in text
    owner_client.post("/makers/new/", data)
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="37")
    theirs = factories.find(
        "Ginger beer", Parts(readings=[reading]), bottler=OwnCode.objects.get(kind="last-two-digits").bottler
    )
    assert theirs.made_words == "1937"


def test_bound_to_a_product_contents_region_works_and_single_marks(owner_client):
    bound = {
        "product_name": "Gull Stout",
        "contents": "beer",
        "region": "US",
        "works_name": "quay works",
        "for_marks": "1",
    }
    data = WHOLE | code(0, "last-digit", **bound) | {
        "works-0-name": "Quay works", "works-0-town_name": "Marrowby, Velmoor Sound",
    }  # fmt: skip
    assert owner_client.post("/makers/new/", data).status_code == 302
    saved = OwnCode.objects.get()
    assert (saved.product.name, saved.contents, saved.region) == ("Gull Stout", "beer", "US")
    assert saved.works == Works.objects.get() and saved.works.town.name == "Marrowby"
    assert [mark.letters for mark in saved.marks.all()] == ["BBC"]
    form = owner_client.get("/makers/brackwater-bottle-company/edit/").context["whole"].sets["codes"].forms[0]
    rows = owner_client.get("/makers/brackwater-bottle-company/edit/").context["whole"].sets["marks"].forms
    assert [rows[int(n)].instance.letters for n in form["for_marks"].value()] == ["BBC"]
    assert form["works_name"].value() == "Quay works"


def edit(maker: Maker, **changes: str) -> dict[str, str]:
    """The form as it opens, with changes."""
    data = dict(HEADS, name=maker.name)
    for name, rows in (("marks", maker.own_marks), ("codes", maker.own_codes), ("works", maker.works)):
        data[f"{name}-TOTAL_FORMS"] = data[f"{name}-INITIAL_FORMS"] = str(rows.count())
        for n, row in enumerate(rows.all()):
            data[f"{name}-{n}-id"] = str(row.pk)
    data |= {"marks-0-letters": "BW", "marks-0-symbol": "wave"}
    data |= code(0, "last-digit", works_name="Quay works", for_marks="0") | {"works-0-name": "Quay works"}
    return data | changes


@pytest.fixture
def brackwater(owner_client) -> Maker:
    maker = factories.brackwater()
    works = Works.objects.create(maker=maker, name="Quay works")
    saved = maker.own_codes.get()
    saved.works = works
    saved.save()
    saved.marks.set(maker.own_marks.all())
    return maker


PATH = "/makers/brackwater-bottle-company/edit/"


def test_works_renamed_keep_their_code(owner_client, brackwater):
    answer = owner_client.post(PATH, edit(brackwater, **{"works-0-name": "Old quay works"}))
    assert answer.status_code == 302
    assert brackwater.own_codes.get().works.name == "Old quay works"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"works-0-DELETE": "on"}, "works_name"),
        ({"codes-0-works_name": "Nowhere"}, "works_name"),
        ({"marks-0-DELETE": "on"}, "for_marks"),
        ({"codes-0-for_marks": "7"}, "for_marks"),
        ({"codes-0-region": "Velmoor"}, "region"),
    ],
)
def test_what_a_code_is_bound_to_can_not_vanish_under_it(owner_client, brackwater, change, field):
    answer = owner_client.post(PATH, edit(brackwater, **change))
    assert answer.status_code == 422
    assert answer.context["whole"].sets["codes"].forms[0].errors[field]
    saved = brackwater.own_codes.get()
    assert saved.works.name == "Quay works" and saved.marks.count() == 1 and brackwater.own_marks.count() == 1


def test_the_form_asks_the_database_no_more_with_more_codes(
    owner_client, brackwater, django_assert_max_num_queries
):
    for n in range(8):
        OwnCode.objects.create(maker=brackwater, kind="last-digit", valid_from=1920 + n)
    # session, user, settings, maker, marks, codes, their marks, works, three lists of names, reference stamp
    with django_assert_max_num_queries(20):
        assert owner_client.get(PATH).status_code == 200
