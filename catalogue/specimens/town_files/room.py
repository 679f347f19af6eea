"""Where the lists of towns that the owner added lie: a file for each country, in the data folder."""

from pathlib import Path

from django.conf import settings

TOWN_ROOM = "towns"
IN_USE, LAID_ASIDE = "sqlite3", "aside"


def town_room() -> Path:
    """The folder of the lists that were added; it need not be there."""
    return Path(settings.DATA_DIR) / TOWN_ROOM


def paths_of(ending: str) -> list[Path]:
    """The lists that are in use, or that are laid aside."""
    return sorted(town_room().glob(f"[A-Z][A-Z].{ending}"))
