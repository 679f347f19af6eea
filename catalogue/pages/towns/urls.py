"""Everything under /towns/."""

from django.urls import URLPattern, URLResolver, path

from . import merging, town, which
from . import views as towns

app_name = "towns"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", towns.towns, name="towns"),
    path("bottlers/<str:slug>/", towns.old_bottler_address),
    path("<str:slug>/", town.town, name="town"),
    path("<str:slug>/notes/", town.town_notes, name="town_notes"),
    path("<str:slug>/edit/", towns.town_edit, name="town_edit"),
    path("<str:slug>/which/", which.which, name="town_which"),
    path("<str:slug>/merge/", merging.merge, name="town_merge"),
    path("apart/<whole:one>/<whole:other>/", merging.apart, name="merge_apart"),
    path("merges/<whole:pk>/undo/", merging.undo, name="merge_undo"),
]
