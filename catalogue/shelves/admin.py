"""Places in the plain administration pages."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from .models import Place


@admin.register(Place)
class PlaceAdmin(SimpleHistoryAdmin):
    list_display = ("path", "kind")
    search_fields = ("path",)
