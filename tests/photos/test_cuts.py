"""Cuts: one more size of a picture of a whole piece, made in the background where its outline is sure."""

import io
from functools import cache

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse
from PIL import Image

from catalogue.photos import files
from catalogue.photos.cutting import MOST_BYTES, as_small_webp, still_to_cut
from catalogue.photos.models import Photo
from catalogue.photos.renditions import cut_and_note
from catalogue.photos.services import take_in
from tests.photos.conftest import a_find
from tests.photos.drawn import encoded, jpeg, upload
from tests.photos.imaging.bottle import drawn
from tests.photos.test_worker import at_work, wait_for


@cache
def shot(tint: int = 0) -> bytes:
    """A JPEG of a bottle before a plain ground; `tint` makes it another picture."""
    pixels = np.clip(drawn().astype(int) - [tint, 0, 0], 0, 255).astype(np.uint8)
    return encoded(Image.fromarray(pixels))


def address(photo: Photo) -> str:
    return reverse("photos:cut", args=[photo.pk])


def bottle(find, role: str = "after", tint: int = 0) -> Photo:
    return take_in(upload(shot(tint), f"{tint}.jpg"), subject=find, role=role)


def test_a_sure_outline_gives_a_small_cut_with_transparency(owner_client, find):
    photo = bottle(find)
    assert owner_client.get(address(photo)).status_code == 404
    assert still_to_cut() == [(photo.sha256, "JPEG")]
    assert cut_and_note(photo.sha256, photo.format)
    photo.refresh_from_db()
    answer = owner_client.get(address(photo))
    assert answer["Content-Type"] == "image/webp" and answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"] == "private, max-age=31536000, immutable"
    assert len(answer.content) <= MOST_BYTES
    with Image.open(io.BytesIO(answer.content)) as cut:
        assert (cut.format, cut.mode, cut.size) == ("WEBP", "RGBA", (photo.cut_width, photo.cut_height))
        assert cut.getchannel("A").getextrema() == (0, 255)
    unchanged = owner_client.get(address(photo), headers={"if-none-match": answer["ETag"]})
    assert unchanged.status_code == 304
    assert still_to_cut() == []


def test_a_picture_without_a_sure_outline_gets_none(owner_client, find):
    photo = take_in(jpeg(), subject=find, role="after")
    assert cut_and_note(photo.sha256, photo.format)
    photo.refresh_from_db()
    assert (photo.cut_width, photo.cut_height) == (0, 0)
    assert not files.cut(photo.sha256).exists()
    assert owner_client.get(address(photo)).status_code == 404
    assert still_to_cut() == []


def test_the_dearest_cut_is_small_too():
    noise = np.random.default_rng(0).integers(0, 255, (400, 400, 4), dtype=np.uint8)
    content, size = as_small_webp(Image.fromarray(noise))
    assert len(content) <= MOST_BYTES
    with Image.open(io.BytesIO(content)) as made:
        assert made.size == size


def digests() -> list[str]:
    return [sha256 for sha256, _ in still_to_cut()]


def test_only_pictures_of_a_whole_piece_are_looked_at_one_of_the_best_role_first(find, site):
    base, found, after, newer = (
        bottle(find, role, tint) for tint, role in enumerate(("base", "as-found", "after", "after"), 1)
    )
    bottle(site, "after", 5)
    assert digests() == [newer.sha256, after.sha256]
    for photo in (newer, after):
        cut_and_note(photo.sha256, "JPEG")
    # there is a better one than the one as found
    assert digests() == []
    for photo in (newer, after):
        photo.put_in_bin()
    assert digests() == [found.sha256]
    Photo.objects.filter(pk=base.pk).update(role="during")
    assert digests() == [base.sha256]


def test_where_the_best_gives_no_cut_the_next_best_is_looked_at(find):
    after, found = take_in(jpeg(), subject=find, role="after"), bottle(find, "as-found")
    assert digests() == [after.sha256]
    cut_and_note(after.sha256, "JPEG")
    assert digests() == [found.sha256]


def test_the_newest_cut_of_the_best_role_stands_for_a_find(find, django_assert_num_queries):
    other = a_find(2)
    photos = [
        bottle(find, "as-found", 1),
        bottle(find, "after", 2),
        bottle(find, "after", 3),
        bottle(find, "reference", 4),
        bottle(other, "during", 5),
        take_in(jpeg(), subject=a_find(3), role="after"),
    ]
    for photo in photos:
        cut_and_note(photo.sha256, photo.format)
    with django_assert_num_queries(1):
        cuts = Photo.objects.cuts_of([find.pk, other.pk, photos[5].find_id])
    assert {pk: photo.pk for pk, photo in cuts.items()} == {find.pk: photos[2].pk, other.pk: photos[4].pk}


def test_a_cut_that_is_gone_from_disk_is_made_again(owner_client, find):
    photo = bottle(find)
    cut_and_note(photo.sha256, photo.format)
    files.remove_sizes(photo.sha256)
    assert not files.cut(photo.sha256).exists()
    assert owner_client.get(address(photo)).status_code == 200


def test_a_visitor_sees_the_cut_of_a_shared_find_only(client: Client, find):
    mine, shared = bottle(find), bottle(a_find(2, shared=True), tint=1)
    for photo in (mine, shared):
        cut_and_note(photo.sha256, photo.format)
    assert client.get(address(mine)).status_code == 404
    answer = client.get(address(shared))
    assert answer.status_code == 200 and answer["Cache-Control"] == "public, max-age=86400, immutable"


@pytest.mark.django_db(transaction=True)
def test_the_worker_cuts_what_is_there_what_comes_and_what_takes_another_role(find):
    there, detail = bottle(find, tint=1), bottle(find, "detail", 2)
    with at_work():
        wait_for(lambda: Photo.objects.get(pk=there.pk).cut_height)
        came = bottle(find, tint=3)
        wait_for(lambda: Photo.objects.get(pk=came.pk).cut_height)
        detail.refresh_from_db()
        assert detail.cut_height is None
        detail.role = "after"
        detail.save()
        wait_for(lambda: Photo.objects.get(pk=detail.pk).cut_height)


@pytest.mark.django_db(transaction=True)
def test_a_damaged_picture_does_not_end_the_cutting(find):
    bad, good = bottle(find, tint=1), bottle(find, tint=2)
    files.size(bad.sha256, "medium").write_bytes(b"rust")
    with at_work():
        wait_for(lambda: Photo.objects.get(pk=good.pk).cut_height)
    assert Photo.objects.get(pk=bad.pk).cut_height is None
