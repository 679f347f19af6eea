from django.urls import path

from . import views

urlpatterns = [path("makers/read/", views.read_mark, name="read_mark")]
