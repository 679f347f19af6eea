"""What visitors can work out of where a piece lay: non-interference, over every address they are shown.

Whatever visitors are told stays the same, to the byte, when the site is moved within what its setting hides.
So no distance, bearing, order by nearness or number in a page's source can tell more than that.
"""

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client, override_settings
from PIL import Image

from catalogue.common.positions import PUBLIC_STEP, to_public
from catalogue.giving.slip import slip_words
from catalogue.photos.services import take_in
from catalogue.sites.models import Site
from catalogue.sites.queries import place_for_visitors
from catalogue.specimens.models import Specimen, Town
from tests.access.address_table import rows
from tests.access.example_rows import Examples, made_examples
from tests.photos.drawn import GPS, encoded, exif, picture, upload

SHOWN = [row.address for row in rows() if row.visitor in ("shown", "form")]
# Of the cell that holds the first: near its corners and its middle.
WITHIN_ONE_CELL = [(44.51, -67.28), (44.5000001, -67.2999999), (44.599, -67.201), (44.55, -67.25)]
ANYWHERE = [*WITHIN_ONE_CELL, (44.61, -67.28), (-12.3, 130.9), (0.0, 0.0)]
# Different at each look: the order of the policy's rules, and the token of forms with what follows from it.
CHANGING = {"Content-Security-Policy", "Content-Length", "ETag"}
CSRF_TOKEN = re.compile(rb"\b[A-Za-z0-9]{64}\b")
# Numbers that say how far or in which direction, however they are written.
TELLS = re.compile(
    r"\b\d[\d.,]*\s*(km|miles?|mi|nm|nautical|metres away|m away)\b|\bnearest (town|site)\b|\bbearing\b",
    re.I,
)


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Examples, Path]:
    return module_pictures(_with_a_town)


def _with_a_town() -> Examples:
    """The rows, with a position of the town, so that there is a distance, and a picture that says where."""
    made = made_examples()
    Town.objects.update(latitude=44.9, longitude=-67.9)
    taken = upload(encoded(picture(320, 240, tint=90), exif=exif(gps=GPS, taken="2024:06:01 09:00:00")))
    take_in(taken, subject=Specimen.objects.for_visitors().first())
    return made


@pytest.fixture
def examples(made: tuple[Examples, Path], db: None) -> Iterator[Examples]:
    with override_settings(DATA_DIR=made[1], MEDIA_ROOT=made[1] / "files"):
        yield made[0]


def told(examples: Examples, **of_site: object) -> dict[str, bytes]:
    """All that a visitor is told, by address, with the site's columns set so; and the slip's words."""
    Site.objects.update(**of_site)
    find = Specimen.objects.for_visitors().get()
    heard = {"slip": repr(slip_words(find)).encode()}
    for address in SHOWN:
        said = Client().get(examples.fill(address))
        assert said.status_code == 200, address
        headers = {name: value for name, value in said.headers.items() if name not in CHANGING}
        heard[address] = CSRF_TOKEN.sub(b"", said.content) + repr(sorted(headers.items())).encode()
    return heard


def differing(one: dict[str, bytes], other: dict[str, bytes]) -> list[tuple[str, bytes]]:
    """Addresses that tell something else, with what they tell from there on."""
    found = []
    for address, heard in one.items():
        if heard != other[address]:
            at = next((n for n, (a, b) in enumerate(zip(heard, other[address], strict=False)) if a != b), 0)
            found.append((address, other[address][max(0, at - 40) : at + 40]))
    return found


def test_a_hidden_site_tells_nothing_at_all(examples: Examples) -> None:
    first, *others = [
        told(examples, show_as="hidden", latitude=lat, longitude=lon, name=f"Site {n}", water_body="Sound")
        for n, (lat, lon) in enumerate(ANYWHERE)
    ]
    for other in others:
        assert differing(first, other) == []
    nowhere = told(examples, show_as="hidden", latitude=None, longitude=None, name="Cove", water_body="Sound")
    assert nowhere == first


