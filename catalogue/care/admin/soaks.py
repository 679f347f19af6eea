"""Soaks with their readings, and the steps of pieces that keep their growth."""

from django.contrib import admin

from catalogue.care.models import Soak, SoakMember, SoakReading, WorkStep

from .look_only import LookOnlyAdmin, LookOnlyInline


class MemberInline(LookOnlyInline):
    model = SoakMember
    fields = ("find", "in_at", "out_at", "treatment")
    raw_id_fields = ("find", "treatment")


class ReadingInline(LookOnlyInline):
    model = SoakReading
    fields = ("at", "value", "changed_water", "note")


@admin.register(Soak)
class SoakAdmin(LookOnlyAdmin):
    list_display = ("name", "vessel", "began_at", "ended_at", "unit", "tap")
    list_select_related = ("vessel",)
    search_fields = ("name", "members__find__number")
    date_hierarchy = "began_at"
    inlines = (MemberInline, ReadingInline)


@admin.register(WorkStep)
class WorkStepAdmin(LookOnlyAdmin):
    list_display = ("find", "step", "begun_at", "done_at")
    list_select_related = ("find",)
    search_fields = ("find__number", "step", "note")
