"""The clock set back, and far ahead, while it is used: the attack of that name, on a folder of ours."""

from pathlib import Path

from tests.attacks import clock_jumps
from tests.attacks._report import Report


def fault(room: Path, report: Report, moments: int) -> None:
    """Run it."""
    clock_jumps.attack(room, report)
