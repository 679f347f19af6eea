"""Are all originals still what they were? What is missing, and what is left over?"""

from dataclasses import dataclass, field
from pathlib import Path

from django.apps import apps

from . import files
from .making import make_and_note
from .models import Photo
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


def every_original() -> set[tuple[str, str]]:
    """Digest and kind of every file that a row speaks of, whichever room keeps that row."""
    kinds = (model for model in apps.get_models() if issubclass(model, PictureFacts))
    return {pair for kind in kinds for pair in kind._base_manager.values_list("sha256", "format")}


def subjects(sha256: str) -> str:
    """Whose picture it is, in words."""
    photos = Photo.everything.filter(sha256=sha256).select_related("find", "dive__site", "site", "place")
    of = [f"{photo.subject}, {photo.get_role_display()} ({photo.original_name})" for photo in photos]
    return "; ".join(of) or "a picture that is not filed yet, or of another room"
