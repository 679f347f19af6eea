"""Everything under /safekeeping/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "safekeeping"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.safekeeping, name="safekeeping"),
]
