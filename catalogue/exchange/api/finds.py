"""Finds and pictures as programs read them: the columns of the take-out by their names, and pictures."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from catalogue.exchange.takeout.columns import columns_for
from catalogue.exchange.takeout.plain_values import plain_value
from catalogue.exchange.takeout.rows import rows_of
from catalogue.giving.told import hold_words_back
from catalogue.photos.files import SIZES_PX
from catalogue.photos.models import Photo
from catalogue.photos.models.photo import PhotoQuerySet
from catalogue.specimens.models import Specimen

# Where a picture of that key and size is read; the page that answers there is named so.
PICTURE_ADDRESS = "/api/v1/pictures/{}/{}.jpg"
LARGEST = list(SIZES_PX)[-1]
# Visitors' programs get no position, also of sites shown exactly: their owner opened a name, not a chart.
OWNERS_ALONE = ("latitude", "longitude", "uncertainty_m")


def find_values(keys: Sequence[int], *, public: bool) -> list[dict[str, Any]]:
    """The finds of these keys, in their order. Eight queries at most, however many."""
    names = [each.name for each in columns_for(public=public) if not public or each.name not in OWNERS_ALONE]
    pictures = _pictures_of(keys, public=public)
    numbers = dict(Specimen.objects.filter(pk__in=keys).values_list("number", "pk"))
    found = []
    for row in rows_of(keys, public=public):
        shown = {name: value_or_null(getattr(row, name)) for name in names}
        page = {"page": f"/finds/{row.number}/", "pictures": pictures[numbers.get(row.number, 0)]}
        found.append(shown | page)
    return found


def value_or_null(value: Any) -> Any:
    """As JSON has it; null for what is not recorded, an empty list for none."""
    if value in (None, ""):
        return None
    return plain_value(value)


def photos_asked(*, public: bool) -> PhotoQuerySet:
    """The pictures that such a key may see."""
    return Photo.objects.for_visitors() if public else Photo.objects.all()


def photo_values(photos: Sequence[Photo], *, public: bool) -> list[dict[str, Any]]:
    """Pictures with what is written beside them. Four queries at most."""
    numbers = {find.pk: find for find in Specimen.objects.filter(pk__in={each.find_id for each in photos})}
    if public:
        hold_words_back(numbers.values(), photos)
    found = []
    for photo in photos:
        find = numbers.get(photo.find_id or 0)
        shown = {
            "id": photo.pk,
            "find": find.number if find else None,
            "role": photo.get_role_display(),
            "caption": photo.caption,
            "credit": photo.credit,
            "licence": photo.licence,
            "width": photo.width,
            "height": photo.height,
            **{size: PICTURE_ADDRESS.format(photo.pk, size) for size in SIZES_PX},
        }
        if not public:
            shown |= {
                "dive_id": photo.dive_id,
                "site_id": photo.site_id,
                "place_id": photo.place_id,
                "source": photo.source,
                "shown_to_visitors": photo.opened or not photo.is_private,
                "sha256": photo.sha256,
                "bytes": photo.bytes,
                "taken_on_the_spot": value_or_null(photo.taken_on_the_spot),
                "page": f"/photos/{photo.pk}/",
            }
        found.append({name: value_or_null(value) for name, value in shown.items()})
    return found


def _pictures_of(keys: Sequence[int], *, public: bool) -> dict[int, list[dict[str, Any]]]:
    by_find: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for photo in photos_asked(public=public).filter(find__in=keys).in_order():
        address = PICTURE_ADDRESS.format(photo.pk, LARGEST)
        if photo.find_id is not None:
            by_find[photo.find_id].append(
                {"id": photo.pk, "role": photo.get_role_display(), "address": address}
            )
    return by_find
