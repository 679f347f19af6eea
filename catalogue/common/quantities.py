"""Sizes and masses as people type them, in metric or inch-pound units; stored always in mm and g.

Exact conversion factors: 1 in = 25.4 mm and 1 lb = 453.59237 g, 1 oz = 1/16 lb = 28.349523125 g
(international yard and pound agreement, 1959: Federal Register 24 FR 5348; NIST Special Publication 811,
2008 edition, appendix B.8).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType


class Units(StrEnum):
    """The two systems; the value is what the setting holds."""

    METRIC = "metric"
    INCH = "inch"


class QuantityError(ValueError):
    """A quantity that can't be read; the message says why and what to write."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """One kind of quantity.

    `factors`: by every spelling of a unit, how many of the stored unit it is. `shown`: each system's unit.
    `places`: figures behind the point on a page, in units that are not the stored one.
    """

    stored: str
    factors: Mapping[str, Fraction]
    shown: Mapping[Units, str]
    example: str
    fractions: bool = False
    places: int = 1

    def __deepcopy__(self, memo: dict[int, object]) -> "Quantity":
        """Itself: it never changes, and filters are copied for each page."""
        return self


def _factors(**spellings: str) -> Mapping[str, Fraction]:
    """The factor of every spelling of a line such as ``i25_4="in inch inches"``."""
    return MappingProxyType(
        {
            word: Fraction(factor[1:].replace("_", "."))
            for factor, words in spellings.items()
            for word in words.split()
        }
    )


LENGTH = Quantity(
    "mm",
    _factors(
        x1="mm millimetre millimetres millimeter millimeters",
        x10="cm centimetre centimetres centimeter centimeters",
        x1000="m metre metres meter meters",
        x25_4="\" ” ″ '' in in. inch inches",
        x304_8="ft foot feet ' ′ ’",
    ),
    MappingProxyType({Units.METRIC: "mm", Units.INCH: '"'}),
    '83 mm, 24 cm, 9 1/2" or 9.5 in',
    fractions=True,
    places=2,
)
MASS = Quantity(
    "g",
    _factors(
        x1="g gram grams gramme grammes",
        x1000="kg kilo kilos kilogram kilograms",
        x28_349523125="oz oz. ounce ounces",
        x453_59237="lb lb. lbs pound pounds",
    ),
    MappingProxyType({Units.METRIC: "g", Units.INCH: "oz"}),
    "510 g, 0.5 kg, 18 oz or 1 lb 2 oz",
)
VOLUME = Quantity(
    "ml",
    _factors(x1="ml millilitre millilitres", x10="cl", x100="dl", x1000="l litre litres liter liters"),
    MappingProxyType({Units.METRIC: "ml", Units.INCH: "ml"}),
    "280 ml, 28 cl or 0.75 l",
)
DEPTH = Quantity(
    "m",
    _factors(x1="m metre metres meter meters", x0_3048="ft foot feet ' ′ ’"),
    MappingProxyType({Units.METRIC: "m", Units.INCH: "m"}),
    "11 m or 36 ft",
)

LONGEST = 40
FINEST = Decimal("0.1")  # of the stored unit: what its column holds
# Smallest parts of an inch on a rule, and figures behind the point that always find a stored value again.
LARGEST_PART, MOST_PLACES = 64, 3
VULGAR = MappingProxyType(
    {
        **{"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"},
        **{"⅓": "1/3", "⅔": "2/3", "⁄": "/"},
    }
)
_PART = r"\d{1,3}/[1-9]\d{0,2}"
_AMOUNT = rf"(?:(?P<alone>{_PART})|(?P<whole>\d{{1,7}}(?:[.,]\d{{1,6}})?)(?:[ -](?P<part>{_PART}))?)"
_PIECE = re.compile(_AMOUNT + r" ?(?P<unit>[^\d\s.,/-][^\d\s,]*)?")
_THOUSANDS = re.compile(r"\d,\d{3}(?!\d)")


def read_quantity(typed: str, kind: Quantity, units: Units) -> Decimal:
    """The quantity in the stored unit, to its tenth; a number without a unit is in that of `units`.

    Metric is taken as it is written and must fit the tenth; inches and ounces are rounded to it, half up.
    Raises QuantityError.
    """
    text = typed.strip().lower()
    for sign, plain in VULGAR.items():
        text = text.replace(sign, f" {plain}" if plain != "/" else plain)
    text = re.sub(r"\s*/\s*", "/", " ".join(text.split()))
    if not text or len(text) > LONGEST or not text.isprintable():
        raise QuantityError(f"This can't be read. Write it as {kind.example}.")
    if _THOUSANDS.search(text):
        raise QuantityError(f"Leave out the comma, or say the tenths with a point: {kind.example}.")
    if text.startswith(("-", "−", "–")):
        raise QuantityError("This must be more than 0.")
    pieces = _pieces(text, kind, units)
    total = sum((amount * kind.factors[unit] for amount, unit in pieces), Fraction(0))
    exact = Decimal(total.numerator) / Decimal(total.denominator)
    try:
        rounded = exact.quantize(FINEST, rounding=ROUND_HALF_UP)
    except InvalidOperation as error:
        raise QuantityError(f"This is too much. Write it as {kind.example}.") from error
    metric = {"mm", "cm", "m", "g", "kg", "ml", "cl", "dl", "l"}
    if Fraction(rounded) != total and all(_plain(unit, kind) in metric for _, unit in pieces):
        raise QuantityError(f"Say it to a tenth of a {kind.stored} at the finest.")
    return rounded


def _pieces(text: str, kind: Quantity, units: Units) -> list[tuple[Fraction, str]]:
    """Each amount with its unit: "1 lb 2 oz" is two."""
    found: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(text):
        match = _PIECE.match(text, at)
        part = Fraction(match["alone"] or match["part"] or 0) if match else Fraction(0)
        if not match or part >= 1:
            raise QuantityError(f"This can't be read. Write it as {kind.example}.")
        unit = match["unit"] or ""
        if not unit:
            unit = kind.shown[units]
            if part and units is Units.METRIC and kind.fractions:
                raise QuantityError(f"Say the unit as well: {kind.example}.")
            if found:
                raise QuantityError(f"This can't be read. Write it as {kind.example}.")
        if unit not in kind.factors:
            raise QuantityError(f"“{unit}” is no unit that is known here. Write it as {kind.example}.")
        found.append((Fraction((match["whole"] or "0").replace(",", ".")) + part, unit))
        at = match.end() + text[match.end() :].startswith(" ")
    if len(found) > 1 and any(a[1] == b[1] for a, b in zip(found, found[1:], strict=False)):
        raise QuantityError(f"This can't be read. Write it as {kind.example}.")
    return found


def _plain(unit: str, kind: Quantity) -> str:
    """The first spelling of the same unit."""
    return next(word for word, factor in kind.factors.items() if factor == kind.factors[unit])


def in_words(stored: Decimal | float, kind: Quantity, units: Units, *, most_places: int = MOST_PLACES) -> str:
    """A stored quantity in the unit of a system: "83 mm", "9 1/2"" with the quotation mark for inches.

    What this says is read as the same stored value again (a property test): the coarsest part of an inch that
    does so, else as few decimals as do, `most_places` at the most.
    """
    value = Decimal(str(stored)).quantize(FINEST, rounding=ROUND_HALF_UP)
    unit = kind.shown[units]
    factor = kind.factors[unit]
    if factor == 1:
        return f"{_tidy(value)} {unit}"
    exact = Fraction(value) / factor
    if kind.fractions:
        parts = 1
        while parts <= LARGEST_PART:
            if _stored(Fraction(round(exact * parts), parts), factor) == value:
                return _with_part(Fraction(round(exact * parts), parts)) + unit
            parts *= 2
    for places in range(most_places + 1):
        short = Decimal(exact.numerator) / Decimal(exact.denominator)
        short = short.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
        if _stored(Fraction(short), factor) == value:
            break
    return f"{_tidy(short)}{'' if kind.fractions else ' '}{unit}"


def as_read(stored: Decimal | float, kind: Quantity, units: Units) -> str:
    """As a page says it: what was typed in that system as it was typed, the rest to a sensible figure."""
    return in_words(stored, kind, units, most_places=kind.places)


ROUGH_PARTS = 16  # of an inch, where a rule is laid at a pail


def roughly(stored: float, kind: Quantity, units: Units) -> str:
    """To what one can read off: a whole mm or g, a sixteenth of an inch, a tenth of an ounce."""
    unit = kind.shown[units]
    if kind.factors[unit] == 1:
        return f"{stored:.0f} {unit}"
    if not kind.fractions:
        return f"{stored / float(kind.factors[unit]):.1f} {unit}"
    parts = round(stored / float(kind.factors[unit]) * ROUGH_PARTS)
    return _with_part(Fraction(parts, ROUGH_PARTS)) + unit


def with_error(stored: float, error: float, kind: Quantity, units: Units) -> str:
    """A measured quantity with how far it may be off, in figures: "83 ± 1.2 mm", "3.27 ± 0.05""."""
    if kind.factors[kind.shown[units]] == 1:
        return f"{_tidy(Decimal(str(stored)).quantize(FINEST))} ± {in_figures(error, kind, units)}"
    amount = stored / float(kind.factors[kind.shown[units]])
    return f"{amount:.{kind.places}f} ± {in_figures(error, kind, units)}"


