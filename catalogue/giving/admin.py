"""Giving in the plain administration pages."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from .models import HandOver, Promise


@admin.register(Promise)
class PromiseAdmin(SimpleHistoryAdmin):
    list_display = ("find", "person", "on", "until", "ended")
    list_filter = ("ended",)
    list_select_related = ("find", "person")
    search_fields = ("find__number", "person__name")
    raw_id_fields = ("find", "person")


@admin.register(HandOver)
class HandOverAdmin(SimpleHistoryAdmin):
    list_display = ("find", "person", "on", "came_back_on")
    list_select_related = ("find", "person")
    search_fields = ("find__number", "person__name")
    raw_id_fields = ("find", "person")
    date_hierarchy = "on"
