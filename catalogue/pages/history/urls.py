"""Everything under /history/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "history"
urlpatterns: list[URLPattern | URLResolver] = [
    path("<slug:kind>/<whole:pk>/", views.history, name="history"),
    path("<slug:kind>/<whole:pk>/<whole:entry>/", views.back_to, name="back_to"),
    path("<slug:kind>/<whole:pk>/undo/<whole:before>/<whole:after>/", views.undo, name="undo"),
]
