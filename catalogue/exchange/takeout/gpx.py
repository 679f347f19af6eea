"""Where finds lay as GPX 1.1: a waypoint a place, with the finds that lay there."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from .rows import FindRow
from .xml_text import XML_DECLARATION, Markup, element, element_if

GPX_NAMESPACE = "http://www.topografix.com/GPX/1/1"
NUMBERS_TOLD = 100


class Waypoint(NamedTuple):
    """Degrees, WGS 84; names as far as they are told."""

    latitude: float
    longitude: float
    site: str
    water_body: str
    uncertainty_m: int | None


def gpx_parts(rows: Iterable[FindRow]) -> Iterator[str]:
    """The file; places in the order of their first find. Finds whose place isn't known are not in it."""
    lay: dict[Waypoint, list[str]] = {}
    for row in rows:
        if row.latitude is not None and row.longitude is not None:
            where = Waypoint(row.latitude, row.longitude, row.site, row.water_body, row.uncertainty_m)
            lay.setdefault(where, []).append(row.number)
    yield f'{XML_DECLARATION}<gpx xmlns="{GPX_NAMESPACE}" version="1.1" creator="Siltmark">\n'
    yield element("metadata", element("name", "Where finds lay")) + "\n"
    for where, numbers in lay.items():
        yield _waypoint(where, numbers) + "\n"
    yield "</gpx>\n"


def _waypoint(where: Waypoint, numbers: list[str]) -> Markup:
    """The children stand in the order that the schema asks for."""
    # The schema's longitudes end before 180: the date line is its west side.
    longitude = -180.0 if where.longitude == 180.0 else where.longitude
    return element(
        "wpt",
        element("name", where.site or where.water_body or "place, rounded"),
        element_if("cmt", "" if where.uncertainty_m is None else f"uncertain by {where.uncertainty_m} m"),
        element("desc", _finds(numbers)),
        element("type", "finds"),
        attributes={"lat": f"{where.latitude:.6f}", "lon": f"{longitude:.6f}"},
    )


def _finds(numbers: list[str]) -> str:
    told, more = ", ".join(numbers[:NUMBERS_TOLD]), len(numbers) - NUMBERS_TOLD
    count = f"{len(numbers)} find{'' if len(numbers) == 1 else 's'}"
    return f"{count}: {told}{f' and {more} more' if more > 0 else ''}"
