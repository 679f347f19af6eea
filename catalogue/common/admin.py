"""Django's own administration, with the model a type checker asks for.

Its classes take a model in square brackets in their published types, and refuse it when the program runs.
"""

from typing import TYPE_CHECKING, Any

from django.contrib import admin

if TYPE_CHECKING:
    AnyModelAdmin = admin.ModelAdmin[Any]
    AnyTabularInline = admin.TabularInline[Any, Any]
else:
    AnyModelAdmin, AnyTabularInline = admin.ModelAdmin, admin.TabularInline
