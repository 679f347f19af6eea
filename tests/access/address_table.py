"""The table of who may what (`addresses.csv`), the addresses of the URL table, and what it adds up to."""

import csv
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.urls import URLPattern, URLResolver, get_resolver

from tests.house.imports import ROOT

TABLE = Path(__file__).with_name("addresses.csv")
ROLES = ("stranger", "visitor", "phone", "owner")
# What a cell may say, and what that means of the answers to GET and to a POST without data.
ACCESS = {
    "refused": "the host's name is not served: status 400, whatever is asked",
    "closed": "leads to the door, whatever is asked; nothing is looked up before",
    "door": "part of coming in",
    "on": "passes on to another address without looking anything up",
    "shown": "only what visitors may see; what is private answers like what is not there",
    "form": "shows a form that a visitor may send; what is private answers like what is not there",
    "key": "asks for a key of one's own programs, whoever is let in: without one, status 401",
    "whole": "everything",
}
BY_PROGRAMS = "api/v1/"
ADMINISTRATION = "admin/"
DEVELOPERS = ROOT / "DEVELOPERS.md"
# Between which lines DEVELOPERS.md has the table added up.
BEGIN = "\n### Who may what\n\n"
END = "\n\n### Figures of the pages\n"


@dataclass(frozen=True, slots=True)
class Row:
    """One address of the URL table with what each role gets."""

    address: str
    stranger: str
    visitor: str
    phone: str
    owner: str

    def of(self, role: str) -> str:
        return str(getattr(self, role))


def rows() -> list[Row]:
    """The table as it stands in its file."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [Row(**row) for row in csv.DictReader(file)]


def addresses_of(resolver: URLResolver, before: str = "") -> Iterator[str]:
    """Every address of the URL table, named or not, as its pattern is written."""
    for each in resolver.url_patterns:
        address = before + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from addresses_of(each, address)
        elif isinstance(each, URLPattern):
            yield address


def every_address() -> list[str]:
    """Addresses of our own pages, each once: two views of one pattern are one address."""
    every = dict.fromkeys(addresses_of(get_resolver()))
    return [address for address in every if not address.startswith(ADMINISTRATION) or address in OWN_OF_ADMIN]


# The administration's own door is replaced by ours.
OWN_OF_ADMIN = ("admin/login/",)


def plain_tables() -> list[str]:
    """Addresses of Django's own administration."""
    return [
        address
        for address in dict.fromkeys(addresses_of(get_resolver()))
        if address.startswith(ADMINISTRATION) and address not in OWN_OF_ADMIN
    ]


def summary(table: list[Row]) -> str:
    """The table added up, as DEVELOPERS.md has it: a line for each role, then what visitors get."""
    lines = [
        f"{len(table)} addresses, each walked by `tests/access/test_addresses.py` as a stranger "
        "(without `--lan`, by an address in the house), a visitor (with it), a paired phone and the owner. "
        f"`tests/access/{TABLE.name}` says what each gets; the words mean:",
        "",
        *(f"- *{word}*: {means}" for word, means in ACCESS.items()),
        "",
        "It adds up to:",
        "",
    ]
    for role in ROLES:
        counted = Counter(row.of(role) for row in table)
        said = ", ".join(f"{counted[word]} {word}" for word in ACCESS if counted[word])
        lines.append(f"- {role}: {said}")
    for word in ACCESS:
        opened = [f"`/{row.address}`" for row in table if row.visitor == word]
        if word not in ("closed", "refused") and opened:
            lines.append(f"- for a visitor, *{word}*: {', '.join(opened)}")
    return "\n".join(lines)


def _first_row(address: str) -> Row:
    """A new address: closed to visitors, until somebody opens it on purpose; programs need their key."""
    if address.startswith(BY_PROGRAMS):
        return Row(address, "refused", "key", "key", "key")
    return Row(address, "refused", "closed", "whole", "whole")


def add_what_is_missing() -> list[str]:
    """Write addresses that the table lacks, closed to visitors, and drop those that are gone."""
    known = {row.address: row for row in rows()}
    every = every_address()
    table = [known.get(each, _first_row(each)) for each in every]
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("address", *ROLES))
        writer.writerows((row.address, *(row.of(role) for role in ROLES)) for row in table)
    page = DEVELOPERS.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    DEVELOPERS.write_text(f"{before}{BEGIN}{summary(table)}{END}{after}", encoding="utf-8")
    return [each for each in every if each not in known]


if __name__ == "__main__":
    import os

    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    django.setup()
    print("added, closed to visitors:", *add_what_is_missing(), sep="\n")
