"""The time zone, however the machine tells it."""

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from catalogue import time_zone
from catalogue.time_zone import unknown_zone, zone_name

ZONES = Path("/usr/share/zoneinfo")
SUMMER, WINTER = datetime(2026, 7, 1, 12), datetime(2026, 1, 1, 12)


@pytest.mark.parametrize(("said", "zone"), [("Europe/Oslo", "Europe/Oslo"), (":x", None), ("", None)])
def test_the_zone_is_a_name_that_is_known(monkeypatch, said, zone):
    monkeypatch.setenv("TZ", said)
    found = zone_name()
    assert ZoneInfo(found)
    assert zone is None or found == zone


@pytest.mark.parametrize(
    ("said", "summer", "winter"),
    [
        (":Europe/Rome", 2, 1),
        ("Japan", 9, 9),
        ("/usr/share/zoneinfo/Europe/Oslo", 2, 1),
        ("UTC0", 0, 0),
        ("GMT+3", -3, -3),
        ("<+07>-7", 7, 7),
        ("IST-5:30", 5.5, 5.5),
        ("CET-1CEST", 2, 1),
        ("CET-1CEST,M3.5.0,M10.5.0/3", 2, 1),
        ("NST3:30NDT,M3.2.0,M11.1.0", -2.5, -3.5),
        ("EST5EDT", -4, -5),
    ],
)
@pytest.mark.skipif(not ZONES.is_dir(), reason="the system has no files of time zones")
def test_each_way_of_writing_a_zone(monkeypatch, said, summer, winter):
    monkeypatch.setenv("TZ", said)
    zone = ZoneInfo(zone_name())
    hours = [when.replace(tzinfo=zone).utcoffset().total_seconds() / 3600 for when in (SUMMER, WINTER)]
    assert hours == [summer, winter]
    assert unknown_zone() is None


@pytest.mark.parametrize(
    "said", ["Foo/Bar", "Europe/../etc/passwd", "Europe", "../../etc/passwd", "CET-1CEST,J999", "\x01", "X"]
)
def test_what_is_no_zone_is_said_and_the_machines_own_is_used(monkeypatch, said):
    monkeypatch.delenv("TZ", raising=False)
    own = zone_name()
    assert unknown_zone() is None
    monkeypatch.setenv("TZ", said)
    assert zone_name() == own
    assert repr(said) in unknown_zone() and own in unknown_zone()


@pytest.mark.skipif(not ZONES.is_dir(), reason="the system has no files of time zones")
def test_a_machine_that_keeps_a_copy_of_its_zones_file(monkeypatch, tmp_path):
    monkeypatch.delenv("TZ", raising=False)
    monkeypatch.setattr(time_zone, "LOCAL_FILE", tmp_path / "localtime")
    assert zone_name() == "UTC"
    (tmp_path / "localtime").write_bytes((ZONES / "Europe" / "Oslo").read_bytes())
    zone = ZoneInfo(zone_name())
    assert SUMMER.replace(tzinfo=zone).utcoffset().total_seconds() == 7200
