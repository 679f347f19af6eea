"""Vessels and tools. A vessel is only looked at: measured again on its own page, which checks the sum."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest
from simple_history.admin import SimpleHistoryAdmin

from catalogue.care.models import Tool, ToolUse, Vessel, VesselMark

from .look_only import LookOnly, LookOnlyAdmin, LookOnlyInline


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
class ToolUseAdmin(LookOnly, admin.ModelAdmin):
    list_display = ("find", "tool", "worked", "at")
    list_filter = ("worked",)
    list_select_related = ("find", "tool")
    search_fields = ("find__number", "tool__name")
