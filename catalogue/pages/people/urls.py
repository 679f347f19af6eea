"""Everything under /people/."""

from django.urls import URLPattern, URLResolver, path

from . import merging, views

app_name = "people"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.people, name="people"),
    path("new/", views.person, name="person_new"),
    path("suggest/", views.suggest_names, name="suggest"),
    path("<whole:pk>/", views.person, name="person"),
    path("<whole:pk>/merge/", merging.merge, name="person_merge"),
    path("apart/<whole:one>/<whole:other>/", merging.apart, name="merge_apart"),
    path("merges/<whole:pk>/undo/", merging.undo, name="merge_undo"),
    path("<whole:pk>/erase/", views.erase_person, name="erase"),
]
