"""Condition reports and treatments in the plain administration pages."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from catalogue.care.models import ConditionReport, Damage, Treatment


class DamageInline(admin.TabularInline):
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
