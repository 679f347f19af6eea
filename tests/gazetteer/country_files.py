"""Country files as GeoNames lays them out, with invented places."""

import zipfile
from collections.abc import Iterable
from io import BytesIO


def line(name: str = "Marrowby", **cells: object) -> str:
    """One line of 19 columns. `cells`: others, latitude, longitude, kind, country, admin1, people."""
    given = {"others": "", "latitude": 44.1, "longitude": -76.2, "kind": "P", "country": "IN", "admin1": "36"}
    given |= {"people": 1200, **cells}
    columns = [
        *("1", name, name, given["others"], given["latitude"], given["longitude"], given["kind"], "PPL"),
        *(given["country"], "", given["admin1"], "", "", "", given["people"], "", "12", "Asia/Kolkata"),
        "2026-01-01",
    ]
    return "\t".join(map(str, columns))


def text(lines: Iterable[str]) -> BytesIO:
    """A country's file of these lines."""
    return BytesIO("".join(f"{each}\n" for each in lines).encode())


def packed(lines: Iterable[str], name: str = "IN.txt") -> BytesIO:
    """The same as a zip, beside GeoNames' readme."""
    file = BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("readme.txt", "about")
        archive.writestr(name, text(lines).getvalue())
    file.seek(0)
    return file
