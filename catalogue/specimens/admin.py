"""Finds, makers and towns in the plain administration pages; a change there is dated at once."""

from contextlib import nullcontext
from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from simple_history.admin import SimpleHistoryAdmin

from catalogue.common.admin import AnyModelAdmin, AnyTabularInline

from .derived.refresh import refreshing
from .models import (
    Bottler,
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    Move,
    ObservedFeature,
    Opinion,
    OwnCode,
    OwnMark,
    Product,
    Specimen,
    Town,
    Works,
)


class WholeAdmin(SimpleHistoryAdmin):
    """Shows what lies in the bin too."""

    def get_queryset(self, request: HttpRequest) -> "QuerySet[Any]":
        rows: QuerySet[Any] = self.model.everything.order_by(
            *self.get_ordering(request) or self.model._meta.ordering
        )
        return rows


class WithPartsAdmin(WholeAdmin):
    """A record and its parts in one form: what follows from them is worked out once, when all are saved."""

    def changeform_view(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        with refreshing() if request.method == "POST" else nullcontext():
            answer: HttpResponse = super().changeform_view(request, *args, **kwargs)
        return answer


class PartInline(AnyTabularInline):
    extra = 0


class InscriptionInline(PartInline):
    model = Inscription


class ReadingInline(PartInline):
    model = MarkReading


class FeatureInline(PartInline):
    model = ObservedFeature


class KnownInline(PartInline):
    model = KnownYears


@admin.register(Specimen)
class SpecimenAdmin(WithPartsAdmin):
    list_display = ("number", "what", "town", "made_words", "stage", "standing", "binned_at")
    list_select_related = ("town",)
    list_filter = ("stage", "standing", "kind", "colour")
    search_fields = ("number", "what", "search_text")
    raw_id_fields = ("dive", "site", "town", "bottler", "product", "place", "twin_group")
    readonly_fields = ("number", "made_words", "made_edtf", "made_with", "made_in", "maker")
    inlines = (InscriptionInline, ReadingInline, FeatureInline, KnownInline)

    def has_add_permission(self, request: HttpRequest) -> bool:
        """A number is given by recording a find, never by hand."""
        return False


class OwnMarkInline(PartInline):
    model = OwnMark


class OwnCodeInline(PartInline):
    model = OwnCode
    raw_id_fields = ("bottler", "product", "works", "marks")


class WorksInline(PartInline):
    model = Works
    raw_id_fields = ("town",)


@admin.register(Maker)
class MakerAdmin(WithPartsAdmin):
    list_display = ("name", "place", "country", "from_year", "to_year", "reference_key")
    search_fields = ("name", "place")
    raw_id_fields = ("followed",)
    readonly_fields = ("slug", "reference_key")
    inlines = (WorksInline, OwnMarkInline, OwnCodeInline)

    def has_add_permission(self, request: HttpRequest) -> bool:
        """The catalogue's own form checks marks and codes against the tables."""
        return False


@admin.register(Town)
class TownAdmin(WholeAdmin):
    list_display = ("name", "region", "country", "latitude", "longitude", "from_gazetteer")
    search_fields = ("name", "region")
    list_filter = ("country",)
    readonly_fields = ("slug",)


@admin.register(Bottler)
class BottlerAdmin(WholeAdmin):
    list_display = ("name", "town", "from_year", "to_year")
    list_select_related = ("town",)
    search_fields = ("name",)
    raw_id_fields = ("town",)
    readonly_fields = ("slug",)


@admin.register(Product)
class ProductAdmin(WholeAdmin):
    list_display = ("name", "bottler", "contents")
    list_select_related = ("bottler",)
    search_fields = ("name",)
    raw_id_fields = ("bottler",)
    readonly_fields = ("slug",)


@admin.register(Opinion)
class OpinionAdmin(WholeAdmin):
    list_display = ("find", "about", "value", "on", "current")
    list_select_related = ("find",)
    search_fields = ("value", "find__number")
    raw_id_fields = ("find", "maker", "works", "bottler", "product", "by")


@admin.register(Move)
class MoveAdmin(AnyModelAdmin):
    list_display = ("find", "from_place", "to_place", "at", "why")
    list_select_related = ("find", "from_place", "to_place")
    search_fields = ("find__number",)
    raw_id_fields = ("find", "from_place", "to_place")
