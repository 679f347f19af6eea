"""Positions as typed and shown."""

import pytest

from catalogue.common.positions import (
    LATITUDE,
    LONGITUDE,
    PositionError,
    distance_km,
    in_minutes,
    read_angle,
    read_pair,
    to_public,
)


@pytest.mark.parametrize(
    "text",
    [
        "44 20 30 N",
        "44°20'30\"N",
        "44.341667",
        "N44 20.5",
        "44d20m30sN",
        "44°20.500'N",
        "44,341667",
        "44° 20′ 30″ n",
    ],
)
def test_one_latitude_in_every_way_it_is_written(text: str) -> None:
    # Spellings: common practice of charts and phone maps, no source. The value is computed: 44 + 20.5 / 60.
    assert read_angle(text, LATITUDE) == pytest.approx(44.341667, abs=1e-6)


def test_west_is_negative() -> None:
    assert read_angle("75° 55' 12\" W", LONGITUDE) == pytest.approx(-75.92)


@pytest.mark.parametrize(
    ("text", "axis"),
    [
        ("91", LATITUDE),
        ("200", LONGITUDE),
        ("44 60 00 N", LATITUDE),
        ("44 20 60 N", LATITUDE),
        ("N 44 20 N", LATITUDE),
        ("-44 20 N", LATITUDE),
        ("44 20 E", LATITUDE),
        ("44.5 20 N", LATITUDE),
        ("somewhere", LATITUDE),
        ("", LATITUDE),
        ("nan", LATITUDE),
        ("1e3", LATITUDE),
        ("4" * 400, LATITUDE),
    ],
)
def test_what_is_no_position_is_refused_with_a_sentence(text: str, axis) -> None:
    with pytest.raises(PositionError) as error:
        read_angle(text, axis)
    assert str(error.value).endswith(".")


@pytest.mark.parametrize(
    "text", ["44.341667,-75.92", "44.341667, -75.92", "44 20.5 N, 75 55.2 W", "44,341667; -75,92"]
)
def test_a_pair_is_split_before_it_is_read(text: str) -> None:
    assert read_pair(text) == pytest.approx((44.341667, -75.92), abs=1e-6)


def test_what_is_shown_reads_back() -> None:
    for angle in (0.0, 12.0, 59.9999999, 44.341667, -33.8568):
        assert read_angle(in_minutes(angle, LATITUDE), LATITUDE) == pytest.approx(angle, abs=2e-5)


@pytest.mark.parametrize("text", ["44.341667", "44.341667, -75.92, 3", "44,341667; -75,92; 1", ""])
def test_what_is_no_pair_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(PositionError, match="latitude, a comma, then longitude"):
        read_pair(text)


def test_distance_by_a_published_worked_example() -> None:
    # Rosetta Code, "Haversine formula": Nashville (BNA) to Los Angeles (LAX), 2887.26 km at a radius of
    # 6372.8 km; computed from it, 2886.45 km at the mean radius (6371.0088 km, IUGG).
    assert distance_km((36.12, -86.67), (33.94, -118.40)) * 6372.8 / 6371.0088 == pytest.approx(
        2887.26, abs=0.01
    )


def test_rounding_for_visitors_gives_one_answer_for_the_whole_cell() -> None:
    assert {to_public(a) for a in (44.3, 44.31, 44.3999)} == {44.35}
    assert {to_public(a) for a in (-75.9, -75.85, -75.8001)} == {-75.85}
    assert to_public(44.4) == 44.45
