from django.urls import path

from . import views
from .many import views as many

urlpatterns = [
    path("finds/many/", many.many, name="find_many"),
    path("finds/shelf/", views.shelf_sessions, name="shelf_sessions"),
    path("finds/shelf/<int:pk>/", views.shelf_session, name="shelf_session"),
    path("finds/shelf/<int:pk>/bin/", views.shelf_bin, name="shelf_bin"),
    path("finds/shelf/<int:pk>/put-back/", views.shelf_put_back, name="shelf_put_back"),
]
