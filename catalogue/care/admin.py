"""Care in the plain administration pages."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from catalogue.care.models import (
    Bath,
    BathLoad,
    BathMember,
    BenchPhoto,
    Check,
    ConditionReport,
    Damage,
    Soak,
    SoakMember,
    SoakReading,
    Tool,
    ToolUse,
    Treatment,
    Vessel,
    VesselMark,
    WorkStep,
)
from catalogue.common.admin import AnyModelAdmin, AnyTabularInline


class LoadInline(AnyTabularInline):
    model = BathLoad
    fields = ("ordinal", "began_at", "look_from", "look_to", "next_look", "ended_at")


class BathMemberInline(AnyTabularInline):
    model = BathMember
    fields = ("find", "growth_g", "in_at", "out_at", "outcome", "override_reason", "note", "treatment")
    raw_id_fields = ("find", "treatment")


class PhotoInline(AnyTabularInline):
    model = BenchPhoto
    fk_name = "bath"
    fields = ("caption", "sha256", "created")
    readonly_fields = ("sha256", "created")


@admin.register(Bath)
class BathAdmin(SimpleHistoryAdmin):
    list_display = ("pk", "vessel", "strength_label", "mixed_at", "ended_at", "ended_how")
    list_filter = ("ended_how",)
    list_select_related = ("vessel",)
    search_fields = ("vessel__name", "members__find__number", "note")
    date_hierarchy = "mixed_at"
    inlines = (LoadInline, BathMemberInline, PhotoInline)


@admin.register(Check)
class CheckAdmin(SimpleHistoryAdmin):
    list_display = ("find", "at", "found", "in_passing", "note")
    list_select_related = ("find",)
    search_fields = ("find__number", "note")


class MarkInline(AnyTabularInline):
    model = VesselMark
    fields = ("ml", "name")


@admin.register(Vessel)
class VesselAdmin(SimpleHistoryAdmin):
    list_display = ("name", "material", "outline", "litres")
    search_fields = ("name", "notes")
    inlines = (MarkInline,)

    @admin.display(description="holds, l")
    def litres(self, vessel: Vessel) -> str:
        return f"{vessel.litres:.1f}"


@admin.register(Tool)
class ToolAdmin(SimpleHistoryAdmin):
    list_display = ("name", "softness", "rough", "where", "bore_from_mm", "bore_to_mm")
    list_filter = ("where", "rough")
    search_fields = ("name", "how")


@admin.register(ToolUse)
class ToolUseAdmin(AnyModelAdmin):
    list_display = ("find", "tool", "worked", "at")
    list_filter = ("worked",)
    list_select_related = ("find", "tool")
    search_fields = ("find__number", "tool__name")


class SoakMemberInline(AnyTabularInline):
    model = SoakMember
    fields = ("find", "in_at", "out_at", "treatment")
    raw_id_fields = ("find", "treatment")


class SoakReadingInline(AnyTabularInline):
    model = SoakReading
    fields = ("at", "value", "changed_water", "note")


@admin.register(Soak)
class SoakAdmin(SimpleHistoryAdmin):
    list_display = ("name", "vessel", "began_at", "ended_at", "unit", "tap")
    list_select_related = ("vessel",)
    search_fields = ("name", "members__find__number")
    date_hierarchy = "began_at"
    inlines = (SoakMemberInline, SoakReadingInline)


@admin.register(WorkStep)
class WorkStepAdmin(SimpleHistoryAdmin):
    list_display = ("find", "step", "begun_at", "done_at")
    list_select_related = ("find",)
    search_fields = ("find__number", "step", "note")


class DamageInline(AnyTabularInline):
    model = Damage


@admin.register(ConditionReport)
class ConditionReportAdmin(SimpleHistoryAdmin):
    list_display = ("find", "on", "grade")
    list_filter = ("grade",)
    list_select_related = ("find",)
    search_fields = ("find__number", "note")
    raw_id_fields = ("find", "by")
    date_hierarchy = "on"
    inlines = (DamageInline,)


@admin.register(Treatment)
class TreatmentAdmin(SimpleHistoryAdmin):
    list_display = ("find", "method", "begun", "ended", "result")
    list_filter = ("method", "result")
    list_select_related = ("find",)
    search_fields = ("find__number", "agents", "note")
    raw_id_fields = ("find", "by")
