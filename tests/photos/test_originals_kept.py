"""No original leaves of the program's own accord: list beside the files, quarantine, healing, deletion."""

import os
from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.care.models import BenchPhoto, Vessel
from catalogue.common import kept_files
from catalogue.photos import files, originals_list
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import HeldPicture, OriginalCheck, Photo
from catalogue.photos.originals_list import Fate
from catalogue.photos.services import hold, let_go, set_aside, store, take_in, tidy
from catalogue.photos.services.deletion import delete_with_pictures, pictures_of
from catalogue.photos.services.integrity import (
    count_amiss,
    due_for_reading,
    look_at_originals,
    read_one,
)
from catalogue.photos.services.set_aside import FileCount, OtherThanTold
from tests.photos.conftest import a_find
from tests.photos.drawn import jpeg


@pytest.fixture(autouse=True)
def commits(django_capture_on_commit_callbacks):
    """What is to be done when a row is committed is done here when the block ends."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


def grown_old(days: float = 3) -> None:
    then = timezone.now().timestamp() - days * 24 * 3600
    for path in files.stored():
        os.utime(path, (then, then))


def lines() -> list[tuple[str, str]]:
    return [
        (f[1], f[2][:64]) for f in (x.split("\t") for x in originals_list.path().read_text().splitlines())
    ]


def test_each_filed_original_is_a_line_and_let_go_when_no_row_is_left(find, commits):
    with commits():
        held = hold(jpeg(1), holder="s")
    with commits():
        photo = take_in(jpeg(1), subject=find)
    with commits():
        let_go(held.token, holder="s")
    assert lines() == [("filed", photo.sha256)] * 2  # one for each row; nothing let go while a row is left
    with commits():
        other = hold(jpeg(2), holder="s")
    with commits():
        let_go(other.token, holder="s")
    assert lines()[2:] == [("filed", other.sha256), ("let go", other.sha256)]
    assert originals_list.listed()[other.sha256].fate is Fate.LET_GO


def test_a_name_with_tabs_and_breaks_stays_on_its_line(find, commits):
    with commits():
        photo = take_in(jpeg(1, name="a\tb\nfiled\tc.jpg"), subject=find)
    assert len(lines()) == 1
    assert originals_list.listed()[photo.sha256].came_as == "abfiledc.jpg"


def test_a_line_cut_short_by_a_crash_spoils_nothing(find, commits):
    with commits():
        first = take_in(jpeg(1), subject=find)
    with originals_list.path().open("ab") as file:
        file.write(b"2026-11-28T13:30:05+00:00\tfil")
    with commits():
        second = take_in(jpeg(2), subject=find)
    assert set(originals_list.listed()) == {first.sha256, second.sha256}


def test_a_catalogue_from_before_the_list_gets_one_at_its_start(find):
    photo = take_in(jpeg(1), subject=find)
    assert not originals_list.path().exists()
    look_at_originals()
    listed = originals_list.listed()[photo.sha256]
    assert (listed.fate, listed.bytes) == (Fate.FILED, photo.bytes)
    before = originals_list.path().read_bytes()
    look_at_originals()
    assert originals_list.path().read_bytes() == before


def test_a_file_in_place_of_the_pictures_folder_is_told_and_keeps_nobody_from_opening(find, commits):
    with commits():
        take_in(jpeg(1), subject=find)
    files.root().rename(files.root().with_name("moved"))
    files.root().write_text("in its place")
    missing, no_list = look_at_originals()
    assert "1 missing" in missing and f"{originals_list.path()} can't be written" in no_list


def test_what_an_older_database_does_not_know_stays_and_is_told(find, commits):
    """Rows gone without a word, as when last week's database is put back."""
    with commits():
        photos = [take_in(jpeg(n), subject=find) for n in range(3)]
    Photo.everything.filter(pk__in=[each.pk for each in photos[1:]])._raw_delete("default")
    grown_old()
    assert look_at_originals() == [
        "2 pictures were filed in this folder that this database does not know: it is an older copy, or not "
        "this folder's. The files stay where they are; Safekeeping lists them."
    ]
    assert tidy()[1] == FileCount()
    assert all(files.original(each.sha256, "JPEG").exists() for each in photos)
    # the newer database is put back: all is as it was
    take_in(jpeg(1), subject=find)
    take_in(jpeg(2), subject=find)
    assert look_at_originals() == []


