"""Everything under /labels/."""

from django.urls import URLPattern, URLResolver, path

from . import slips, tags, views

app_name = "labels"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.labels, name="labels"),
    path("tags/", tags.tags, name="tags"),
    path("tags/<int:pk>/", tags.tag_run, name="tag_run"),
    path("slip/<number:number>/", slips.slip_pdf, name="slip"),
]
