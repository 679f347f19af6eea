"""Ranges of years and sizes that the list is narrowed by: as typed in any usual unit, and as two handles."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Any

import django_filters
from django import forms
from django.db.models import Subquery

from catalogue.common.localisation import unit_shown, units_shown
from catalogue.common.quantities import (
    LENGTH,
    VOLUME,
    Quantity,
    QuantityError,
    Units,
    in_words,
    read_quantity,
)
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet


@dataclass(frozen=True, slots=True)
class NumberRange:
    """What was asked for; an end of None is open."""

    first: Decimal | int | None
    last: Decimal | int | None


@dataclass(frozen=True, slots=True)
class SpanKind:
    """A column to narrow from one number to another, both among them; `least` and `most` can be meant.

    `quantity`: what it measures, None for years.
    """

    key: str
    label: str
    quantity: Quantity | None
    column: str
    least: int
    most: int

    @property
    def unit(self) -> str:
        """Of a bare number: "mm", "in"."""
        return unit_shown(self.quantity) if self.quantity else ""

    def narrowed(self, finds: SpecimenQuerySet[Specimen], span: NumberRange) -> SpecimenQuerySet[Specimen]:
        """The finds within it; those without a value are left out."""
        if self.quantity is None:
            first, last = (None if end is None else int(end) for end in (span.first, span.last))
            return finds.made_between(first, last)
        if span.first is not None:
            finds = finds.filter(**{f"{self.column}__gte": span.first})
        if span.last is not None:
            # 190 mm means any height that one reads off as 190
            whole = span.last == int(span.last) and units_shown() is Units.METRIC
            finds = finds.filter(**{f"{self.column}__{'lt' if whole else 'lte'}": span.last + int(whole)})
        return finds

    def said(self, end: Decimal | int | None) -> str:
        """One end as its box says it: "1925", "190 mm", "9 1/2"", "" for an open one."""
        if end is None:
            return ""
        return in_words(end, self.quantity, units_shown()) if self.quantity else str(end)

    def words(self, span: NumberRange) -> str:
        """ "1900 to 1925", "190 mm or more", "up to 65 mm"."""
        first, last = self.said(span.first), self.said(span.last)
        if not first:
            return f"up to {last}"
        if not last:
            return f"{first} or {'more' if self.quantity else 'later'}"
        if first == last:
            return first
        return f"{first.removesuffix(f' {self.unit}')} to {last}"


YEARS = SpanKind("years", "Made", None, "made_first", 1000, 2999)
SIZE_RANGES = (
    SpanKind("height", "Height", LENGTH, "height_mm", 0, 9999),
    SpanKind("diameter", "Greatest diameter", LENGTH, "diameter_mm", 0, 9999),
    SpanKind("capacity", "Capacity", VOLUME, "capacity_ml", 0, 99_999),
)
SPANS = (YEARS, *SIZE_RANGES)


class TwoNumbers(forms.Widget):
    """Reads `key_from` and `key_to`; the page draws them itself."""

    def value_from_datadict(
        self, data: Mapping[str, Any], files: Mapping[str, Any], name: str
    ) -> tuple[str, str]:
        return data.get(f"{name}_from", ""), data.get(f"{name}_to", "")


class SpanField(forms.Field):
    """Two numbers as typed; what can't be read is left out and named, ends in the wrong order are turned."""

    widget = TwoNumbers

    def __init__(self, *, kind: SpanKind, **kwargs: Any) -> None:
        self.kind = kind
        self.complaints: list[str] = []
        super().__init__(**kwargs)

    def to_python(self, value: tuple[str, str] | None) -> NumberRange | None:
        self.complaints = []
        first, last = (self._read(text.strip()) for text in value or ("", ""))
        if first is None and last is None:
            return None
        if first is not None and last is not None and first > last:
            said = self.kind.said
            self.complaints.append(
                f"{self.kind.label}: {said(first)} is more than {said(last)}, so they were turned round."
            )
            first, last = last, first
        return NumberRange(first, last)

    def _read(self, text: str) -> Decimal | int | None:
        if not text:
            return None
        kind = self.kind
        number = size_typed(text, kind.quantity) if kind.quantity else year_asked(text)
        if number is None or not kind.least <= number <= kind.most:
            why = (
                f"can't be read, so it was left out. Write it as {kind.quantity.example}."
                if kind.quantity
                else "is not a year, such as 1925, so it was left out."
            )
            self.complaints.append(f"{kind.label}: “{text[:40]}” {why}")
            return None
        return number


