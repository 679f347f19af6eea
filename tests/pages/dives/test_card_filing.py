"""A card filed: all that is sorted, in one go, or nothing."""

from pathlib import Path

import pytest

from catalogue.common import kept_files
from catalogue.photos import files
from catalogue.photos.models import CardGroup, CardPicture, Photo
from catalogue.photos.services import card_filing as filing
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen
from tests.conftest import laid_out
from tests.factories import dive, find

from .card_parts import address, filled, groups, pictures, press, told


@pytest.fixture(autouse=True)
def files_of_this_test(data_folder):
    """No picture of one test is seen by another."""


def filled_card() -> Dive:
    made = dive()
    filled(made)
    return made


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Dive, Path]:
    return module_pictures(filled_card)


@pytest.fixture
def one(made, data_folder, db) -> Dive:
    return laid_out(made, data_folder)


def test_finds_are_made_and_found_each_with_its_pictures(owner_client, one):
    known = find("Amber flask", dive=one)
    first, second, third = groups(one)
    sent = {
        f"what-{first.pk}": "Aqua torpedo",
        f"goes-{second.pk}": f"find-{known.pk}",
        f"goes-{third.pk}": "dive",
    }
    answer = press(owner_client, one, "file", **sent)
    assert answer["Location"] == one.get_absolute_url()
    assert told(answer) == ["9 pictures filed under 1 new find and 1 on record."]
    new = Specimen.objects.exclude(pk=known.pk).get()
    assert (new.what, new.field_tag, new.dive, new.number) == ("Aqua torpedo", "T-65", one, "2024.1.2")
    shown = [(photo.role, photo.caption) for photo in new.photos.in_order()]
    assert shown == [("tag", "Field tag T-65"), ("as-found", ""), ("as-found", "")]
    assert known.photos.count() == one.photos.count() == 3
    assert not CardPicture.objects.exists() and not CardGroup.objects.exists()
    for photo in Photo.objects.all():
        assert photo.sizes_made and kept_files.digest_of(files.original(photo.sha256, "JPEG")) == photo.sha256


def test_a_piece_without_a_name_gets_one_that_says_so(owner_client, one):
    press(owner_client, one, "file")
    assert {find.what for find in Specimen.objects.all()} == {filing.NOT_YET_NAMED}
    assert sorted(find.field_tag for find in Specimen.objects.all()) == ["T-65", "T-66", "T-67"]


def test_what_is_left_stays_on_the_card(owner_client, one):
    second = groups(one)[1]
    answer = press(owner_client, one, "file", **{f"goes-{second.pk}": "later"})
    assert told(answer) == ["6 pictures filed under 2 new finds. 3 stay on the card."]
    assert [group.code for group in groups(one)] == ["T-66"] and one.card_pictures.count() == 3
    press(owner_client, one, "file", **{f"goes-{second.pk}": "new"})
    assert Specimen.objects.count() == 3 and not CardPicture.objects.exists()


def refused(answer) -> str:
    assert answer.status_code == 422
    assert not Photo.objects.exists()
    return answer.content.decode()


def test_one_tag_at_two_pieces_is_asked_about(owner_client, one):
    first, second = groups(one)[:2]
    page = refused(press(owner_client, one, "file", **{f"tag-{second.pk}": "t65"}))
    assert "T-65 stands at 2 pieces" in page and "t65 stands at 2 pieces" in page
    assert "Nothing is filed yet: 2 groups need a look." in page
    assert not Specimen.objects.exists()


def test_the_tag_of_a_find_on_record_is_asked_about(owner_client, one):
    known = find(dive=one, field_tag="T-66")
    page = refused(press(owner_client, one, "file"))
    assert f"T-66 is the tag of {known.number}: choose that find, or change the tag." in page
    assert Specimen.objects.count() == 1


def test_a_label_of_no_find_and_a_find_gone_meanwhile(owner_client, one):
    known = find(dive=one)
    first, second = groups(one)[:2]
    sent = {f"tag-{first.pk}": "2024.9.9", f"goes-{second.pk}": f"find-{known.pk}"}
    known.put_in_bin()
    CardGroup.objects.filter(pk=second.pk).update(goes="find", find=known)
    page = refused(press(owner_client, one, "file", **sent))
    assert "no such find is on record" in page and f"{known.number} is in the bin" in page
    CardGroup.objects.filter(pk=second.pk).update(goes="find", find=None)
    assert "no longer on record" in refused(press(owner_client, one, "file"))


def test_a_failure_half_way_files_nothing(owner_client, one, monkeypatch):
    calls = []

    def fails_late(*given, **more):
        calls.append(given)
        if len(calls) > 5:
            raise RuntimeError("the disk went away")
        return genuine(*given, **more)

    genuine = filing.file_under
    monkeypatch.setattr(filing, "file_under", fails_late)
    with pytest.raises(RuntimeError):
        press(owner_client, one, "file")
    assert not Photo.objects.exists() and not Specimen.objects.exists()
    assert one.card_pictures.count() == 9 and len(groups(one)) == 3
    monkeypatch.undo()
    press(owner_client, one, "file")
    assert Photo.objects.count() == 9


def test_pressed_twice_files_once(owner_client, one):
    press(owner_client, one, "file")
    answer = press(owner_client, one, "file")
    assert answer.status_code == 422 and "There is nothing to file here." in answer.content.decode()
    assert (Photo.objects.count(), Specimen.objects.count()) == (9, 3)


def test_pictures_not_in_groups_yet_stay(owner_client, one):
    CardPicture.objects.filter(pk=pictures(one, 0)[2].pk).update(group=None)
    press(owner_client, one, "file")
    assert one.card_pictures.count() == 1
    assert "1 picture</b> not in groups yet" in owner_client.get(address(one)).content.decode()


def test_filed_from_the_page_itself_the_browser_is_sent_on(owner_client, one):
    answer = owner_client.post(address(one), {"act": "file"}, headers={"hx-request": "true"})
    assert answer["HX-Redirect"] == one.get_absolute_url()
