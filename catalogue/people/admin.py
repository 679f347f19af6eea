"""The address book in the plain administration pages."""

from django.contrib import admin

from .models import Person


@admin.register(Person)
class PersonAdmin(admin.ModelAdmin):
    list_display = ("name", "reach")
    search_fields = ("name",)
