"""Facets of what holds of a find: hazards, pictures, whether it has a match, is shared, what it lacks."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Case, CharField, Count, Exists, OuterRef, Q, QuerySet, Value, When
from django.db.models.functions import Concat

from catalogue.care.acts import hazards_of
from catalogue.care.care_tables import care_tables
from catalogue.care.stored_flags import read as read_flags
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.held_back import any_flag
from catalogue.specimens.models.specimen import STANDINGS_GONE

from .facet import NOT_RECORDED, Choice, Facet, WordFacet

ANY_HAZARD = "any"
LACKS_NOTHING = "nothing"


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


@dataclass(frozen=True)
class MatchFacet(WordFacet):
    """Whether it stands in a group of pieces that match."""

    def ask(self, stored: Iterable[object]) -> Q:
        wanted = set(stored)
        return Q() if len(wanted) != 1 else Q(**{f"{self.column}__isnull": "no" in wanted})

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        alone = counts.get(None, 0)
        matched = sum(counts.values()) - alone
        # where no piece has a match there is nothing to choose between
        return super().choices(Counter(yes=matched, no=alone), chosen) if matched or chosen else []


@dataclass(frozen=True)
class SharedFacet(WordFacet):
    """Whether the owner shares it with visitors; they see of these what no hazard holds back."""

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        # as words: a yes or no would be turned into the language's own for every find, one by one
        yes, no = Value("yes"), Value("no")
        return finds.annotate(
            **{self.column: Case(When(shared=True, then=yes), default=no, output_field=CharField())}
        )

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        rows = finds.order_by().values_list("shared").annotate(n=Count("pk"))
        return Counter({"yes" if shared else "no": count for shared, count in rows})

    def ask(self, stored: Iterable[object]) -> Q:
        wanted = set(stored)
        return Q() if len(wanted) != 1 else Q(shared="yes" in wanted)


# What a record may lack: key, words, and which finds lack it. The first three matter for any piece.
LACKS: tuple[tuple[str, str, Q], ...] = (
    ("place", "no place", Q(place__isnull=True) & ~Q(standing__in=STANDINGS_GONE)),
    ("from", "not known where from", Q(dive__isnull=True, site__isnull=True, recovered_edtf="")),
    ("years", "no years", Q(made_from__isnull=True, made_to__isnull=True)),
    ("maker", "no maker", Q(maker__isnull=True)),
    ("town", "no town", Q(town__isnull=True)),
    ("bottler", "no bottler", Q(bottler__isnull=True)),
    ("kind", "no kind of vessel", Q(kind="")),
    ("height", "not measured", Q(height_mm__isnull=True)),
)
ESSENTIAL = ("place", "from", "years")


@dataclass(frozen=True)
class LacksFacet(Facet):
    """What is not on record; a find that lacks several things counts in each."""

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        flags = (
            Case(When(lacks, then=Value(f"|{key}")), default=Value(""), output_field=CharField())
            for key, _, lacks in LACKS
        )
        return finds.annotate(**{self.column: Concat(*flags)})

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        labels = self._labels()
        return {value: (value, labels[value]) for value in values if value in labels}

    def ask(self, stored: Iterable[object]) -> Q:
        lacks = {key: asked for key, _, asked in LACKS}
        asked = Q()
        for key in map(str, stored):
            if key == LACKS_NOTHING:
                asked |= ~lacks["place"] & ~lacks["from"] & ~lacks["years"]
            else:
                asked |= lacks[key]
        return asked

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        per_key: Counter[Any] = Counter()
        for stored, count in counts.items():
            held = stored.strip("|").split("|")
            if not any(key in held for key in ESSENTIAL):
                per_key[LACKS_NOTHING] += count
            for key in held:
                per_key[key] += count
        return [
            Choice(key, label, per_key[key], key in chosen)
            for key, label in self._labels().items()
            if per_key[key] or key in chosen
        ]

    def _labels(self) -> dict[str, str]:
        return {LACKS_NOTHING: "nothing: place, origin and years are there"} | {
            key: label for key, label, _ in LACKS
        }
