"""Everything under /search/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "search"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.search_page, name="search"),
]
