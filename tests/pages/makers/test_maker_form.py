"""Adding a maker: little is needed, it joins the dating at once, and nothing is half-saved."""

import pytest

from catalogue.specimens.models import Bottler, Maker, MarkReading, OwnCode, OwnMark, Works
from catalogue.specimens.services import Parts
from tests import factories
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db

HEADS = {
    f"{name}-{what}_FORMS": number
    for name in ("marks", "codes", "works")
    for what, number in (("TOTAL", "1"), ("INITIAL", "0"))
}
MARK = {
    "marks-0-letters": "BW",
    "marks-0-frame": "none",
    "marks-0-symbol": "wave",
    "marks-0-from_year": "1922",
    "marks-0-to_year": "1950",
}
CODE = {
    "codes-0-kind": "last-digit",
    "codes-0-position": "right",
    "codes-0-valid_from": "1922",
    "codes-0-valid_to": "1950",
}
WHOLE = HEADS | {"name": "Brackwater Bottle Company", "place": "Port Ellarn"} | MARK | CODE


def send(client, data: dict, path: str = "/makers/new/"):
    return client.post(path, data)


def everything() -> tuple[int, ...]:
    return tuple(model.objects.count() for model in (OwnMark, OwnCode, Works, Bottler)) + (
        Maker.objects.own().count(),
    )


def test_the_name_alone_makes_one(owner_client, db):
    answer = send(owner_client, HEADS | {"name": "Orlick Flint Glass"})
    assert answer.status_code == 302 and answer["Location"] == "/makers/orlick-flint-glass/"
    assert everything() == (0, 0, 0, 0, 1)


def test_a_whole_maker_joins_at_once_and_says_how_many_years_changed(owner_client, db):
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    find = factories.find("Ginger beer", Parts(readings=[reading]))
    assert find.maker is None
    text = owner_client.post("/makers/new/", WHOLE, follow=True).content.decode()
    assert "Brackwater Bottle Company is added. The years of 1 find changed." in text
    find.refresh_from_db()
    assert find.made_words == "one of 1926, 1936, 1946"
    assert find.maker.name == "Brackwater Bottle Company" and find.maker_how == "likely"
    assert found("brackwater") == [find.what]


def test_no_find_changed_is_said_as_well(owner_client, db):
    assert (
        "No find&#x27;s years changed."
        in owner_client.post("/makers/new/", WHOLE, follow=True).content.decode()
    )


def test_an_ampersand_typed_is_how_the_letters_stand(owner_client, db):
    send(
        owner_client,
        HEADS | {"name": "Tern & Hollis Glass Works", "marks-0-letters": "t & h", "marks-0-frame": "hexagon"},
    )
    mark = OwnMark.objects.get()
    assert (mark.letters, mark.arrangement, mark.text, mark.frame) == (
        "TH",
        "with-ampersand",
        "T & H",
        "hexagon",
    )


def test_several_marks_codes_and_works(owner_client, db):
    data = WHOLE | {
        "marks-TOTAL_FORMS": "2", "marks-1-letters": "BBC", "marks-1-frame": "circle",
        "codes-TOTAL_FORMS": "2", "codes-1-kind": "last-two-digits", "codes-1-position": "right",
        "codes-1-bottler_name": "Quill & Sons", "works-0-name": "Quay works", "works-0-from_year": "1922",
    }  # fmt: skip
    assert send(owner_client, data).status_code == 302
    assert everything() == (2, 2, 1, 1, 1)
    assert OwnCode.objects.get(kind="last-two-digits").bottler.name == "Quill & Sons"


