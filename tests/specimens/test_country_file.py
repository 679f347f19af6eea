"""A country's file added by the owner: looked up at once, taken away and put back, refused whole."""

import tracemalloc
import zipfile
from io import BytesIO

import pytest

from catalogue.common.kept_files import digest_of
from catalogue.specimens.gazetteer import candidates, named, suggest
from catalogue.specimens.town_files import country_file
from catalogue.specimens.town_files.added import add_country, added_countries, put_back, take_away
from catalogue.specimens.town_files.country_file import CountryFileError
from catalogue.specimens.town_files.room import move_older_room
from catalogue.specimens.town_files.store import lists_version
from tests.gazetteer.country_files import line, packed, text


@pytest.fixture(autouse=True)
def room(settings, tmp_path):
    settings.DATA_DIR, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    return tmp_path / "files" / "towns"


def lists_in(room) -> list[str]:
    """What lies there, each named by its digest."""
    found = [path for path in room.rglob("*") if path.is_file()]
    assert all(path.stem == digest_of(path) for path in found)
    return sorted(f"{path.parent.name}: {path.suffix[1:]}" for path in found)


TWO = [line("Quarlpur", people=9, others="Quarlabad,QRL,kvarlapura"), line("River Quarl", kind="H")]


@pytest.mark.parametrize("source", [text(TWO), packed(TWO)], ids=["text", "zip"])
def test_its_towns_are_found_at_once(source):
    assert named("Quarlpur") == []
    before = lists_version()
    added = add_country(source, "IN.zip")
    assert (added.country, added.towns, added.called, added.in_use) == ("IN", 1, "IN.zip", True)
    (row,) = candidates("QUARLPUR")
    # Uttar Pradesh: ISO 3166-2 gives IN-UP that name; GeoNames counts it as 36.
    assert row.words == "Quarlpur, Uttar Pradesh, IN" and row.latitude == 44.1
    assert candidates("quarlabad") and suggest("quarlp") and not named("QRL")
    assert lists_version() != before


def test_one_place_in_two_files_is_offered_once():
    (boston,) = [row for row in candidates("Boston") if row.region == "MA"]
    twin = line("Boston", country="US", admin1="MA", latitude=42.3584, longitude=-71.0598, people=650_000)
    add_country(text([twin]), "US.txt")
    assert [row.region for row in candidates("Boston")].count("MA") == 1 and boston


def test_it_is_taken_away_and_put_back(room):
    add_country(text(TWO), "IN.txt")
    assert take_away("IN") and candidates("QUARLPUR") == []
    assert [each.in_use for each in added_countries()] == [False]
    assert put_back("IN") and candidates("QUARLPUR")
    assert not take_away("FR") and not put_back("FR") and not take_away("../x")
    assert lists_in(room) == ["IN: sqlite3"]


def test_a_newer_file_takes_its_place_and_the_older_can_be_put_back():
    add_country(text(TWO), "older.txt")
    add_country(text([line("Odgepur")]), "newer.txt")
    assert named("Odgepur") and not named("Quarlpur")
    assert put_back("IN") and named("Quarlpur") and not named("Odgepur")
    assert put_back("IN") and named("Odgepur")


def test_of_one_country_two_are_kept_at_most(room):
    for name in ("First", "Second", "Third"):
        add_country(text([line(name)]), f"{name}.txt")
    assert lists_in(room) == ["IN: aside", "IN: sqlite3"] and named("Third")
    assert put_back("IN") and named("Second")
    add_country(text([line("Third")]), "Third.txt")
    assert lists_in(room) == ["IN: aside", "IN: sqlite3"] and named("Third")


def test_lists_from_before_they_were_in_backups_are_moved(room, settings):
    add_country(text(TWO), "IN.txt")
    older = settings.DATA_DIR / "towns"
    older.mkdir()
    (path,) = room.glob("IN/*.sqlite3")
    path.rename(older / "IN.sqlite3")
    assert not named("Quarlpur")
    assert move_older_room() == []
    assert named("Quarlpur") and not older.exists() and lists_in(room) == ["IN: sqlite3"]
    assert move_older_room() == []


def bomb() -> BytesIO:
    return packed(["\0" * 40_000_000])


def two_countries() -> BytesIO:
    file = packed(TWO)
    with zipfile.ZipFile(file, "a") as archive:
        archive.writestr("FR.txt", "x")
    return file


def cut_off() -> BytesIO:
    whole = packed([line(f"Quarl {n}") for n in range(5000)]).getvalue()
    return BytesIO(whole[: len(whole) // 2])


def damaged() -> BytesIO:
    whole = bytearray(packed([line(f"Quarl {n}") for n in range(5000)]).getvalue())
    whole[len(whole) // 2] ^= 0xFF
    return BytesIO(bytes(whole))


BAD = {
    "empty": (BytesIO(b""), "no towns"),
    "no towns": (text([line(kind="H")]), "no towns"),
    "a picture": (BytesIO(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" * 9), "UTF-8"),
    "a table with commas": (text(["name,latitude"]), "19"),
    "a column less": (text([line(), line().rpartition("\t")[0]]), "Line 2 has 18 columns"),
    "Latin letters of old": (BytesIO(line("Köln").encode("latin-1")), "UTF-8"),
    "two countries": (text([line(), line(country="FR")]), "another country"),
    "all of them in a zip": (two_countries(), "one country"),
    "no country": (text([line(country="")]), "another country"),
    "no number": (text([line(latitude="north")]), "no number"),
    "not a number": (text([line(latitude="nan")]), "not on the earth"),
    "beyond the pole": (text([line(latitude=91)]), "not on the earth"),
    "fewer than none": (text([line(people=-1)]), "not on the earth"),
    "a NUL": (text([line("Quarl\0pur")]), "19"),
    "a line without an end": (text([line("Q" * 200_000)]), "longer"),
    "a bomb": (bomb(), "far more"),
    "cut off": (cut_off(), "damaged"),
    "damaged": (damaged(), "."),
    "another name in it": (packed(TWO, "../../IN.txt"), "one country"),
}


@pytest.mark.parametrize("case", BAD)
def test_what_is_none_is_refused_with_a_reason_and_nothing_is_half(case, room):
    add_country(text([line("Odgepur")]), "good.txt")
    source, reason = BAD[case]
    source.seek(0)
    with pytest.raises(CountryFileError, match=reason):
        add_country(source, "bad.zip")
    assert lists_in(room) == ["IN: sqlite3"]
    assert named("Odgepur") and added_countries()[0].called == "good.txt"


def test_a_bomb_that_lies_about_its_size_ends_while_it_unpacks(monkeypatch, room):
    monkeypatch.setattr(country_file, "MOST_UNPACKED_BYTES", 20_000)
    with pytest.raises(CountryFileError):
        add_country(text([line(f"Quarl {n}") for n in range(1000)]), "IN.txt")
    assert list(room.iterdir()) == []


def test_memory_stays_flat_however_long_the_file_is():
    """Thirty times as many lines take at most twice the memory."""

    def peak(lines: int) -> int:
        class Long:
            """A file of so many lines, none of them held."""

            left = lines

            def seek(self, at: int) -> None:
                self.left = lines

            def read(self, most: int) -> bytes:
                return b"1\tQu"[:most]

            def readline(self, most: int) -> bytes:
                self.left -= 1
                return f"{line(f'Quarl {self.left}')}\n".encode() if self.left >= 0 else b""

        tracemalloc.start()
        add_country(Long(), "IN.txt")
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return most

    peak(100)
    assert peak(30_000) < 2 * peak(1_000)
