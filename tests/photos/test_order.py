"""Order, cover, roles and the bin."""

import pytest

from catalogue.photos.models import Photo
from catalogue.photos.queries import gallery_of
from catalogue.photos.services import (
    move,
    put_in_bin,
    put_in_order,
    set_cover,
    set_role,
    take_in,
    take_out_of_bin,
)
from tests.photos.conftest import a_find
from tests.photos.drawn import jpeg


@pytest.fixture
def three(find) -> list[Photo]:
    return [take_in(jpeg(n), subject=find, role=role) for n, role in enumerate(("as-found", "base", "after"))]


def order(find) -> list[int]:
    return list(find.photos.in_order().values_list("pk", flat=True))


def test_put_in_order(find, three):
    a, b, c = (photo.pk for photo in three)
    put_in_order(find, [c, a, b])
    assert order(find) == [c, a, b]
    for wrong in ([a, b], [a, b, b], [a, b, c, c + 1], []):
        with pytest.raises(ValueError):
            put_in_order(find, wrong)
    assert order(find) == [c, a, b]


def test_move_stops_at_the_ends(find, three):
    a, b, c = (photo.pk for photo in three)
    move(three[2], -1)
    assert order(find) == [a, c, b]
    move(three[0], -1)
    assert order(find) == [a, c, b]
    move(three[0], 1)
    assert order(find) == [c, a, b]
    move(three[1], 1)
    assert order(find) == [c, a, b]


def test_cover_is_the_best_role_until_one_is_chosen(find, three):
    assert Photo.objects.covers_of([find.pk])[find.pk] == three[2]
    move(three[2], -1)  # a new order alone chooses no cover
    assert Photo.objects.covers_of([find.pk])[find.pk] == three[2]
    set_cover(three[1])
    assert Photo.objects.covers_of([find.pk])[find.pk] == three[1]
    set_cover(three[0])
    assert Photo.objects.covers_of([find.pk])[find.pk] == three[0]
    assert find.photos.filter(order=0).count() == 1


def test_what_is_moved_before_a_chosen_cover_becomes_it(find, three):
    set_cover(three[0])
    three[1].refresh_from_db()
    move(three[1], -1)
    assert Photo.objects.covers_of([find.pk])[find.pk] == three[1]


def test_reference_pictures_are_never_a_cover(find):
    photo = take_in(jpeg(), subject=find, role="reference", opened=True)
    assert Photo.objects.covers_of([find.pk]) == {}
    with pytest.raises(ValueError, match="can't stand for the find"):
        set_cover(photo)
    set_role(photo, "after")
    set_cover(photo)
    set_role(photo, "plate")
    assert Photo.objects.covers_of([find.pk]) == {}
    assert not Photo.objects.filter(order=0).exists()


def test_covers_of_a_page_take_one_query(db, django_assert_num_queries):
    finds = [a_find(n, shared=n % 2 == 0) for n in range(1, 7)]
    for n, find in enumerate(finds):
        take_in(jpeg(n), subject=find, role="after")
        take_in(jpeg(n + 50), subject=find, role="detail")
    with django_assert_num_queries(1):  # pictures of all finds of the page
        covers = Photo.objects.covers_of([find.pk for find in finds])
    assert {cover.role for cover in covers.values()} == {"after"} and len(covers) == 6
    with django_assert_num_queries(1):
        assert set(Photo.objects.for_visitors().covers_of([find.pk for find in finds])) == {
            find.pk for find in finds if find.shared
        }


def test_gallery_takes_two_queries_and_knows_its_pair(find, three, django_assert_num_queries):
    put_in_bin(take_in(jpeg(9), subject=find))
    with django_assert_num_queries(2):  # its pictures, the bin among them; whether the pair is laid
        gallery = gallery_of(find)
        assert [photo.find.what for photo in gallery.photos] == [find.what] * 3
    assert len(gallery.in_bin) == 1
    assert (gallery.pair.before, gallery.pair.after) == (three[0], three[2])
    assert gallery.cover == three[2]
    assert gallery_of(find, visitor=True).photos == []


def test_bin_and_back(find, three):
    put_in_bin(three[0])
    assert order(find) == [three[1].pk, three[2].pk] or three[0] not in Photo.objects.all()
    binned = Photo.everything.in_bin().get()
    assert take_out_of_bin(binned) == three[0]
    assert Photo.objects.count() == 3


def test_back_from_the_bin_when_it_was_added_again(find):
    old = take_in(jpeg(), subject=find)
    put_in_bin(old)
    # Written past the services, as an import might.
    again = Photo.objects.create(find=find, role="after", **old.facts())
    assert take_out_of_bin(old) == again
    assert Photo.objects.count() == 1
