"""Everything under /shelves/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "shelves"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.shelves, name="shelves"),
    path("new/", views.place_form, name="place_new"),
    path("<int:pk>/", views.place, name="place"),
    path("<int:pk>/edit/", views.place_form, name="place_edit"),
    path("<int:pk>/put/", views.put_here, name="place_put"),
]