def test_more_than_a_few_are_only_set_aside_when_asked(db):
    for n in range(set_aside.MOST_MOVED_UNASKED + 1):
        files.keep_original(written(f"{n}".encode()), sha(n), "JPEG")
    grown_old()
    assert tidy()[1] == FileCount()
    assert len(list(files.originals())) == set_aside.MOST_MOVED_UNASKED + 1
    assert set_aside.set_aside(set_aside.leftovers()).count == set_aside.MOST_MOVED_UNASKED + 1
    assert list(files.originals()) == []
    (day,) = set_aside.days()
    assert (day.day, day.files.count) == (timezone.localdate().isoformat(), set_aside.MOST_MOVED_UNASKED + 1)


def written(content: bytes):
    path = files.root() / "arrived"
    kept_files.make_folder(files.root())
    path.write_bytes(content)
    return path


def sha(n: int) -> str:
    import hashlib

    return hashlib.sha256(f"{n}".encode()).hexdigest()


def test_what_was_kept_again_just_now_is_not_set_aside(db):
    files.keep_original(written(b"0"), sha(0), "JPEG")
    grown_old()
    found = set_aside.leftovers()
    files.keep_original(written(b"0"), sha(0), "JPEG")
    assert set_aside.set_aside(found) == FileCount()
    assert files.original(sha(0), "JPEG").exists()


def test_two_of_one_name_set_aside_on_one_day_are_both_there(db):
    for _ in range(2):
        files.keep_original(written(b"0"), sha(0), "JPEG")
        grown_old()
        set_aside.set_aside(set_aside.leftovers())
    (day,) = set_aside.days()
    assert day.files == FileCount(2, 2)


def test_what_was_set_aside_and_is_needed_again_comes_back(find, commits):
    with commits():
        photo = take_in(jpeg(1), subject=find)
    grown_old()
    set_aside.set_aside([files.original(photo.sha256, "JPEG")])
    assert not files.original(photo.sha256, "JPEG").exists()
    assert look_at_originals() == []
    assert kept_files.is_whole(files.original(photo.sha256, "JPEG"), photo.sha256)


def test_a_day_is_deleted_only_as_it_was_told(db):
    files.keep_original(written(b"0"), sha(0), "JPEG")
    grown_old()
    set_aside.set_aside(set_aside.leftovers())
    (day,) = set_aside.days()
    for wrong in (FileCount(2, 1), FileCount(1, 2), FileCount()):
        with pytest.raises(OtherThanTold):
            set_aside.delete_day(day.day, wrong)
    for place in ("..", "1999-01-01", "../originals"):
        with pytest.raises(OtherThanTold):
            set_aside.delete_day(place, day.files)
    assert set_aside.delete_day(day.day, day.files) == FileCount(1, 1)
    assert set_aside.days() == []
    assert originals_list.listed()[sha(0)].fate is Fate.DELETED


def test_missing_and_damaged_originals_are_told_at_the_start(find):
    gone, short, whole = (take_in(jpeg(n), subject=find, role="after") for n in range(3))
    files.original(gone.sha256, "JPEG").unlink()
    path = files.original(short.sha256, "JPEG")
    path.write_bytes(path.read_bytes()[:100])
    (said,) = look_at_originals()
    assert said.startswith(
        "Of 3 original pictures 1 missing and 1 damaged (first: 2026.14.1 Aqua soda bottle"
    )
    assert count_amiss() == 2
    assert OriginalCheck.objects.filter(sha256=whole.sha256).count() == 0


def test_damage_of_the_right_size_is_found_by_reading_and_told_at_the_next_start(find):
    photo = take_in(jpeg(1), subject=find)
    damage(photo)
    assert look_at_originals() == []
    assert due_for_reading() == [(photo.sha256, "JPEG")]
    assert read_one(photo.sha256, "JPEG") is OriginalCheck.State.DAMAGED
    assert "1 damaged" in look_at_originals()[0]


def damage(photo: Photo) -> None:
    path = files.original(photo.sha256, "JPEG")
    raw = bytearray(path.read_bytes())
    raw[500:900] = bytes(400)
    path.write_bytes(raw)


def test_a_damaged_original_is_healed_by_sending_it_again(find):
    photo = take_in(jpeg(1), subject=find)
    damage(photo)
    read_one(photo.sha256, "JPEG")
    assert count_amiss() == 1
    take_in(jpeg(1), subject=a_find(2))
    assert kept_files.is_whole(files.original(photo.sha256, "JPEG"), photo.sha256)
    assert count_amiss() == 0 and look_at_originals() == []


def test_a_missing_one_put_back_by_hand_is_seen(find):
    photo = take_in(jpeg(1), subject=find)
    path = files.original(photo.sha256, "JPEG")
    content = path.read_bytes()
    path.unlink()
    look_at_originals()
    assert count_amiss() == 1
    path.write_bytes(content)
    assert count_amiss() == 0


