"""Everything under /api/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "api"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.documentation, name="documentation"),
    path("v1/", views.index, name="index"),
    path("v1/<slug:kind>/", views.rows, name="rows"),
    path("v1/<slug:kind>/<str:name>/", views.one_row, name="one_row"),
    path("v1/pictures/<whole:pk>/<slug:size>.jpg", views.picture, name="picture"),
    # Whatever else is asked there is answered in JSON too.
    path("v1/<path:rest>", views.nothing_here, name="nothing_here"),
]
