"""What is searched of each kind of record: its rows, and their fields with a name each.

The index is written from these fields and what was found is explained by them, so the two can't differ.
A public field is one that a visitor reads where the record is shown at all.
"""

import calendar
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from django.db.models import Field, Model, QuerySet

from catalogue.people.models import Person
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import (
    Bottler,
    Maker,
    Product,
    Specimen,
    Town,
)

from .find_parts import read_find_parts
from .folding import fold


class SearchField(NamedTuple):
    """A part of a record: what a person calls it, and what stands in it."""

    name: str
    text: str
    public: bool = False


Fields = Iterator[SearchField]


@dataclass(frozen=True, slots=True)
class SearchKind:
    """A kind of record. `code` is part of the key of its entries and never changes."""

    key: str
    code: int
    heading: str
    model: Any
    related: tuple[str, ...]
    prefetched: tuple[Any, ...]
    fields: Callable[[Any], Fields]
    columns: str = ""  # all that is read of it, where reading the rest costs much
    beside: Callable[[Sequence[Any]], None] = lambda _: None  # reads what `fields` wants beside the rows

    def read(self, keys: Collection[int]) -> list[Any]:
        """Those that are not in the bin, with all that `fields` reads. The queries of `rows`, one beside."""
        return self.read_on(self.rows(keys))

    def read_on(self, rows: Iterable[Any]) -> list[Any]:
        """Rows of `rows`, with what is read beside them."""
        read = list(rows)
        self.beside(read)
        return read

    def rows(self, keys: Collection[int]) -> QuerySet[Any]:
        """Those that are not in the bin, with what they lead to, in no order; `fields` takes those of `read`.

        One query, and one a prefetch.
        """
        live = self.model.objects.filter(pk__in=keys).order_by()
        rows: QuerySet[Any] = live.select_related(*self.related).prefetch_related(*self.prefetched)
        return rows.only(*self.columns.split()) if self.columns else rows


def find_fields(find: Any) -> Fields:
    """Of a find read by `FIND.read`, in the order of what explains best why it was found."""
    yield SearchField("number", find.number, True)
    yield SearchField("older number", find.older_numbers)
    yield SearchField("field tag", find.field_tag)
    yield SearchField("what it is", find.what, True)
    parts = find.searched_parts
    for where, text in parts.lettering:
        yield SearchField(f"lettering on the {where}", text.replace("/", " "), True)
    for where, letters in parts.marks:
        yield SearchField(f"mark on the {where}", letters, True)
    yield SearchField("town", str(find.town or ""), True)
    yield SearchField("maker", str(find.maker or ""), True)
    yield SearchField("bottler", str(find.bottler or ""), True)
    yield SearchField("product", str(find.product or ""), True)
    yield SearchField("kind of vessel", _display(find, "kind"), True)
    yield SearchField("what it held", _display(find, "contents"), True)
    yield SearchField("colour", _display(find, "colour"), True)
    yield SearchField("site", str(find.where_found or ""))
    yield SearchField("place", str(find.place or ""))
    yield SearchField("where on the site", find.where_on_site)
    yield SearchField("found with", find.found_with)
    yield SearchField("notes", find.notes)
    yield SearchField("story", find.story, True)
    for about, text in parts.opinions:
        yield SearchField(f"opinion on the {about}", text)


def _display(row: Model, name: str) -> str:
    """What `get_…_display` says, which makes its list of choices anew at each call."""
    stored = getattr(row, name)
    return _choices(type(row), name).get(stored, str(stored))


@cache
def _choices(model: type[Model], name: str) -> dict[str, str]:
    field = model._meta.get_field(name)
    assert isinstance(field, Field)
    return {value: str(words) for value, words in field.flatchoices}


def _maker_fields(maker: Maker) -> Fields:
    yield SearchField("name", maker.name, True)
    # In an order of their own: a stored text differs from none by the engine that sorted its lines.
    for mark in sorted(maker.own_marks.all(), key=lambda mark: (mark.from_year or 0, mark.pk)):
        yield SearchField("mark", f"{mark.letters} {mark.text}".strip())
    for works in sorted(maker.works.all(), key=lambda works: (works.from_year or 0, works.name)):
        yield SearchField("works", works.name)
    yield SearchField("where", maker.place)
    yield SearchField("in business", _years(maker))
    yield SearchField("notes", maker.notes)


