"""Everything under /exhibit/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "exhibit"
urlpatterns: list[URLPattern | URLResolver] = [path("", views.exhibit, name="exhibit")]
