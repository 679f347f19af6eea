"""Rows and headings known again: by digests of their cells, and a cell by what the catalogue wrote."""

import hashlib
import json
from collections.abc import Sequence

from catalogue.common.text import folded
from catalogue.exchange.takeout.xlsx_file import CUT_SHORT

from .sheet import ReadSheet


def same_cell(cell: str, stored: str) -> bool:
    """Whether a cell is what the catalogue wrote, or its beginning where a cell could not hold it all."""
    if cell == stored or " ".join(cell.split()) == " ".join(stored.split()):
        return True
    cut = CUT_SHORT.strip()
    return cell.endswith(cut) and stored.startswith(cell.removesuffix(cut).rstrip())


def digests_of(sheet: ReadSheet) -> list[str]:
    """A digest of each row by its headings and cells; of rows that are alike, each has its own."""
    seen: dict[str, int] = {}
    digests = []
    for row in sheet.rows:
        pairs = sorted((folded(h), cell) for h, cell in zip(sheet.headings, row.cells, strict=True) if cell)
        plain = json.dumps(pairs, ensure_ascii=False)
        count = seen[plain] = seen.get(plain, 0) + 1
        digests.append(hashlib.sha256(f"{count} {plain}".encode()).hexdigest())
    return digests


def headings_digest(headings: Sequence[str]) -> str:
    """What a set of headings is known by, whatever their order."""
    return hashlib.sha256(json.dumps(sorted(map(folded, headings))).encode()).hexdigest()
