"""Many finds typed in a table: all kept or none, errors by their cell."""

import pytest

from catalogue.common.forms.idempotency_key import NOTHING_TWICE
from catalogue.specimens.models import Specimen, Town
from tests import factories
from tests.posted import opened

pytestmark = pytest.mark.django_db
MANY = "/finds/typed/"


def table(*rows: dict[str, str], **more: object) -> dict[str, object]:
    sent: dict[str, object] = {
        "row-TOTAL_FORMS": len(rows),
        "row-INITIAL_FORMS": 0,
        "stage": "done",
        "act": "save",
        **more,
    }
    for n, row in enumerate(rows):
        sent |= {f"row-{n}-{name}": value for name, value in row.items()}
    return sent


def test_every_row_becomes_a_find_in_their_order(owner_client):
    factories.brackwater()
    case = factories.place("Hall case")
    third = factories.place("Third shelf", parent=case)
    ledge = factories.site()
    rows = (
        {"what": "Aqua soda", "kind": "soda", "town": "Marrowby", "letters": "BW", "right": "6"},
        {},
        {"what": "Ink cone", "place": "third shelf"},
        {"what": "Plain flask", "letters": "N", "right": "-", "place": "Hall case, Third shelf"},
    )
    answer = owner_client.post(MANY, table(*rows, site=ledge.pk, recovered="the 1990s"))
    assert answer.status_code == 302
    soda, ink, flask = Specimen.objects.order_by("number_piece")
    assert (soda.what, soda.kind, soda.town.name) == ("Aqua soda", "soda", "Marrowby")
    assert [(r.letters, r.right) for r in soda.readings.all()] == [("BW", "6")]
    # dated at once from what was typed
    assert soda.made_words == "probably one of 1926, 1936, 1946"
    assert (ink.place, ink.readings.count()) == (third, 0)
    assert [(r.letters, r.right) for r in flask.readings.all()] == [("N", "")]
    assert {(f.site, f.recovered_edtf, f.stage) for f in (soda, ink, flask)} == {(ledge, "199X", "done")}
    page = owner_client.get(answer.url)
    assert [find.number for find in page.context["kept"]] == [soda.number, ink.number, flask.number]
    assert f"find={ink.number}" in page.context["labels_url"]


@pytest.mark.parametrize(
    ("cell", "typed", "sentence"),
    [
        ("what", "", "Say in a few words what it is."),
        ("what", "x" * 201, "200 go in"),
        ("kind", "teapot", "none of the choices"),
        ("letters", "W" * 61, "60 go in"),
        ("right", "7", "Which letters does it stand beside?"),
        ("place", "The moon", "No place is called so"),
        ("place", "Third shelf", "Several are called so: write "),
    ],
)
def test_one_wrong_cell_keeps_nothing_and_is_said_in_its_cell(owner_client, cell, typed, sentence):
    for name in ("Hall case", "Shed"):
        factories.place("Third shelf", parent=factories.place(name))
    good, wrong = {"what": "Ink cone"}, {"what": "Plain flask", "kind": "flask", cell: typed}
    answer = owner_client.post(MANY, table(good, wrong))
    assert answer.status_code == 422
    errors = [form.errors for form in answer.context["rows"].forms]
    expected = "letters" if cell == "right" else cell
    assert errors[0] == {}
    assert list(errors[1]) == [expected]
    assert sentence in errors[1][expected][0]
    assert f'id="id_row-1-{expected}_error"' in answer.content.decode()
    assert 'value="Ink cone"' in answer.content.decode()
    assert not Specimen.everything.exists()
    assert not Town.objects.exists()


def test_what_holds_for_all_is_checked_too(owner_client):
    answer = owner_client.post(MANY, table({"what": "Ink cone"}, recovered="3050"))
    assert answer.status_code == 422
    assert "That is in the future" in answer.content.decode()
    assert not Specimen.everything.exists()


def test_an_empty_table_says_so(owner_client):
    answer = owner_client.post(MANY, table({}, {"what": "  "}))
    assert answer.status_code == 422
    assert "Nothing is typed yet" in answer.content.decode()


def test_more_rows_keep_what_was_typed_and_blame_nothing(owner_client):
    answer = owner_client.post(MANY, table({"what": "", "town": "Marrowby"}, act="more"))
    assert answer.status_code == 200
    assert len(answer.context["rows"].forms) == 6
    assert 'value="Marrowby"' in answer.content.decode()
    assert "Say in a few words" not in answer.content.decode()


@pytest.mark.parametrize("total", ["", "-1", "100000", "²", "many"])
def test_counters_of_nonsense_are_no_error_of_ours(owner_client, total):
    for act in ("save", "more"):
        sent = table({"what": "Ink cone"}, act=act) | {"row-TOTAL_FORMS": total}
        assert owner_client.post(MANY, sent).status_code in (200, 422)
    assert not Specimen.everything.exists()


def test_sent_twice_is_kept_once(owner_client):
    sent = table({"what": "Ink cone"}, {"what": "Jar"}, once="a-mark")
    assert owner_client.post(MANY, sent).status_code == 302
    again = owner_client.post(MANY, sent, follow=True)
    assert NOTHING_TWICE in again.content.decode()
    assert Specimen.objects.count() == 2


def test_the_fault_of_one_row_undoes_the_others(owner_client, monkeypatch):
    from catalogue.specimens.services import keep

    real, kept = keep.keep_find, []

    def failing(find, parts):
        if kept:
            raise RuntimeError("the disk is full")
        kept.append(find)
        return real(find, parts)

    monkeypatch.setattr(keep, "keep_find", failing)
    with pytest.raises(RuntimeError):
        owner_client.post(MANY, table({"what": "Ink cone"}, {"what": "Jar"}))
    assert kept and not Specimen.everything.exists()


def test_a_visitor_may_not(client, db):
    assert client.get(MANY).status_code == 302
    assert client.post(MANY, table({"what": "Ink cone"})).status_code == 302
    assert not Specimen.everything.exists()


def test_eight_sendings_of_one_sheet_keep_it_once(at_once, browser):
    address, values = opened(browser, MANY)
    sent = values | table({"what": "Ink cone", "town": "Marrowby"}, {"what": "Plain flask"})
    answers = at_once(*[(address, sent)] * 8)
    (led,) = {(answer.status_code, answer.get("Location")) for answer in answers}
    assert led[0] == 302
    assert [find.what for find in Specimen.everything.order_by("number_piece")] == ["Ink cone", "Plain flask"]
    assert Town.objects.count() == 1


def test_eight_sheets_at_once_are_each_kept_whole(at_once, browser):
    sheets = [
        opened(browser, MANY)[1] | table(*({"what": f"{name} {n}", "town": "Marrowby"} for n in range(3)))
        for name in "abcdefgh"
    ]
    answers = at_once(*[(MANY, sheet) for sheet in sheets])
    assert {answer.status_code for answer in answers} == {302}
    finds = list(Specimen.everything.order_by("number_piece"))
    assert len({find.number for find in finds}) == len(finds) == 24
    kept = {name: [find.what for find in finds if find.what.startswith(name)] for name in "abcdefgh"}
    assert kept == {name: [f"{name} 0", f"{name} 1", f"{name} 2"] for name in "abcdefgh"}
    assert Town.objects.count() == 1
