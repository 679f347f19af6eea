"""Pictures of a half-filled form: kept, shown again, claimed, swept."""

import os
from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.common import kept_files
from catalogue.photos import files
from catalogue.photos.models import HeldPicture, Photo
from catalogue.photos.services import claim, hold, let_go, set_aside, tidy
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload

MINE, OTHER = "session-one", "session-two"


def test_held_then_claimed_with_its_role_and_facts(find):
    content = encoded(picture(), exif=exif(taken="2024:08:14 10:21:07", offset="+02:00", gps=GPS))
    first = hold(upload(content, "wet.jpg"), holder=MINE)
    second = hold(jpeg(2, "base.jpg"), holder=MINE)
    results = claim([second.token, first.token], find, holder=MINE, roles={first.token: "as-found"})
    assert [photo.original_name for photo in results.taken] == ["base.jpg", "wet.jpg"]
    assert [photo.role for photo in results.taken] == ["detail", "as-found"]
    assert [photo.order for photo in results.taken] == [1, 2]
    assert results.taken[1].facts() == first.facts()
    assert results.failed == []
    assert HeldPicture.objects.count() == 0


def test_sent_twice_by_one_session_it_is_held_once(db):
    assert hold(jpeg(), holder=MINE) == hold(jpeg(), holder=MINE)
    assert hold(jpeg(), holder=OTHER).holder == OTHER
    assert HeldPicture.objects.count() == 2


def test_another_sessions_and_unknown_tokens_are_not_claimed(find):
    mine, other = hold(jpeg(1), holder=MINE), hold(jpeg(2), holder=OTHER)
    results = claim([mine.token, other.token, "made-up"], find, holder=MINE)
    assert len(results.taken) == 1
    assert [failed.why for failed in results.failed] == [
        "A picture chosen earlier is no longer kept: add it again."
    ] * 2
    assert HeldPicture.objects.get() == other


def test_an_unknown_role_claims_nothing(find):
    held = hold(jpeg(), holder=MINE)
    with pytest.raises(ValueError):
        claim([held.token], find, holder=MINE, roles={held.token: "portrait"})
    assert HeldPicture.objects.count() == 1
    assert Photo.objects.count() == 0


def test_let_go_only_by_its_holder(db):
    held = hold(jpeg(), holder=MINE)
    assert not let_go(held.token, holder=OTHER)
    assert let_go(held.token, holder=MINE)
    assert not let_go(held.token, holder=MINE)


def age(days: float) -> None:
    """Make every file that old."""
    then = timezone.now().timestamp() - days * 24 * 3600
    for path in files.stored():
        os.utime(path, (then, then))


def test_unclaimed_pictures_are_set_aside_after_a_week(find):
    old, young = hold(jpeg(1), holder=MINE), hold(jpeg(2), holder=MINE)
    HeldPicture.objects.filter(pk=old.pk).update(created=timezone.now() - timedelta(days=8))
    age(days=8)
    assert tidy() == (0, set_aside.FileCount(1, old.bytes))
    assert HeldPicture.objects.get() == young
    assert [files.digest_in_name(path) for path in files.stored()] == [young.sha256]
    (aside,) = [path for path in set_aside.folder().rglob("*") if path.is_file()]
    assert kept_files.is_whole(aside, old.sha256)


def test_what_a_row_needs_and_what_is_young_stays(find):
    claimed = claim([hold(jpeg(1), holder=MINE).token], find, holder=MINE).taken[0]
    claimed.put_in_bin()
    age(days=30)
    files.keep_size("ab" * 32, "small", b"an orphan just written")
    assert tidy() == (0, set_aside.FileCount())
    assert files.original(claimed.sha256, "JPEG").exists()
    age(days=2)
    assert tidy() == (1, set_aside.FileCount())
    assert not files.size("ab" * 32, "small").exists()


def test_what_a_crash_left_half_written_is_swept(find, data_folder):
    half = data_folder / "files" / "arriving" / "0123"
    half.parent.mkdir(parents=True)
    half.write_bytes(b"half")
    age(days=2)
    assert tidy() == (1, set_aside.FileCount())


def test_a_file_used_again_is_young_again(find):
    let_go(hold(jpeg(), holder=MINE).token, holder=MINE)
    age(days=2)
    hold(jpeg(), holder=MINE)
    HeldPicture.objects.all().delete()
    assert tidy()[1] == set_aside.FileCount()
