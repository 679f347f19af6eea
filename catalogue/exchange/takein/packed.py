"""Spreadsheets that are zips of XML, opened with care: nothing that unpacks without bound, no DTD."""

import io
import lzma
import zipfile
import zlib
from typing import IO
from xml.parsers import expat

from .sheet import SheetRefused

MOST_UNPACKED = 250 * 1024 * 1024
MOST_PARTS = 2_000
# What unpacking raises for broken bytes.
UNPACKING_FAILED = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError),
    *(NotImplementedError, RuntimeError, EOFError, OSError, ValueError),
)
SHEET_DAMAGED = "This file is cut short or damaged: open it in a spreadsheet program and save it anew."


def open_packed(data: bytes) -> zipfile.ZipFile:
    """The zip, whose parts say that they unpack to a bearable size; reading never goes past what they say.

    Raises SheetRefused.
    """
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise SheetRefused(
            "This is an old spreadsheet (XLS), or one that is locked with a password: save it as XLSX "
            "without a password."
        )
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError, EOFError):
        raise SheetRefused(
            "This is no spreadsheet, though its name says so: save it as XLSX, ODS or CSV."
        ) from None
    parts = archive.infolist()
    if len(parts) > MOST_PARTS or len({part.filename for part in parts}) < len(parts):
        raise SheetRefused("This file has parts that no spreadsheet program makes: it was not opened.")
    if any(part.flag_bits & 1 for part in parts):
        raise SheetRefused("This file is locked with a password: save it without one.")
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise SheetRefused(
            f"This file unpacks to more than {MOST_UNPACKED // 1024 // 1024} MB: take out its pictures, or "
            "part it into several."
        )
    return archive


class _Begun(Exception):
    pass


def refuse_document_type(file: IO[bytes]) -> None:
    """Raise SheetRefused for XML with a document type, which alone can name entities and other files."""
    parser = expat.ParserCreate()
    found = False

    def told(*_: object) -> None:
        nonlocal found
        found = True
        raise _Begun

    def begun(*_: object) -> None:
        raise _Begun

    parser.StartDoctypeDeclHandler = told
    parser.StartElementHandler = begun
    try:
        while part := file.read(8_192):
            parser.Parse(part)
    except _Begun:
        pass
    except expat.ExpatError:
        raise SheetRefused(SHEET_DAMAGED) from None
    if found:
        raise SheetRefused("This file unfolds itself or leads to others, as no spreadsheet does: not opened.")
