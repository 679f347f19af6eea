"""Changing a picture on its find's page: role, place, cover, words, bin; and adding more."""

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from catalogue.pages.photos.views import get_subject
from catalogue.photos.models import Photo
from catalogue.photos.queries import Gallery, gallery_of
from catalogue.photos.services import put_in_bin, take_in
from tests import factories
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload

NEXT = {"next": "/finds/2026.14.1/"}
BACK = "/finds/2026.14.1/#pictures"


@pytest.fixture
def photo(find) -> Photo:
    return take_in(jpeg(), subject=find)


def post(client, name, photo, *args, **data):
    return client.post(reverse(f"photos:{name}", args=[photo.pk, *args]), {**NEXT, **data})


def told(answer) -> list[str]:
    return [str(message) for message in answer.wsgi_request._messages]


def say_roles(client, find, **roles):
    return client.post(f"{reverse('photos:roles')}?find={find.pk}", {**NEXT, **roles})


def test_roles_of_several_at_once(owner_client, find, photo):
    other = take_in(jpeg(2), subject=find)
    answer = say_roles(owner_client, find, **{f"role-{photo.pk}": "after", f"role-{other.pk}": "base"})
    assert (answer.status_code, answer["Location"]) == (302, BACK)
    assert [p.role for p in (Photo.objects.get(pk=photo.pk), Photo.objects.get(pk=other.pk))] == [
        "after",
        "base",
    ]
    answer = say_roles(owner_client, find, **{f"role-{photo.pk}": "before", f"role-{other.pk}": "portrait"})
    assert told(answer) == ["Choose one of the roles in the list."]
    assert [p.role for p in (Photo.objects.get(pk=photo.pk), Photo.objects.get(pk=other.pk))] == [
        "after",
        "base",
    ]


def test_a_role_that_was_changed_goes_with_any_button_of_the_list(owner_client, find, photo):
    other = take_in(jpeg(2), subject=find)
    post(owner_client, "move", other, "earlier", **{f"role-{photo.pk}": "after"})
    assert Photo.objects.get(pk=photo.pk).role == "after"
    post(owner_client, "bin", other, **{f"role-{photo.pk}": "base"})
    assert Photo.objects.get(pk=photo.pk).role == "base"


def test_roles_of_another_subject_are_left_alone(owner_client, photo):
    other = take_in(jpeg(), subject=factories.find())
    post(owner_client, "cover", photo, **{f"role-{other.pk}": "after", "role-x": "after"})
    assert Photo.objects.get(pk=other.pk).role == "detail"


def test_script_is_told_how_roles_fared(owner_client, find, photo):
    address, accept = f"{reverse('photos:roles')}?find={find.pk}", {"accept": "application/json"}
    kept = owner_client.post(address, {f"role-{photo.pk}": "after"}, headers=accept)
    assert (kept.status_code, kept.json()) == (200, {"kept": True})
    wrong = owner_client.post(address, {f"role-{photo.pk}": "x"}, headers=accept)
    assert (wrong.status_code, wrong.json()) == (400, {"error": "Choose one of the roles in the list."})


def test_move_and_cover(owner_client, find, photo):
    second = take_in(jpeg(2), subject=find)
    post(owner_client, "move", second, "earlier")
    assert list(find.photos.in_order()) == [second, photo]
    post(owner_client, "move", second, "later")
    assert list(find.photos.in_order()) == [photo, second]
    post(owner_client, "cover", second)
    assert list(find.photos.in_order()) == [second, photo]


def test_cover_of_a_reference_picture_is_refused_in_words(owner_client, find):
    photo = take_in(jpeg(), subject=find, role="reference")
    assert "can't stand for the find" in told(post(owner_client, "cover", photo))[0]


def test_bin_and_put_back(owner_client, photo):
    assert "put in the bin" in told(post(owner_client, "bin", photo))[0]
    assert not Photo.objects.exists()
    assert post(owner_client, "cover", photo).status_code == 404
    assert post(owner_client, "put_back", photo)["Location"] == BACK
    assert Photo.objects.get() == photo
    assert post(owner_client, "put_back", photo).status_code == 404


def test_a_visitor_changes_nothing(client, photo):
    Photo.objects.update(opened=True)
    for name, args in (("cover", ()), ("bin", ()), ("put_back", ()), ("move", ("later",))):
        answer = post(client, name, photo, *args, role="after")
        assert answer.status_code == 302 and "/enter/" in answer["Location"]
    photo.refresh_from_db()
    assert (photo.role, photo.order, photo.binned_at) == ("detail", 1, None)


def test_changes_are_posted(owner_client, photo):
    for name in ("cover", "bin", "put_back", "position"):
        assert owner_client.get(reverse(f"photos:{name}", args=[photo.pk])).status_code == 405


@pytest.mark.parametrize("elsewhere", ["https://else.example/", "//else.example/", "javascript:alert(1)"])
def test_the_way_back_stays_in_the_house(owner_client, photo, elsewhere, monkeypatch):
    monkeypatch.setattr("catalogue.pages.photos.views.page_of", lambda subject: "/finds/2026.14.1/")
    answer = owner_client.post(reverse("photos:cover", args=[photo.pk]), {"next": elsewhere})
    assert answer["Location"] == BACK


