from django.urls import path

from . import views

urlpatterns = [path("finds/next/", views.next_find, name="next")]
