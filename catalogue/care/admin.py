"""Care in the plain administration pages: treatments are edited there, the bench is only looked at."""

from typing import TYPE_CHECKING, Any

from django.contrib import admin
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
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

if TYPE_CHECKING:
    # Generic for the checker alone.
    InlineBase = admin.TabularInline[Any, Any]
    AdminBase = admin.ModelAdmin[Any]
else:
    InlineBase = admin.TabularInline
    AdminBase = admin.ModelAdmin


class LookOnly:
    """No adding, changing or deleting."""

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class LookOnlyAdmin(LookOnly, SimpleHistoryAdmin):
    """A page of its own with its history to read; the history page would else put an earlier state back."""

    def history_form_view(
        self, request: HttpRequest, object_id: str, version_id: str, extra_context: Any = None
    ) -> HttpResponse:
        if request.method != "GET":
            raise PermissionDenied
        shown: HttpResponse = super().history_form_view(request, object_id, version_id, extra_context)
        return shown


class LookOnlyInline(LookOnly, InlineBase):
    """Rows of another page."""

    extra = 0


class LoadInline(LookOnlyInline):
    model = BathLoad
    fields = ("ordinal", "began_at", "look_from", "look_to", "next_look", "ended_at")


class BathMemberInline(LookOnlyInline):
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
    inlines = (LoadInline, BathMemberInline, PhotoInline)


@admin.register(Check)
class CheckAdmin(LookOnlyAdmin):
    list_display = ("find", "at", "found", "note")
    list_select_related = ("find",)
    search_fields = ("find__number", "note")


class MarkInline(LookOnlyInline):
    model = VesselMark
    fields = ("ml", "name")


@admin.register(Vessel)
class VesselAdmin(LookOnlyAdmin):
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

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        # Its log stays: out of the kit is a bin, on the tool's own page.
        return False


@admin.register(ToolUse)
class ToolUseAdmin(LookOnly, AdminBase):
    list_display = ("find", "tool", "worked", "at")
    list_filter = ("worked",)
    list_select_related = ("find", "tool")
    search_fields = ("find__number", "tool__name")


class SoakMemberInline(LookOnlyInline):
    model = SoakMember
    fields = ("find", "in_at", "out_at", "treatment")
    raw_id_fields = ("find", "treatment")


class SoakReadingInline(LookOnlyInline):
    model = SoakReading
    fields = ("at", "value", "changed_water", "note")


@admin.register(Soak)
class SoakAdmin(LookOnlyAdmin):
    list_display = ("name", "vessel", "began_at", "ended_at", "unit", "tap")
    list_select_related = ("vessel",)
    search_fields = ("name", "members__find__number")
    date_hierarchy = "began_at"
    inlines = (SoakMemberInline, SoakReadingInline)


@admin.register(WorkStep)
class WorkStepAdmin(LookOnlyAdmin):
    list_display = ("find", "step", "begun_at", "done_at")
    list_select_related = ("find",)
    search_fields = ("find__number", "step", "note")


class DamageInline(InlineBase):
    model = Damage
    extra = 0


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