BAD = [
    ("name", "", "form", "required"),
    ("name", "n" * 10_000, "form", "200 go in"),
    ("from_year", "3000", "form", "Give a year"),
    ("country", "Velmoor", "form", "No country of that name"),
    ("marks-0-letters", "", "marks", None),
    ("marks-0-letters", "&", "marks", "letter or figure"),
    ("marks-0-letters", "L" * 31, "marks", "30 go in"),
    ("marks-0-frame", "dodecahedron", "marks", "none of the choices"),
    ("marks-0-symbol", "<script>", "marks", "none of the choices"),
    ("marks-0-from_year", "3000", "marks", "Give a year"),
    ("marks-0-from_year", "-5", "marks", "is the least"),
    ("marks-0-to_year", "1900", "marks", "before 1922"),
    ("marks-0-to_year", "NaN", "marks", "whole number"),
    ("codes-0-kind", "", "codes", "required"),
    ("codes-0-kind", "runes", "codes", "none of the choices"),
    ("codes-0-valid_to", "1900", "codes", "before 1922"),
    ("codes-0-contents", "gold", "codes", "none of the choices"),
    ("codes-0-bottler_name", "b" * 201, "codes", "200 go in"),
    ("works-0-from_year", "1900", "works", "required"),
]


@pytest.mark.parametrize(("field", "value", "part", "word"), BAD)
def test_bad_input_is_said_by_its_field_and_saves_nothing(owner_client, db, field, value, part, word):
    data = WHOLE | {field: value}
    if word is None:
        data["marks-0-symbol"] = ""
        word = "Give the letters"
    answer = send(owner_client, data)
    assert answer.status_code == 422
    whole = answer.context["whole"]
    errors = whole.form.errors if part == "form" else whole.sets[part].forms[0].errors
    name = "name" if field == "works-0-from_year" else field.rpartition("-")[2]
    assert word in " ".join(errors[name])
    assert everything() == (0, 0, 0, 0, 0)
    text = answer.content.decode()
    assert "Not saved yet." in text and 'value="Port Ellarn"' in text


@pytest.mark.parametrize("table", ["", "A", "A=", "A=19", "A=1921; A=1922", "A=1925-1921", "<b>=1921"])
def test_a_list_of_letters_is_checked_before_it_can_spoil_the_tables(owner_client, db, table):
    answer = send(owner_client, WHOLE | {"codes-0-kind": "letter-table", "codes-0-table": table})
    if table == "<b>=1921":
        assert answer.status_code == 302
        return
    assert answer.status_code == 422
    assert "A=1921; B=1922" in answer.context["whole"].sets["codes"].forms[0].errors["table"][0]
    assert everything() == (0, 0, 0, 0, 0)


@pytest.mark.parametrize(
    "change",
    [
        {"marks-TOTAL_FORMS": "abc"},
        {"marks-TOTAL_FORMS": "100000"},
        {"codes-INITIAL_FORMS": "7"},
        {"marks-0-id": "999999"},
        {"codes-0-id": "x"},
    ],
)
def test_a_form_that_was_tampered_with_saves_nothing(owner_client, db, change):
    assert send(owner_client, WHOLE | change).status_code in (200, 422)
    assert everything() == (0, 0, 0, 0, 0)


def test_another_makers_mark_can_not_be_taken_over(owner_client, db):
    other = factories.brackwater()
    mark = other.own_marks.get()
    data = (
        HEADS
        | MARK
        | {"name": "Thief", "marks-INITIAL_FORMS": "1", "marks-0-id": str(mark.pk), "marks-0-letters": "ZZ"}
    )
    assert send(owner_client, data).status_code == 422
    mark.refresh_from_db()
    assert mark.letters == "BW" and mark.maker == other


def test_a_form_without_its_rows_saves_the_maker(owner_client, db):
    assert send(owner_client, {"name": "Bare"}).status_code == 302


def test_the_same_name_twice_is_said(owner_client, db):
    factories.brackwater()
    answer = send(owner_client, HEADS | {"name": "  brackwater   bottle company "})
    assert "already" in answer.context["form"].errors["name"][0]


@pytest.mark.parametrize("row", ["marks", "codes", "works"])
def test_another_row_keeps_everything_typed_without_complaints(owner_client, db, row):
    data = WHOLE | {"name": "", "more": row, "codes-0-valid_to": "1900"}
    answer = send(owner_client, data)
    assert answer.status_code == 200
    text = answer.content.decode()
    assert f'id="id_{row}-1-' in text
    assert 'value="BW"' in text and 'value="1922"' in text and 'role="alert"' not in text
    assert everything() == (0, 0, 0, 0, 0)


