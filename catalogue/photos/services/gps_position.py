"""EXIF GPS position: where the camera stood, beside the picture's site, and taken over for it when asked."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.db.models import Q

from catalogue.common.positions import distance_km
from catalogue.photos.models import Photo
from catalogue.sites.models import Site


@dataclass(frozen=True, slots=True)
class CameraPosition:
    """`site` is the one the picture was taken at, if any; `away_m` how far from its position the camera was.

    `away_m` is None where the site has no position: then this one can be used for it.
    """

    latitude: float
    longitude: float
    site: Site | None
    away_m: float | None

    @property
    def can_be_used(self) -> bool:
        return self.site is not None and self.away_m is None


def site_of(photo: Photo) -> Site | None:
    """The site a picture belongs to, by its find, its dive or itself."""
    if photo.find:
        return photo.find.where_found
    if photo.dive:
        return photo.dive.site
    return photo.site


def camera_position_of(photo: Photo) -> CameraPosition | None:
    """None where the camera noted no position. For the owner's eyes only."""
    if photo.position is None:
        return None
    site = site_of(photo)
    away_m = None
    if site is not None and site.latitude is not None and site.longitude is not None:
        away_m = 1000 * distance_km(photo.position, (float(site.latitude), float(site.longitude)))
    return CameraPosition(*photo.position, site, away_m)


def offered_position(site: Site) -> Photo | None:
    """A picture taken at a site whose camera noted where; None where the site has its position already.

    Only offered: `use_position` takes it over when a person says so.
    """
    if site.latitude is not None:
        return None
    here = Q(site=site) | Q(dive__site=site) | Q(find__dive__site=site)
    loose = Q(find__dive__isnull=True, find__site=site)
    with_position = Photo.objects.filter(latitude__isnull=False, longitude__isnull=False)
    offered: Photo | None = with_position.filter(here | loose).in_order().first()
    return offered


@transaction.atomic
def use_position(photo: Photo) -> Site:
    """Give the picture's position to the site it was taken at.

    Raises ValueError where there is no position, no site, or a site that has its position already: what a
    person wrote down is never overwritten by a camera.
    """
    of = site_of(photo)
    if photo.position is None or of is None:
        raise ValueError("This picture carries no position that could be used for a site.")
    site: Site = Site.objects.select_for_update().get(pk=of.pk)
    if site.latitude is not None:
        raise ValueError(f"{site} has a position already: change it on the site's own page.")
    site.latitude, site.longitude = (Decimal(f"{value:.6f}") for value in photo.position)
    site.save(update_fields=["latitude", "longitude"])
    return site
