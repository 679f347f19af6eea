"""Time, camera and position as cameras write them, and as they can't be."""

from datetime import datetime

import pytest

from catalogue.photos.image_file import (
    camera_name,
    clean,
    local_time,
    offset_minutes,
    position,
)

NOW = datetime(2026, 7, 1, 12)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2024:08:14 10:21:07", datetime(2024, 8, 14, 10, 21, 7)),
        (b"2024:08:14 10:21:07\0", datetime(2024, 8, 14, 10, 21, 7)),
        ("1970:01:01 00:00:00", None),
        ("2100:01:01 00:00:00", None),
        ("0000:00:00 00:00:00", None),
        ("2024:02:30 10:00:00", None),
        ("2024-08-14 10:21:07", None),
        ("    :  :     :  :  ", None),
        (None, None),
        (20240814, None),
    ],
)
def test_time(text, expected):
    assert local_time(text, now=NOW) == expected


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("-04:00", -240),
        ("+05:45", 345),
        ("Z", 0),
        ("+14:00", 840),
        ("+15:00", None),
        ("+1:00", None),
        (3, None),
    ],
)
def test_offset(text, minutes):
    assert offset_minutes(text) == minutes


@pytest.mark.parametrize(
    ("gps", "expected"),
    [
        ({1: "N", 2: (44, 20, 30), 3: "W", 4: (75, 55, 12)}, (44.341667, -75.92)),
        ({1: "S", 2: (33, 30.6, 0), 3: "E", 4: (151, 0, 0)}, (-33.51, 151.0)),
        ({1: "N", 2: (91, 0, 0), 3: "W", 4: (75, 0, 0)}, None),
        ({1: "N", 2: (44, 0, 0), 3: "W", 4: (181, 0, 0)}, None),
        ({1: "N", 2: (90, 0, 1), 3: "W", 4: (75, 0, 0)}, None),
        ({1: "N", 2: (0, 0, 0), 3: "E", 4: (0, 0, 0)}, None),
        ({1: "N", 2: (float("nan"), 0, 0), 3: "E", 4: (1, 0, 0)}, None),
        ({1: "N", 2: (-44, 0, 0), 3: "E", 4: (1, 0, 0)}, None),
        ({1: "X", 2: (44, 0, 0), 3: "E", 4: (1, 0, 0)}, None),
        ({1: "N", 2: (44, 0), 3: "E", 4: (1, 0, 0)}, None),
        ({1: "N", 2: 44, 3: "E", 4: (1, 0, 0)}, None),
        ({}, None),
    ],
)
def test_position(gps, expected):
    assert position(gps) == expected


def test_make_stands_once_and_control_characters_go():
    assert camera_name({0x010F: "Quillon", 0x0110: "Quillon Reef 2"}) == "Quillon Reef 2"
    assert camera_name({0x010F: "Quillon\0\0", 0x0110: b"Reef\x07 2\0junk"}) == "Quillon Reef 2"
    assert camera_name({}) == ""
    assert len(camera_name({0x0110: "x" * 5000})) == 200
    assert clean(12) == ""
