"""Small makers of records for tests; every word is invented."""

import datetime
from typing import Any

from catalogue.common.text import free_slug
from catalogue.people.models import Person
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.models import Dive, Site
from catalogue.sites.services import keep_site, log_dive
from catalogue.specimens.models import Bottler, Maker, MarkReading, OwnCode, OwnMark, Product, Specimen, Town
from catalogue.specimens.services import Parts, keep_find
from catalogue.specimens.services.makers import keep_maker


def site(name: str = "Heron Ledge", **given: Any) -> Site:
    return keep_site(Site(name=name, **given))


def dive(at: Site | None = None, date: datetime.date = datetime.date(2024, 6, 1), **given: Any) -> Dive:
    at = at or Site.objects.filter(name="Heron Ledge").first() or site()
    return log_dive(Dive(site=at, date=date, **given))


def place(name: str = "Hall case", parent: Place | None = None, **given: Any) -> Place:
    return keep_place(Place(name=name, parent=parent, **given))


def person(name: str = "Ansel Quick") -> Person:
    return Person.objects.create(name=name, reach="by the boat shed")


def town(name: str = "Marrowby", **given: Any) -> Town:
    return Town.objects.create(name=name, slug=free_slug(Town, name), **given)


def bottler(name: str = "Quill & Sons", **given: Any) -> Bottler:
    return Bottler.objects.create(name=name, slug=free_slug(Bottler, name), **given)


def product(name: str = "Quill's ginger beer", **given: Any) -> Product:
    return Product.objects.create(name=name, slug=free_slug(Product, name), **given)


def find(what: str = "Aqua soda bottle", parts: Parts | None = None, **given: Any) -> Specimen:
    return keep_find(Specimen(what=what, **given), parts)


def reading(letters: str = "BW", **given: Any) -> MarkReading:
    return MarkReading(letters=letters, **given)


def brackwater(**given: Any) -> Maker:
    """A maker of one digit in the year, its mark used through three decades."""
    return keep_maker(
        Maker(name="Brackwater Bottle Company", place="Port Ellarn", **given),
        marks=[OwnMark(letters="BW", frame="none", symbol="wave", from_year=1922, to_year=1950)],
        codes=[OwnCode(kind="last-digit", position="right", valid_from=1922, valid_to=1950)],
    )
