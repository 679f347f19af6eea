"""The page that tells how the originals are, and the owner's word on what was set aside."""

import os

import pytest

from catalogue.photos import files, originals_list
from catalogue.photos.models import Photo
from catalogue.photos.services import set_aside, take_in
from catalogue.photos.services.integrity import look_at_originals
from tests import factories
from tests.photos.drawn import jpeg

pytestmark = pytest.mark.usefixtures("data_folder")
PAGE = "/safekeeping/"


def grown_old() -> None:
    for path in files.stored():
        os.utime(path, (0, 0))


@pytest.fixture
def left_over(owner_client):
    """A picture that was sent and whose form was never saved, long ago."""
    photo = take_in(jpeg(1), subject=factories.find())
    path = files.original(photo.sha256, "JPEG")
    Photo.everything.all()._raw_delete("default")
    grown_old()
    return path


def text(client) -> str:
    return client.get(PAGE).content.decode()


def test_sound_originals_are_counted(owner_client):
    photo = take_in(jpeg(1), subject=factories.find())
    assert f"1 picture as they came, {photo.bytes / 1024:.1f}\xa0KB" in text(owner_client)
    assert "Missing" not in text(owner_client)


def test_a_missing_one_is_named_here_and_at_home_until_it_is_back(owner_client):
    photo = take_in(jpeg(1, name="reef.jpg"), subject=factories.find("Aqua soda bottle"))
    path = files.original(photo.sha256, "JPEG")
    content = path.read_bytes()
    path.unlink()
    look_at_originals()
    home = owner_client.get("/").content.decode()
    assert "1 original picture is missing or damaged" in home and 'href="/safekeeping/"' in home
    assert "Aqua soda bottle" in text(owner_client) and "its file is gone" in text(owner_client)
    path.write_bytes(content)
    assert "its file is gone" not in text(owner_client)
    assert "missing or damaged" not in owner_client.get("/").content.decode()


def test_leftovers_are_set_aside_and_deleted_only_as_told(owner_client, left_over):
    told = set_aside.FileCount.of([left_over])
    page = text(owner_client)
    assert "belong to nothing" in page
    wrong = owner_client.post(f"{PAGE}set-aside/leftovers/", {"count": 2, "bytes": told.bytes}, follow=True)
    assert "changed meanwhile" in wrong.content.decode() and left_over.exists()
    done = owner_client.post(
        f"{PAGE}set-aside/leftovers/", {"count": told.count, "bytes": told.bytes}, follow=True
    )
    assert "Nothing is deleted" in done.content.decode() and not left_over.exists()
    (day,) = set_aside.days()
    for bad in ({}, {"count": "x", "bytes": "y"}, {"count": "1", "bytes": "1"}, {"count": "9" * 5000}):
        owner_client.post(f"{PAGE}set-aside/{day.day}/delete/", bad)
        assert set_aside.days() == [day]
    owner_client.post(f"{PAGE}set-aside/{day.day}/delete/", {"count": told.count, "bytes": told.bytes})
    assert set_aside.days() == []


def test_what_the_database_does_not_know_waits_for_the_owners_word(owner_client, left_over):
    sha256 = files.digest_in_name(left_over)
    originals_list.append([originals_list.line(originals_list.Fate.FILED, sha256, "JPEG", bytes=1)])
    page = text(owner_client)
    assert "this database does not know" in page and "belong to nothing" not in page
    told = set_aside.FileCount.of([left_over])
    owner_client.post(f"{PAGE}set-aside/unknown/", {"count": told.count, "bytes": told.bytes})
    assert not left_over.exists() and set_aside.days()[0].files == told


def test_an_unknown_word_and_strangers_do_nothing(client, owner_client, left_over):
    assert owner_client.post(f"{PAGE}set-aside/everything/").status_code == 302
    client.post(f"{PAGE}set-aside/leftovers/", {"count": 1, "bytes": left_over.stat().st_size})
    assert left_over.exists()


def test_the_bin_tells_number_and_size_before_it_deletes(owner_client, django_capture_on_commit_callbacks):
    find = factories.find("Aqua soda bottle")
    photos = [take_in(jpeg(n), subject=find) for n in range(2)]
    find.put_in_bin()
    size = f"{sum(each.bytes for each in photos) / 1024:.1f}\xa0KB"
    page = owner_client.get("/bin/").content.decode()
    assert f"with 2 pictures ({size})" in page
    assert f"its original pictures (2, {size}) included" in page
    with django_capture_on_commit_callbacks(execute=True):
        owner_client.post(f"/bin/find/{find.pk}/empty/")
    assert list(files.originals()) == []
