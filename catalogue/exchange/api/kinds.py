"""The kinds of records that programs read, each with its fields; what visitors see of it is said here too.

A field that is not named under `public` is the owner's alone, and so is a kind without any: a new field is
private until it is opened on purpose. People are in none of them.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet

from catalogue.exchange.takeout.rows import place_fields_for_visitors
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town


@dataclass(frozen=True, slots=True)
class ApiField:
    """`name` is what it is called in an answer; `read` takes it from a row."""

    name: str
    read: Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class ApiKind:
    """One kind: its rows, all fields of one, and which rows and fields visitors may see."""

    name: str
    what: str
    rows: Callable[[], QuerySet[Any]]
    fields: tuple[ApiField, ...]
    public: frozenset[str] = frozenset()
    public_rows: Callable[[], QuerySet[Any]] | None = None
    # Fields whose values visitors get coarser, or empty, by the row.
    public_values: Callable[[Any], dict[str, Any]] | None = None

    def asked(self, *, public: bool) -> QuerySet[Any]:
        """The rows that such a key may see."""
        if not public:
            return self.rows()
        assert self.public_rows is not None
        return self.public_rows()

    def values(self, row: Any, *, public: bool) -> dict[str, Any]:
        """A row's fields by name."""
        shown = {each.name: each.read(row) for each in self.fields if not public or each.name in self.public}
        return shown | (self.public_values(row) if public and self.public_values else {})


def _own(*names: str) -> tuple[ApiField, ...]:
    """Columns as they are."""
    return tuple(ApiField(name, lambda row, name=name: getattr(row, name)) for name in names)  # type: ignore[misc]


def _said(*names: str) -> tuple[ApiField, ...]:
    """Columns of a choice, in the words of the screen."""
    return tuple(
        ApiField(name, lambda row, name=name: getattr(row, f"get_{name}_display")())  # type: ignore[misc]
        for name in names
    )


def _words(name: str, column: str) -> ApiField:
    """What a link leads to, as it is called."""
    return ApiField(name, lambda row: str(getattr(row, column) or ""))


PAGE_OF_ROW = ApiField("page", lambda row: row.get_absolute_url())
CREATED_CHANGED = _own("created", "changed")
ROW_KEY = ApiField("id", lambda row: row.pk)


def _named_on_shown(model: type[Any], column: str) -> Callable[[], QuerySet[Any]]:
    """Rows of a kind that a find names which visitors see."""

    def rows() -> QuerySet[Any]:
        shown: QuerySet[Any] = Specimen.objects.for_visitors().exclude(**{column: None}).order_by()
        named: QuerySet[Any] = model.objects.filter(pk__in=shown.values(column))
        return named

    return rows


def _site_for_visitors(site: Site) -> dict[str, Any]:
    """Its name where it is shown exactly, and its water. No position: those are for the owner's eyes."""
    told = place_fields_for_visitors(site)
    return {name: told.get(name, "") for name in ("site", "water_body")}


def _sites_shown() -> QuerySet[Site]:
    shown = Specimen.objects.for_visitors().order_by()
    lay_here = Q(pk__in=shown.values("dive__site")) | Q(pk__in=shown.filter(dive=None).values("site"))
    return Site.objects.exclude(show_as=Site.ShowAs.HIDDEN).filter(lay_here)


def _where() -> Iterable[ApiKind]:
    """Under water and on the shelf."""
    yield ApiKind(
        "dives",
        "dives, with their site, times and depths",
        lambda: Dive.objects.select_related("site"),
        (
            ROW_KEY,
            *_own("year", "ordinal", "date"),
            _words("site", "site"),
            *_own("site_id", "start", "minutes", "depth_m", "visibility_m", "water_c", "notes"),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
    )
    yield ApiKind(
        "sites",
        "sites; to visitors only as exact as each is shown",
        lambda: Site.objects.all(),
        (
            ROW_KEY,
            ApiField("site", lambda row: row.name),
            *_own("water_body", "latitude", "longitude", "uncertainty_m"),
            *_said("show_as", "tidal", "wreck", "military"),
            *_own("bottom", "bed_owner", "protected_check", "protected_checked_on", "greatest_depth_m"),
            *_own("dangers", "dangers_words", "notes"),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
        frozenset({"id"}),
        _sites_shown,
        _site_for_visitors,
    )
    yield ApiKind(
        "places",
        "shelves, boxes and tanks, each with what it is inside of",
        lambda: Place.objects.all(),
        (
            ROW_KEY,
            *_own("name", "path", "parent_id"),
            *_said("kind"),
            *_own("capacity", "dust_months", "light_months", "notes"),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
    )


def _whose() -> Iterable[ApiKind]:
    """Who made it, and where it was sold."""
    yield ApiKind(
        "makers",
        "makers, your own and the published ones",
        lambda: Maker.objects.all(),
        (
            ROW_KEY,
            *_own("name", "place", "country", "from_year", "to_year", "followed_id", "source", "notes"),
            ApiField("published", lambda row: not row.is_own),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
        frozenset({"id", "name"}),
        _named_on_shown(Maker, "maker"),
    )
    yield ApiKind(
        "towns",
        "towns where bottlers sold",
        lambda: Town.objects.all(),
        (
            ROW_KEY,
            *_own("name", "region", "country", "latitude", "longitude", "notes"),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
        frozenset({"id", "name", "region", "country"}),
        _named_on_shown(Town, "town"),
    )


def _for_whom() -> Iterable[ApiKind]:
    """Who filled it, with what."""
    yield ApiKind(
        "bottlers",
        "bottlers, with their town and their years in business",
        lambda: Bottler.objects.select_related("town"),
        (
            ROW_KEY,
            *_own("name"),
            _words("town", "town"),
            *_own("town_id", "from_year", "to_year"),
            *_said("years_certainty"),
            *_own("source", "notes"),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
        frozenset({"id", "name", "town"}),
        _named_on_shown(Bottler, "bottler"),
    )
    yield ApiKind(
        "products",
        "products by name, with their bottler",
        lambda: Product.objects.select_related("bottler"),
        (
            ROW_KEY,
            *_own("name"),
            _words("bottler", "bottler"),
            *_own("bottler_id"),
            *_said("contents"),
            *_own("notes"),
            PAGE_OF_ROW,
            *CREATED_CHANGED,
        ),
        frozenset({"id", "name"}),
        _named_on_shown(Product, "product"),
    )


PLAIN_KINDS: dict[str, ApiKind] = {kind.name: kind for kind in (*_where(), *_whose(), *_for_whom())}
