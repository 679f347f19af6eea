"""Faceted search: filters of the finds, by facets and by ranges with two ends, and facet counts.

Several choices within one facet mean any of them, several filters mean all. The address says only what is
set: a form that is sent without script says every field, also the empty ones, and names that were typed.
"""

from collections import Counter
from dataclasses import dataclass
from itertools import islice
from typing import Any

import django_filters
from django import forms
from django.db.models import QuerySet
from django.http import QueryDict

from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.search.understanding import Understood, finds_with, understand

from .facet import Facet
from .facets import FACETS, SPREAD
from .row_facets import RowFacet
from .spans import SPANS, NumberRange, SpanField, SpanFilter, SpanKind

MOST_CHOICES = 40
TYPED_NAME = "_named"  # behind a filter's key: a name typed beside its choices
MOST_MEANT = 20
ONLY_SIGNS = "There is no letter and no figure in that search, so it was left out."
FEW = 500  # finds of a search that are named one by one to the queries after it


class FacetField(forms.Field):
    """What the address says of one facet. A word it does not know is left out and named in `unknown`."""

    widget = forms.SelectMultiple

    def __init__(self, *, facet: Facet, **kwargs: Any) -> None:
        self.facet = facet
        self.unknown: list[str] = []
        super().__init__(**kwargs)

    def to_python(self, value: list[str] | None) -> dict[object, tuple[str, str]]:
        words = list(dict.fromkeys(word for word in value or () if word))[:MOST_CHOICES]
        known = self.facet.read(words)
        written = {as_written for as_written, _ in known.values()}
        self.unknown = [word for word in words if word not in written]
        return known


class FacetFilter(django_filters.Filter):
    """Narrow by one facet."""

    field_class = FacetField

    def __init__(self, facet: Facet) -> None:
        self.facet = facet
        super().__init__(label=facet.label, facet=facet)

    def filter(
        self, qs: SpecimenQuerySet[Specimen], value: dict[object, tuple[str, str]] | None
    ) -> SpecimenQuerySet[Specimen]:
        return qs.filter(self.facet.ask(value)) if value else qs


class FindFilters(django_filters.FilterSet):
    """Search, facets and spans over the finds."""

    q = django_filters.CharFilter(method="search", label="Search", max_length=200)

    # what the words mean, and keys of the finds that have them, once they were looked for
    _understood: Understood | None = None
    _few: list[int] | None = None

    class Meta:
        model = Specimen
        fields: list[str] = []

    def search(
        self, queryset: SpecimenQuerySet[Specimen], _name: str, words: str
    ) -> SpecimenQuerySet[Specimen]:
        """Ask the index once; where few have the words, all else is asked of those alone."""
        understood = self.understood(words)
        if not understood.units:
            return queryset
        if self._few is None:
            found = self.queryset.filter(finds_with(understood)).order_by("-pk").values_list("pk", flat=True)
            self._few = list(found[: FEW + 1])
        few = len(self._few) <= FEW
        return queryset.filter(pk__in=self._few) if few else queryset.filter(finds_with(understood))

    def understood(self, words: str) -> Understood:
        """What these words mean; the box in the head understands them alike."""
        if self._understood is None:
            self._understood = understand(words)
        return self._understood

    def chosen(self, facet: Facet) -> dict[object, tuple[str, str]]:
        """Stored value -> (as written in the address, label) of what is chosen."""
        return self.form.cleaned_data.get(facet.key) or {}

    @property
    def spans(self) -> dict[str, NumberRange | None]:
        """Key -> from what to what, where it is asked for."""
        return {kind.key: self.form.cleaned_data.get(kind.key) for kind in SPANS}

    @property
    def narrowed(self) -> bool:
        """Whether anything at all is chosen."""
        return bool(self.active or self.words or any(self.spans.values()))

    @property
    def active(self) -> list[Facet]:
        return [facet for facet in FACETS if self.chosen(facet)]

    @property
    def words(self) -> str:
        return self.form.cleaned_data.get("q") or ""

    def apart_from(self, left_out: Facet | SpanKind) -> SpecimenQuerySet[Specimen]:
        """The finds by every choice but one filter's."""
        finds = self.queryset.all()
        for name, value in self.form.cleaned_data.items():
            if name != left_out.key:
                finds = self.filters[name].filter(finds, value)
        narrowed: SpecimenQuerySet[Specimen] = finds
        return narrowed

    def complaints(self) -> list[str]:
        """What in the address could not be followed, in sentences."""
        sentences = [
            f"Nothing here is called “{word[:60]}” ({str(field.label).lower()}), so that choice was left out."
            for field in self.form.fields.values()
            if isinstance(field, FacetField)
            for word in field.unknown[:3]
        ]
        for field in self.form.fields.values():
            if isinstance(field, SpanField):
                sentences += field.complaints
        if "q" in self.form.errors:
            sentences.append("That search can't be read, so it was left out. Use up to 200 letters.")
        if self.words:
            understood = self.understood(self.words)
            sentences += understood.sentences
            if understood.typed.only_signs:
                sentences.append(ONLY_SIGNS)
        return sentences


