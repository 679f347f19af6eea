from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from .models import HeldPicture, Photo, ShelfBox, ShelfSession


class NeverDeleted(admin.ModelAdmin):
    """Pictures go to the bin, files by the sweep: neither from here."""

    def has_delete_permission(self, request, obj=None) -> bool:
        return False

    def has_add_permission(self, request) -> bool:
        return False


@admin.register(Photo)
class PhotoAdmin(NeverDeleted, SimpleHistoryAdmin):
    list_display = ["__str__", "find", "role", "original_name", "sizes_made", "created"]
    list_filter = ["role", "sizes_made", "opened"]
    list_select_related = ["find"]
    raw_id_fields = ["find", "dive", "site", "place"]
    readonly_fields = [
        "sha256",
        "format",
        "bytes",
        "width",
        "height",
        "original_name",
        "created",
        "binned_at",
    ]


@admin.register(HeldPicture)
class HeldPictureAdmin(NeverDeleted):
    list_display = ["__str__", "created", "width", "height"]
    readonly_fields = ["sha256", "holder", "created"]


class ShelfBoxes(admin.TabularInline):
    model = ShelfBox
    extra = 0
    can_delete = False
    raw_id_fields = ["find"]


@admin.register(ShelfSession)
class ShelfSessionAdmin(NeverDeleted, SimpleHistoryAdmin):
    list_display = ["__str__", "created", "kind"]
    list_select_related = ["place"]
    raw_id_fields = ["photo", "place", "site"]
    inlines = [ShelfBoxes]
