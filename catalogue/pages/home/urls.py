"""The first page."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "home"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.home, name="home"),
]
