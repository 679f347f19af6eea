"""Finds, makers and towns in the plain administration pages."""

from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest
from simple_history.admin import SimpleHistoryAdmin

from catalogue.common.admin import AnyModelAdmin, AnyTabularInline

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
    Wish,
    Works,
)


class WholeAdmin(SimpleHistoryAdmin):
    """Shows what lies in the bin too."""

    def get_queryset(self, request: HttpRequest) -> "QuerySet[Any]":
        rows: QuerySet[Any] = self.model.everything.order_by(
            *self.get_ordering(request) or self.model._meta.ordering
        )
        return rows


class InscriptionInline(AnyTabularInline):
    model = Inscription


class ReadingInline(AnyTabularInline):
    model = MarkReading


class FeatureInline(AnyTabularInline):
    model = ObservedFeature


class KnownInline(AnyTabularInline):
    model = KnownYears


@admin.register(Specimen)
class SpecimenAdmin(WholeAdmin):
    list_display = ("number", "what", "town", "made_words", "stage", "standing", "binned_at")
    list_select_related = ("town",)
    list_filter = ("stage", "standing", "kind", "colour")
    search_fields = ("number", "what")
    raw_id_fields = ("dive", "site", "town", "bottler", "product", "place", "twin_group")
    readonly_fields = ("number", "made_words", "made_edtf", "made_with", "made_in", "maker")
    inlines = (InscriptionInline, ReadingInline, FeatureInline, KnownInline)


class OwnMarkInline(AnyTabularInline):
    model = OwnMark


class OwnCodeInline(AnyTabularInline):
    model = OwnCode
    raw_id_fields = ("bottler", "product", "works", "marks")


class WorksInline(AnyTabularInline):
    model = Works
    raw_id_fields = ("town",)


@admin.register(Maker)
class MakerAdmin(WholeAdmin):
    list_display = ("name", "place", "country", "from_year", "to_year", "reference_key")
    search_fields = ("name", "place")
    raw_id_fields = ("followed",)
    readonly_fields = ("slug", "reference_key")
    inlines = (WorksInline, OwnMarkInline, OwnCodeInline)


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


@admin.register(Wish)
class WishAdmin(WholeAdmin):
    list_display = ("what", "maker", "town", "bottler", "product", "from_year", "to_year", "struck_off_at")
    list_select_related = ("maker", "town", "bottler", "product")
    search_fields = ("what", "note")
    raw_id_fields = ("maker", "town", "bottler", "product")


@admin.register(Move)
class MoveAdmin(AnyModelAdmin):
    list_display = ("find", "from_place", "to_place", "at", "why")
    list_select_related = ("find", "from_place", "to_place")
    search_fields = ("find__number",)
    raw_id_fields = ("find", "from_place", "to_place")