def in_figures(stored: float, kind: Quantity, units: Units) -> str:
    """To a tenth of the stored unit, or so many places of the other: "0.8 mm", "0.03""."""
    unit = kind.shown[units]
    factor = float(kind.factors[unit])
    if factor == 1:
        return f"{stored:.1f} {unit}"
    return f"{stored / factor:.{kind.places}f}{'' if kind.fractions else ' '}{unit}"


def figure(stored: Decimal | float, kind: Quantity, units: Units) -> str:
    """`as_read` without its unit, below a heading that says it."""
    return as_read(stored, kind, units).removesuffix(kind.shown[units]).rstrip()


def unit_word(kind: Quantity, units: Units) -> str:
    """The unit as a heading and a box say it: "mm", "in", "oz"."""
    return kind.shown[units].replace('"', "in")


def _stored(amount: Fraction, factor: Fraction) -> Decimal:
    total = amount * factor
    exact = Decimal(total.numerator) / Decimal(total.denominator)
    return exact.quantize(FINEST, rounding=ROUND_HALF_UP)


def _with_part(amount: Fraction) -> str:
    whole, part = divmod(amount.numerator, amount.denominator)
    words = [str(whole)] if whole or not part else []
    return " ".join([*words, *([f"{part}/{amount.denominator}"] if part else [])])


def _tidy(value: Decimal) -> str:
    """Without a point where nothing stands behind it, and never as a power of ten."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
