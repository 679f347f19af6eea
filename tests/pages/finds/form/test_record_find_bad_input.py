"""Bad input to the form: a clear message by its field, nothing half-saved, never a server error."""

from datetime import timedelta

import pytest
from django.utils import timezone

import dating
from catalogue.photos.models import HeldPicture
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Bottler, Product, Specimen, Town

from .record_form import filled, reading

pytestmark = pytest.mark.django_db

LONG = "x" * 10_000
MARKUP = "<script>alert(1)</script><b>bold</b>"
NEW_DIVE = {"pick": "new", "new_site": "Tallow Cove"}


def tomorrow() -> str:
    return (timezone.localdate() + timedelta(days=1)).isoformat()


def nothing_saved() -> bool:
    kinds = (Specimen, Dive, Site, Town, Bottler, Product, Place)
    return not any(kind._base_manager.exists() for kind in kinds)


WRONG = {
    "no name": ({"what": "  "}, "what"),
    "name of 10,000 letters": ({"what": LONG}, "what"),
    "notes too long": ({"notes": "x" * 10_001}, "notes"),
    "town too long": ({"town": LONG}, "town"),
    "height below nothing": ({"height_mm": "-5"}, "height_mm"),
    "height not a number": ({"height_mm": "NaN"}, "height_mm"),
    "height without end": ({"height_mm": "inf"}, "height_mm"),
    "height in words": ({"height_mm": "tall"}, "height_mm"),
    "height of a tower": ({"height_mm": "1e9"}, "height_mm"),
    "height with many digits": ({"height_mm": "1" * 400}, "height_mm"),
    "depth below nothing": ({"depth_m": "-5"}, "depth_m"),
    "depth of a trench": ({"depth_m": "11000"}, "depth_m"),
    "unknown kind": ({"kind": "spaceship"}, "kind"),
    "unknown contents": ({"contents": "ginger"}, "contents"),
    "unknown region": ({"region": "MOON"}, "region"),
    "unknown colour": ({"colour": "plaid"}, "colour"),
    "unknown stage": ({"stage": "gone"}, "stage"),
    "unknown lie": ({"lie": "floating"}, "lie"),
    "place that is not there": ({"place": "424242"}, "place"),
    "place that is no key": ({"place": "1 or 1=1"}, "place"),
    "place beyond any key": ({"place": "9" * 40}, "place"),
    "dive that is not there": ({"pick": "424242"}, "pick"),
    "dive that is no key": ({"pick": "../../etc"}, "pick"),
    "older dive that is not there": ({"pick": "older", "older": "77"}, "pick"),
    "new dive tomorrow": ({**NEW_DIVE, "date": tomorrow}, "date"),
    "new dive in 3000": ({**NEW_DIVE, "date": "3000-01-01"}, "date"),
    "new dive in the year 12": ({**NEW_DIVE, "date": "0012-01-01"}, "date"),
    "new dive on 30 February": ({**NEW_DIVE, "date": "2024-02-30"}, "date"),
    "new dive without a day": ({**NEW_DIVE, "date": ""}, "date"),
    "new dive without a site": ({"pick": "new", "date": "2024-05-01"}, "site"),
    "new dive below nothing": ({**NEW_DIVE, "date": "2024-05-01", "dive_depth_m": "-5"}, "dive_depth_m"),
    "new dive, site too long": ({"pick": "new", "date": "2024-05-01", "new_site": LONG}, "new_site"),
    "buddy too long": ({**NEW_DIVE, "date": "2024-05-01", "buddies": "y" * 300}, "buddies"),
    "site that is not there": ({"pick": "new", "date": "2024-05-01", "site": "99"}, "site"),
    "came up in 3000": ({"recovered": "3000"}, "recovered"),
    "came up before the axis": ({"recovered": "1200"}, "recovered"),
    "came up in words": ({"recovered": "long ago"}, "recovered"),
    "unknown feature": ({"made-lip-shape": "golden-lip"}, "made-lip-shape"),
    "unknown feature among several": ({"made-label": ["acl", "golden"]}, "made-label"),
    "feature of another question": ({"made-lip-shape": "sand-pontil"}, "made-lip-shape"),
    "unknown certainty": ({"made-lip-shape": "crown-finish", "sure-lip-shape": "very"}, "sure-lip-shape"),
}
WRONG_ROWS = {
    "unknown frame": ("readings", reading(letters="LG", frame="pentagram"), "frame"),
    "unknown symbol": ("readings", reading(letters="LG", symbol="skull"), "symbol"),
    "unknown arrangement": ("readings", reading(letters="LG", arrangement="upside"), "arrangement"),
    "letters too long": ("readings", reading(letters=LONG), "letters"),
    "characters too long": ("readings", reading(letters="LG", right=LONG), "right"),
    "both nothing and something": ("readings", reading(letters="LG", right="7", right_none="on"), "right"),
    "mark on the moon": ("readings", reading(letters="LG", where="moon"), "where"),
    "lettering too long": (
        "lettering",
        {"text": LONG, "where": "body", "how": "embossed", "says": "other"},
        "text",
    ),
    "lettering made by magic": (
        "lettering",
        {"text": "A", "where": "body", "how": "magic", "says": "other"},
        "how",
    ),
    "known in 3000": ("known", {"what": "law", "from_year": "3000", "certainty": "certain"}, "from_year"),
    "known in the year 5": ("known", {"what": "law", "from_year": "5", "certainty": "certain"}, "from_year"),
    "known year in words": ("known", {"what": "law", "to_year": "soon", "certainty": "certain"}, "to_year"),
    "known year without end": (
        "known",
        {"what": "law", "to_year": "9" * 50},
        "to_year",
    ),
    "known without what": ("known", {"from_year": "1900", "certainty": "certain"}, "what"),
    "known without a year": ("known", {"what": "law", "certainty": "certain"}, "__all__"),
    "known the wrong way round": (
        "known",
        {"what": "law", "from_year": "1950", "to_year": "1900", "certainty": "certain"},
        "__all__",
    ),
}