def test_what_was_read_is_due_again_after_a_season_and_longest_ago_first(find):
    one, two, three = (take_in(jpeg(n), subject=find) for n in range(3))
    for photo, days in ((one, 91), (two, 200), (three, 1)):
        read_one(photo.sha256, "JPEG")
        OriginalCheck.objects.filter(sha256=photo.sha256).update(
            read_at=timezone.now() - timedelta(days=days)
        )
    assert [sha256 for sha256, _ in due_for_reading()] == [two.sha256, one.sha256]
    # read while the clock was wrong
    OriginalCheck.objects.filter(sha256=three.sha256).update(read_at=timezone.now() + timedelta(days=9))
    assert three.sha256 in [sha256 for sha256, _ in due_for_reading()]


def test_deleting_a_find_for_good_takes_its_originals_and_no_others(find, commits):
    with commits():
        shared = take_in(jpeg(1), subject=find)
        own = take_in(jpeg(2), subject=find)
        take_in(jpeg(1), subject=a_find(2))
    assert pictures_of([find]) == {find.pk: FileCount(2, shared.bytes + own.bytes)}
    with pytest.raises(ValueError, match="bin first"):
        delete_with_pictures(find)
    find.put_in_bin()
    with commits():
        delete_with_pictures(find)
    assert not files.original(own.sha256, "JPEG").exists() and not files.has_sizes(own.sha256)
    assert files.original(shared.sha256, "JPEG").exists()
    assert originals_list.listed()[own.sha256].fate is Fate.DELETED
    assert originals_list.listed()[shared.sha256].fate is Fate.FILED
    assert look_at_originals() == []


def test_one_picture_deleted_for_good(find, commits):
    with commits():
        photo = take_in(jpeg(1), subject=find)
    photo.put_in_bin()
    assert pictures_of([photo]) == {photo.pk: FileCount(1, photo.bytes)}
    with commits():
        delete_with_pictures(photo)
    assert list(files.originals()) == []


def test_a_refused_deletion_leaves_every_file(find, commits):
    vessel = Vessel.objects.create(name="White tub", top_mm=300, bottom_mm=260, height_mm=330)
    photo = BenchPhoto.objects.create(vessel=vessel, **store(jpeg(1)))
    with commits(), pytest.raises(ValueError, match="bin first"):
        delete_with_pictures(vessel)
    assert files.original(photo.sha256, "JPEG").exists()


def test_what_is_told_is_what_goes_for_every_kind_in_the_bin():
    """Every way by which a picture's row can go with another row is a column that `pictures_of` counts."""
    from django.apps import apps
    from django.db.models import CASCADE

    from catalogue.pages.bin.views import BIN_KINDS
    from catalogue.photos.models.photo import kinds_of_pictures
    from catalogue.photos.services.deletion import _columns_to

    kinds = kinds_of_pictures()
    for _, model in BIN_KINDS.values():
        for other in apps.get_models():
            goes_along = any(
                each.related_model is model and each.remote_field.on_delete is CASCADE
                for each in other._meta.fields
                if each.remote_field
            )
            # a row two steps away that has pictures would be deleted untold
            if goes_along and other not in kinds:
                assert not any(_columns_to(kind, other) for kind in kinds), (model, other)


def test_files_are_the_owners_alone(find, commits):
    with commits():
        take_in(jpeg(1), subject=find)
    found = list(files.stored()) + [originals_list.path()]
    assert len(found) == 5
    assert {path.stat().st_mode & 0o777 for path in found} == {0o600}
    assert {path.parent.stat().st_mode & 0o777 for path in found} == {0o700}


def test_a_folder_that_is_gone_is_not_made_anew_elsewhere(find, data_folder, settings):
    settings.MEDIA_ROOT = data_folder / "stick" / "files"
    with pytest.raises(PictureRefused, match="see that its disk is there"):
        take_in(jpeg(1), subject=find)
    assert not (data_folder / "stick").exists() and not Photo.everything.exists()


def test_an_original_is_never_swept_as_a_copy(find):
    photo = take_in(jpeg(1), subject=find)
    with pytest.raises(ValueError, match="never"):
        files.remove_copy_if_old(files.original(photo.sha256, "JPEG"), -1)


def test_held_pictures_given_up_after_a_week_are_let_go(db, commits):
    with commits():
        held = hold(jpeg(1), holder="s")
    HeldPicture.objects.update(created=timezone.now() - timedelta(days=8))
    with commits():
        tidy()
    assert originals_list.listed()[held.sha256].fate is Fate.LET_GO
