from django.urls import path

from . import tag_views, views

app_name = "labels"
urlpatterns = [
    path("", views.labels, name="labels"),
    path("tags/", tag_views.tags, name="tags"),
    path("tags/<int:pk>/", tag_views.tag_run, name="tag_run"),
]
