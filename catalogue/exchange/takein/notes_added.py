"""Lines added to the notes of a find: what has no column of its own, or could not be read."""

from collections.abc import Sequence


def notes_with(before: str, lines: Sequence[str]) -> str:
    """Notes with these lines added, those that stand there already left out."""
    there = set(before.splitlines())
    added = [line for line in dict.fromkeys(lines) if line and not set(line.splitlines()) <= there]
    return "\n".join([*([before] if before else []), *added])
