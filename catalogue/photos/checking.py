"""Are all originals still what they were? What is missing, and what is left over?"""

from dataclasses import dataclass, field
from pathlib import Path

from django.apps import apps

from . import files
from .making import make_and_note
from .models.facts import PictureFacts
from .services.sweeping import orphans


@dataclass(slots=True)
class Report:
    """What `check_pictures` found. `missing` and `damaged` name digests and what they are pictures of."""

    checked: int = 0
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    sizes_made: int = 0
    left_over: list[Path] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        return not self.missing and not self.damaged


def check_pictures() -> Report:
    """Compare every original with its digest and make the sizes that are missing. Removes nothing."""
    report = Report()
    for sha256, kind in sorted(every_original()):
        report.checked += 1
        try:
            whole = files.digest_of(files.original(sha256, kind)) == sha256
        except OSError:
            report.missing.append(f"{subjects(sha256)}: its file is gone")
            continue
        if not whole:
            report.damaged.append(f"{subjects(sha256)}: its file is not what was taken in")
        elif not files.has_sizes(sha256):
            report.sizes_made += make_and_note(sha256, kind)
    report.left_over = orphans()
    return report


def rooms() -> list[type[PictureFacts]]:
    """Every kind of row that speaks of a picture's file; later rooms keep kinds of their own."""
    return [model for model in apps.get_models() if issubclass(model, PictureFacts)]


def every_original() -> set[tuple[str, str]]:
    """Digest and kind of every file that a row speaks of, the bin included, whichever room keeps that row."""
    return {pair for kind in rooms() for pair in kind._base_manager.values_list("sha256", "format")}


def subjects(sha256: str) -> str:
    """Whose picture it is, in words: a row of any room, and under which name it came."""
    rows = (row for kind in rooms() for row in kind._base_manager.filter(sha256=sha256))
    return "; ".join(
        f"{row.of_words()} ({row.original_name})" if row.original_name else row.of_words() for row in rows
    )
