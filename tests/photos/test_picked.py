"""The pictures part of a form, with script and without: an error elsewhere loses none."""

from types import SimpleNamespace

import pytest
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.test import RequestFactory

from catalogue.photos.models import HeldPicture
from catalogue.photos.services.uploads import gather
from tests.photos.drawn import jpeg, upload


@pytest.fixture
def sent():
    """A form sent by the owner; what it uploaded is closed at the end, as a server does."""
    requests = []

    def send(**data) -> HttpRequest:
        request = RequestFactory().post("/finds/new/", data)
        request.user = SimpleNamespace(is_authenticated=True, pk=1)
        requests.append(request)
        return request

    yield send
    for request in requests:
        request.close()


def test_pictures_sent_with_the_form_are_held_and_the_bad_one_named(db, sent):
    picked = gather(sent(pictures=[jpeg(1, "a.jpg"), upload(b"no", "b.jpg")], **{"pictures-role": "base"}))
    assert [(held.original_name, held.role) for held in picked.held] == [("a.jpg", "base")]
    assert [failed.name for failed in picked.failed] == ["b.jpg"]


def test_one_refused_among_many_is_named_and_the_rest_go_on(find, sent):
    request = sent(pictures=[jpeg(1, "one.jpg"), upload(b"not a picture", "two.jpg"), jpeg(3, "three.jpg")])
    request.too_large = ["four.mov"]
    picked = gather(request)
    results = picked.file_under(find)
    assert [photo.original_name for photo in results.taken] == ["one.jpg", "three.jpg"]
    assert [failed.name for failed in picked.failed] == ["four.mov", "two.jpg"]
    assert picked.failed[0].why == "This file is larger than 80 MB: send a smaller copy of it."
    assert [photo.order for photo in results.taken] == [1, 2]


def test_they_are_found_again_by_token_with_the_role_chosen_since(find, sent):
    first = gather(sent(pictures=[jpeg(1), jpeg(2)]))
    tokens = [held.token for held in first.held]
    again = gather(sent(held=tokens, **{f"role-{tokens[1]}": "after", f"role-{tokens[0]}": "portrait"}))
    assert [held.role for held in again.held] == ["detail", "after"]
    results = again.file_under(find)
    assert [photo.role for photo in results.taken] == ["detail", "after"]
    assert find.photos.count() == 2


def test_tokens_of_nobody_are_passed_over(db, sent):
    picked = gather(sent(held=["x" * 500, "", "../../etc"]))
    assert picked.held == picked.failed == []


def test_names_too_large_are_named(db, sent):
    request = sent()
    request.too_large = ["whole dive.mov"]
    assert str(gather(request).failed[0]) == (
        "whole dive.mov: This file is larger than 80 MB: send a smaller copy of it."
    )


def test_the_field_shows_what_is_held_and_what_was_refused(db, sent):
    picked = gather(sent(pictures=[jpeg(1, "<i>wet.jpg"), upload(b"no", "b.jpg")]))
    html = render_to_string("pages/photos/picker.html", {"picked": picked})
    held = HeldPicture.objects.get()
    assert f'name="held" value="{held.token}"' in html
    assert "&lt;i&gt;wet.jpg" in html and "<i>wet" not in html
    assert "b.jpg: This isn&#x27;t a picture" in html
    assert 'role="alert"' in html
    assert "style=" not in html and "<script" not in html