@pytest.mark.parametrize(("fields", "at"), WRONG.values(), ids=WRONG)
def test_wrong_field_is_named(owner_client, fields, at):
    # asked when it runs: collected before midnight, it would be today
    fields = {name: value() if callable(value) else value for name, value in fields.items()}
    answer = owner_client.post("/finds/new/", filled(**{"notes": "kept as typed", **fields}))
    assert answer.status_code == 422
    sheet = answer.context["sheet"]
    forms = (sheet.find_form, sheet.dive_form, sheet.features)
    assert at in {name for form in forms for name in form.errors}
    assert answer.context["problems"]
    assert nothing_saved()
    if "notes" not in fields:
        assert b"kept as typed" in answer.content


@pytest.mark.parametrize(("rows", "row", "at"), WRONG_ROWS.values(), ids=WRONG_ROWS)
def test_wrong_row_is_named(owner_client, rows, row, at):
    answer = owner_client.post("/finds/new/", filled(**{rows: [row]}))
    assert answer.status_code == 422
    assert set(answer.context["sheet"].sets[rows].forms[0].errors) == {at}
    assert nothing_saved()
    part = {"readings": "base"}.get(rows, rows)
    assert f'id="part-{part}" open' in answer.content.decode()


@pytest.mark.parametrize("total", ["", "-1", "x", "99999999999999999999", "1.5", "٣", "41", "2000"], ids=repr)
def test_count_of_rows_tampered_with(owner_client, total):
    data = {**filled(readings=[reading(letters="LG")]), "readings-TOTAL_FORMS": total}
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code in (302, 422)
    assert answer.status_code == 302 or nothing_saved()


def test_markup_is_shown_as_text(owner_client):
    texts = ("what", "town", "bottler", "product", "where_on_site", "found_with", "notes", "new_place")
    data = filled(
        **dict.fromkeys(texts, MARKUP),
        story=MARKUP,
        field_tag="<b>7</b>",
        older_numbers="<i>12</i>",
        pick="new",
        new_site=MARKUP,
        date=timezone.localdate().isoformat(),
        buddies=MARKUP,
        readings=[reading(letters="<b>LG</b>", right="<i>7</i>")],
        lettering=[{"text": MARKUP, "where": "body", "how": "embossed", "says": "other"}],
        known=[{"what": MARKUP, "from_year": "1900", "certainty": "certain", "source": MARKUP}],
    )
    shown = owner_client.post("/finds/new/", {**data, "act": "date"})
    assert shown.status_code == 200
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 302, answer.context["problems"]
    find = Specimen.objects.get()
    assert find.what == MARKUP
    pages = [
        shown,
        owner_client.get(f"/finds/{find.number}/edit/"),
        owner_client.get(f"/finds/new/?like={find.number}"),
    ]
    for kind in ("what", "town", "bottler", "product"):
        pages.append(owner_client.get(f"/finds/suggest/{kind}/", {kind: "<"}))
    for page in pages:
        text = page.content.decode()
        assert "<script>alert" not in text
        assert "<b>LG" not in text
        assert "<i>7" not in text


