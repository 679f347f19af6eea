"""What programs read: lists by cursor, filters of the list of finds, tags, and only what the key may see."""

import pytest
from django.test import Client

from tests import factories as make
from tests.photos.drawn import jpeg

pytestmark = pytest.mark.django_db


def test_what_is_not_recorded_is_null_and_sizes_are_numbers(whole):
    make.find("Flask", height_mm="204.5")
    (find,) = whole.every("/api/v1/finds/")
    assert find["height_mm"] == 204.5 and find["bore_mm"] is None and find["notes"] is None
    assert find["inscriptions"] == [] and find["shared"] is False


def test_a_site_is_told_as_far_as_it_is_shown(public):
    exact = make.site("Heron Ledge", show_as="exact", latitude=44.5, longitude=-67.2, water_body="the sound")
    rounded = make.site("Tallow Cove", show_as="rounded", latitude=44.6, longitude=-67.3)
    for site in (exact, rounded, make.site("Whelk Bank"), make.site("Old Ferry", show_as="exact")):
        if site.name != "Old Ferry":
            make.find("Flask", site=site, shared=True)
    assert public.every("/api/v1/sites/") == [
        {"id": exact.pk, "site": "Heron Ledge", "water_body": "the sound"},
        {"id": rounded.pk, "site": None, "water_body": None},
    ]


def test_parts_follow_each_other_and_what_is_added_meanwhile_comes_last(whole):
    numbers = [make.find(f"Flask {n}").number for n in range(5)]
    first = whole.get("/api/v1/finds/?limit=2")
    assert first["Link"] == f'<{first.json()["next"]}>; rel="next"'
    numbers.append(make.find("A later one").number)
    rest = whole.every(first.json()["next"])
    assert [find["number"] for find in [*first.json()["items"], *rest]] == numbers
    assert whole.get("/api/v1/finds/?limit=200").json()["next"] is None


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("limit=0", "from 1 to 200"),
        ("limit=9999999999", "from 1 to 200"),
        ("limit=x", "from 1 to 200"),
        ("cursor=zzzz", "cursor"),
        ("cursor=%EF%BF%BD", "cursor"),
        ("color=aqua", "color"),
        ("colour=mauve-ish", "mauve-ish"),
        ("years_from=soon", "soon"),
    ],
)
def test_what_can_not_be_followed_is_refused_with_a_sentence(whole, query, words):
    make.find("Flask")
    said = whole.get(f"/api/v1/finds/?{query}", 400)
    assert words in said.json()["detail"]


def test_the_filters_are_those_of_the_list(whole, public):
    aqua = make.find("Soda bottle", colour="aqua", shared=True, height_mm=200)
    make.find("Jar", colour="amber", shared=True, height_mm=100)
    assert [find["number"] for find in whole.every("/api/v1/finds/?colour=aqua")] == [aqua.number]
    assert [find["number"] for find in public.every("/api/v1/finds/?height_from=150")] == [aqua.number]
    assert [find["number"] for find in whole.every("/api/v1/finds/?q=soda")] == [aqua.number]


def test_a_key_for_visitors_can_not_find_a_place_out_by_asking(public):
    site = make.site("Tallow Cove")
    make.find("Flask", site=site, shared=True, notes="by the old pier")
    for query in (f"site={site.slug}", "q=pier", "dive=2026.1", "place=1", "hazard=lead", "stage=wet"):
        assert "may not narrow" in public.get(f"/api/v1/finds/?{query}", 403).json()["detail"]
    # A town that only a private piece names, and one that there is not, are answered alike.
    town = make.town("Marrowby")
    make.find("Jar", town=town)
    for slug in (town.slug, "no-such-town"):
        assert public.get(f"/api/v1/finds/?town={slug}").json() == {"items": [], "next": None}


def test_an_answer_that_did_not_change_is_not_sent_again(whole):
    find = make.find("Flask")
    first = whole.get("/api/v1/finds/")
    tag = first["ETag"]
    again = whole.get("/api/v1/finds/", 304, **{"If-None-Match": tag})
    assert again.content == b"" and again["ETag"] == tag
    find.what = "Flagon"
    find.save()
    assert whole.get("/api/v1/finds/", **{"If-None-Match": tag})["ETag"] != tag


def test_a_picture_is_read_with_the_key(whole, public, data_folder):
    from catalogue.photos.services import take_in

    private = take_in(jpeg(width=300, height=200), subject=make.find("Jar"))
    shown = take_in(jpeg(tint=9, width=300, height=200), subject=make.find("Flask", shared=True))
    (only,) = public.every("/api/v1/pictures/")
    assert only["id"] == shown.pk and public.get(only["large"]).content[:2] == b"\xff\xd8"
    assert public.get(only["small"])["Cache-Control"] == "private, no-store"
    public.get(f"/api/v1/pictures/{private.pk}/large.jpg", 404)
    assert whole.get(f"/api/v1/pictures/{private.pk}/large.jpg")["Content-Type"] == "image/jpeg"
    assert "sizes are" in whole.get(f"/api/v1/pictures/{private.pk}/huge.jpg", 404).json()["detail"]


def test_a_list_costs_the_same_however_many_there_are(whole, django_assert_max_num_queries, data_folder):
    for n in range(12):
        make.find(f"Flask {n}", shared=True, site=make.site(f"Ledge {n}"))
    # the key and its use, the part's keys; finds and four of their parts, the tables', numbers, pictures
    with django_assert_max_num_queries(19):
        assert len(whole.get("/api/v1/finds/").json()["items"]) == 12


@pytest.mark.parametrize(
    "address", ["/api/v1/finds", "/api/v1/finds/a/b/", "/api/v1/wishes/", "/api/v1/finds/%00/"]
)
def test_what_is_not_there_is_said_in_json(whole, address):
    assert whole.get(address, 404).json()["detail"].endswith(".")


def test_an_unforeseen_error_is_json_with_its_number(whole, monkeypatch):
    def broken(*_args, **_named):
        raise RuntimeError("broken")

    monkeypatch.setattr("catalogue.pages.api.views.find_values", broken)
    client = Client(raise_request_exception=False)
    said = client.get("/api/v1/finds/", headers=whole.headers)
    assert (said.status_code, said["Content-Type"]) == (500, "application/problem+json")
    assert "is in the log" in said.json()["detail"]
