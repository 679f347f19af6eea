"""The invented scenario: Velmoor Sound, its dives, its firms and its finds, as plain tables."""

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent


@lru_cache
def table(name: str) -> dict[str, Any]:
    """One file of the scenario."""
    with (FOLDER / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)


def documented() -> list[dict[str, Any]]:
    """Finds that somebody sat down with, each with the key its pictures are named by."""
    return [row | {"key": f"d{n:02d}"} for n, row in enumerate(table("finds_documented")["find"], 1)]


def backlog() -> list[dict[str, Any]]:
    """Finds of a few words."""
    return [row | {"key": f"b{n:02d}"} for n, row in enumerate(table("finds_backlog")["find"], 1)]
