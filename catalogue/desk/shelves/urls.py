from django.urls import path

from . import views

urlpatterns = [
    path("shelves/", views.shelves, name="shelves"),
    path("shelves/new/", views.place_form, name="place_new"),
    path("shelves/<int:pk>/", views.place, name="place"),
    path("shelves/<int:pk>/edit/", views.place_form, name="place_edit"),
    path("shelves/<int:pk>/put/", views.put_here, name="place_put"),
]
