"""Admin of pictures and shelf sessions, for looking."""

from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest
from simple_history.admin import SimpleHistoryAdmin

from catalogue.common.admin import AnyModelAdmin, AnyTabularInline

from .models import HeldPicture, Photo, ShelfBox, ShelfSession


class NeverDeleted(AnyModelAdmin):
    """Pictures go to the bin, files by the sweep: neither from here."""

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_add_permission(self, request: HttpRequest) -> bool:
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


class ShelfBoxes(AnyTabularInline):
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
