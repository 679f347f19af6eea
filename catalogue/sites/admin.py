"""Sites and dives in the plain administration pages."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from .models import Dive, Permission, Site


@admin.register(Site)
class SiteAdmin(SimpleHistoryAdmin):
    list_display = ("name", "water_body", "show_as", "wreck", "military")
    search_fields = ("name", "water_body")


@admin.register(Permission)
class PermissionAdmin(SimpleHistoryAdmin):
    list_display = ("site", "basis", "authority", "valid_from", "valid_to")
    list_select_related = ("site",)
    # Its file is opened from the site's page; here the link would lead nowhere.
    exclude = ("file",)
    readonly_fields = ("file_came_as",)


@admin.register(Dive)
class DiveAdmin(SimpleHistoryAdmin):
    list_display = ("year", "ordinal", "date", "site")
    list_filter = ("year",)
    list_select_related = ("site",)
    raw_id_fields = ("buddies",)
