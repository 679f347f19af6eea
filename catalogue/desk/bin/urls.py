from django.urls import path

from . import views

urlpatterns = [
    path("bin/", views.the_bin, name="bin"),
    path("bin/<slug:kind>/<int:pk>/", views.throw, name="bin_throw"),
    path("bin/<slug:kind>/<int:pk>/back/", views.put_back, name="bin_back"),
    path("bin/<slug:kind>/<int:pk>/empty/", views.empty, name="bin_empty"),
]
