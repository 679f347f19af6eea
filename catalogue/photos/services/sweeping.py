"""What nobody claimed, and files that no row speaks of any more."""

from datetime import timedelta
from pathlib import Path

from django.apps import apps
from django.utils import timezone

from catalogue.photos import files
from catalogue.photos.models import HeldPicture
from catalogue.photos.models.facts import PictureFacts

HELD_FOR = timedelta(days=7)
# A file is written before its row: only one that has lain without a row for a day is left over.
ORPHAN_AFTER_S = 24 * 3600


def sweep() -> int:
    """Let go of held pictures after a week and remove files left over. Returns how many files went."""
    HeldPicture.objects.filter(created__lt=timezone.now() - HELD_FOR).delete()
    return sum(files.remove_if_old(path, ORPHAN_AFTER_S) for path in orphans())


def orphans() -> list[Path]:
    """Files of pictures that no row needs, however young; later rooms keep rows of pictures of their own."""
    needed = {
        sha256
        for model in apps.get_models()
        if issubclass(model, PictureFacts)
        for sha256 in model._base_manager.values_list("sha256", flat=True)
    }
    return [
        path for path in files.stored() if path.suffix == ".part" or files.digest_in_name(path) not in needed
    ]
