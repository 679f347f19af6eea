"""Baths, with what went through them, and the looks before them."""

from django.contrib import admin

from catalogue.care.models import Bath, BathLoad, BathMember, BenchPhoto, Check

from .look_only import LookOnlyAdmin, LookOnlyInline


class LoadInline(LookOnlyInline):
    model = BathLoad
    fields = ("ordinal", "began_at", "look_from", "look_to", "next_look", "ended_at")


class MemberInline(LookOnlyInline):
    model = BathMember
    fields = ("find", "growth_g", "in_at", "out_at", "outcome", "override_reason", "note", "treatment")
    raw_id_fields = ("find", "treatment")


class PhotoInline(LookOnlyInline):
    model = BenchPhoto
    fk_name = "bath"
    fields = ("caption", "sha256", "created")
    readonly_fields = ("sha256", "created")


@admin.register(Bath)
class BathAdmin(LookOnlyAdmin):
    list_display = ("pk", "vessel", "strength_label", "mixed_at", "ended_at", "ended_how")
    list_filter = ("ended_how",)
    list_select_related = ("vessel",)
    search_fields = ("vessel__name", "members__find__number", "note")
    date_hierarchy = "mixed_at"
    inlines = (LoadInline, MemberInline, PhotoInline)


@admin.register(Check)
class CheckAdmin(LookOnlyAdmin):
    list_display = ("find", "at", "found", "note")
    list_select_related = ("find",)
    search_fields = ("find__number", "note")
