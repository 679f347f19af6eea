"""Names of picture files in a cell, and what a picture is known by."""

import re


def picture_names(cell: str) -> list[str]:
    """File names, parted by semicolons, bars, line ends, or commas with a space."""
    return [name for part in re.split(r"[;|\n]|, ", cell) if (name := part.strip())]


def picture_key(name: str) -> str:
    """What a picture is known by: the last part of its name, whatever its case."""
    return name.replace("\\", "/").rsplit("/", 1)[-1].strip().casefold()
