"""`manage.py photos check`: damage is found, what is missing is made, leftovers are named."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from catalogue.care.models import BenchPhoto, Vessel
from catalogue.photos import files
from catalogue.photos.services import hold, store, take_in
from catalogue.photos.services.cards import put_on_card
from catalogue.photos.services.integrity import kinds_of_pictures
from tests.factories import dive
from tests.photos.drawn import jpeg


def run(what: str = "check") -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    try:
        call_command("photos", what, stdout=out, stderr=err)
    except CommandError as error:
        err.write(f"{error}\n")
    return out.getvalue(), err.getvalue()


def test_all_is_well(find):
    take_in(jpeg(1), subject=find)
    hold(jpeg(2), holder="session-one")
    out, err = run()
    assert "2 originals read and compared." in out and "All originals are sound." in out
    assert err == ""


def test_one_flipped_bit_is_found_and_named(find):
    path = files.original(take_in(jpeg(name="reef.jpg"), subject=find, role="after").sha256, "JPEG")
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)
    out, err = run()
    assert "2026.14.1 Aqua soda bottle, after (reef.jpg): its file is not what was taken in" in err
    assert "sound" not in out
    with pytest.raises(CommandError):
        call_command("photos", "check", stdout=StringIO(), stderr=StringIO())


def test_a_lost_original_is_found_also_in_the_bin(find):
    photo = take_in(jpeg(), subject=find)
    photo.put_in_bin()
    files.original(photo.sha256, "JPEG").unlink()
    assert "its file is gone" in run()[1]


def test_missing_sizes_are_made_again(find):
    photo = take_in(jpeg(), subject=find)
    files.size(photo.sha256, "medium").unlink()
    assert "Sizes made anew for 1." in run()[0]
    assert files.has_sizes(photo.sha256)
    assert "Sizes made anew" not in run()[0]


@pytest.fixture
def every_room(db):
    """A picture in each of the kinds_of_pictures that keep any: digest and what it is of."""
    vessel = Vessel.objects.create(name="White tub", top_mm=300, bottom_mm=260, height_mm=330)
    on_bench = BenchPhoto.objects.create(vessel=vessel, **store(jpeg(1, "tub.jpg")))
    of_dive = dive()
    on_card = put_on_card(jpeg(2, "card.jpg"), of_dive)
    held = hold(jpeg(3, "held.jpg"), holder="session-one")
    return {
        on_bench.sha256: "White tub, on the bench (tub.jpg)",
        on_card.sha256: f"on the card of {of_dive} (card.jpg)",
        held.sha256: "waiting for a form that was not saved yet (held.jpg)",
    }


def test_pictures_of_every_room_are_read_named_and_their_sizes_made(every_room):
    for sha256 in every_room:
        for name in ("small", "medium", "large"):
            files.size(sha256, name).unlink(missing_ok=True)
    out, err = run()
    assert "3 originals read and compared." in out and "Sizes made anew for 3." in out and err == ""
    assert all(files.has_sizes(sha256) for sha256 in every_room)
    for sha256 in every_room:
        path = files.original(sha256, "JPEG")
        path.write_bytes(path.read_bytes()[:-1] + b"x")
    told = run()[1]
    for words in every_room.values():
        assert f"{words}: its file is not what was taken in" in told
    for sha256 in every_room:
        files.original(sha256, "JPEG").unlink()
    assert run()[1].count("its file is gone") == 3


def test_no_kind_of_picture_is_left_out():
    """A room that gains pictures of its own must be among them, and say what they are of."""
    assert {kind.__name__ for kind in kinds_of_pictures()} == {
        "Photo",
        "HeldPicture",
        "CardPicture",
        "BenchPhoto",
    }
    assert all("of_words" in vars(kind) for kind in kinds_of_pictures())


def test_leftovers_are_named_and_not_touched(db):
    files.keep_size("ab" * 32, "small", b"an orphan")
    left = files.size("ab" * 32, "small")
    assert f"Left over, belongs to no picture: {left}" in run()[0]
    assert left.exists()
    assert "0 originals (0\xa0bytes) set aside" in run("set-aside")[0]
    assert left.exists()
