"""Measurement kept: a size of a find with its uncertainty, and the scale of the picture it was taken from."""

from decimal import Decimal

from django.db import transaction

from catalogue.photos.imaging import Measured
from catalogue.photos.models import MeasuredSize, Photo, PictureScale
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import keep_find


@transaction.atomic
def write_size(
    find: Specimen, column: str, mm: Decimal, found: Measured, photo: Photo, scale: PictureScale
) -> Specimen:
    """Set one size of a find, in mm, with its error, and keep the scale of the picture for the next size.

    Its history says how it came about.
    """
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    setattr(find, column, mm)
    reason = f"measured in picture {photo.pk}: {mm} mm ± {found.error_mm:.1f} mm"
    find._change_reason = reason  # type: ignore[attr-defined]  # the history reads it when the row is saved
    kept = keep_find(find, fields=[column])
    MeasuredSize.objects.update_or_create(
        find=find, column=column, defaults={"mm": mm, "error_mm": found.error_mm, "photo": photo}
    )
    names = ("left_1", "top_1", "left_2", "top_2", "length_mm", "coin")
    PictureScale.objects.update_or_create(
        photo=photo, defaults={name: getattr(scale, name) for name in names}
    )
    return kept