def _bottler_fields(bottler: Bottler) -> Fields:
    yield SearchField("name", bottler.name, True)
    yield SearchField("town", str(bottler.town or ""))
    yield SearchField("in business", _years(bottler))
    yield SearchField("source", bottler.source)
    yield SearchField("notes", bottler.notes)


def _product_fields(product: Product) -> Fields:
    yield SearchField("name", product.name, True)
    yield SearchField("bottler", str(product.bottler or ""))
    yield SearchField("what it is", product.get_contents_display())
    yield SearchField("notes", product.notes)


def _town_fields(town: Town) -> Fields:
    yield SearchField("name", town.name, True)
    yield SearchField("state or county", town.region, True)
    yield SearchField("notes", town.notes)


def _site_fields(site: Site) -> Fields:
    yield SearchField("name", site.name)
    yield SearchField("water", site.water_body)
    yield SearchField("bottom", site.bottom)
    yield SearchField("whose bed it is", site.bed_owner)
    yield SearchField("hazards", site.dangers_words)
    yield SearchField("notes", site.notes)


def _dive_fields(dive: Dive) -> Fields:
    yield SearchField("dive", f"Dive {dive.ordinal} of {dive.year}, {dive.year}.{dive.ordinal}")
    yield SearchField("site", dive.site.name)
    day = dive.date
    yield SearchField("day", f"{day.day} {calendar.month_name[day.month]} {day.year}")
    for person in dive.buddies.all():
        if not person.erased_at:
            yield SearchField("with", person.name)
    yield SearchField("notes", dive.notes)


def _place_fields(place: Place) -> Fields:
    yield SearchField("name", place.path or place.name)
    yield SearchField("kind", place.get_kind_display())
    yield SearchField("notes", place.notes)


def _person_fields(person: Person) -> Fields:
    """Nothing of one that was erased: its words are gone for good."""
    if not person.erased_at:
        yield SearchField("name", person.name)
        yield SearchField("how to reach", person.reach)
        yield SearchField("notes", person.notes)


def _years(firm: Maker | Bottler) -> str:
    return " to ".join(str(year) for year in (firm.from_year, firm.to_year) if year)


FIND = SearchKind(
    "finds",
    0,
    "Finds",
    Specimen,
    ("product", "bottler", "town", "maker", "dive__site", "site", "place"),
    (),
    find_fields,
    # what a row of the search shows beside its fields stands last
    "number older_numbers field_tag what kind contents colour where_on_site found_with notes story "
    "product__name bottler__name town__name town__region maker__name "
    "dive__site__name site__name place__name place__path "
    "made_words made_from made_to care_flags",
    read_find_parts,
)
KINDS = (
    FIND,
    SearchKind("makers", 1, "Makers", Maker, (), ("own_marks", "works"), _maker_fields),
    SearchKind("bottlers", 2, "Bottlers", Bottler, ("town",), (), _bottler_fields),
    SearchKind("products", 3, "Products", Product, ("bottler",), (), _product_fields),
    SearchKind("towns", 4, "Towns", Town, (), (), _town_fields),
    SearchKind("sites", 5, "Sites", Site, (), (), _site_fields),
    SearchKind("dives", 6, "Dives", Dive, ("site",), ("buddies",), _dive_fields),
    SearchKind("shelves", 7, "Shelves", Place, (), (), _place_fields),
    SearchKind("people", 8, "People", Person, (), (), _person_fields),
)
KIND_OF = {kind.key: kind for kind in KINDS}


def text_of(folded: Iterable[str]) -> str:
    """Folded fields as the index holds them: a line for each, so that no phrase reaches into the next."""
    return "\n".join(dict.fromkeys(line for line in folded if line))


def texts_of(kind: SearchKind, row: Any) -> tuple[str, str]:
    """The whole text of a row, and the part of it that visitors read."""
    fields = [(fold(field.text), field.public) for field in kind.fields(row)]
    return text_of(line for line, _ in fields), text_of(line for line, public in fields if public)
