"""Lists of towns that the owner added, in a backup: which countries they are of, and a look at each."""

import sqlite3
from collections.abc import Iterable
from pathlib import Path

from catalogue.exchange.backup.bagit import BagError
from catalogue.exchange.backup.payload import FILES_PREFIX
from catalogue.specimens.town_files.room import IN_USE, TOWN_FILE, country_of, paths_of
from catalogue.specimens.town_files.store import check_list


def countries_in(paths: Iterable[str]) -> list[str]:
    """Countries whose lists are looked up, of a backup's paths."""
    found = (TOWN_FILE.fullmatch(path.removeprefix(FILES_PREFIX)) for path in paths)
    return sorted({one[1] for one in found if one and one[2] == IN_USE})


def check_lists(root: Path, paths: Iterable[str]) -> None:
    """Look at each list below `root`, where it was unpacked. Raises BagError for what is none."""
    for path in paths:
        below = path.removeprefix(FILES_PREFIX)
        if TOWN_FILE.fullmatch(below):
            try:
                check_list(root / below)
            except (sqlite3.Error, OSError, KeyError) as error:
                raise BagError(f"its file {path} is no list of towns ({error})") from None


def lists_words(countries: list[str]) -> str:
    """What a restore says of them, beginning with a space; empty where no list was added, here or there."""
    if countries:
        many = "s" if len(countries) > 1 else ""
        return f" Added list{many} of towns: {', '.join(countries)}."
    if here := sorted({country_of(path) for path in paths_of(IN_USE)}):
        return (
            f" It has no added list of towns; those added here ({', '.join(here)}) go with what is here now."
        )
    return ""
