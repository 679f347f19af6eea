"""The finds list's filters: several choices within one mean any of them, several filters mean all."""

import django_filters
from django import forms
from django.db.models import QuerySet

from catalogue.specimens.models import Specimen

from .facets import FACETS, Facet
from .spans import SPANS, Span, SpanField, SpanFilter, SpanKind

MOST_CHOICES = 40
FEW = 500  # finds of a search that are named one by one to the queries after it


class FacetField(forms.Field):
    """What the address says of one facet. A word it does not know is left out and named in `unknown`."""

    widget = forms.SelectMultiple

    def __init__(self, *, facet: Facet, **kwargs) -> None:
        self.facet = facet
        self.unknown: list[str] = []
        super().__init__(**kwargs)

    def to_python(self, value: list[str] | None) -> dict[object, tuple[str, str]]:
        words = list(dict.fromkeys(word for word in value or () if word))[:MOST_CHOICES]
        readable = [word for word in words if "\x00" not in word]
        known = self.facet.read(readable)
        written = {as_written for as_written, _ in known.values()}
        self.unknown = [word for word in words if word not in written]
        return known


class FacetFilter(django_filters.Filter):
    """Narrow by one facet."""

    field_class = FacetField

    def __init__(self, facet: Facet) -> None:
        self.facet = facet
        super().__init__(label=facet.label, facet=facet)

    def filter(self, qs: QuerySet, value: dict | None) -> QuerySet:
        return qs.filter(self.facet.ask(value)) if value else qs


class FindFilters(django_filters.FilterSet):
    """Search, facets and spans over the finds."""

    q = django_filters.CharFilter(method="search", label="Search", max_length=200)

    # keys of the finds that have the words searched for, once they were looked for
    _few: list[int] | None = None

    class Meta:
        model = Specimen
        fields: list[str] = []

    def search(self, queryset: QuerySet, _name: str, words: str) -> QuerySet:
        """Look through every find once; where few have the words, all else is asked of those alone."""
        if self._few is None:
            found = self.queryset.matching(words).order_by("pk").values_list("pk", flat=True)
            self._few = list(found[: FEW + 1])
        return queryset.filter(pk__in=self._few) if len(self._few) <= FEW else queryset.matching(words)

    def chosen(self, facet: Facet) -> dict[object, tuple[str, str]]:
        """Stored value -> (as written in the address, label) of what is chosen."""
        return self.form.cleaned_data.get(facet.key) or {}

    @property
    def spans(self) -> dict[str, Span | None]:
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

    def apart_from(self, left_out: Facet | SpanKind) -> QuerySet:
        """The finds by every choice but one filter's."""
        finds = self.queryset.all()
        for name, value in self.form.cleaned_data.items():
            if name != left_out.key:
                finds = self.filters[name].filter(finds, value)
        return finds

    def complaints(self) -> list[str]:
        """What in the address could not be followed, in sentences."""
        said = [
            f"Nothing here is called “{word[:60]}” ({field.label.lower()}), so that choice was left out."
            for field in self.form.fields.values()
            if isinstance(field, FacetField)
            for word in field.unknown[:3]
        ]
        for field in self.form.fields.values():
            if isinstance(field, SpanField):
                said += field.said
        if "q" in self.form.errors:
            said.append("That search can't be read, so it was left out. Use up to 200 letters.")
        return said


FindFilters.base_filters.update({facet.key: FacetFilter(facet) for facet in FACETS})
FindFilters.base_filters.update({kind.key: SpanFilter(kind) for kind in SPANS})
