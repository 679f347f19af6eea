"""Where the camera stood, as far as its note goes, and what the picture's site can make of it."""

from dataclasses import dataclass

from catalogue.common.positions import distance_km
from catalogue.sites.models import Site

from .models import Photo
from .services.positions import site_of


@dataclass(frozen=True, slots=True)
class Whereabouts:
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


def whereabouts_of(photo: Photo) -> Whereabouts | None:
    """None where the camera noted no position. For the owner's eyes only."""
    if photo.position is None:
        return None
    site = site_of(photo)
    away_m = None
    if site is not None and site.latitude is not None and site.longitude is not None:
        away_m = 1000 * distance_km(photo.position, (float(site.latitude), float(site.longitude)))
    return Whereabouts(*photo.position, site, away_m)
