"""What depends on what: for each kind of row, which of its columns feed which derived ones of which finds.

The derived columns themselves: a find's answer (`writer.STORED`: window, phrase, curve, spread, decades,
maker shown and how, tables and year) are written by `writer`; what the search reads of it, and of the other
records, by `entries`; the sort key of its number
by `numbers.put_number`, once; a place's path by `Place.save`; the last ordinal and piece given by the series'
own services. `check` looks at them all. An app above that works out a column of a find adds its rules here
(`above.follow_with`).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Flag, auto
from functools import cache

from django.apps import apps
from django.db.models import Model


class Feeds(Flag):
    """What of a find follows."""

    NOTHING = 0
    YEARS = auto()
    SEARCH = auto()
    # The joined tables: any find with a mark read may have another answer.
    TABLES = auto()
    # Columns that apps above work out.
    ABOVE = auto()


@dataclass(frozen=True, slots=True)
class Dependency:
    """Columns of a model (none named: any of them), the lookups from a find to it, and what they feed.

    `needs` names a relation without which a row feeds nothing; a `part` belongs to one find by another row.
    """

    model: str
    columns: str
    lookups: tuple[str, ...]
    feeds: Feeds
    needs: str = ""
    part: bool = False

    @property
    def of_one_find(self) -> bool:
        """Whether its rows are finds, or belong to one: who changes them, changes the find."""
        return self.part or self.lookups == ITSELF or self.lookups in OF_ONE_FIND

    def fed_by(self, columns: frozenset[str] | None) -> bool:
        """Whether a change of these columns (None: any may have changed) is one that counts."""
        return columns is None or not self.columns or bool(columns & set(self.columns.split()))


ITSELF = ("pk",)
# By these a find leads to the rows that belong to it alone.
OF_ONE_FIND = (("readings",), ("features",), ("known_years",), ("inscriptions",), ("opinions",))
SOURCES: tuple[Dependency, ...] = (
    Dependency(
        "specimens.Specimen",
        "dive recovered_edtf region contents bottler product colour",
        ITSELF,
        Feeds.YEARS,
    ),
    Dependency(
        "specimens.Specimen",
        "number older_numbers field_tag what kind contents colour where_on_site found_with notes story "
        "product bottler town dive site place binned_at",
        ITSELF,
        Feeds.SEARCH,
    ),
    Dependency("specimens.MarkReading", "", ("readings",), Feeds.YEARS | Feeds.SEARCH),
    Dependency("specimens.ObservedFeature", "find feature certainty binned_at", ("features",), Feeds.YEARS),
    Dependency("specimens.KnownYears", "", ("known_years",), Feeds.YEARS),
    Dependency("specimens.Inscription", "find how binned_at", ("inscriptions",), Feeds.YEARS),
    Dependency("specimens.Inscription", "find text binned_at", ("inscriptions",), Feeds.SEARCH),
    Dependency("specimens.Opinion", "find about value maker current binned_at", ("opinions",), Feeds.YEARS),
    Dependency("specimens.Opinion", "find value reason binned_at", ("opinions",), Feeds.SEARCH),
    Dependency("sites.Dive", "date", ("dive",), Feeds.YEARS),
    Dependency("sites.Dive", "site", ("dive",), Feeds.SEARCH),
    Dependency("sites.Site", "name", ("site", "dive__site"), Feeds.SEARCH),
    Dependency("shelves.Place", "name path", ("place",), Feeds.SEARCH),
    Dependency("specimens.Town", "name region", ("town",), Feeds.SEARCH),
    Dependency("specimens.Bottler", "name from_year to_year years_certainty", ("bottler",), Feeds.YEARS),
    Dependency("specimens.Bottler", "name", ("bottler",), Feeds.SEARCH),
    Dependency("specimens.Bottler", "name", (), Feeds.TABLES, needs="codes"),
    Dependency("specimens.Product", "name", ("product",), Feeds.YEARS | Feeds.SEARCH),
    Dependency("specimens.Product", "name", (), Feeds.TABLES, needs="codes"),
    Dependency("specimens.Maker", "name from_year to_year", ("opinions__maker",), Feeds.YEARS),
    Dependency("specimens.Maker", "name", ("maker",), Feeds.SEARCH),
    Dependency(
        "specimens.Maker",
        "name place country binned_at",
        ("maker", "opinions__maker"),
        Feeds.TABLES,
        "own_marks",
    ),
    Dependency("specimens.Works", "name", (), Feeds.TABLES, needs="codes"),
    Dependency("specimens.OwnMark", "", (), Feeds.TABLES),
    Dependency("specimens.OwnCode", "", (), Feeds.TABLES),
)


_ADDED: list[Dependency] = []


def every_source() -> tuple[Dependency, ...]:
    """The rules of finds, and those that apps above added."""
    return (*SOURCES, *_ADDED)


def add_sources(sources: Iterable[Dependency]) -> None:
    """Rules of an app above, once, while the applications get ready."""
    _ADDED.extend(source for source in sources if source not in _ADDED)
    sources_of.cache_clear()


@cache
def sources_of(model: type[Model]) -> tuple[Dependency, ...]:
    """The rules for rows of a model; none where nothing follows from them."""
    return tuple(source for source in every_source() if apps.get_model(source.model) is model)


def watched() -> list[type[Model]]:
    """Every model that something is worked out from."""
    return list(dict.fromkeys(apps.get_model(source.model) for source in every_source()))
