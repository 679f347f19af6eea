from django.urls import path

from . import views

urlpatterns = [
    path("finds/views/", views.saved_views, name="saved_views"),
    path("finds/views/<int:pk>/", views.open_view, name="saved_view"),
    path("finds/views/<int:pk>/rename/", views.rename_view, name="saved_view_rename"),
    path("finds/views/<int:pk>/bin/", views.put_view_away, name="saved_view_bin"),
    path("finds/views/<int:pk>/put-back/", views.take_view_out, name="saved_view_put_back"),
]
