"""Rows of a large catalogue are read and written so many at a time."""

from collections.abc import Collection, Iterator

BATCH = 500


def batches_of(keys: Collection[int], size: int = BATCH) -> Iterator[list[int]]:
    """The keys in order, so many at a time: no query names more than a store takes."""
    ordered = sorted(keys)
    for start in range(0, len(ordered), size):
        yield ordered[start : start + size]
