"""Our zip64 as others read it: the standard library, and beyond 4 GB and 65,535 files."""

import zipfile
import zlib
from datetime import UTC, datetime

import pytest

from catalogue.exchange.backup.checksum import crc32
from catalogue.exchange.backup.stored_zip import StoredZip

WHEN = datetime(2026, 3, 1, 8, 30, 21, tzinfo=UTC)
FILES = {"top/a.txt": b"one", "top/é ö.jpg": b"\xff" * 5000, "top/empty": b""}


def written(path, files, when=WHEN, before=0):
    """A zip of these files, behind so many bytes of a first one that takes no room on the disk."""
    with path.open("wb") as out:
        made = StoredZip(out)
        if before:
            first = made.begin("top/long", when)
            first.length = before
            out.seek(before, 1)
        for name, content in files.items():
            entry = made.begin(name, when)
            entry.length, entry.crc = out.write(content), crc32(content)
        made.finish()
    return path


def test_the_standard_library_reads_it_and_every_sum_is_right(tmp_path):
    with zipfile.ZipFile(written(tmp_path / "z.zip", FILES)) as made:
        assert made.testzip() is None
        assert {name: made.read(name) for name in made.namelist()} == FILES
        (first, *_) = made.infolist()
    assert first.date_time == (2026, 3, 1, 8, 30, 20)
    assert first.external_attr >> 16 == 0o100600
    assert first.compress_type == zipfile.ZIP_STORED


def test_a_wrong_sum_is_not_read(tmp_path):
    """So that the library's word above counts."""
    path = written(tmp_path / "z.zip", FILES)
    path.write_bytes(path.read_bytes().replace(b"one", b"two"))
    with zipfile.ZipFile(path) as made:
        assert made.testzip() == "top/a.txt"


def test_past_four_gigabytes(tmp_path):
    path = written(tmp_path / "z.zip", FILES, before=5 * 2**30)
    if path.stat().st_blocks * 512 > 2**30:
        pytest.skip("this disk has no holes in files")
    with zipfile.ZipFile(path) as made:
        assert made.getinfo("top/long").file_size == 5 * 2**30
        assert {name: made.read(name) for name in FILES} == FILES
        assert min(made.getinfo(name).header_offset for name in FILES) > 5 * 2**30


def test_past_65535_files(tmp_path):
    files = {f"top/{number}": b"" for number in range(65_540)}
    with zipfile.ZipFile(written(tmp_path / "z.zip", {**files, "top/last": b"last"})) as made:
        assert len(made.namelist()) == 65_541
        assert made.read("top/last") == b"last"


@pytest.mark.parametrize(("year", "shown"), [(1970, 1980), (2026, 2026), (2200, 2107)])
def test_years_that_a_zip_can_not_say(tmp_path, year, shown):
    path = written(tmp_path / "z.zip", FILES, when=WHEN.replace(year=year))
    with zipfile.ZipFile(path) as made:
        assert made.infolist()[0].date_time[0] == shown


def test_the_sum_is_the_one_of_zips():
    assert crc32(b"T&H London") == zlib.crc32(b"T&H London")
    assert crc32(b"London", crc32(b"T&H ")) == zlib.crc32(b"T&H London")
