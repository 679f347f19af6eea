from django.urls import path

from . import views

urlpatterns = [path("settings/house/", views.house, name="house")]
