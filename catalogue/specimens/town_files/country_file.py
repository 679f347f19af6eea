"""A country as GeoNames publishes it: `XX.txt`, 19 columns with tabs between, or the zip that holds it.

Format: GeoNames' readme of its dumps (download.geonames.org/export/dump). Read line by line, however large.
"""

import re
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import IO
from zipfile import BadZipFile, ZipFile, ZipInfo

from .making import TownRow
from .other_names import other_names

COUNTRY_FILE_COLUMNS = 19
_NAME, _OTHERS, _LATITUDE, _LONGITUDE, _KIND, _COUNTRY, _ADMIN1, _PEOPLE = 1, 3, 4, 5, 6, 8, 10, 14
POPULATED_PLACE = "P"
LONGEST_PLACE_NAME = 200
# GeoNames' largest country has 300 MB; a line's other names are 10,000 letters at most.
MOST_UNPACKED_BYTES = 800_000_000
LONGEST_LINE_BYTES = 100_000
# Text like this packs to a fifth; a zip that unpacks to a hundredfold is meant to do harm.
MOST_PACKED = 100
_MEMBER = re.compile(r"^[A-Z]{2}\.txt$")
_CODE = re.compile(r"^[A-Z]{2}$")


class CountryFileError(ValueError):
    """This is no country's file; the message says why, for a person. Nothing is added."""


@contextmanager
def opened(source: IO[bytes]) -> Iterator[IO[bytes]]:
    """The text of a country's file: the bytes themselves, or the one `XX.txt` in a zip. CountryFileError."""
    source.seek(0)
    packed = source.read(4) == b"PK\x03\x04"
    source.seek(0)
    with ExitStack() as stack:
        if not packed:
            yield source
            return
        try:
            zipfile = stack.enter_context(ZipFile(source))
            members = [each for each in zipfile.infolist() if _MEMBER.match(each.filename)]
        except (BadZipFile, ValueError, NotImplementedError) as error:
            raise CountryFileError("This zip is damaged. Download it again") from error
        if len(members) != 1:
            raise CountryFileError("The zip must hold one country's file, such as FR.txt")
        _unpacks(members[0])
        try:
            yield stack.enter_context(zipfile.open(members[0]))
        except (BadZipFile, NotImplementedError, EOFError) as error:
            raise CountryFileError("This zip is damaged. Download it again") from error


def _unpacks(member: ZipInfo) -> None:
    """Raises CountryFileError for what would fill the disk, or has a password."""
    if member.flag_bits & 1:
        raise CountryFileError("This zip has a password; GeoNames' have none")
    too_much = member.file_size > MOST_UNPACKED_BYTES
    if too_much or member.file_size > MOST_PACKED * max(member.compress_size, 1):
        raise CountryFileError("This zip unpacks to far more than a country's file has")


def country_rows(text: IO[bytes]) -> Iterator[TownRow]:
    """The towns of a country's file, one after the other. Raises CountryFileError at the first line that is
    no line of such a file, or where lines are of several countries.
    """
    country, taken, number, towns = "", 0, 0, 0
    while line := text.readline(LONGEST_LINE_BYTES + 1):
        number += 1
        taken += len(line)
        if len(line) > LONGEST_LINE_BYTES or taken > MOST_UNPACKED_BYTES:
            raise CountryFileError(f"Line {number} is longer than any line of a country's file")
        cells = _cells(line, number)
        if cells is None:
            continue
        country = country or cells[_COUNTRY]
        if not _CODE.match(cells[_COUNTRY]) or cells[_COUNTRY] != country:
            raise CountryFileError(
                f"Line {number} is of another country: give a file of one country, such as FR.txt"
            )
        row = _town(cells, number)
        if row is not None:
            towns += 1
            yield row
    if not towns:
        raise CountryFileError("It has no towns in it")


def _cells(line: bytes, number: int) -> list[str] | None:
    """The cells of a line; None for a blank one."""
    try:
        words = line.decode("utf-8-sig" if number == 1 else "utf-8").rstrip("\r\n")
    except UnicodeDecodeError as error:
        raise CountryFileError(f"Line {number} is not UTF-8 text, as GeoNames' files are") from error
    if not words.strip():
        return None
    cells = words.split("\t")
    if len(cells) != COUNTRY_FILE_COLUMNS or "\0" in words:
        raise CountryFileError(
            f"Line {number} has {len(cells)} column{'' if len(cells) == 1 else 's'}; "
            f"a country's file of GeoNames has {COUNTRY_FILE_COLUMNS}, with tabs between"
        )
    return cells


def _town(cells: list[str], number: int) -> TownRow | None:
    """The town of a line; None for a line about a river, a hill, a farm."""
    try:
        latitude, longitude = float(cells[_LATITUDE]), float(cells[_LONGITUDE])
        people = int(cells[_PEOPLE] or 0)
    except ValueError as error:
        raise CountryFileError(f"Line {number} has a position or a population that is no number") from error
    # A NaN is in no range.
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180 and 0 <= people < 10**9):
        raise CountryFileError(f"Line {number} has a position that is not on the earth")
    name = " ".join(cells[_NAME].split())[:LONGEST_PLACE_NAME]
    if cells[_KIND] != POPULATED_PLACE or not name:
        return None
    others = other_names(name, cells[_OTHERS].split(",")) if cells[_OTHERS] else ()
    return TownRow(name, cells[_COUNTRY], cells[_ADMIN1], "", latitude, longitude, people, others)