def year_asked(text: str) -> int | None:
    """A year, written in any way that a number can be; None for anything else."""
    plain = text[:40].replace(",", ".")
    try:
        return int(float(plain)) if plain.isascii() else None
    except (ValueError, OverflowError):
        return None


def size_typed(text: str, quantity: Quantity) -> Decimal | None:
    """As on the record form, in the stored unit; None for what can't be read."""
    try:
        return read_quantity(text, quantity, units_shown())
    except QuantityError:
        return None


class SpanFilter(django_filters.Filter):
    """Narrow by one span."""

    field_class = SpanField

    def __init__(self, kind: SpanKind) -> None:
        self.kind = kind
        super().__init__(label=kind.label, kind=kind)

    def filter(self, qs: SpecimenQuerySet[Specimen], value: NumberRange | None) -> SpecimenQuerySet[Specimen]:
        return self.kind.narrowed(qs, value) if value else qs


Handle = int | float  # where one stands, in the unit of a bare number


@dataclass(frozen=True, slots=True)
class RangeSlider:
    """A span as the panel shows it: between which numbers its handles run, and where its ends are."""

    kind: SpanKind
    low: Handle
    high: Handle
    span: NumberRange | None
    step: Handle = 1

    @property
    def words(self) -> str:
        """What is chosen; "" for nothing."""
        return self.kind.words(self.span) if self.span else ""

    @property
    def from_words(self) -> str:
        return self.kind.said(self.span.first) if self.span else ""

    @property
    def to_words(self) -> str:
        return self.kind.said(self.span.last) if self.span else ""

    @property
    def first(self) -> Handle:
        """Where the lower handle stands."""
        end = self.span.first if self.span else None
        return self.low if end is None else max(self.low, self._bare(end))

    @property
    def last(self) -> Handle:
        """Where the upper handle stands."""
        end = self.span.last if self.span else None
        return self.high if end is None else min(self.high, self._bare(end))

    def _bare(self, end: Decimal | int) -> Handle:
        if self.kind.quantity is None:
            return int(end)
        return _handle(Fraction(end) / _bare_unit(self.kind.quantity))


def size_bounds() -> dict[str, tuple[Decimal, Decimal]]:
    """Key of a size -> the least and the greatest on record, as stored. One query, by the indexes."""
    ends = {}
    for kind in SIZE_RANGES:
        known = Specimen.objects.filter(**{f"{kind.column}__isnull": False}).values(kind.column)
        ends[f"{kind.key}_low"] = Subquery(known.order_by(kind.column)[:1])
        ends[f"{kind.key}_high"] = Subquery(known.order_by(f"-{kind.column}")[:1])
    row = Specimen.objects.annotate(**ends).order_by("pk").values(*ends)[:1]
    found = next(iter(row), None) or {}
    bounds = {kind.key: (found.get(f"{kind.key}_low"), found.get(f"{kind.key}_high")) for kind in SIZE_RANGES}
    return {key: (low, high) for key, (low, high) in bounds.items() if low is not None and high is not None}


def sliders(
    spans: Mapping[str, NumberRange | None], bounds: Mapping[str, tuple[Decimal, Decimal]]
) -> list[RangeSlider]:
    """One for each size that differs between pieces or is asked for: by whole mm, or quarters of an inch."""
    found = []
    for kind in SIZE_RANGES:
        assert kind.quantity is not None
        unit = _bare_unit(kind.quantity)
        parts = 1 if unit == 1 else INCH_PARTS
        least, most = (Fraction(end) / unit * parts for end in bounds.get(kind.key, (0, 0)))
        # 240.5 mm reads off as 240
        low, high = floor(least), floor(most) if parts == 1 else ceil(most)
        span = spans.get(kind.key)
        if low < high or span:
            high = max(high, low + 1)
            first, last, step = (_handle(Fraction(end, parts)) for end in (low, high, 1))
            found.append(RangeSlider(kind, first, last, span, step))
    return found


INCH_PARTS = 4


def _bare_unit(quantity: Quantity) -> Fraction:
    """How many of the stored unit the unit of a bare number is."""
    return quantity.factors[quantity.shown[units_shown()]]


def _handle(number: Fraction) -> Handle:
    return int(number) if number.denominator == 1 else round(float(number), 3)
