"""Giving in the plain administration pages: to be read and put right; nothing is given away there."""

from django.contrib import admin
from django.http import HttpRequest
from simple_history.admin import SimpleHistoryAdmin

from .models import HandOver, Promise


class GivenAdmin(SimpleHistoryAdmin):
    """A promise or hand-over is made by its service alone, which asks what hazards of the piece say."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def get_readonly_fields(self, request: HttpRequest, obj: object = None) -> tuple[str, ...]:
        return ("find",)


@admin.register(Promise)
class PromiseAdmin(GivenAdmin):
    list_display = ("find", "person", "on", "until", "ended")
    list_filter = ("ended",)
    list_select_related = ("find", "person")
    search_fields = ("find__number", "person__name")
    raw_id_fields = ("find", "person")


@admin.register(HandOver)
class HandOverAdmin(GivenAdmin):
    list_display = ("find", "person", "on", "came_back_on")
    list_select_related = ("find", "person")
    search_fields = ("find__number", "person__name")
    raw_id_fields = ("find", "person")
    date_hierarchy = "on"
