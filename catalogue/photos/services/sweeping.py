"""What nobody claimed, and files that no row speaks of any more."""

from datetime import timedelta
from pathlib import Path

from django.utils import timezone

from catalogue.photos import files
from catalogue.photos.models import HeldPicture, Photo

HELD_FOR = timedelta(days=7)
# A file is written before its row: only one that has lain without a row for a day is left over.
ORPHAN_AFTER_S = 24 * 3600


def sweep() -> int:
    """Let go of held pictures after a week and remove files left over. Returns how many files went."""
    HeldPicture.objects.filter(created__lt=timezone.now() - HELD_FOR).delete()
    return sum(files.remove_if_old(path, ORPHAN_AFTER_S) for path in orphans())


def orphans() -> list[Path]:
    """Files of pictures that no row needs, however young."""
    needed = set(Photo.everything.values_list("sha256", flat=True))
    needed.update(HeldPicture.objects.values_list("sha256", flat=True))
    return [
        path for path in files.stored() if path.suffix == ".part" or files.digest_in_name(path) not in needed
    ]
