"""What may lie beside a bottle as a scale, against a second source."""

import pytest

from catalogue.photos.scales import COINS, RULER, SCALES

# facts/photos.md of the project: diameters in mm. For the coins of the United States also in inches, as their
# mint gives them (from memory).
SECOND_MM = {
    "us-cent": (19.05, 0.750),
    "us-nickel": (21.21, 0.835),
    "us-dime": (17.91, 0.705),
    "us-quarter": (24.26, 0.955),
    "euro-1": (23.25, None),
}


def test_every_coin_is_checked() -> None:
    assert list(COINS) == list(SECOND_MM)
    assert set(SCALES) == {*SECOND_MM, "ruler"}


@pytest.mark.parametrize("key", SECOND_MM)
def test_the_size_of_a_coin(key: str) -> None:
    mm, inches = SECOND_MM[key]
    assert COINS[key].mm == mm
    assert inches is None or COINS[key].mm == pytest.approx(inches * 25.4, abs=0.006)


def test_our_own_estimates_of_error() -> None:
    """Half a division of a ruler of half millimetres; a tenth of a millimetre of wear."""
    assert {coin.error_mm for coin in COINS.values()} == {0.1}
    assert (RULER.error_mm, RULER.name) == (0.25, "a ruler or scale")


def test_a_coin_says_what_its_size_rests_on() -> None:
    assert COINS["us-cent"].basis == "published by its mint"
    assert COINS["euro-1"].basis == "from memory, no source: check with a ruler"
