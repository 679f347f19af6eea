"""Everything under /safekeeping/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "safekeeping"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.safekeeping, name="safekeeping"),
    path("set-aside/<slug:what>/", views.move_aside, name="move_aside"),
    path("set-aside/<slug:day>/delete/", views.delete_day, name="delete_day"),
]
