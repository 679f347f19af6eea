"""GeoJSON after RFC 7946 and GPX after the order of its schema; nothing more exact than visitors may see."""

import json
import xml.etree.ElementTree as ET
from decimal import Decimal

import pytest

from catalogue.common.positions import distance_km
from catalogue.exchange.takeout.geojson import geojson_parts
from catalogue.exchange.takeout.gpx import gpx_parts
from catalogue.exchange.takeout.rows import FindRow, keys_of, rows_of
from catalogue.sites.queries import position_for_visitors
from catalogue.specimens.models import Specimen
from tests import factories

# wptType of GPX 1.1 (topografix.com/GPX/1/1/gpx.xsd): a sequence, so their order counts.
WAYPOINT = [
    "ele",
    "time",
    "magvar",
    "geoidheight",
    "name",
    "cmt",
    "desc",
    "src",
    "link",
    "sym",
    "type",
    "fix",
    "sat",
    "extensions",
]
GPX = "{http://www.topografix.com/GPX/1/1}"
LEDGE = FindRow(
    number="2024.1.1",
    what="Flask <b>&",
    site="Heron & Ledge",
    latitude=44.341667,
    longitude=-75.92,
    uncertainty_m=30,
    height_mm=Decimal("240.5"),
    mass_g=Decimal("512.0"),
)
NOWHERE = FindRow(number="2024.0.1", what="Jar")


def collection(rows: list[FindRow], *, public: bool = False):
    return json.loads("".join(geojson_parts(rows, public=public)))


def waypoints(rows: list[FindRow]) -> list[ET.Element]:
    return ET.fromstring("".join(gpx_parts(rows))).findall(f"{GPX}wpt")


def test_geojson_puts_longitude_first_and_null_where_nothing_is_known() -> None:
    whole = collection([LEDGE, NOWHERE])
    assert whole["type"] == "FeatureCollection" and "crs" not in whole
    first, second = whole["features"]
    assert first["type"] == "Feature" and first["id"] == "2024.1.1"
    assert first["geometry"] == {"type": "Point", "coordinates": [-75.92, 44.341667]}
    assert second["geometry"] is None and second["properties"]["what"] == "Jar"
    assert first["properties"]["height_mm"] == 240.5 and first["properties"]["mass_g"] == 512
    assert {"latitude", "longitude", "notes", "kind"}.isdisjoint(first["properties"])


def test_no_finds_is_an_empty_collection_and_a_gpx_without_waypoints() -> None:
    assert collection([]) == {"type": "FeatureCollection", "features": []}
    assert waypoints([]) == []


def test_gpx_has_one_waypoint_a_place_its_parts_in_the_order_of_the_schema() -> None:
    again = FindRow(**{name: getattr(LEDGE, name) for name in LEDGE.__slots__} | {"number": "2024.1.2"})
    [point] = waypoints([LEDGE, NOWHERE, again])
    assert (point.get("lat"), point.get("lon")) == ("44.341667", "-75.920000")
    order = [WAYPOINT.index(each.tag.removeprefix(GPX)) for each in point]
    assert order == sorted(order)
    assert point.findtext(f"{GPX}name") == "Heron & Ledge"
    assert point.findtext(f"{GPX}desc") == "2 finds: 2024.1.1, 2024.1.2"
    assert point.findtext(f"{GPX}cmt") == "uncertain by 30 m"


def test_the_date_line_is_the_west_side_in_gpx() -> None:
    """longitudeType of the schema: -180.0 ≤ value < 180.0."""
    [point] = waypoints([FindRow(number="1", what="Jar", latitude=0.0, longitude=180.0)])
    assert point.get("lon") == "-180.000000"


def public_rows(show_as: str) -> list[FindRow]:
    site = factories.site(
        "Tallow Cove",
        latitude=Decimal("44.341667"),
        longitude=Decimal("-75.923456"),
        uncertainty_m=12,
        water_body="Velmoor Sound",
        show_as=show_as,
    )
    factories.find(dive=factories.dive(site), shared=True, story="It lay in TALLOW  cove.")
    return list(rows_of(keys_of(Specimen.objects.all(), public=True), public=True))


def test_a_hidden_site_gives_nothing_and_words_that_tell_it_stay_at_home(db) -> None:
    [row] = public_rows("hidden")
    assert (row.latitude, row.longitude, row.uncertainty_m, row.site, row.water_body) == (None,) * 3 + (
        "",
        "",
    )
    assert row.story == ""
    assert collection([row], public=True)["features"][0]["geometry"] is None and waypoints([row]) == []


def test_a_rounded_site_is_the_middle_of_its_cell_and_says_how_far_that_may_be_off(db) -> None:
    [row] = public_rows("rounded")
    assert (row.latitude, row.longitude, row.site, row.water_body) == (44.35, -75.95, "", "Velmoor Sound")
    assert row.story == "" and "Tallow" not in "".join(geojson_parts([row], public=True))
    off = distance_km((44.35, -75.95), (44.341667, -75.923456)) * 1000
    assert row.uncertainty_m is not None and off < row.uncertainty_m < 10_000


def test_an_exact_site_is_told_as_its_setting_says(db) -> None:
    [row] = public_rows("exact")
    assert (row.latitude, row.longitude, row.uncertainty_m) == (44.341667, -75.923456, 12)
    assert row.site == "Tallow Cove" and row.story


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [("90", "180"), ("-90", "-180"), ("0", "0"), ("89.99", "179.99"), ("-0.01", "1")],
)
def test_a_cell_never_lies_beyond_the_earth_and_holds_its_spot(db, latitude: str, longitude: str) -> None:
    here = Decimal(latitude), Decimal(longitude)
    told = position_for_visitors(factories.site(latitude=here[0], longitude=here[1], show_as="rounded"))
    assert told is not None and abs(told[0]) <= 90 and abs(told[1]) <= 180 and told[2] is not None
    assert distance_km(told[:2], (float(here[0]), float(here[1]))) * 1000 <= told[2]