@pytest.mark.parametrize("name", ["🍾 bottle 🐙", "قنينة زرقاء", "‮backwards", "Ω𝔅ottle", "é" * 200])
def test_names_of_any_script(owner_client, name):
    data = filled(
        what=name, town=name, bottler=name, new_site=name, pick="new", date="2024-05-01", buddies=name
    )
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 302, answer.context["problems"]
    find = Specimen.objects.get()
    assert (find.what, find.town.name, find.dive.site.name) == (name, name, name)
    assert owner_client.get(f"/finds/{find.number}/edit/").status_code == 200


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_wrong_method(owner_client, method):
    assert getattr(owner_client, method)("/finds/new/").status_code == 405
    assert owner_client.get("/finds/dating/").status_code == 405
    assert owner_client.post("/finds/suggest/town/").status_code == 405
    assert owner_client.post("/finds/questions/").status_code == 405


def test_site_and_new_site_together(owner_client):
    site = Site.objects.create(name="Heron Ledge", slug="heron-ledge")
    data = filled(pick="new", date="2024-05-01", site=str(site.pk), new_site="Whelk Bank")
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 422
    assert "new_site" in answer.context["sheet"].dive_form.errors
    assert Site.objects.count() == 1


def test_block_that_was_not_picked_does_not_hinder(owner_client):
    answer = owner_client.post("/finds/new/", filled(pick="unknown", date="3000-01-01", dive_depth_m="-5"))
    assert answer.status_code == 302


def test_picture_that_is_none_keeps_the_form_and_the_other_pictures(owner_client, data_folder):
    from tests.pages.pictures import not_a_picture, picture

    data = filled(notes="kept as typed", pictures=[picture("one.jpg"), not_a_picture("two.jpg")])
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 422
    assert nothing_saved()
    held = HeldPicture.objects.get()
    text = answer.content.decode()
    assert held.token in text
    assert "two.jpg" in text
    assert "kept as typed" in text


def test_like_and_dive_in_the_address_may_be_nonsense(owner_client):
    for query in (
        "like=",
        "dive=",
        "dive=2024",
        "dive=x.y",
        "dive=9999.999999",
        "dive=%D9%A2.1",
        "dive=2024.-1",
    ):
        assert owner_client.get(f"/finds/new/?{query}").status_code == 200, query
    assert owner_client.get("/finds/new/?like=../x").status_code == 404


def test_what_the_dating_service_refuses_is_said_by_its_row(owner_client, monkeypatch):
    """The second of two rows, one of which holds no mark and is not asked about."""

    read = dating.Case.from_dict

    def refuse(given, reference):
        if [mark["letters"] for mark in given["marks"]] == ["LG", "XY"]:
            raise dating.CaseError("letters that can't be", "marks[1].letters")
        return read(given, reference)

    monkeypatch.setattr(dating.Case, "from_dict", refuse)
    rows = [reading(letters="LG"), reading(right="7"), reading(letters="XY")]
    answer = owner_client.post("/finds/new/", filled(readings=rows))
    assert answer.status_code == 422
    forms = answer.context["sheet"].sets["readings"].forms
    assert [dict(form.errors) for form in forms] == [{}, {}, {"letters": ["Letters that can't be."]}]
    assert nothing_saved()


def test_bottler_with_the_longest_name_still_dates(owner_client):
    Bottler.objects.create(name="q" * 200, slug="q", from_year=1880, to_year=1890)
    answer = owner_client.post("/finds/new/", filled(bottler="q" * 200))
    assert answer.status_code == 302
    assert Specimen.objects.get().made_from == 1880
