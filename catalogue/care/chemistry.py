"""Acid-bath chemistry: molarity, dilution, density, stoichiometry, neutralisation, vapour pressure.

How strong a bath is, what it dissolves, what it gives off, what stops it.
Pure: numbers in, numbers out. Volumes are ml, masses g, amounts mol, temperatures °C; strengths are per cent
by weight of hydrogen chloride. Densities, vapour constants and what neutralises are tables beside this file,
each row with its source; the first two go back to Perry's Chemical Engineers' Handbook and were written down
from memory.
"""

import math
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from dating.facts import FactFolder

CHEMISTRY_FACTS = FactFolder(Path(__file__).resolve().parent / "reference")

# g/mol, computed from the IUPAC standard atomic weights.
HCL, CACO3 = 36.461, 100.087
# What neutralises: g/mol and how many mol of acid one mol takes up.
NEUTRALISERS: Mapping[str, tuple[float, int]] = {
    row.text("name", needed=True): (row.number("g_per_mol"), row.whole("takes_mol", least=1))
    for row in CHEMISTRY_FACTS.rows("neutralisers", ("name", "g_per_mol", "takes_mol"))
}
# l/mol of an ideal gas at 20 °C and 1 atm (101.325 kPa), the one temperature that all gas is reckoned at.
MOLAR_VOLUME_20C = 24.055
STRONGEST_WT_PCT = 38.0
# Heavier-than-water scale of the United States, 60 °F against water at 60 °F (dictionary entry "Baumé",
# Roberts and Etherington 1982); other countries used other constants.
BAUME_MODULUS = 145.0
SIXTY_F_IN_C, WATER_AT_60_F = 15.56, 0.99904
BIGGEST_VESSEL_ML = 500_000.0


class BadQuantity(ValueError):
    """A quantity that can't be; `field` names it, the message says why and what to do."""

    def __init__(self, field: str, why: str) -> None:
        super().__init__(why)
        self.field = field


@dataclass(frozen=True, slots=True)
class Acid:
    """Acid in a bath: how much liquid, and how many mol of hydrogen chloride in it."""

    volume_ml: float
    mol: float

    @property
    def mol_per_l(self) -> float:
        return self.mol / self.volume_ml * 1000

    @property
    def dissolves_g(self) -> float:
        """Grams of lime growth (as calcium carbonate) it could dissolve: a ceiling, reached ever slower."""
        return self.mol / 2 * CACO3

    def gas_l(self) -> float:
        """Litres of carbon dioxide, at 20 °C, set free when all of it has worked on growth."""
        return self.mol / 2 * MOLAR_VOLUME_20C

    def neutraliser_g(self, base: str = "baking soda") -> float:
        """Grams of `base` (a key of NEUTRALISERS) that take up all the acid that is left."""
        mass, takes = NEUTRALISERS[base]
        return self.mol / takes * mass

    def after(self, growth_g: float) -> "Acid":
        """The bath once it has dissolved that many grams of growth; never less than spent.

        Raises BadQuantity for a negative or non-finite amount.
        """
        grams = checked("growth_g", growth_g, least=0.0, most=1e6)
        return Acid(self.volume_ml, max(0.0, self.mol - 2 * grams / CACO3))


@dataclass(frozen=True, slots=True)
class WeakAcid:
    """A milder acid at its usual strength; `takes` are the protons that one mol of it can give."""

    name: str
    g_per_mol: float
    takes: int
    g_per_l: float
    leaves: str

    def dissolves_g(self, volume_ml: float) -> float:
        """Grams of lime growth that much of it could dissolve: a ceiling. Weak acids slow down before it."""
        return self.g_per_l * volume_ml / 1000 / self.g_per_mol * self.takes / 2 * CACO3


@lru_cache(maxsize=1)
def weak_acids() -> list[WeakAcid]:
    """Citric acid and vinegar, as the table gives them."""
    columns = ("name", "g_per_mol", "takes", "g_per_l", "leaves")
    return [
        WeakAcid(
            row.text("name", needed=True),
            row.number("g_per_mol"),
            row.whole("takes", least=1),
            row.number("g_per_l"),
            row.text("leaves", needed=True),
        )
        for row in CHEMISTRY_FACTS.rows("weak_acids", columns)
    ]


@dataclass(frozen=True, slots=True)
class PourPlan:
    """What to pour, and what the bath is then; `headroom_ml` stays free above it."""

    water_ml: float
    acid_ml: float
    glass_ml: float
    headroom_ml: float
    wt_pct: float
    bath: Acid

    @property
    def liquid_ml(self) -> float:
        """What is poured: the two volumes added up. Mixed they shrink by some tenths of a per cent."""
        return self.water_ml + self.acid_ml


def checked(field: str, value: float, *, least: float, most: float, above: bool = False) -> float:
    """The value as a float within bounds. Raises BadQuantity with a sentence."""
    number = float(value)
    name = field.removesuffix("_ml").removesuffix("_g").removesuffix("_c").replace("_", " ")
    if not math.isfinite(number):
        raise BadQuantity(field, f"The {name} is not a number.")
    if number < least or (above and number == least):
        raise BadQuantity(field, f"The {name} must be {'more than' if above else 'at least'} {least:g}.")
    if number > most:
        raise BadQuantity(field, f"The {name} can't be more than {most:g}.")
    return number


def checked_strength(wt_pct: float) -> float:
    """A strength that hydrochloric acid is sold at. Raises BadQuantity."""
    number = float(wt_pct)
    if not math.isfinite(number) or number <= 0:
        raise BadQuantity("strength_wt_pct", "Without the strength on the label there is no plan.")
    if number > STRONGEST_WT_PCT:
        raise BadQuantity(
            "strength_wt_pct",
            f"Hydrochloric acid is sold at {STRONGEST_WT_PCT:g} % at most; look at the label again.",
        )
    return number


