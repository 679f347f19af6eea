"""Makers of one's own, invented: marks and codes as a person would add them."""

from typing import Any

MARKS: list[dict[str, Any]] = [
    {
        "id": "th-hex",
        "letters": "T & H",
        "frame": "hexagon",
        "arrangement": "with-ampersand",
        "maker": "Tern & Hollis Glass Works",
        "used_from": 1908,
        "used_to": 1962,
    },
    {
        "id": "bw-wave",
        "letters": "BW",
        "symbol": "wave",
        "maker": "Brackwater Bottle Company",
        "used_from": 1921,
        "used_to": 1955,
    },
    {"id": "ofg", "letters": "OFG", "maker": "Orlick Flint Glass", "used_from": 1890, "used_to": 1935},
]
CODES: list[dict[str, Any]] = [
    {
        "id": "th-right",
        "mark_ids": "th-hex",
        "kind": "last-two-digits",
        "position": "right",
        "valid_from": 1910,
        "valid_to": 1962,
    },
    {
        "id": "bw-one",
        "mark_ids": "bw-wave",
        "kind": "last-digit",
        "position": "right",
        "valid_from": 1925,
        "valid_to": 1954,
    },
    {
        "id": "bw-two",
        "mark_ids": "bw-wave",
        "kind": "last-two-digits",
        "position": "right",
        "valid_from": 1925,
        "valid_to": 1954,
        "bottler": "Gannet Mineral Waters",
    },
]
OWN: dict[str, Any] = {"marks": MARKS, "date_codes": CODES}
