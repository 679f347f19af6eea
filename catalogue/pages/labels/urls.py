"""Everything under /labels/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "labels"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.labels, name="labels"),
    path("tags/", views.tags, name="tags"),
    path("tags/<whole:pk>/", views.tag_run, name="tag_run"),
    path("slip/<number:number>/", views.slip_pdf, name="slip"),
]
