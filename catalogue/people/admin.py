"""The address book in the plain administration pages."""

from django.contrib import admin

from catalogue.common.admin import AnyModelAdmin

from .models import Person


@admin.register(Person)
class PersonAdmin(AnyModelAdmin):
    list_display = ("name", "reach")
    search_fields = ("name",)
