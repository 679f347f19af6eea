"""Positions on the earth: latitude and longitude typed (decimal, DMS), shown, rounded; haversine distance."""

import math
import re
from dataclasses import dataclass

# Mean earth radius, km (IUGG R1).
EARTH_RADIUS_KM = 6371.0088
PUBLIC_STEP = 0.1

_DECIMAL = r"[0-9]+(?:[.,][0-9]+)?"
_TYPED_ANGLE = re.compile(
    rf"^\s*(?P<front>[NSEW])?\s*(?P<sign>[+-])?\s*(?P<deg>{_DECIMAL})\s*[°d:]?\s*"
    rf"(?:(?P<min>{_DECIMAL})\s*['′m:]?\s*)?(?:(?P<sec>{_DECIMAL})\s*(?:\"|″|''|s)?\s*)?(?P<back>[NSEW])?\s*$",
    re.IGNORECASE,
)


class PositionError(ValueError):
    """A position that can't be read; the message says why and what to write."""


@dataclass(frozen=True, slots=True)
class Angle:
    """One of the two angles."""

    name: str
    limit: int
    letters: str


LATITUDE = Angle("latitude", 90, "NS")
LONGITUDE = Angle("longitude", 180, "EW")


def read_angle(text: str, axis: Angle) -> float:
    """Degrees from decimal degrees, degrees and minutes, or degrees, minutes and seconds.

    A hemisphere letter may stand before or after; a decimal comma is taken. South and west are negative.
    Raises PositionError.
    """
    found = _TYPED_ANGLE.match(text)
    example = "44.341667, 44° 20.5' N or 44° 20' 30\" N"
    if not found:
        raise PositionError(f"This {axis.name} can't be read. Write it as {example}.")
    front, back, sign = found["front"], found["back"], found["sign"]
    if front and back:
        raise PositionError("Give the letter for north, south, east or west once.")
    letter = (front or back or "").upper()
    if letter and letter not in axis.letters:
        raise PositionError(
            f"{letter} does not belong to a {axis.name}; it takes {' or '.join(axis.letters)}."
        )
    if letter and sign:
        raise PositionError("Give either a sign or a letter, not both.")
    degrees, minutes, seconds = (_value(found[part]) for part in ("deg", "min", "sec"))
    if minutes >= 60 or seconds >= 60:
        raise PositionError("Minutes and seconds are less than 60.")
    if found["min"] and degrees != int(degrees) or found["sec"] and minutes != int(minutes):
        raise PositionError("Only the last of degrees, minutes and seconds may have decimals.")
    angle = degrees + minutes / 60 + seconds / 3600
    if angle > axis.limit:
        raise PositionError(f"A {axis.name} lies between -{axis.limit} and {axis.limit}.")
    return -angle if sign == "-" or letter in ("S", "W") else angle


def read_pair(text: str) -> tuple[float, float]:
    """Latitude and longitude pasted together, as a phone's map gives them. Raises PositionError."""
    # A comma followed by a space, or a semicolon, surely parts the two; a bare comma only where there is one.
    parts = re.split(r"\s*;\s*|,\s+", text.strip())
    if len(parts) == 1:
        parts = text.split(",")
    if len(parts) != 2:
        raise PositionError("Write latitude, a comma, then longitude: 44.341667, -75.92.")
    return read_angle(parts[0], LATITUDE), read_angle(parts[1], LONGITUDE)


FINEST_PLACES = 3  # of a minute: 2 m, as fine as a phone tells


def in_minutes(angle: float, axis: Angle, places: int = FINEST_PLACES) -> str:
    """Degrees and minutes with a letter, to so many places of a minute at the most: 44° 20.5′ N."""
    letter = axis.letters[0] if angle >= 0 else axis.letters[1]
    parts: int = 10**places
    degrees, rest = divmod(round(abs(angle) * 60 * parts), 60 * parts)
    minutes = f"{rest / parts:.{places}f}"
    return f"{degrees}° {minutes.rstrip('0').rstrip('.') if places else minutes}′ {letter}"


def position_words(latitude: float, longitude: float) -> str:
    """A position as people say it: 44° 20.5′ N, 75° 55.2′ W."""
    return f"{in_minutes(latitude, LATITUDE)}, {in_minutes(longitude, LONGITUDE)}"


def public_words(latitude: float, longitude: float) -> str:
    """What visitors may read of a rounded position: the middle of its cell, to whole minutes."""
    north = in_minutes(to_public(latitude), LATITUDE, 0)
    east = in_minutes(to_public(longitude), LONGITUDE, 0)
    return f"about {north}, {east} (rounded to {PUBLIC_STEP}°)"


def to_public(angle: float) -> float:
    """The middle of the 0.1° cell that holds it: a grid, so that repeated looks never average to the spot."""
    return round((math.floor(round(angle / PUBLIC_STEP, 6)) + 0.5) * PUBLIC_STEP, 2)


def distance_km(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great-circle distance of two (latitude, longitude) pairs, km; haversine formula (Sinnott 1984)."""
    lat1, lon1, lat2, lon2 = map(math.radians, (*a, *b))
    h = math.sin((lat2 - lat1) / 2) ** 2 + math.cos(lat1) * math.cos(lat2) * math.sin((lon2 - lon1) / 2) ** 2
    return 2 * EARTH_RADIUS_KM * math.asin(math.sqrt(min(1.0, h)))


def _value(text: str | None) -> float:
    return float(text.replace(",", ".")) if text else 0.0