def test_of_a_hidden_site_the_slip_tells_the_water_and_no_page_does(examples: Examples) -> None:
    """Whoever is given a piece reads from which water it came, but for one that is named as the site is."""
    told_of_it = told(examples, show_as="hidden", name="Tallow Cove", water_body="Velmoor Sound")
    assert b"Velmoor Sound" in told_of_it.pop("slip")
    assert not [address for address, heard in told_of_it.items() if b"Velmoor" in heard]
    same = told(examples, show_as="hidden", name="Tallow Cove", water_body="Tallow  cove, north")
    assert b"allow" not in same["slip"]


def test_a_rounded_site_tells_its_cell_and_no_more(examples: Examples) -> None:
    first, *others = [
        told(examples, show_as="rounded", latitude=lat, longitude=lon, name=f"Site {n}")
        for n, (lat, lon) in enumerate(WITHIN_ONE_CELL)
    ]
    for other in others:
        assert differing(first, other) == []
    # The check can fail: the next cell is another answer.
    assert told(examples, show_as="rounded", latitude=44.61, longitude=-67.28) != first


def test_a_site_shown_exactly_tells_its_name_and_water_but_no_position(examples: Examples) -> None:
    first, *others = [
        told(
            examples,
            show_as="exact",
            latitude=lat,
            longitude=lon,
            name="Tallow Cove",
            water_body="Velmoor Sound",
        )
        for lat, lon in ANYWHERE
    ]
    for other in others:
        assert differing(first, other) == []
    assert b"It lay in: Tallow Cove, Velmoor Sound." in first["finds/<number:number>/"]


@pytest.mark.parametrize("show_as", Site.ShowAs.values)
def test_no_page_tells_a_distance_or_a_direction(examples: Examples, show_as: str) -> None:
    for address, heard in told(examples, show_as=show_as).items():
        if not heard.startswith((b"\xff\xd8", b"RIFF")):
            assert not TELLS.search(heard.decode()), address
    assert TELLS.search("41 km from where it lay") and TELLS.search("the nearest town")


def test_the_owner_is_told_what_visitors_are_kept_from(examples: Examples, owner_client: Client) -> None:
    """Else the checks above would pass on a catalogue that knows no distance."""
    page = owner_client.get(examples.fill("finds/<number:number>/")).content.decode()
    assert re.search(r"\d+ km from there", page)


@pytest.mark.parametrize("size", ["small", "medium", "large"])
def test_a_picture_that_visitors_get_notes_neither_place_nor_time(examples: Examples, size: str) -> None:
    find = Specimen.objects.for_visitors().get()
    photo = find.photos.latest("pk")
    original = Path(settings.MEDIA_ROOT) / "originals" / photo.sha256[:2] / f"{photo.sha256}.jpg"
    with Image.open(original) as kept:
        assert kept.getexif().get_ifd(0x8825), "the original says where it was taken"
    said = Client().get(f"/photos/{photo.pk}/{size}.jpg")
    shown = Image.open(io.BytesIO(said.content))
    assert not shown.getexif() and not set(shown.info) & {"exif", "xmp", "comment", "photoshop"}


@pytest.mark.parametrize("lat", [-89.99, -44.51, -0.04, 0.0, 0.04, 44.5, 44.51, 44.599999, 89.95])
@pytest.mark.parametrize("lon", [-179.95, -67.28, 0.06, 67.3, 179.99])
def test_the_place_that_is_told_is_the_middle_of_a_cell_that_holds_the_site(lat: float, lon: float) -> None:
    """Read back from the words alone, by other arithmetic: whole minutes, half a cell away at the most."""
    site = Site(name="Cove", show_as="rounded", latitude=lat, longitude=lon)
    degrees = re.findall(r"(\d+)° (\d+)′ ([NSEW])", place_for_visitors(site))
    values = [(int(d) + int(m) / 60) * (-1 if side in "SW" else 1) for d, m, side in degrees]
    for value, true in zip(values, (lat, lon), strict=True):
        assert abs(value - true) <= PUBLIC_STEP / 2 + 1e-6
        # in minutes the cells are 6 wide, so that their middles lie at 3, 9, 15 …
        assert round(abs(value) * 60) % 6 == 3
    assert values == pytest.approx([to_public(lat), to_public(lon)])
