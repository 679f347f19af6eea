"""Pictures and shelf sessions in the plain administration pages."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from catalogue.common.admin import AnyModelAdmin, AnyTabularInline

from .models import HeldPicture, Photo, ShelfBox, ShelfSession


@admin.register(Photo)
class PhotoAdmin(SimpleHistoryAdmin):
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
class HeldPictureAdmin(AnyModelAdmin):
    list_display = ["__str__", "created", "width", "height"]
    readonly_fields = ["sha256", "holder", "created"]


class ShelfBoxes(AnyTabularInline):
    model = ShelfBox
    raw_id_fields = ["find"]


@admin.register(ShelfSession)
class ShelfSessionAdmin(SimpleHistoryAdmin):
    list_display = ["__str__", "created", "kind"]
    list_select_related = ["place"]
    raw_id_fields = ["photo", "place", "site"]
    inlines = [ShelfBoxes]
