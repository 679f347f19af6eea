"""Places have their pages in the desk, where what stands in them is known."""

from django.urls import URLPattern, URLResolver

app_name = "shelves"
urlpatterns: list[URLPattern | URLResolver] = []
