"""A camera's position: offered for the site, taken over only when a person says so."""

from datetime import date

import pytest

from catalogue.photos.services import put_in_bin, take_in, use_position
from catalogue.photos.services.gps_position import offered_position
from catalogue.sites.models import Dive
from catalogue.sites.services import log_dive
from tests.photos.conftest import a_find
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload


def located(tint: int = 0):
    return upload(encoded(picture(tint=tint), exif=exif(gps=GPS)))


def test_nothing_is_copied_by_itself_and_the_offer_ends_once_taken(site):
    photo = take_in(located(), subject=site)
    site.refresh_from_db()
    assert site.latitude is None
    assert offered_position(site) == photo
    use_position(photo)
    site.refresh_from_db()
    assert (float(site.latitude), float(site.longitude)) == (44.341667, -75.92)
    assert offered_position(site) is None


def test_pictures_of_the_sites_dives_and_finds_are_offered_too(site):
    dive = log_dive(Dive(site=site, date=date(2024, 8, 14)))
    for n, subject in enumerate((dive, a_find(1, dive=dive), a_find(2, site=site))):
        photo = take_in(located(n), subject=subject)
        assert offered_position(site) == photo
        put_in_bin(photo)
        assert offered_position(site) is None
    use_position(photo)
    site.refresh_from_db()
    assert site.latitude is not None


def test_a_dives_picture_gives_its_position_to_the_dives_site(site):
    photo = take_in(located(), subject=log_dive(Dive(site=site, date=date(2024, 8, 14))))
    assert use_position(photo) == site


def test_a_picture_without_position_or_without_site_gives_none(site, find):
    assert offered_position(site) is None
    for photo in (take_in(jpeg(), subject=site), take_in(located(), subject=find)):
        with pytest.raises(ValueError, match="no position"):
            use_position(photo)
