"""Finds as JSON-LD 1.1 in the words of schema.org and of Dublin Core; what these have no word for stands as
named values.

A maker that is only likely is never given as the maker: it is a named value that says how sure.
"""

import json
from collections.abc import Iterable, Iterator
from typing import Any

from .columns import columns_for
from .plain_values import plain_value
from .rows import FindRow

CONTEXT = {
    "schema": "https://schema.org/",
    "dcterms": "http://purl.org/dc/terms/",
    "dcmitype": "http://purl.org/dc/dcmitype/",
    "edtf": "http://id.loc.gov/datatypes/edtf/",
}
# Sizes that schema.org has a word for, with the unit's code of UN/ECE Recommendation 20.
SCHEMA_SIZES = {
    "height_mm": ("schema:height", "MMT"),
    "diameter_mm": ("schema:width", "MMT"),
    "mass_g": ("schema:weight", "GRM"),
}
# Said by a word of the two, so not again as a named value.
_SAID = {
    "number", "what", "kind", "colour", "product", "story", "made_edtf", "made", "site", "water_body",
    "latitude", "longitude", "uncertainty_m", *SCHEMA_SIZES,
}  # fmt: skip


def json_ld_parts(rows: Iterable[FindRow], *, public: bool) -> Iterator[str]:
    """One document: its context, then a node a find."""
    yield f'{{"@context": {json.dumps(CONTEXT)}, "@graph": ['
    between = "\n"
    for row in rows:
        yield between + json.dumps(_node(row, public=public), ensure_ascii=False)
        between = ",\n"
    yield "\n]}\n"


def _node(row: FindRow, *, public: bool) -> dict[str, Any]:
    node: dict[str, Any] = {
        "@id": f"#{row.number}",
        "@type": ["schema:IndividualProduct", "dcmitype:PhysicalObject"],
        "dcterms:identifier": row.number,
        "schema:name": row.what,
        "dcterms:title": row.what,
        "schema:category": row.kind,
        "schema:color": row.colour,
        "schema:brand": _named("schema:Brand", row.product),
        "schema:description": row.story,
        "dcterms:description": row.story,
        "dcterms:created": {"@type": "edtf:EDTF", "@value": row.made_edtf} if row.made_edtf else None,
        "dcterms:temporal": row.made,
        "dcterms:spatial": _place(row),
    }
    if row.maker and row.maker_probability is None:
        node["schema:manufacturer"] = _named("schema:Organization", row.maker)
        node["dcterms:creator"] = row.maker
    for name, (word, unit) in SCHEMA_SIZES.items():
        if (size := getattr(row, name)) is not None:
            node[word] = {
                "@type": "schema:QuantitativeValue",
                "schema:value": plain_value(size),
                "schema:unitCode": unit,
            }
    node["schema:additionalProperty"] = [
        {"@type": "schema:PropertyValue", "schema:name": column.heading, "schema:value": plain_value(cell)}
        for column in columns_for(public=public)
        if column.name not in _SAID and (cell := column.cell(row)) not in (None, "")
    ]
    return {word: value for word, value in node.items() if value}


def _named(kind: str, name: str) -> dict[str, str] | None:
    return {"@type": kind, "schema:name": name} if name else None


def _place(row: FindRow) -> dict[str, Any] | None:
    """Where it lay, as far as it is told."""
    name = ", ".join(filter(None, [row.site, row.water_body]))
    if not name and row.latitude is None:
        return None
    place: dict[str, Any] = {"@type": ["schema:Place", "dcterms:Location"]}
    if name:
        place["schema:name"] = name
    if row.latitude is not None and row.longitude is not None:
        place["schema:geo"] = {
            "@type": "schema:GeoCoordinates",
            "schema:latitude": row.latitude,
            "schema:longitude": row.longitude,
        }
    if row.uncertainty_m is not None:
        place["schema:description"] = f"position uncertain by {row.uncertainty_m} m"
    return place