def test_asking_without_script_answers_and_keeps_the_form(owner_client, db):
    text = send(owner_client, WHOLE | {"more": "try", "try": "7"}).content.decode()
    assert "would be 1927, 1937 or 1947" in text
    assert "BW over a wave, 7 at the right" in text


LIVE = [
    ({"try": "7"}, "would be 1927, 1937 or 1947"),
    ({"try": "38", "codes-0-kind": "last-two-digits"}, "would be 1938"),
    ({"try": "B", "codes-0-kind": "letter-table", "codes-0-table": "A=1921; B=1922"}, "would be 1922"),
    ({"try": "88"}, "mould or catalogue number"),
    ({"try": "7", "codes-0-kind": "other"}, "No scheme"),
    ({"try": ""}, "Say what stands beside the mark"),
    ({"try": "<b>7</b>"}, "&lt;b&gt;7&lt;/b&gt;"),
    (
        {"try": "7", "codes-0-kind": "letter-table", "codes-0-table": "half ty"},
        "Say what stands beside the mark",
    ),
    ({"try": "7", "codes-0-bottler_name": "Quill & Sons"}, "would be 1927, 1937 or 1947"),
]


@pytest.mark.parametrize(("change", "said"), LIVE)
def test_what_would_it_mean_is_answered_while_typing(owner_client, db, change, said):
    answer = owner_client.post("/makers/live/", WHOLE | change)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert everything() == (0, 0, 0, 0, 0)


@pytest.mark.parametrize(
    "data", [{}, {"marks-TOTAL_FORMS": "x"}, {"try": "\ufffd"}, HEADS | {"marks-0-letters": "\ufffd"}]
)
def test_a_half_typed_form_never_fails(owner_client, db, data):
    assert owner_client.post("/makers/live/", data).status_code == 200


def edit_data(maker: Maker) -> dict:
    mark, code = maker.own_marks.get(), maker.own_codes.get()
    return WHOLE | {
        "marks-INITIAL_FORMS": "1", "marks-0-id": str(mark.pk),
        "codes-INITIAL_FORMS": "1", "codes-0-id": str(code.pk), "works-TOTAL_FORMS": "0",
    }  # fmt: skip


def test_changing_a_code_dates_its_finds_anew(owner_client, db):
    maker = factories.brackwater()
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    find = factories.find("Ginger beer", Parts(readings=[reading]))
    mark = maker.own_marks.get()
    path = "/makers/brackwater-bottle-company/edit/"
    data = edit_data(maker) | {"codes-0-valid_to": "1940"}
    text = owner_client.post(path, data, follow=True).content.decode()
    assert "The years of 1 find changed." in text
    find.refresh_from_db()
    assert find.made_words == "one of 1926, 1936"
    assert maker.own_marks.get().pk == mark.pk and maker.own_codes.count() == 1


def test_taking_a_mark_out_takes_its_dates_along(owner_client, db):
    maker = factories.brackwater()
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    find = factories.find("Ginger beer", Parts(readings=[reading]))
    owner_client.post("/makers/brackwater-bottle-company/edit/", edit_data(maker) | {"marks-0-DELETE": "on"})
    find.refresh_from_db()
    assert find.maker is None and not find.made_words.startswith("one of")
    assert maker.own_marks.count() == 0
    assert OwnMark.history.filter(letters="BW").exists()


def test_the_form_of_a_known_maker_shows_what_is_stored_and_no_empty_rows(owner_client, db):
    factories.brackwater()
    whole = owner_client.get("/makers/brackwater-bottle-company/edit/").context["whole"]
    assert [len(rows.forms) for rows in whole.sets.values()] == [1, 1, 1]
    assert whole.sets["marks"].forms[0]["letters"].value() == "BW"


def test_an_error_on_a_known_maker_changes_nothing(owner_client, db):
    maker = factories.brackwater()
    answer = owner_client.post(
        "/makers/brackwater-bottle-company/edit/",
        edit_data(maker) | {"name": "Renamed", "marks-0-to_year": "1900"},
    )
    assert answer.status_code == 422
    assert "Change Brackwater Bottle Company" in answer.content.decode()
    maker.refresh_from_db()
    assert maker.name == "Brackwater Bottle Company" and maker.own_marks.get().to_year == 1950
