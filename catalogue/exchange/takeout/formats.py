"""The formats that finds are taken out in: what each is called, and how it is written."""

import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import IO

from .csv_file import csv_lines
from .geojson import geojson_parts
from .gpx import gpx_parts
from .json_ld import json_ld_parts
from .lido import lido_parts
from .ods_file import ODS_TYPE, write_ods
from .rows import FindRow, rows_of
from .xlsx_file import write_xlsx

BYTES_A_PART = 64 * 1024


@dataclass(frozen=True, slots=True)
class OpenFormat:
    """`parts` writes rows as a file, in parts that can be sent one after the other."""

    key: str
    label: str
    help_text: str
    ending: str
    content_type: str
    parts: Callable[[Iterable[FindRow], bool], Iterator[bytes]]


def _csv(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _together(csv_lines(rows, public=public))


def _xlsx(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _packed(lambda file: write_xlsx(rows, file, public=public))


def _ods(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _packed(lambda file: write_ods(rows, file, public=public))


def _packed(write: Callable[[IO[bytes]], None]) -> Iterator[bytes]:
    # A zip's list of contents stands at its end: it is made whole first, beside the memory.
    with tempfile.TemporaryFile() as file:
        write(file)
        file.seek(0)
        while part := file.read(BYTES_A_PART):
            yield part


def _geojson(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _together(geojson_parts(rows, public=public))


def _gpx(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _together(gpx_parts(rows))


def _json_ld(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _together(json_ld_parts(rows, public=public))


def _lido(rows: Iterable[FindRow], public: bool) -> Iterator[bytes]:
    return _together(lido_parts(rows))


def _together(lines: Iterable[str]) -> Iterator[bytes]:
    """Short pieces of text as UTF-8, some thousand characters at once."""
    waiting: list[str] = []
    length = 0
    for line in lines:
        waiting.append(line)
        length += len(line)
        if length >= BYTES_A_PART:
            yield "".join(waiting).encode("utf-8", errors="replace")
            waiting, length = [], 0
    if waiting:
        yield "".join(waiting).encode("utf-8", errors="replace")


OPEN_FORMATS = {
    each.key: each
    for each in (
        OpenFormat(
            "xlsx",
            "Spreadsheet (XLSX)",
            "One row a find; sizes and years are numbers, days are days.",
            "xlsx",
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            _xlsx,
        ),
        OpenFormat(
            "ods",
            "Spreadsheet (ODS)",
            "The same rows in the open format of documents (ISO 26300).",
            "ods",
            ODS_TYPE,
            _ods,
        ),
        OpenFormat(
            "csv",
            "Table as text (CSV)",
            "The same rows as plain text, which nearly every program reads.",
            "csv",
            "text/csv; charset=utf-8",
            _csv,
        ),
        OpenFormat(
            "geojson",
            "Map with finds (GeoJSON)",
            "A point for each find where it lay, with all that is said of it, for map programs.",
            "geojson",
            "application/geo+json",
            _geojson,
        ),
        OpenFormat(
            "gpx",
            "Places for a GPS device (GPX)",
            "A waypoint for each place, with the numbers of the finds from there.",
            "gpx",
            "application/gpx+xml",
            _gpx,
        ),
        OpenFormat(
            "json-ld",
            "Linked data (JSON-LD)",
            "In the words of schema.org and Dublin Core, for search engines and scripts.",
            "jsonld",
            "application/ld+json",
            _json_ld,
        ),
        OpenFormat(
            "lido",
            "Museum records (LIDO 1.1)",
            "The form in which museums pass records on.",
            "xml",
            "application/xml",
            _lido,
        ),
    )
}


def taken_out(keys: Sequence[int], written_as: OpenFormat, *, public: bool) -> Iterator[bytes]:
    """The file of these finds, part by part."""
    return written_as.parts(rows_of(keys, public=public), public)