# made by the filter set's metaclass, which has no types
_filters: dict[str, Any] = FindFilters.base_filters
_filters.update({facet.key: FacetFilter(facet) for facet in FACETS})
_filters.update({kind.key: SpanFilter(kind) for kind in SPANS})


AT_ONCE = 2000  # finds counted together


def counts_beside(filters: FindFilters) -> dict[str, Counter[Any]]:
    """Facet key -> how many finds have each stored value, under everything else that is chosen.

    Under "years": how many have each text of how they spread over the years, whatever years are chosen.
    Nothing chosen: one GROUP BY a facet on its own column. Otherwise one pass over the finds that are
    shown, counted here, and a GROUP BY for each facet with a choice: its own choice must not empty its
    other counts.
    """
    columns = (*FACETS, SPREAD)
    if not filters.narrowed:
        return {facet.key: facet.counted(filters.queryset.all()) for facet in columns}
    apart = [*filters.active, *([SPREAD] if filters.spans["years"] else [])]
    counts = {facet.key: facet.counted(filters.apart_from(facet)) for facet in apart}
    return counts | _one_pass(filters.qs, [facet for facet in columns if facet not in apart])


def total(filters: FindFilters, counts: dict[str, Counter[Any]]) -> int:
    """How many finds are shown: every find counts once in a facet nothing is chosen of."""
    for facet in FACETS:
        if facet not in filters.active:
            return sum(counts[facet.key].values())
    return int(filters.qs.count())


def _one_pass(finds: QuerySet[Specimen], facets: list[Facet]) -> dict[str, Counter[Any]]:
    # As they lie in the store: an index that tells which are not in the bin would have them read in its
    # own order, here and there, three times slower.
    finds = finds.order_by("pk")
    for facet in facets:
        finds = facet.annotated(finds)
    counts: dict[str, Counter[Any]] = {facet.key: Counter() for facet in facets}
    rows = finds.values_list(*(facet.column for facet in facets)).iterator(chunk_size=AT_ONCE)
    # a part at a time: held together, a hundred thousand rows keep the memory manager busy
    while part := list(islice(rows, AT_ONCE)):
        for facet, column in zip(facets, zip(*part, strict=True), strict=True):
            counts[facet.key].update(column)
    return counts


@dataclass(frozen=True, slots=True)
class TidyAddress:
    """The query to ask instead, and what of the address could not be followed, in sentences."""

    query: str
    complaints: list[str]


def tidied(asked: QueryDict) -> TidyAddress | None:
    """The address that says the same in fewer words; None where it says nothing in vain."""
    kept = QueryDict(mutable=True)
    for key, values in asked.lists():
        if said := [value for value in values if value]:
            kept.setlist(key, said)
    complaints: list[str] = []
    for facet in FACETS:
        typed = kept.pop(f"{facet.key}{TYPED_NAME}", [])
        if not typed or not isinstance(facet, RowFacet) or not facet.one:
            continue
        name = " ".join(str(typed[-1]).split())[:200]
        meant = facet.rows_named(name) if name else []
        if not meant:
            complaints.append(f"No {facet.one} is called “{name[:60]}”, so that choice was left out.")
        elif len(meant) > MOST_MEANT:
            complaints.append(f"{len(meant)} are called like “{name[:60]}”: type more of the name.")
        else:
            kept.setlist(facet.key, list(dict.fromkeys([*kept.getlist(facet.key), *meant])))
    if kept == asked:
        return None
    kept.pop("page", None)
    return TidyAddress(f"?{kept.urlencode()}" if kept else "", complaints)
