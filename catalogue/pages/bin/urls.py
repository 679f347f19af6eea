"""Everything under /bin/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "bin"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.the_bin, name="bin"),
    path("<slug:kind>/<whole:pk>/", views.throw, name="bin_throw"),
    path("<slug:kind>/<whole:pk>/back/", views.put_back, name="bin_back"),
    path("<slug:kind>/<whole:pk>/empty/", views.empty, name="bin_empty"),
]
