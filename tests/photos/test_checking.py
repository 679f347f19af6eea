"""`manage.py photos check`: damage is found, what is missing is made, leftovers are named."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from catalogue.photos import files
from catalogue.photos.services import hold, take_in
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


def test_leftovers_are_named_and_not_touched(db):
    files.keep_size("ab" * 32, "small", b"an orphan")
    left = files.size("ab" * 32, "small")
    assert f"Left over, belongs to no picture: {left}" in run()[0]
    assert left.exists()
    assert "0 files left over" in run("sweep")[0]
