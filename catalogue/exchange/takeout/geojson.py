"""Finds as GeoJSON (RFC 7946): a point where each lay, longitude first, WGS 84; null where it isn't known."""

import json
from collections.abc import Iterable, Iterator
from typing import Any

from .plain_values import plain_values
from .rows import FindRow


def geojson_parts(rows: Iterable[FindRow], *, public: bool) -> Iterator[str]:
    """One collection, a feature a find."""
    yield '{"type": "FeatureCollection", "features": ['
    between = "\n"
    for row in rows:
        yield between + json.dumps(_feature(row, public=public), ensure_ascii=False)
        between = ",\n"
    yield "\n]}\n"


def _feature(row: FindRow, *, public: bool) -> dict[str, Any]:
    said: dict[str, Any] = plain_values(row, public=public)
    latitude, longitude = said.pop("latitude", None), said.pop("longitude", None)
    known = latitude is not None and longitude is not None
    point = {"type": "Point", "coordinates": [longitude, latitude]} if known else None
    return {"type": "Feature", "id": row.number, "geometry": point, "properties": said}
