"""Rows that the administration pages show and never change, as what was poured and when."""

from typing import Any

from django.contrib import admin
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from simple_history.admin import SimpleHistoryAdmin


class LookOnly:
    """No adding, changing or deleting."""

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class LookOnlyAdmin(LookOnly, SimpleHistoryAdmin):
    """A page of its own with its history to read; the history page would else put an earlier state back."""

    def history_form_view(
        self, request: HttpRequest, object_id: str, version_id: str, extra_context: Any = None
    ) -> HttpResponse:
        if request.method != "GET":
            raise PermissionDenied
        return super().history_form_view(request, object_id, version_id, extra_context)


class LookOnlyInline(LookOnly, admin.TabularInline):
    """Rows of another page."""

    extra = 0
