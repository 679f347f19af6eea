"""Coins that may lie beside a bottle as a scale, with what their sizes rest on."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Coin:
    """`error_mm` is how far a worn coin may be off (our own estimate)."""

    key: str
    name: str
    mm: float
    basis: str
    error_mm: float = 0.1

    @property
    def words(self) -> str:
        return f"{self.name}, {self.mm:g} mm across ({self.basis})"


MINT = "published by its mint"
MEMORY = "from memory, no source: check with a ruler"
# United States Mint, Coin specifications (web page): diameters of circulating coins.
COINS = (
    Coin("us-cent", "US cent", 19.05, MINT),
    Coin("us-nickel", "US five cents", 21.21, MINT),
    Coin("us-dime", "US dime", 17.91, MINT),
    Coin("us-quarter", "US quarter", 24.26, MINT),
    Coin("euro-1", "1 euro", 23.25, MEMORY),
)
BY_KEY = {coin.key: coin for coin in COINS}
