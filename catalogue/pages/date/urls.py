"""Date a bottle in hand."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "date"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.date_a_bottle, name="date"),
]