def test_add_goes_on_past_a_bad_one(owner_client, find):
    files = [jpeg(1, "a.jpg"), upload(b"no", "b.jpg"), jpeg(2, "c.jpg")]
    form = {**NEXT, "pictures": files, "pictures-role": "base"}
    answer = owner_client.post(f"/photos/add/?find={find.pk}", form)
    assert answer["Location"] == BACK
    assert told(answer)[0] == "2 pictures added."
    assert told(answer)[1].startswith("b.jpg: This isn't a picture")
    assert {photo.role for photo in find.photos.all()} == {"base"}


def test_add_what_was_held_before(owner_client, find):
    token = owner_client.post("/photos/hold/", {"pictures": jpeg()}).json()["token"]
    answer = owner_client.post(
        f"/photos/add/?find={find.number}", {**NEXT, "held": token, f"role-{token}": "after"}
    )
    assert told(answer) == ["1 picture added."]
    assert find.photos.get().role == "after"


NOWHERE = ["", "find=9999", "find=x", "find=2026.1.1", "dive=1", "site=%C2%B2", "place=-1"]


@pytest.mark.parametrize("query", NOWHERE)
def test_add_to_nothing_is_not_found(owner_client, find, query):
    assert owner_client.post(f"/photos/add/?{query}", {"pictures": jpeg()}).status_code == 404
    assert not Photo.objects.exists()


def test_subjects_by_key(rf, site):
    assert get_subject(rf.get(f"/?site={site.pk}")) == site


def test_position_is_offered_and_taken_over_only_when_asked(owner_client, site):
    photo = take_in(upload(encoded(picture(), exif=exif(gps=GPS))), subject=site)
    site.refresh_from_db()
    assert site.latitude is None
    post(owner_client, "position", photo)
    site.refresh_from_db()
    assert (float(site.latitude), float(site.longitude)) == (44.341667, -75.92)
    other = take_in(upload(encoded(picture(tint=9), exif=exif(gps={**GPS, 1: "S"}))), subject=site)
    assert "has a position already" in told(post(owner_client, "position", other))[-1]
    site.refresh_from_db()
    assert float(site.latitude) == 44.341667


def test_words_are_kept_and_only_what_changed_is_saved(owner_client, photo):
    address = reverse("photos:words", args=[photo.pk])
    page = owner_client.get(address).content.decode()
    assert page.count("<h1") == 1 and "style=" not in page
    form = {"role": "reference", "caption": "<i>Proof</i> \U0001f9ea كأس", "source": "Bottle marks, p. 12"}
    answer = owner_client.post(address, {**form, **NEXT})
    assert answer["Location"] == BACK
    photo.refresh_from_db()
    assert (photo.role, photo.caption, photo.source) == tuple(form.values())
    last = photo.history.first()
    assert last.caption == photo.caption


def test_a_cover_made_a_reference_picture_is_no_cover_any_more(owner_client, find, photo):
    other = take_in(jpeg(2), subject=find)
    post(owner_client, "cover", photo)
    owner_client.post(reverse("photos:words", args=[photo.pk]), {"role": "reference", **NEXT})
    assert not find.photos.filter(order=0).exists()
    assert Photo.objects.covers_of([find.pk]) == {find.pk: other}


def test_words_too_long_are_refused_by_their_field_and_nothing_is_saved(owner_client, photo):
    address = reverse("photos:words", args=[photo.pk])
    answer = owner_client.post(address, {"role": "after", "caption": "x" * 10_000})
    assert answer.status_code == 422
    assert "500 go in" in answer.content.decode()
    photo.refresh_from_db()
    assert (photo.role, photo.caption) == ("detail", "")


def test_words_of_nothing_and_by_a_visitor(owner_client, client, photo):
    assert owner_client.get(reverse("photos:words", args=[photo.pk + 1])).status_code == 404
    assert "/enter/" in client.get(reverse("photos:words", args=[photo.pk]))["Location"]


def test_a_page_with_pictures_shows_markup_as_text(owner_client, find):
    take_in(jpeg(), subject=find, role="after", caption="<script>alert(1)</script>")
    take_in(jpeg(2), subject=find, role="as-found")
    put_in_bin(take_in(jpeg(3), subject=find))
    page = render_to_string("pages/photos/gallery.html", {"gallery": gallery_of(find), "is_owner": True})
    assert "&lt;script&gt;alert" in page and "<script" not in page
    assert "style=" not in page and "Restore" in page
    visitor = render_to_string("pages/photos/gallery.html", {"gallery": gallery_of(find), "is_owner": False})
    assert "<form" not in visitor and "Original" not in visitor


@pytest.mark.parametrize(("count", "shown", "more"), [(8, 8, 0), (9, 9, 0), (10, 8, 2), (40, 8, 32)])
def test_many_pictures_are_a_few_and_the_rest_behind_a_touch(find, count: int, shown: int, more: int):
    take_in(jpeg(), subject=find, role="base")
    one = Photo.objects.get()
    gallery = Gallery(find, [one] * count)
    page = render_to_string("pages/photos/gallery.html", {"gallery": gallery, "is_owner": False})
    first, *rest = page.split("<summary>And ")
    assert first.count("<figure") == shown
    assert [part.count("<figure") for part in rest] == ([more] if more else [])
