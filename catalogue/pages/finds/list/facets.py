"""The ways a list of finds can be narrowed: what each is called, what it asks, how its choices read."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Case, CharField, Count, Exists, F, OuterRef, Q, QuerySet, Value, When
from django.db.models.functions import Coalesce

from catalogue.care.acts import hazards_of
from catalogue.care.care_tables import care_tables
from catalogue.care.stored_flags import read as read_flags
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town
from catalogue.specimens.models.held_back import any_flag

NOT_RECORDED = "-"  # no address ends or begins with a dash, so it can't be a town's
ANY_HAZARD = "any"
MOST_CHOICES_LISTED = 60  # choices shown of one kind, the most numerous; the search box finds the rest


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a filter as the page shows it."""

    value: str
    label: str
    count: int
    chosen: bool


@dataclass(frozen=True)
class Facet:
    """A column of the finds with words of its own; `column` may be named by `annotated`."""

    key: str
    label: str
    column: str
    blank: str = "not recorded"

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        """The finds with this facet's column on them."""
        return finds

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        """How many of the finds have each stored value. One query."""
        rows = self.annotated(finds.order_by()).values(self.column).annotate(n=Count("pk"))
        return Counter(dict(rows.values_list(self.column, "n")))

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        """Of what stands in the address: stored value -> (as written, label). Unknown words are left out."""
        raise NotImplementedError

    def ask(self, stored: Iterable[object]) -> Q:
        """Any of these."""
        wanted = set(stored)
        rest = wanted - {None, ""}
        asked = Q(**{f"{self.column}__in": rest}) if rest else Q()
        return asked | self.ask_blank() if wanted - rest else asked

    def ask_blank(self) -> Q:
        return Q(**{self.column: ""})

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        """What the page offers, the chosen ones always among it."""
        raise NotImplementedError

    def _blank_choice(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        count = counts.get(None, 0) + counts.get("", 0)
        picked = None in chosen or "" in chosen
        return [Choice(NOT_RECORDED, self.blank, count, picked)] if count or picked else []


@dataclass(frozen=True)
class RowFacet(Facet):
    """Rows of another table: towns, makers, sites, places. One query for the names of those shown.

    Only the columns that are shown are read (`named`: those that make its name), not whole rows.
    """

    model: type[Any] = Town
    by: str = "slug"
    named: tuple[str, ...] = ("name",)

    def _rows(self, **which: Any) -> Iterator[tuple[int, str, str]]:
        """Key, address word and name of the rows that are asked for."""
        for pk, word, *names in self.model.everything.filter(**which).values_list("pk", self.by, *self.named):
            yield pk, str(word), ", ".join(filter(None, names))

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        words = list(values)
        known: dict[object, tuple[str, str]] = {}
        if NOT_RECORDED in words:
            known[None] = (NOT_RECORDED, self.blank)
        asked = [w for w in words if w != NOT_RECORDED]
        if self.by == "pk":
            asked = [w for w in asked if w.isascii() and w.isdigit() and len(w) < 16]
        if asked:
            known |= {pk: (word, name) for pk, word, name in self._rows(**{f"{self.by}__in": asked})}
        return known

    def ask_blank(self) -> Q:
        return Q(**{f"{self.column}__isnull": True})

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        shown = {pk: n for pk, n in counts.most_common(MOST_CHOICES_LISTED + 1) if pk is not None}
        shown |= {pk: counts.get(pk, 0) for pk in chosen if pk is not None}
        rows = self._rows(pk__in=list(shown)) if shown else ()
        found = [Choice(word, name, shown[pk], pk in chosen) for pk, word, name in rows]
        found.sort(key=lambda choice: (-choice.count, choice.label.casefold()))
        return found + self._blank_choice(counts, chosen)


@dataclass(frozen=True)
class SiteFacet(RowFacet):
    """The site of its dive, else the one noted without a dive."""

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        return finds.annotate(**{self.column: Coalesce(F("dive__site_id"), F("site_id"))})

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        # grouped by what the index holds; the site of each dive is looked up apart, twice as fast as joined
        rows = finds.order_by().values_list("dive_id", "site_id").annotate(n=Count("pk"))
        site_of = dict(Dive.everything.values_list("pk", "site_id"))
        counts: Counter[Any] = Counter()
        for dive, site, count in rows:
            counts[site_of[dive] if dive else site] += count
        return counts

    def ask(self, stored: Iterable[object]) -> Q:
        wanted = set(stored)
        rest = wanted - {None}
        asked = Q(dive__site__in=rest) | Q(dive__isnull=True, site__in=rest) if rest else Q()
        return asked | self.ask_blank() if None in wanted else asked

    def ask_blank(self) -> Q:
        return Q(dive__isnull=True, site__isnull=True)


@dataclass(frozen=True)
class WordFacet(Facet):
    """Words from a fixed list, in its order."""

    words: tuple[tuple[str, str], ...] = ()

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        labels = dict(self.words)
        known: dict[object, tuple[str, str]] = {v: (v, labels[v]) for v in values if v in labels}
        if NOT_RECORDED in values:
            known[""] = (NOT_RECORDED, self.blank)
        return known

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        found = [
            Choice(value, label, counts.get(value, 0), value in chosen)
            for value, label in self.words
            if counts.get(value) or value in chosen
        ]
        return found + self._blank_choice(counts, chosen)


@dataclass(frozen=True)
class DecadeFacet(Facet):
    """Decades that the years of making touch; a find of many possible decades counts in each."""

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        decades = [v for v in values if v.isascii() and v.isdigit() and len(v) == 4 and v.endswith("0")]
        known: dict[object, tuple[str, str]] = {v: (v, f"{v}s") for v in decades}
        if NOT_RECORDED in values:
            known[""] = (NOT_RECORDED, self.blank)
        return known

    def ask(self, stored: Iterable[object]) -> Q:
        asked = Q()
        for decade in stored:
            asked |= Q(made_decades__contains=f"|{decade}|") if decade else self.ask_blank()
        return asked

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        per_decade: Counter[Any] = Counter()
        for stored, count in counts.items():
            for decade in stored.strip("|").split("|"):
                per_decade[decade] += count
        decades = sorted({d for d in (*per_decade, *chosen) if d})
        found = [Choice(d, f"{d}s", per_decade[d], d in chosen) for d in decades]
        return found + self._blank_choice(per_decade, chosen)


@dataclass(frozen=True)
class HazardFacet(Facet):
    """What stands under a find's name; one with several counts in each. Others of its gates don't count."""

    def _named(self) -> dict[str, str]:
        return {gate.key: gate.name for gate in hazards_of(care_tables().gates)}

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        named, asked = self._named(), set(values)
        known: dict[object, tuple[str, str]] = {key: (key, named[key]) for key in named if key in asked}
        if ANY_HAZARD in asked:
            known[ANY_HAZARD] = (ANY_HAZARD, "any hazard")
        if NOT_RECORDED in asked:
            known[""] = (NOT_RECORDED, self.blank)
        return known

    def ask(self, stored: Iterable[object]) -> Q:
        wanted = {str(key) for key in stored}
        asked = self._ask_any() if ANY_HAZARD in wanted else any_flag(wanted - {""})
        return asked | self.ask_blank() if "" in wanted else asked

    def _ask_any(self) -> Q:
        return any_flag(self._named(), unknown=True)

    def ask_blank(self) -> Q:
        return Q(care_flags=None) | ~self._ask_any()

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        named = self._named()
        per_hazard: Counter[Any] = Counter()
        for stored, count in counts.items():
            held = [gate.key for gate in hazards_of(read_flags(stored))]
            for key in (*held, ANY_HAZARD) if held else ("",):
                per_hazard[key] += count
        offered = {ANY_HAZARD: "any hazard"} | named
        found = [
            Choice(key, label, per_hazard[key], key in chosen)
            for key, label in offered.items()
            if per_hazard[key] or key in chosen
        ]
        # where no piece has one there is nothing to choose between
        return found + self._blank_choice(per_hazard, chosen) if found or "" in chosen else []


@dataclass(frozen=True)
class PictureFacet(WordFacet):
    """Whether there is any picture of it."""

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        # as words: a yes or no would be turned into the language's own for every find, one by one
        has = Exists(Photo.objects.filter(find=OuterRef("pk")))
        yes, no = Value("yes"), Value("no")
        return finds.annotate(
            **{self.column: Case(When(has, then=yes), default=no, output_field=CharField())}
        )

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        # a GROUP BY would look for each find's pictures twice
        has = Exists(Photo.objects.filter(find=OuterRef("pk")))
        numbers = finds.order_by().aggregate(all=Count("pk"), yes=Count("pk", filter=has))
        return Counter({"yes": numbers["yes"], "no": numbers["all"] - numbers["yes"]})

    def ask(self, stored: Iterable[object]) -> Q:
        has = Exists(Photo.objects.filter(find=OuterRef("pk")))
        wanted = set(stored)
        return Q() if len(wanted) != 1 else Q(has) if "yes" in wanted else ~Q(has)


FACETS: tuple[Facet, ...] = (
    RowFacet("town", "Town", "town_id", "no town", model=Town, named=("name", "region")),
    RowFacet("maker", "Maker", "maker_id", "no maker", model=Maker),
    RowFacet("bottler", "Bottler", "bottler_id", "no bottler", model=Bottler),
    RowFacet("product", "Product", "product_id", "no product", model=Product),
    DecadeFacet("decade", "Decade made", "made_decades", "not yet dated"),
    SiteFacet("site", "Site", "where_site", "no site", model=Site),
    WordFacet("stage", "Stage", "stage", words=tuple(Specimen.Stage.choices)),
    WordFacet("standing", "Standing", "standing", words=tuple(Specimen.Standing.choices)),
    WordFacet("kind", "Kind of vessel", "kind", words=tuple(Specimen.Kind.choices)),
    WordFacet("contents", "What it held", "contents", words=tuple(Specimen.Contents.choices)),
    WordFacet("colour", "Colour", "colour", words=tuple(Specimen.Colour.choices)),
    HazardFacet("hazard", "Hazards", "care_flags", "none known"),
    RowFacet("place", "Place", "place_id", "no place", model=Place, by="pk", named=("path",)),
    PictureFacet(
        "picture", "Pictures", "pictured", words=(("yes", "with a picture"), ("no", "no picture yet"))
    ),
)


# How finds spread over the years: not offered as choices, the year ruler of the list is added up from it.
SPREAD = Facet("years", "Made", "made_spread")
