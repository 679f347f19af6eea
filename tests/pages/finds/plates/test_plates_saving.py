"""Keeping a plate as a picture of the find."""

import hashlib

import pytest

from catalogue.photos import files
from catalogue.photos.models import Photo

from .plates_parts import rim_query, shots_query

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


def save(client, lit, *, count: int = 8, **more: str):
    find, photos = lit
    data: dict[str, object] = {"photo": [str(photo.pk) for photo in photos[:count]]}
    data |= dict(pair for pair in shots_query(photos) if pair[0] != "photo")
    return client.post(f"/finds/{find.number}/plates/save/", data | rim_query() | more)


def test_it_is_private_and_says_how_it_was_made(owner_client, client, lit) -> None:
    find, photos = lit
    answer = save(owner_client, lit, look="relit", at="2", high="20", steep="6", shape="round")
    assert answer.status_code == 302
    plate = Photo.objects.of(find).get(role="plate")
    assert plate.opened is False
    assert plate.caption == "Plate of the base, lit anew"
    for part in ("Woodham 1980", "lamp at 0, 1.5, 3,", "lamp at 2 o'clock, 20° high, slopes × 6", "rim at "):
        assert part in plate.source
    assert all(str(photo.pk) in plate.source for photo in photos)
    assert photos[0].sha256[:8] in plate.source
    find.shared = True
    find.save()
    assert client.get(f"/photos/{plate.pk}/small.jpg").status_code == 404
    assert owner_client.get(f"/photos/{plate.pk}/small.jpg").status_code == 200


def test_the_originals_are_untouched(owner_client, lit) -> None:
    save(owner_client, lit, look="contrast", shape="strip")
    for photo in lit[1]:
        kept = files.original(photo.sha256, photo.format).read_bytes()
        assert hashlib.sha256(kept).hexdigest() == photo.sha256


def test_the_same_plate_is_kept_once(owner_client, lit) -> None:
    for _ in range(2):
        save(owner_client, lit, count=1, look="contrast", shape="strip", start="30")
    plate = Photo.objects.of(lit[0]).get(role="plate")
    assert "from 30° clockwise, heads to the rim" in plate.source
    assert (plate.width, plate.format) > (0, "")
    save(owner_client, lit, count=1, look="contrast", shape="strip", start="31")
    assert Photo.objects.of(lit[0]).filter(role="plate").count() == 2


def test_a_plate_is_no_source_of_another(owner_client, lit) -> None:
    save(owner_client, lit, count=1, look="contrast", shape="round")
    plate = Photo.objects.of(lit[0]).get(role="plate")
    answer = owner_client.get(f"/finds/{lit[0].number}/plates/rim/?photo={plate.pk}")
    assert answer.status_code == 422


@pytest.mark.parametrize("wrong", [{"p1": ""}, {"p1": "x"}, {"photo": "999999"}, {"photo": "../../etc"}])
def test_what_can_t_be_made_keeps_nothing(owner_client, lit, wrong) -> None:
    assert save(owner_client, lit, count=1, look="contrast", **wrong).status_code == 422
    assert not Photo.objects.of(lit[0]).filter(role="plate").exists()


def test_a_visitor_may_not(client, lit) -> None:
    answer = save(client, lit, look="contrast")
    assert answer.status_code == 302
    assert answer["Location"].startswith("/enter/")
    assert not Photo.objects.filter(role="plate").exists()