def density(wt_pct: float, temperature_c: float = 20.0) -> float:
    """g/ml of hydrochloric acid, interpolated between the rows of the table.

    Away from 20 °C the shift between the rows of 10, 20 and 40 °C is used, known up to 30 % by weight and
    carried on in a straight line above. Raises BadQuantity outside 0–40 % or 0–40 °C.
    """
    wt = checked("strength_wt_pct", wt_pct, least=0, most=40)
    t = checked("temperature_c", temperature_c, least=0, most=40)
    at_20 = _between(_densities(20.0), wt)
    if t == 20:
        return at_20
    other = 10.0 if t < 20 else 40.0
    coarse = {w: d - _between(_densities(20.0), w) for w, d in _densities(other).items()}
    return at_20 + _between(coarse, wt) * (t - 20) / (other - 20)


def specific_gravity(baume: float) -> float:
    """Of a liquid heavier than water, 60 °F against 60 °F."""
    return BAUME_MODULUS / (BAUME_MODULUS - checked("baume", baume, least=0, most=26))


def strength_of_baume(baume: float) -> float:
    """Per cent by weight of hydrochloric acid of that °Bé: the strength whose density at 60 °F fits."""
    wanted = specific_gravity(baume) * WATER_AT_60_F
    low, high = 0.0, 40.0
    for _ in range(50):
        middle = (low + high) / 2
        if density(middle, SIXTY_F_IN_C) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def strength_of_mix(
    acid_ml: float, water_ml: float, strength_wt_pct: float, temperature_c: float = 20.0
) -> float:
    """Per cent by weight of hydrogen chloride in what these two volumes make."""
    acid_g = acid_ml * density(strength_wt_pct, temperature_c)
    return acid_g * strength_wt_pct / (acid_g + water_ml * density(0, temperature_c))


def mixed(acid_ml: float, water_ml: float, strength_wt_pct: float, temperature_c: float = 20.0) -> Acid:
    """The bath that these two volumes make, with the shrinking on mixing taken into account."""
    strength = checked_strength(strength_wt_pct)
    acid_g = acid_ml * density(strength, temperature_c)
    total_g = acid_g + water_ml * density(0, temperature_c)
    wt = strength_of_mix(acid_ml, water_ml, strength, temperature_c)
    return Acid(total_g / density(wt, temperature_c), acid_g * strength / 100 / HCL)


def bath_plan(
    vessel_ml: float,
    fill: float,
    glass_displaced_ml: float,
    acid_parts: float,
    water_parts: float,
    strength_wt_pct: float,
    temperature_c: float = 20.0,
) -> PourPlan:
    """What to pour into a vessel so that, with the glass in it, it stands at `fill` (0–1) of its volume.

    `parts` are by volume. Raises BadQuantity naming the first quantity that can't be.
    """
    vessel = checked("vessel_ml", vessel_ml, least=0, most=BIGGEST_VESSEL_ML, above=True)
    full = checked("fill", fill, least=0, most=1, above=True)
    glass = checked("glass_displaced_ml", glass_displaced_ml, least=0, most=BIGGEST_VESSEL_ML)
    acid = checked("acid_parts", acid_parts, least=0, most=1000, above=True)
    water = checked("water_parts", water_parts, least=0, most=1000, above=True)
    strength = checked_strength(strength_wt_pct)
    liquid = vessel * full - glass
    if liquid <= 0:
        raise BadQuantity(
            "glass_displaced_ml",
            "The glass fills the vessel up to the line: take fewer pieces or a larger vessel.",
        )
    acid_ml = liquid * acid / (acid + water)
    water_ml = liquid - acid_ml
    return PourPlan(
        water_ml=water_ml,
        acid_ml=acid_ml,
        glass_ml=glass,
        headroom_ml=vessel * (1 - full),
        wt_pct=strength_of_mix(acid_ml, water_ml, strength, temperature_c),
        bath=mixed(acid_ml, water_ml, strength, temperature_c),
    )


def headspace_ppm(wt_pct: float, temperature_c: float = 20.0) -> float:
    """Parts per million of hydrogen chloride in still air shut in above the liquid: a ceiling, not a reading.

    log10(p in mmHg) = A - B/T, read between rows in log p. Raises BadQuantity outside 2–36 % and 0–60 °C.
    """
    wt = checked("strength_wt_pct", wt_pct, least=2, most=36)
    kelvin = checked("temperature_c", temperature_c, least=0, most=60) + 273.15
    logs = {row: a - b / kelvin for row, (a, b) in _vapour().items()}
    return float(10 ** _between(logs, wt) / 760 * 1e6)


def _between(rows: Mapping[float, float], at: float) -> float:
    """Straight between neighbouring rows; past the last ones their line goes on."""
    keys = sorted(rows)
    place = min(max(bisect_left(keys, at), 1), len(keys) - 1)
    x0, x1 = keys[place - 1], keys[place]
    return rows[x0] + (rows[x1] - rows[x0]) * (at - x0) / (x1 - x0)


@lru_cache(maxsize=4)
def _densities(temperature_c: float) -> dict[float, float]:
    rows = CHEMISTRY_FACTS.rows("acid_density", ("temperature_c", "wt_pct", "g_per_ml"))
    return {
        r.number("wt_pct"): r.number("g_per_ml") for r in rows if r.number("temperature_c") == temperature_c
    }


@lru_cache(maxsize=1)
def _vapour() -> dict[float, tuple[float, float]]:
    rows = CHEMISTRY_FACTS.rows("acid_vapour", ("wt_pct", "a", "b"))
    return {row.number("wt_pct"): (row.number("a"), row.number("b")) for row in rows}
