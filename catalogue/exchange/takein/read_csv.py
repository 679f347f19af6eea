"""A table as text (CSV, RFC 4180) as cells: its encoding and what parts its cells are found out."""

import codecs
import csv
import io
from collections.abc import Iterator

from catalogue.exchange.takeout.formulas import unquoted

from .sheet import LONGEST_SHEET_CELL, ReadSheet, SheetRefused, sheet_of

PARTED_BY_ONE_OF = (",", ";", "\t", "|")
LINES_LOOKED_AT = 50
# What no table as text begins with, and what it is instead.
OTHER_FILES = (
    (b"PK\x03\x04", "a zip or a newer spreadsheet"),
    (b"\xd0\xcf\x11\xe0", "an old or locked spreadsheet"),
    (b"%PDF", "a PDF"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x89PNG", "a picture"),
)


def read_csv(data: bytes) -> ReadSheet:
    """The cells. Raises SheetRefused."""
    text = text_of_bytes(data)
    if not text.strip():
        raise SheetRefused("This file is empty: nothing stands in it.")
    return sheet_of(_rows(text, delimiter_of(text)))


def text_of_bytes(data: bytes) -> str:
    """Text in UTF-8, UTF-16 or Windows' western letters (cp1252). Raises SheetRefused."""
    for start, what in OTHER_FILES:
        if data.startswith(start):
            raise SheetRefused(f"This is {what}, though its name says otherwise: name it by what it is.")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        ways = ["utf-16"]
    elif b"\x00" in data[:200]:
        ways = ["utf-16-le" if data[1:2] == b"\x00" else "utf-16-be"]
    else:
        ways = ["utf-8-sig", "cp1252"]
    for way in ways:
        try:
            text = data.decode(way)
        except UnicodeDecodeError:
            continue
        if "\x00" not in text:
            return text
    raise SheetRefused("Its letters can't be read: save it anew as CSV in UTF-8, or as XLSX.")


def delimiter_of(text: str) -> str:
    """What parts the cells: of the usual signs the one that gives most lines alike, then most cells."""
    best, chosen = (0, 0), ","
    for sign in PARTED_BY_ONE_OF:
        counts = []
        try:
            for row in csv.reader(io.StringIO(text[:100_000], newline=""), delimiter=sign):
                if row:
                    counts.append(len(row))
                if len(counts) >= LINES_LOOKED_AT:
                    break
        except csv.Error:
            continue
        usual = max(counts, key=counts.count, default=1)
        if usual > 1 and (rank := (counts.count(usual), usual)) > best:
            best, chosen = rank, sign
    return chosen


def _rows(text: str, sign: str) -> Iterator[tuple[int, list[str]]]:
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=sign)
    number = 0
    while True:
        number += 1
        try:
            row = next(rows)
        except StopIteration:
            return
        except csv.Error:
            raise SheetRefused(
                f"Row {number} can't be read: a cell of it has more than {LONGEST_SHEET_CELL:,} letters, or "
                "a quotation mark in it is never closed."
            ) from None
        yield number, [unquoted(cell) for cell in row]
