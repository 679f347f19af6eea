"""Are all originals still what they were? What is missing, and what is left over?"""

from dataclasses import dataclass, field
from pathlib import Path

from . import files
from .making import make_and_note
from .models import HeldPicture, Photo
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
    photos = Photo.everything.order_by("sha256").values_list("sha256", "format").distinct()
    held = HeldPicture.objects.values_list("sha256", "format").distinct()
    for sha256, kind in sorted({*photos, *held}):
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


def subjects(sha256: str) -> str:
    """Whose picture it is, in words."""
    photos = Photo.everything.filter(sha256=sha256).select_related("find", "dive__site", "site", "place")
    of = [f"{photo.subject}, {photo.get_role_display()} ({photo.original_name})" for photo in photos]
    return "; ".join(of) or "a picture of a form not saved yet"
