"""A position that a camera noted, taken over for a site when a person says so."""

from decimal import Decimal

from django.db import transaction

from catalogue.photos.models import Photo
from catalogue.sites.models import Site


@transaction.atomic
def use_position(photo: Photo) -> Site:
    """Give the picture's position to the site it was taken at.

    Raises ValueError where there is no position, no site, or a site that has its position already: what a
    person wrote down is never overwritten by a camera.
    """
    site = site_of(photo)
    if photo.position is None or site is None:
        raise ValueError("This picture carries no position that could be used for a site.")
    site = Site.objects.select_for_update().get(pk=site.pk)
    if site.latitude is not None:
        raise ValueError(f"{site} has a position already: change it on the site's own page.")
    site.latitude, site.longitude = (Decimal(f"{value:.6f}") for value in photo.position)
    site.save(update_fields=["latitude", "longitude"])
    return site


def site_of(photo: Photo) -> Site | None:
    """The site a picture belongs to, by its find, its dive or itself."""
    if photo.find:
        return photo.find.where_found
    if photo.dive:
        return photo.dive.site
    return photo.site
