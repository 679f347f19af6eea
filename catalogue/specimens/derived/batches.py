"""Rows of a large catalogue are read and written so many at a time."""

from collections.abc import Collection, Iterator
from typing import TypeVar

BATCH = 500
_Key = TypeVar("_Key", int, str, tuple[str, int])


def batches_of(keys: Collection[_Key], size: int = BATCH) -> Iterator[list[_Key]]:
    """The keys in order, so many at a time: no query names more than a store takes."""
    ordered = sorted(keys)
    for start in range(0, len(ordered), size):
        yield ordered[start : start + size]
