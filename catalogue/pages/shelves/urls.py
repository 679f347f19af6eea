"""Everything under /shelves/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "shelves"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.shelves, name="shelves"),
    path("new/", views.place_form, name="place_new"),
    path("<whole:pk>/", views.place, name="place"),
    path("<whole:pk>/edit/", views.place_form, name="place_edit"),
    path("<whole:pk>/put/", views.put_here, name="place_put"),
]
