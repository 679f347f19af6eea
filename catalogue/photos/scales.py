"""Scale bars: what may lie beside a bottle as a scale, a coin or a ruler, from ``reference/scales.csv``."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from dating.facts import Cells, FactFolder, keyed

SCALE_FACTS = FactFolder(Path(__file__).resolve().parent / "reference")
SCALE_COLUMNS = ("key", "name", "mm", "error_mm", "note")
RESTS_ON = {
    "published": "published by its mint",
    "memory": "from memory, no source: check with a ruler",
}


@dataclass(frozen=True, slots=True)
class Scale:
    """Something of known length; `error_mm` is how far it may be off (our own estimate)."""

    key: str
    name: str
    error_mm: float


@dataclass(frozen=True, slots=True)
class Coin(Scale):
    """A coin, `mm` across."""

    mm: float
    basis: str


def _scale(cells: Cells) -> Scale:
    """One row of scales.csv: a coin has its size, what is read off has none."""
    key, name, error_mm = (
        cells.text("key", needed=True),
        cells.text("name", needed=True),
        cells.number("error_mm"),
    )
    if not cells.text("mm"):
        return Scale(key, name, error_mm)
    return Coin(key, name, error_mm, cells.number("mm"), RESTS_ON[cells.choice("basis", tuple(RESTS_ON), "")])


SCALES: Mapping[str, Scale] = MappingProxyType(
    keyed(SCALE_FACTS.rows("scales", SCALE_COLUMNS), _scale, "key")
)
COINS: Mapping[str, Coin] = MappingProxyType(
    {key: scale for key, scale in SCALES.items() if isinstance(scale, Coin)}
)
RULER = SCALES["ruler"]
