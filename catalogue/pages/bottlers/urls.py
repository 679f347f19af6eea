"""Everything under /bottlers/."""

from django.urls import URLPattern, URLResolver, path

from . import bottler, merging
from . import views as bottlers

app_name = "bottlers"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", bottlers.bottlers, name="bottlers"),
    path("<str:slug>/", bottler.bottler, name="bottler"),
    path("<str:slug>/merge/", merging.merge, name="bottler_merge"),
    path("apart/<whole:one>/<whole:other>/", merging.apart, name="merge_apart"),
    path("merges/<whole:pk>/undo/", merging.undo, name="merge_undo"),
    path("<str:slug>/notes/", bottler.bottler_notes, name="bottler_notes"),
    path("<str:slug>/edit/", bottlers.bottler_edit, name="bottler_edit"),
]
